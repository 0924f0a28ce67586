package reach

import (
	"math"

	"github.com/golang/geo/r3"
)

// Scene is the panels present at a station.
type Scene struct{ panels []Panel }

// NewScene takes the panels present. Their trees can be shared between scenes.
func NewScene(panels []Panel) *Scene { return &Scene{panels} }

// Name is the name of a panel by its place in the scene.
func (s *Scene) Name(i int) string { return s.panels[i].Name }

// frame is a weld's own: x along the line, y across, z up its axis.
type frame struct{ at, x, y, z r3.Vector }

func frameOf(w Weld) frame {
	z := w.Axis.Normalize()
	x := w.Along.Sub(z.Mul(w.Along.Dot(z))).Normalize()
	return frame{w.Position, x, z.Cross(x), z}
}

func (f *frame) into(p r3.Vector) r3.Vector {
	d := p.Sub(f.at)
	return r3.Vector{X: d.Dot(f.x), Y: d.Dot(f.y), Z: d.Dot(f.z)}
}

// facet is a triangle in a weld's frame with what rules it out quickly.
type facet struct {
	a, b, c   r3.Vector
	low, high float64 // z
	circle            // about its middle
	grow      float64
	place
}

// gather appends the facets of the panels that are there, within the radius of the weld's axis and no more than up
// away from the weld along it.
func (v *turned) gather(radius, up float64, out []facet) []facet {
	return v.beside(radius, up, math.Inf(1), math.Inf(-1), out)
}

// beside is gather for what is not all between two heights.
func (v *turned) beside(radius, up, from, to float64, out []facet) []facet {
	v.walk(func(b *block, grow float64) bool {
		return b.in <= radius+grow && b.low <= up+grow && b.high >= -up-grow && (b.low < from || b.high > to)
	}, func(t *facet) {
		if t.in <= radius+t.grow && t.low <= up+t.grow && t.high >= -up-t.grow && (t.low < from || t.high > to) {
			out = append(out, *t)
		}
	})
	return out
}

// bound sets what rules the facet out quickly.
func (t *facet) bound() {
	t.low = min(t.a.Z, min(t.b.Z, t.c.Z))
	t.high = max(t.a.Z, max(t.b.Z, t.c.Z))
	mx, my := (t.a.X+t.b.X+t.c.X)/3, (t.a.Y+t.b.Y+t.c.Y)/3
	size2 := 0.0
	for _, v := range [3]r3.Vector{t.a, t.b, t.c} {
		x, y := v.X-mx, v.Y-my
		size2 = max(size2, float64(x*x)+float64(y*y))
	}
	t.set(mx, my, math.Sqrt(size2))
}

// surfaces is how far above and below the weld the stack's outer surfaces lie. A sheet that no ray meets,
// at an edge or hole, leaves half the stack.
func (s *Scene) surfaces(w Weld, f frame) (above, below float64) {
	reach := w.Stack + 2
	above, below = math.Inf(-1), math.Inf(-1)
	for _, i := range w.Sheets {
		p := &s.panels[i]
		if hit, ok := p.Shape.Tree().Ray(f.at.Add(f.z.Mul(reach)), f.z.Mul(-1), 2*reach); ok {
			above = max(above, reach-hit.Distance+p.Grow)
		}
		if hit, ok := p.Shape.Tree().Ray(f.at.Sub(f.z.Mul(reach)), f.z, 2*reach); ok {
			below = max(below, reach-hit.Distance+p.Grow)
		}
	}
	if math.IsInf(above, -1) {
		above = w.Stack / 2
	}
	if math.IsInf(below, -1) {
		below = w.Stack / 2
	}
	return above, below
}
