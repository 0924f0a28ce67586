package figure

import (
	"slices"

	"seamwright/layout"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

// besideSpots is how far, in mm on paper, a roller seam is drawn beside its place where spots lie on it.
const besideSpots = 2.4

// Stretch is a part of a path that is all visible or all hidden.
type Stretch struct {
	Seen   bool
	Points []paper.Point
}

// Stretches cuts a path on the shell where it goes into or out of sight, stepping by half a millimetre of
// paper. What lies outside the window is left out.
func (f *Figure) Stretches(path []layout.Vec, closed bool, slack float64) []Stretch {
	var out []Stretch
	last := -1
	if closed && len(path) > 0 {
		path = append(append([]layout.Vec(nil), path...), path[0])
	}
	add := func(v layout.Vec) {
		state := 0
		at := v.R3()
		if !f.Shows(at) {
			last = -1
			return
		}
		if f.Picture.Shows(at, slack) {
			state = 1
		}
		q := f.On(at)
		if state != last {
			if last >= 0 {
				out[len(out)-1].Points = append(out[len(out)-1].Points, q)
			}
			out = append(out, Stretch{Seen: state == 1})
		}
		out[len(out)-1].Points = append(out[len(out)-1].Points, q)
		last = state
	}
	for i, v := range path {
		if i > 0 {
			d := v.R3().Sub(path[i-1].R3())
			n := int(d.Norm() / (0.5 * float64(f.Scale)))
			for k := 1; k <= n; k++ {
				m := path[i-1].R3().Add(d.Mul(float64(k) / float64(n+1)))
				add(layout.Vec{m.X, m.Y, m.Z})
			}
		}
		add(v)
	}
	return out
}

// SeamPart is a stretch of a roller seam as drawn; First and Last tell whether the seam begins or ends with it.
type SeamPart struct {
	Stretch
	First, Last bool
}

// Seam gives the parts of a roller seam in a view. Where spots lie on the seam it is moved aside, away from
// the middle of the picture, so that both can be read.
func (set *Set) Seam(f *Figure, r layout.Seam) []SeamPart {
	var out []SeamPart
	if len(r.Path) < 2 {
		return nil
	}
	aside := 0.0
	if set.spotsOn(f, r) {
		aside = besideSpots * f.outward(r)
	}
	ends := [2]paper.Point{f.On(r.Path[0].R3()), f.On(r.Path[len(r.Path)-1].R3())}
	for _, s := range f.Stretches(r.Path, r.Closed, set.Stack(set.Flange(r.Flange).Panels)) {
		if len(s.Points) < 2 {
			continue
		}
		part := SeamPart{Stretch: s, First: s.Points[0] == ends[0]}
		part.Last = !r.Closed && s.Points[len(s.Points)-1] == ends[1]
		if aside != 0 {
			part.Points = moved(s.Points, aside)
		}
		out = append(out, part)
	}
	return out
}

// spotsOn reports whether welds lie on a roller seam on paper.
func (set *Set) spotsOn(f *Figure, r layout.Seam) bool {
	for _, w := range set.Here.Welds {
		if w.Flange != r.Flange {
			continue
		}
		at := f.On(w.Position.R3())
		for i := 1; i < len(r.Path); i++ {
			if label.FromSegment(at, f.On(r.Path[i-1].R3()), f.On(r.Path[i].R3())) < sign.WeldRadius+1 {
				return true
			}
		}
	}
	return false
}

// outward is the side of a path, 1 or -1 for right or left on paper, that looks away from the picture's middle.
func (f *Figure) outward(r layout.Seam) float64 {
	middle := f.Flat(f.Window.Center())
	sum := 0.0
	for i := 1; i < len(r.Path); i++ {
		a, b := f.On(r.Path[i-1].R3()), f.On(r.Path[i].R3())
		d, out := b.Sub(a), a.Sub(middle)
		sum += float64(-d.Y*out.X) + float64(d.X*out.Y) // the normal to the right of d on paper, y down, along the way out
	}
	if sum < 0 {
		return -1
	}
	return 1
}

// moved gives points to the right of a line by some distance, or to the left if it is negative. Directions are
// taken over a few millimetres, so that short steps do not make it jagged.
func moved(points []paper.Point, by float64) []paper.Point {
	out := make([]paper.Point, 0, len(points))
	for i, p := range points {
		a, b := i, i
		for a > 0 && points[a].Sub(p).Norm() < 1.5 {
			a--
		}
		for b < len(points)-1 && points[b].Sub(p).Norm() < 1.5 {
			b++
		}
		d := points[b].Sub(points[a])
		if d.Norm() < 1e-9 {
			continue
		}
		out = append(out, p.Add(paper.Point{X: -d.Y, Y: d.X}.Mul(by/d.Norm())))
	}
	return out
}

// StartSeen reports whether a view shows where a roller seam begins.
func (set *Set) StartSeen(r layout.Seam) bool {
	return slices.ContainsFunc(set.Figures, func(f *Figure) bool {
		return !f.Gauge && f.Picture != nil && slices.ContainsFunc(set.Seam(f, r), func(s SeamPart) bool { return s.First && s.Seen })
	})
}
