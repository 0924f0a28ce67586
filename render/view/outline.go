package view

import "github.com/golang/geo/r2"

// Distances in pixels for telling outlines from edges.
const (
	aside     = 1.5 // from a line to the place beside it that is looked at
	leastKind = 8   // a shorter change from edge to outline or back is the raster's flicker
)

// outlines cuts edges where they become outlines: where there is nothing on one side of them.
func (b *buffer) outlines(lines []Line) []Line {
	var out []Line
	for _, l := range lines {
		if l.Kind == Edge {
			out = append(out, b.byKind(l)...)
		} else {
			out = append(out, l)
		}
	}
	return out
}

func (b *buffer) byKind(l Line) []Line {
	places, corner := walk(l.Points, b.pixel)
	outline := make([]bool, len(places))
	for i := range places {
		from, to := places[max(i-1, 0)], places[min(i+1, len(places)-1)]
		outline[i] = b.bare(places[i], to.Sub(from))
	}
	evenOut(outline, true, leastKind)
	evenOut(outline, false, leastKind)
	var out []Line
	start := 0
	for i := 1; i <= len(places); i++ {
		if i < len(places) && outline[i] == outline[start] {
			continue
		}
		kind := Edge
		if outline[start] {
			kind = Outline
		}
		var points []r2.Point
		end := min(i, len(places)-1)
		for k := start; k <= end; k++ {
			if k == start || k == end || corner[k] {
				points = append(points, places[k])
			}
		}
		if len(points) > 1 {
			out = append(out, Line{kind, points})
		}
		start = i
	}
	return out
}

// bare reports whether there is nothing on one side of a place on a line that runs along dir.
func (b *buffer) bare(p, dir r2.Point) bool {
	n := dir.Norm()
	if n == 0 {
		return false
	}
	for _, side := range []float64{-aside * b.pixel / n, aside * b.pixel / n} {
		i, j, ok := b.cell(p.X-float64(side*dir.Y), p.Y+float64(side*dir.X))
		if !ok || b.tri[j*b.w+i] == none {
			return true
		}
	}
	return false
}
