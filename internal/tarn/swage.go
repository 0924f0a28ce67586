package tarn

import (
	"math"

	"github.com/golang/geo/r2"
)

// swage is a bead pressed into a body along a path in the body's own coordinates: full height up to crest mm
// from the path, none beyond foot mm.
type swage struct {
	path        []r2.Point
	closed      bool
	crest, foot float64
	height      float64 // along the body's height direction; negative: pressed the other way
}

// at is the swage's height at a place.
func (w swage) at(p r2.Point) float64 {
	least := math.Inf(1)
	n := len(w.path) - 1
	if w.closed {
		n++
	}
	for i := range n {
		least = math.Min(least, toSegment(p, w.path[i], w.path[(i+1)%len(w.path)]))
	}
	return w.height * ramp((w.foot-least)/(w.foot-w.crest))
}

func toSegment(p, a, b r2.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / (dx*dx + dy*dy)
	t = math.Max(0, math.Min(1, t))
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// contours are points along the swage's crest edge and foot, which the body's mesh is made to pass.
func (w swage) contours(step float64) []r2.Point {
	var out []r2.Point
	for _, d := range []float64{w.crest, w.foot} {
		out = append(out, w.contour(d, step)...)
	}
	return out
}

// contour walks round the path at a distance: along both sides, and round the ends of an open one. Points that come
// nearer to another part of the path are left out.
func (w swage) contour(d, step float64) []r2.Point {
	var out []r2.Point
	add := func(p r2.Point) {
		alone := swage{path: w.path, closed: w.closed, crest: d - 2e-3, foot: d - 1e-3, height: 1}
		if alone.at(p) == 0 {
			out = append(out, p)
		}
	}
	n := len(w.path)
	sides := n - 1
	if w.closed {
		sides = n
	}
	for _, side := range []float64{1, -1} {
		for i := range sides {
			a, b := w.path[i], w.path[(i+1)%n]
			l := math.Hypot(b.X-a.X, b.Y-a.Y)
			nx, ny := -(b.Y-a.Y)/l*d*side, (b.X-a.X)/l*d*side
			count := max(1, int(math.Round(l/step)))
			for k := range count {
				t := (float64(k) + 0.5) / float64(count)
				add(r2.Point{X: a.X + (b.X-a.X)*t + nx, Y: a.Y + (b.Y-a.Y)*t + ny})
			}
		}
	}
	if w.closed {
		return out
	}
	cap := func(at, from r2.Point) {
		start := math.Atan2(at.Y-from.Y, at.X-from.X)
		count := max(3, int(math.Round(math.Pi*d/step)))
		for k := range count + 1 {
			sin, cos := math.Sincos(start + math.Pi*(float64(k)/float64(count)-0.5))
			add(r2.Point{X: at.X + d*cos, Y: at.Y + d*sin})
		}
	}
	cap(w.path[0], w.path[1])
	cap(w.path[n-1], w.path[n-2])
	return out
}

// pressed is the height of several swages at a place.
func pressed(swages []swage, x, y float64) float64 {
	sum := 0.0
	for _, w := range swages {
		sum += w.at(r2.Point{X: x, Y: y})
	}
	return sum
}

func contours(swages []swage, step float64) []r2.Point {
	var out []r2.Point
	for _, w := range swages {
		out = append(out, w.contours(step)...)
	}
	return out
}

// bead is a straight swage.
func bead(x0, y0, x1, y1, crest, foot, height float64) swage {
	return swage{path: []r2.Point{{X: x0, Y: y0}, {X: x1, Y: y1}}, crest: crest, foot: foot, height: height}
}

// arcBead is a swage along an arc, from one angle to another in degrees.
func arcBead(x, y, radius, from, to, crest, foot, height float64) swage {
	w := swage{crest: crest, foot: foot, height: height}
	n := int(math.Ceil(math.Abs(to-from) / 6))
	for i := range n + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
		w.path = append(w.path, r2.Point{X: x + radius*cos, Y: y + radius*sin})
	}
	return w
}

// frameBead is a swage round a rounded rectangle.
func frameBead(x, y, halfX, halfY, radius, crest, foot, height float64) swage {
	at, length := rounded(
		[]corner{
			{x + halfX, y - halfY, radius},
			{x + halfX, y + halfY, radius},
			{x - halfX, y + halfY, radius},
			{x - halfX, y - halfY, radius},
		},
	)
	w := swage{closed: true, crest: crest, foot: foot, height: height}
	n := int(math.Ceil(length / 12))
	for i := range n {
		px, py := at(length * float64(i) / float64(n))
		w.path = append(w.path, r2.Point{X: px, Y: py})
	}
	return w
}
