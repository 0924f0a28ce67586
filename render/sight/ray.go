package sight

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
	"seamwright/geometry/space"
	"seamwright/render/view"
)

// looker finds out which targets are seen from where, by a ray for each in the panels' trees. Unlike a painted picture it
// has no pixels, and costs only as much as there are targets.
type looker struct {
	ids   []string
	trees []*near.Tree
	far   float64 // mm: from any target to in front of all panels
}

func newLooker(panels []view.Panel, targets []view.Target) *looker {
	l := &looker{}
	box := space.EmptyBox()
	for _, t := range targets {
		box = box.Union(space.Box{Min: t.At, Max: t.At})
	}
	for i := range panels {
		t := panels[i].Tree()
		l.ids, l.trees = append(l.ids, panels[i].ID), append(l.trees, t)
		box = box.Union(t.Box())
	}
	l.far = box.Size().Norm() + 1
	return l
}

// Sees reports whether a direction shows all targets, whatever their axes.
func Sees(panels []view.Panel, targets []view.Target, d view.Direction) bool {
	l := newLooker(panels, targets)
	for _, t := range targets {
		if !l.sees(d.Look, t) {
			return false
		}
	}
	return true
}

// gains are the cosines to their axes at which a direction shows targets, 0 for one that it does not show.
func (l *looker) gains(look r3.Vector, targets []view.Target) []float64 {
	out := make([]float64, len(targets))
	for i, t := range targets {
		c := math.Abs(t.Axis.Dot(look))
		if c > math.Cos(AxisLimit*math.Pi/180)-1e-9 && l.sees(look, t) {
			out[i] = c
		}
	}
	return out
}

// sees reports whether what is met first on the way to the target is nearer to it than the room that it is allowed: more
// for the target's own sheets than for others. Of two panels met at once the first counts, as in a painted picture.
func (l *looker) sees(look r3.Vector, t view.Target) bool {
	other, own := t.Rooms(look)
	from := t.At.Sub(look.Mul(l.far))
	first, least := -1, l.far-math.Min(own, other) // what is met nearer to the target than that never hides it
	for i, tree := range l.trees {
		if !crosses(tree.Box(), from, look) {
			continue
		}
		if hit, ok := tree.Ray(from, look, least); ok && (first < 0 || hit.Distance < least) {
			first, least = i, hit.Distance
		}
		if first >= 0 && l.far-least > math.Max(own, other) {
			return false
		}
	}
	if first < 0 {
		return true
	}
	if slices.Contains(t.Own, l.ids[first]) {
		return l.far-least <= own
	}
	return l.far-least <= other
}

// crosses reports whether a ray comes into a box.
func crosses(b space.Box, from, dir r3.Vector) bool {
	in, out := 0.0, math.Inf(1)
	for _, k := range [3][4]float64{
		{from.X, dir.X, b.Min.X, b.Max.X}, {from.Y, dir.Y, b.Min.Y, b.Max.Y}, {from.Z, dir.Z, b.Min.Z, b.Max.Z},
	} {
		const slack = 1e-6 // mm, for rounding
		at, slope, low, high := k[0], k[1], k[2]-slack, k[3]+slack
		if math.Abs(slope) < 1e-12 {
			if at < low || at > high {
				return false
			}
			continue
		}
		s, e := (low-at)/slope, (high-at)/slope
		in, out = max(in, min(s, e)), min(out, max(s, e))
	}
	return in <= out
}
