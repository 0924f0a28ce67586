package reach

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/axial"
)

// lip is an edge turned up, or down where high is below zero, along x, out at y.
func lip(y, high float64) *sheet {
	return new(sheet).quad(vec(-300, y, 0.5), vec(600, 0, 0), vec(0, 0, high), 10)
}

// pipe is a wall all round the weld.
func pipe(radius float64) *sheet {
	m := new(sheet)
	for k := range 36 {
		sin, cos := math.Sincos(math.Pi * float64(k) / 18)
		side := 2.1 * radius * math.Tan(math.Pi/36)
		m.quad(vec(radius*cos+sin*side/2, radius*sin-cos*side/2, -300), vec(-side*sin, side*cos, 0), vec(0, 0, 600), 40)
	}
	return m
}

func opening(stroke float64) Tool {
	t := Tool{gun(200, 200), narrow()}
	t.Gun.Stroke = stroke
	return t
}

func TestWayOff(t *testing.T) {
	roof := func(y, z float64) *sheet { return new(sheet).quad(vec(-300, y, z), vec(600, 0, 0), vec(0, 200, 0), 20) }
	for _, test := range []struct {
		name   string
		sheets []*sheet
		tool   Tool
		want   string // the reason; empty: it comes off
	}{
		{"a flange", plates(15), opening(40), ""},
		// 20 mm high above the stack's middle, 19 above its surface: three quarters of 24 mm pass under 18, of 30 mm over it
		{"an upturned edge, stroke not stated", append(plates(15), lip(15, 20)), opening(0), ""},
		{"an upturned edge, small stroke", append(plates(15), lip(15, 20)), opening(20),
			"tips open by 20 mm, 30 mm are needed to draw the gun back"},
		{"an upturned edge, greater stroke", append(plates(15), lip(15, 20)), opening(30), ""},
		{"a downturned edge, small stroke", append(plates(15), lip(15, -22)), opening(20),
			"tips open by 20 mm, 30 mm are needed to draw the gun back"},
		// the back stands at 200 to 230; to draw it back over the flange takes 15 and the bar's half
		{"a wall behind the back", append(plates(15), pipe(238)), opening(40), "the gun cannot be drawn straight back"},
		{"a wall farther behind", append(plates(15), pipe(275)), opening(40), ""},
		// just above the arm at 130: the gun may not rise, but sink
		{"a roof above the arm", append(plates(15), roof(0, 132)), opening(40), ""},
		{"a roof above and a floor below the arms", append(plates(15), roof(0, 132), roof(0, -132)), opening(40),
			"the gun cannot be drawn straight back"},
	} {
		r := find(t, scene(test.sheets...), []Weld{weld()}, Options{WayOff: true}, test.tool)[0]
		if r.Reached() != (test.want == "") {
			t.Errorf("%s: reached %v, %v", test.name, r.Reached(), r.Reasons)
			continue
		}
		if test.want == "" {
			continue
		}
		q := r.Reasons[0]
		q.Panel = ""
		if q.String() != test.want {
			t.Errorf("%s: %q, want %q", test.name, q, test.want)
		}
	}
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
		tool := opening(rapid.Float64Range(10, 80).Draw(t, "stroke"))
		s := newSearcher(sc, []Tool{tool}, Options{WayOff: true}.completed())
		l := s.lookAt(weld(), []int{0}, frameOf(weld()), 0)
		air, stands := s.standing(l, 0)
		if !stands {
			return
		}
		d := newDrawing(s.fan, shapeOf(tool), l.above, l.below)
		for k := range air {
			d.ask(k, air[k] > 0)
		}
		d.measure(l.View)
		for _, w := range waysOff(tool.Gun.Stroke) {
			copy(d.open, d.asked)
			d.try(l.View, w)
			for k := range d.open {
				if !d.asked[k] || d.open[k] {
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
func touchesAt(sc *axial.Scene, d *drawing, w way, k int, back float64) (r3.Vector, bool) {
	b, dir := d.bars, vec(d.fan.Cos[k], d.fan.Sin[k], 0)
	at := func(x, z float64) r3.Vector { return dir.Mul(x + back).Add(vec(0, 0, z)) }
	top, bottom := b.high+w.shift, -b.high+w.shift
	type bar struct {
		from, to r3.Vector
		radius   float64
	}
	slim := d.shank / 2 // the thickest round bar within the shank
	bars := []bar{
		{at(0, top), at(b.depth, top), b.radius}, {at(0, bottom), at(b.depth, bottom), b.radius}, {at(b.depth, bottom), at(b.depth, top),
			b.radius},
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

func TestClampInTheWay(t *testing.T) {
	// the clamp's body reaches to x = 10, the shank to x = 8; the bar above the tip passes over it
	flat := plates(15)
	clamp := Clamp("clamp C4", vec(30, 0, 0), vec(0, 0, 1), 20, ClampHeight)
	s := &axial.Scene{Panels: append(scene(flat...).Panels, clamp)}
	tool := Tool{gun(200, 200), round()}
	r := find(t, s, []Weld{weld()}, Options{WayOff: true}, tool)[0]
	if !r.Reached() {
		t.Fatalf("beside a clamp 2 mm from the shank: %v", r.Reasons)
	}
	if p := r.Poses[0]; !(math.Abs(p.Clearance-2) <= 20*0.009) {
		t.Errorf("%g mm of air beside the clamp, want 30 - 20 - 8, but for its corners", p.Clearance)
	}
	w := weld()
	w.Position.X = 5
	r = find(t, s, []Weld{w}, Options{WayOff: true}, tool)[0]
	if r.Reached() || r.Reasons[0].Panel != "clamp C4" {
		t.Errorf("3 mm nearer: %+v, %v", r.Poses, r.Reasons)
	}
	w.Absent = []int{2}
	if r = find(t, s, []Weld{w}, Options{WayOff: true}, tool)[0]; !r.Reached() {
		t.Errorf("with the clamp open: %v", r.Reasons)
	}
}
