package strip

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/layout"
	"seamwright/render/paper"
)

// spot is a place on a flat strip.
type spot struct {
	s      float64 // mm along the weld line, from where the strip starts
	across float64 // mm to the left of it, along the sheet
}

// mark is a weld on the strip.
type mark struct {
	spot
	number   int
	station  string
	step     layout.WeldStep
	diameter float64
	sheets   int
}

// hole is an opening on the strip.
type hole struct {
	spot
	radius float64
}

// seam is a roller seam on the strip.
type seam struct {
	id   string
	path []spot // in the way of rolling
}

// gather collects what lies on the strip.
func (f *Flat) gather(here *layout.OfFlange) {
	for _, w := range here.Welds {
		along := w.Along - f.CutAt
		if f.Flange.Closed && along < 0 {
			along += f.total()
		}
		at := f.project(w.Position.R3(), along)
		f.welds = append(f.welds, mark{at, w.Number, w.Station, w.Step, w.WeldDiameter, len(w.Sheets)})
	}
	slices.SortStableFunc(f.welds, func(a, b mark) int { return cmp.Compare(a.s, b.s) })
	line := f.Flange.Curve()
	for _, h := range f.Flange.Holes {
		s, _ := line.Nearest(h.At.R3())
		f.holes = append(f.holes, hole{f.project(h.At.R3(), s), h.Radius})
	}
	for _, r := range here.Seams {
		if len(r.Path) > 1 {
			f.seams = append(f.seams, f.seam(r, line))
		}
	}
}

// project finds the spot of a point in space that lies at s along the line, give or take a few mm.
func (f *Flat) project(p r3.Vector, s float64) spot {
	const slack = 6.0
	total := f.way.sum[len(f.way.sum)-1]
	best, least := spot{s: math.Min(math.Max(s, 0), total)}, math.Inf(1)
	i := max(sort.SearchFloat64s(f.way.sum, s-slack)-1, 0)
	for ; i+1 < len(f.way.sum) && f.way.sum[i] <= s+slack; i++ {
		a, b := f.way.line[i], f.way.line[i+1]
		q := closest(a, b, p)
		if d := q.Sub(p).Norm2(); d < least {
			least = d
			best.s = f.way.sum[i] + float64((f.way.sum[i+1]-f.way.sum[i])*(q.Sub(a).Norm()/b.Sub(a).Norm()))
		}
	}
	k, t := f.locate(best.s)
	n := mix(f.way.across[k], f.way.across[k+1], t).Normalize()
	at := mix(f.way.line[k], f.way.line[k+1], t)
	best.across = p.Sub(at).Dot(n)
	return best
}

func mix(a, b r3.Vector, t float64) r3.Vector { return a.Add(b.Sub(a).Mul(t)) }

// locate returns the segment of the line that holds s, and the share of it before s.
func (f *Flat) locate(s float64) (segment int, share float64) {
	sum := f.way.sum
	i := min(max(sort.SearchFloat64s(sum, s)-1, 0), len(sum)-2)
	if span := sum[i+1] - sum[i]; span > 0 {
		share = math.Min(1, math.Max(0, (s-sum[i])/span))
	}
	return i, share
}

// at is the flat place of a spot; its heading is in radians to the left.
func (f *Flat) at(p spot) (place paper.Point, heading float64) {
	k, t := f.locate(p.s)
	a, b := f.Centre[k], f.Centre[k+1]
	heading = f.heads[k] + float64((f.heads[k+1]-f.heads[k])*t)
	base := a.Add(b.Sub(a).Mul(t))
	return base.Add(leftOf(heading).Mul(p.across)), heading
}

// onFace turns mm along the plan's weld line into mm along the face.
func (f *Flat) onFace(s float64) float64 {
	k, t := f.locate(s)
	return f.way.faceSum[k] + float64((f.way.faceSum[k+1]-f.way.faceSum[k])*t)
}

// fromFace is the inverse of onFace.
func (f *Flat) fromFace(s float64) float64 {
	sum := f.way.faceSum
	i := min(max(sort.SearchFloat64s(sum, s)-1, 0), len(sum)-2)
	t := 0.0
	if span := sum[i+1] - sum[i]; span > 0 {
		t = math.Min(1, math.Max(0, (s-sum[i])/span))
	}
	return f.way.sum[i] + float64((f.way.sum[i+1]-f.way.sum[i])*t)
}

// width returns the distances to the sides at s.
func (f *Flat) width(s float64) (left, right float64) {
	k, t := f.locate(s)
	w := f.way
	return w.left[k] + float64((w.left[k+1]-w.left[k])*t), w.right[k] + float64((w.right[k+1]-w.right[k])*t)
}

// total is the length of the plan's weld line.
func (f *Flat) total() float64 { return f.way.sum[len(f.way.sum)-1] }

// seam lays a roller seam onto the strip.
func (f *Flat) seam(r layout.Seam, line *curve.Line) seam {
	out := seam{id: r.ID}
	for _, p := range r.Path {
		s, _ := line.Nearest(p.R3())
		out.path = append(out.path, f.project(p.R3(), s))
	}
	return out
}

// sidesOf sees the stretches of the sides from the face.
func sidesOf(fl *layout.Flange, first bool) []layout.Side {
	out := fl.Sides()
	if first {
		for i, s := range out {
			out[i].Left, out[i].Right = s.Right, s.Left
		}
	}
	return out
}
