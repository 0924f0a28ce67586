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
	g := l.along(d)
	return !slices.ContainsFunc(targets, func(t view.Target) bool { return !g.sees(t) })
}

// gaze is a looker along one direction.
type gaze struct {
	*looker
	view.Direction
	shadows []shadow // of each panel
}

// shadow is the rectangle that a panel's box takes in a view, and how near to the viewer it begins: a ray beside it, or that ends before,
// need not be tried.
type shadow struct{ x, y, halfX, halfY, depth float64 }

func (l *looker) along(d view.Direction) gaze {
	g := gaze{looker: l, Direction: d}
	for _, tree := range l.trees {
		const slack = 1e-6 // mm, for rounding
		box := tree.Box()
		half := box.Size().Mul(0.5)
		at, depth := d.Project(box.Center())
		reach := func(axis r3.Vector) float64 { return half.Dot(axis.Abs()) + slack }
		g.shadows = append(g.shadows, shadow{at.X, at.Y, reach(d.Right), reach(d.Up), depth - reach(d.Look)})
	}
	return g
}

// gains are the cosines to their axes at which a direction shows targets, 0 for one that it does not show.
func (l *looker) gains(d view.Direction, targets []view.Target) []float64 {
	out, g := make([]float64, len(targets)), l.along(d)
	for i, t := range targets {
		c := math.Abs(t.Axis.Dot(d.Look))
		if c > math.Cos(AxisLimit*math.Pi/180)-1e-9 && g.sees(t) {
			out[i] = c
		}
	}
	return out
}

// sees reports whether what is met first on the way to the target is nearer to it than the room that it is allowed: more
// for the target's own sheets than for others. Of two panels met at once the first counts, as in a painted picture.
func (g *gaze) sees(t view.Target) bool {
	other, own := t.Rooms(g.Look)
	from := t.At.Sub(g.Look.Mul(g.far))
	first, least := -1, g.far-math.Min(own, other) // what is met nearer to the target than that never hides it
	at, depth := g.Project(t.At)
	for i, s := range g.shadows {
		if math.Abs(at.X-s.x) > s.halfX || math.Abs(at.Y-s.y) > s.halfY || g.far+s.depth-depth > least {
			continue
		}
		if hit, ok := g.trees[i].Ray(from, g.Look, least); ok && (first < 0 || hit.Distance < least) {
			first, least = i, hit.Distance
		}
		if first >= 0 && g.far-least > math.Max(own, other) {
			return false
		}
	}
	if first < 0 {
		return true
	}
	if slices.Contains(t.Own, g.ids[first]) {
		return g.far-least <= own
	}
	return g.far-least <= other
}
