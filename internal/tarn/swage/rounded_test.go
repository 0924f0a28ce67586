package swage

import (
	"math"
	"testing"
)

func TestRoundedPolygon(t *testing.T) {
	at, length := Rounded([]Corner{{100, 0, 20}, {100, 60, 20}, {0, 60, 20}, {0, 0, 20}})
	if want := 2*(100+60) - (8-2*math.Pi)*20; !(math.Abs(length-want) <= 1e-9) {
		t.Errorf("length %g, want %g", length, want)
	}
	// Round corners: at no place further out than the rectangle, and 20 mm round its corners' centres.
	for s := 0.0; s < length; s += 0.7 {
		x, y := at(s)
		if x < -1e-9 || x > 100+1e-9 || y < -1e-9 || y > 60+1e-9 {
			t.Fatalf("%g: (%g, %g)", s, x, y)
		}
		if x > 80 && y > 40 && !(math.Abs(math.Hypot(x-80, y-40)-20) <= 1e-9) {
			t.Fatalf("%g: (%g, %g) is not on the corner", s, x, y)
		}
	}
	x0, y0 := at(0)
	if x, y := at(length); math.Hypot(x-x0, y-y0) > 1e-9 {
		t.Errorf("does not close: (%g, %g)", x, y)
	}
}
