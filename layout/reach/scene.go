package reach

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
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

func (f frame) into(p r3.Vector) r3.Vector {
	d := p.Sub(f.at)
	return r3.Vector{X: d.Dot(f.x), Y: d.Dot(f.y), Z: d.Dot(f.z)}
}

// box holds the cylinder about the weld's axis with the given radius and height up and down.
func (f frame) box(radius, up float64) space.Box {
	half := func(n float64) float64 {
		return radius*math.Sqrt(math.Max(0, 1-n*n)) + up*math.Abs(n)
	}
	h := r3.Vector{X: half(f.z.X), Y: half(f.z.Y), Z: half(f.z.Z)}
	return space.Box{Min: f.at.Sub(h), Max: f.at.Add(h)}
}

// facet is a triangle in a weld's frame with what rules it out quickly.
type facet struct {
	a, b, c   r3.Vector
	low, high float64 // z
	in, out   float64 // bounds of the distance of its points from the axis
	mx, my    float64 // its middle, seen along the axis
	size      float64 // greatest distance of its points from there
	panel     int32
	grow      float64
}

// gather appends the facets of the panels that are not absent, within the radius of the weld's axis and no more than up
// away from the weld along it.
func (s *Scene) gather(f frame, absent []int, radius, up float64, out []facet) []facet {
	box := f.box(radius, up)
	for i := range s.panels {
		if slices.Contains(absent, i) {
			continue
		}
		p := &s.panels[i]
		m, grow := p.Tree.Mesh(), p.Grow
		p.Tree.Overlapping(box.Grow(grow), func(tri int32) bool {
			a, b, c := m.Corners(int(tri))
			t := facet{a: f.into(a), b: f.into(b), c: f.into(c), panel: int32(i), grow: grow}
			if math.Min(t.a.Z, math.Min(t.b.Z, t.c.Z)) > up+grow || math.Max(t.a.Z, math.Max(t.b.Z, t.c.Z)) < -up-grow {
				return true
			}
			t.bound()
			if t.in <= radius+grow {
				out = append(out, t)
			}
			return true
		})
	}
	return out
}

// bound sets what rules the facet out quickly.
func (t *facet) bound() {
	t.low = math.Min(t.a.Z, math.Min(t.b.Z, t.c.Z))
	t.high = math.Max(t.a.Z, math.Max(t.b.Z, t.c.Z))
	mx, my := (t.a.X+t.b.X+t.c.X)/3, (t.a.Y+t.b.Y+t.c.Y)/3
	middle, size2 := math.Hypot(mx, my), 0.0
	for _, v := range [3]r3.Vector{t.a, t.b, t.c} {
		x, y := v.X-mx, v.Y-my
		size2 = math.Max(size2, float64(x*x)+float64(y*y))
	}
	size := math.Sqrt(size2)
	t.in, t.out = math.Max(0, middle-size), middle+size
	t.mx, t.my, t.size = mx, my, size
}

// surfaces is how far above and below the weld the stack's outer surfaces lie. A sheet that no ray meets,
// at an edge or hole, leaves half the stack.
func (s *Scene) surfaces(w Weld, f frame) (above, below float64) {
	reach := w.Stack + 2
	above, below = math.Inf(-1), math.Inf(-1)
	for _, i := range w.Sheets {
		p := &s.panels[i]
		if hit, ok := p.Tree.Ray(f.at.Add(f.z.Mul(reach)), f.z.Mul(-1), 2*reach); ok {
			above = math.Max(above, reach-hit.Distance+p.Grow)
		}
		if hit, ok := p.Tree.Ray(f.at.Sub(f.z.Mul(reach)), f.z, 2*reach); ok {
			below = math.Max(below, reach-hit.Distance+p.Grow)
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
