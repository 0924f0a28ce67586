package reach

import (
	"math"
	"testing"

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
