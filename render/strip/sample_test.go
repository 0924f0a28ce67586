package strip

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// surface is a curve on a surface of known shape, by its length s.
type surface struct {
	name   string
	length float64
	closed bool
	point  func(s float64) r3.Vector
	normal func(s float64) r3.Vector
	side   func(s, w float64) r3.Vector // place w to the left on the surface; nil: straight across
}

const step = 2.0 // between points, as the finder sets them

// flangeOf samples a surface curve as a flange of the two panels with constant half width.
func flangeOf(c surface, half float64) layout.Flange {
	f := layout.Flange{
		ID: "strip", Joint: "joint", Panels: []string{"lower", "upper"}, Closed: c.closed, Length: c.length,
		Width: layout.Range{Least: 2 * half, Mean: 2 * half, Greatest: 2 * half},
	}
	n := int(math.Ceil(c.length / step))
	last := n
	if c.closed {
		last = n - 1
	}
	var left, right []layout.Vec
	for i := range last + 1 {
		s := c.length * float64(i) / float64(n)
		p, m := c.point(s), c.normal(s)
		f.Line = append(f.Line, layout.LinePoint{Along: s, At: layout.VecOf(p), Normal: layout.VecOf(m), Left: half, Right: half,
			Ends: [2]layout.Edge{layout.FreeEdge, layout.Bend}})
		l, r := c.across(s, half), c.across(s, -half)
		left, right = append(left, layout.Vec{l.X, l.Y, l.Z}), append(right, layout.Vec{r.X, r.Y, r.Z})
	}
	if c.closed {
		f.Outline = [][]layout.Vec{left, right}
	} else {
		slices.Reverse(right)
		f.Outline = [][]layout.Vec{append(left, right...)}
	}
	return f
}

// setSides says what ends the strip on either side, stretch by stretch.
func setSides(f *layout.Flange, sides ...layout.Side) {
	for i := range f.Line {
		for _, s := range sides {
			if a := f.Line[i].Along; a >= s.From && a <= s.To {
				f.Line[i].Ends = [2]layout.Edge{s.Left, s.Right}
			}
		}
	}
}

// across is the place w to the left of the curve.
func (c surface) across(s, w float64) r3.Vector {
	if c.side != nil {
		return c.side(s, w)
	}
	const d = 1e-4
	along := c.point(s + d).Sub(c.point(s - d)).Normalize()
	return c.point(s).Add(c.normal(s).Cross(along).Mul(w))
}

// planOf is a plan with that flange, welds at a pitch along it, and sheets of a thickness.
func planOf(f layout.Flange, thickness, pitch float64) *layout.Plan {
	p := &layout.Plan{
		Shell: layout.Shell{Name: `Sample & <"shell">`, Number: "S-1", Revision: "B", Approver: "lead", Issued: "2026-01-31",
			Input: "0123456789abcdef"},
		Panels:  []layout.Panel{{ID: "lower", Thickness: thickness}, {ID: "upper", Thickness: thickness}},
		Flanges: []layout.Flange{f},
	}
	if pitch > 0 {
		addWelds(p, pitch)
	}
	return p
}

func addWelds(p *layout.Plan, pitch float64) {
	f := &p.Flanges[0]
	flat, err := Develop(layout.NewIndex(p), f.ID, Options{})
	if err != nil {
		panic(err)
	}
	first := pitch / 2
	for s := first; s <= flat.total()-first+1e-9; s += pitch {
		n := len(p.Welds)
		k, t := flat.locate(s)
		at := mix(flat.way.line[k], flat.way.line[k+1], t)
		along := s + flat.CutAt
		if along >= flat.total() {
			along -= flat.total()
		}
		p.Welds = append(p.Welds, layout.Weld{
			Number: n + 1, Station: "st1", Flange: f.ID, Position: layout.Vec{at.X, at.Y, at.Z}, Along: along,
			Sheets: f.Panels, WeldDiameter: 4.5, Step: []layout.WeldStep{layout.Tack, layout.Fill, layout.Fill, layout.Released}[n%4],
		})
	}
}

func straight(length float64) surface {
	dir := r3.Vector{X: 2, Y: 1, Z: -2}.Mul(1. / 3)
	normal := r3.Vector{X: 1, Y: 2, Z: 2}.Mul(1. / 3)
	return surface{
		name: "straight", length: length,
		point:  func(s float64) r3.Vector { return r3.Vector{X: 700, Y: -20, Z: 900}.Add(dir.Mul(s)) },
		normal: func(float64) r3.Vector { return normal },
	}
}

// flatRing runs anticlockwise about z in the plane, seen against its normal +z.
func flatRing(radius float64) surface {
	return surface{
		name: "flat ring", length: 2 * math.Pi * radius, closed: true,
		point:  func(s float64) r3.Vector { return polar(radius, s/radius, 5) },
		normal: func(float64) r3.Vector { return r3.Vector{Z: 1} },
	}
}

// helix climbs on a cylinder, which is straight when unrolled.
func helix(radius, climb, length float64) surface {
	turn := math.Sqrt(1-climb*climb) / radius
	return surface{
		name: "helix", length: length,
		point:  func(s float64) r3.Vector { return polar(radius, turn*s, climb*s) },
		normal: func(s float64) r3.Vector { return polar(1, turn*s, 0) },
		side: func(s, w float64) r3.Vector {
			return polar(radius, turn*s-climb*w/radius, climb*s+w*math.Sqrt(1-climb*climb))
		},
	}
}

// coneRing is a circle on a cone that leans outwards by an angle from the axis: unrolled it is an arc about
// the tip, radius / sin(lean).
func coneRing(radius, lean float64) surface {
	sin, cos := math.Sincos(lean)
	return surface{
		name: "cone ring", length: 2 * math.Pi * radius, closed: true,
		point:  func(s float64) r3.Vector { return polar(radius, s/radius, 0) },
		normal: func(s float64) r3.Vector { return polar(cos, s/radius, -sin) },
	}
}

// sphereCircle is a circle at an angle from the pole; its geodesic curvature is that of a flat circle of
// radius * tan(angle).
func sphereCircle(radius, angle float64) surface {
	flat := radius * math.Sin(angle)
	return surface{
		name: "sphere circle", length: 2 * math.Pi * flat, closed: true,
		point:  func(s float64) r3.Vector { return polar(flat, s/flat, radius*math.Cos(angle)) },
		normal: func(s float64) r3.Vector { return polar(math.Sin(angle), s/flat, math.Cos(angle)) },
		side: func(s, w float64) r3.Vector { // left is towards the pole
			a := angle - w/radius
			return polar(radius*math.Sin(a), s/flat, radius*math.Cos(a))
		},
	}
}

func polar(r, angle, z float64) r3.Vector {
	sin, cos := math.Sincos(angle)
	return r3.Vector{X: r * cos, Y: r * sin, Z: z}
}

func mustDevelop(t *testing.T, p *layout.Plan, opt Options) *Flat {
	t.Helper()
	f, err := Develop(layout.NewIndex(p), "strip", opt)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
