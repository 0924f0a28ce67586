package retreat

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// sheet is a mesh in the making.
type sheet struct{ mesh.Mesh }

// quad adds a rectangle from a corner along two sides.
func (m *sheet) quad(corner, u, v r3.Vector, _ float64) *sheet {
	at := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, corner, corner.Add(u), corner.Add(u).Add(v), corner.Add(v))
	m.Triangles = append(m.Triangles, [3]int32{at, at + 1, at + 2}, [3]int32{at, at + 2, at + 3})
	return m
}

// scene makes panels of 1 mm sheet, drawn at mid surface.
func scene(sheets ...*sheet) *axial.Scene {
	var panels []axial.Panel
	for i, s := range sheets {
		panels = append(panels, axial.Panel{Name: string(rune('A' + i)), Shape: near.NewShape(&s.Mesh), Grow: 0.5})
	}
	return &axial.Scene{Panels: panels}
}

// seen is a scene as a weld at the origin sees it, on a line along x.
func seen(s *axial.Scene) *axial.View {
	var v axial.View
	v.Turn(s, axial.NewFrame(r3.Vector{}, vec(1, 0, 0), vec(0, 0, 1)), nil)
	return &v
}

// plates are two plates of 1 mm on each other, over x from -300 to 300 and y from -300 to the edge.
func plates(edge float64) []*sheet {
	var out []*sheet
	for _, z := range []float64{-0.5, 0.5} {
		out = append(out, new(sheet).quad(vec(-300, -300, z), vec(600, 0, 0), vec(0, 300+edge, 0), 20))
	}
	return out
}

// lip is an edge turned up, or down where high is below zero, along x, out at y.
func lip(y, high float64) *sheet {
	return new(sheet).quad(vec(-300, y, 0.5), vec(600, 0, 0), vec(0, 0, high), 10)
}

// gun has arms of 30 mm, 200 mm apart and 200 mm deep, and tips of 16 by 26 mm.
func gun(stroke float64) Gun {
	return Gun{Radius: 15, High: 115, Depth: 215, Stroke: stroke, Shank: 16, ShankLong: 26, TipLong: 60}
}

// square are the angles out over the edge and in over the plates.
const out, in = 18, 54

// An edge turned up by 20 mm above the stack's middle, 19 above its surface: three quarters of 24 mm pass under 18, of 30 mm over it.
// In over the plates nothing leads off: they stand between the arms all the way.
func TestOverALip(t *testing.T) {
	for _, c := range []struct {
		high, stroke float64
		shut         bool
	}{{0.5, 10, false}, {20, 20, true}, {20, 24, true}, {20, 30, false}, {-22, 20, true}, {-22, 30, false}} {
		d := New(axial.NewFan(72))
		d.Begin(gun(c.stroke), 1, 1)
		d.Ask(out, true)
		d.Ask(in, true)
		d.Run(seen(scene(append(plates(15), lip(15, c.high))...)))
		if d.Shut[out] != c.shut || d.Asked[0] || d.Shut[0] || d.Panel[0] != -1 {
			t.Errorf("a lip of %g mm, a stroke of %g: shut %v, unasked %v", c.high, c.stroke, d.Shut[out], d.Shut[0])
		}
		if c.shut && d.Panel[out] != 2 {
			t.Errorf("a lip of %g mm: panel %d is met", c.high, d.Panel[out])
		}
	}
}

// One angle alone is told as among others, and a trial after another as a first one.
func TestEachAngleAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := seen(scene(append(plates(rapid.Float64Range(5, 60).Draw(t, "edge")), lip(15, rapid.Float64Range(-40, 40).Draw(t, "lip")),
			new(sheet).quad(vec(-300, rapid.Float64Range(210, 330).Draw(t, "wall"), -90), vec(400, 90, 0), vec(0, 0, 120), 40))...))
		g, angles := gun(rapid.Float64Range(10, 80).Draw(t, "stroke")), 36
		all := New(axial.NewFan(angles))
		all.Begin(g, 1, 1)
		for k := range angles {
			all.Ask(k, true)
		}
		all.Run(v)
		together, one := slices.Clone(all.Shut), New(axial.NewFan(angles))
		for k := range angles {
			one.Begin(g, 1, 1)
			one.Ask(k, true)
			if one.Run(v); one.Shut[k] != together[k] {
				t.Fatalf("angle %d: shut %v alone, %v among all", k, one.Shut[k], together[k])
			}
		}
		all.Begin(g, 1, 1)
		if all.Any() {
			t.Fatal("something is asked already")
		}
		for k := range angles {
			all.Ask(k, true)
		}
		if all.Run(v); !slices.Equal(all.Shut, together) {
			t.Fatalf("%v again, %v at first", all.Shut, together)
		}
	})
}

// What is said to come off does: the gun's middles, moved along in small steps, keep their distance from every panel.
func TestWayOffIsFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edge := rapid.Float64Range(5, 60).Draw(t, "edge")
		sheets := append(plates(edge), lip(edge, rapid.Float64Range(-40, 40).Draw(t, "lip")))
		turn := rapid.Float64Range(-0.6, 0.6).Draw(t, "turn")
		sheets = append(sheets, new(sheet).quad(vec(-300, rapid.Float64Range(210, 330).Draw(t, "wall"), rapid.Float64Range(-200, 100).Draw(t,
			"low")),
			vec(600*math.Cos(turn), 600*math.Sin(turn), 0), vec(0, 0, rapid.Float64Range(5, 200).Draw(t, "high")), 40))
		sc := scene(sheets...)
		d := New(axial.NewFan(36))
		d.Begin(gun(rapid.Float64Range(10, 80).Draw(t, "stroke")), 1, 1)
		for k := range d.Asked {
			d.Ask(k, true)
		}
		v := seen(sc)
		d.measure(v)
		for _, w := range waysOff(d.Stroke) {
			copy(d.Shut, d.Asked)
			d.try(v, w)
			for k := range d.Shut {
				if _, closed := touchesAt(sc, d, way{}, k, 0); closed || d.Shut[k] { // nothing is said of a gun that does not stand there
					continue
				}
				for step := 0.0; step <= d.travel[k]; step += 4 {
					if p, hit := touchesAt(sc, d, w, k, step); hit {
						t.Fatalf("angle %d, way %+v, %g of %g mm back: touches at %v", k, w, step, d.travel[k], p)
					}
				}
			}
		}
	})
}

// touchesAt asks the trees themselves whether the opened gun touches a panel so far back.
func touchesAt(sc *axial.Scene, d *Trial, w way, k int, back float64) (r3.Vector, bool) {
	b, dir := d.Gun, vec(d.fan.Cos[k], d.fan.Sin[k], 0)
	at := func(x, z float64) r3.Vector { return dir.Mul(x + back).Add(vec(0, 0, z)) }
	top, bottom := b.High+w.shift, -b.High+w.shift
	type bar struct {
		from, to r3.Vector
		radius   float64
	}
	slim := d.Shank / 2 // the thickest round bar within the shank
	bars := []bar{
		{at(0, top), at(b.Depth, top), b.Radius}, {at(0, bottom), at(b.Depth, bottom), b.Radius}, {at(b.Depth, bottom), at(b.Depth, top),
			b.Radius},
		{at(0, d.above+w.above+slim), at(0, top), slim}, {at(0, -d.below-w.below-slim), at(0, bottom), slim},
	}
	for _, c := range bars {
		for _, p := range sc.Panels {
			if hit, ok := p.Shape.Tree().Capsule(c.from, c.to, c.radius+p.Grow-1e-6); ok {
				return hit.Point, true
			}
		}
	}
	return r3.Vector{}, false
}
