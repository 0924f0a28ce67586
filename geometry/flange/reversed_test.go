package flange

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/centreline"
	"seamwright/geometry/contact"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
)

// Where the stack runs against the normal that it was found with, the axis turns over, and with it left and right.
func TestReversedStackSwapsItsSides(t *testing.T) {
	f, r := &onHost{Host: &stackup.Host{}}, &contact.Lap{Region: &region.Region{}}
	sec := centreline.Section{Along: r3.Vector{X: 1}, Normal: r3.Vector{Z: 1}, Left: region.Trace{Length: 8}, Right: region.Trace{Length: 14}}
	for _, test := range []struct {
		reversed            bool
		left, right, offset float64
		axis                r3.Vector
	}{
		{false, 8, 14, 0.5, r3.Vector{Z: 1}},
		{true, 14, 8, -0.5, r3.Vector{Z: -1}},
	} {
		p := f.linePoint(r, sec, stackup.Verdict{Offset: 0.5}, test.reversed)
		if p.Left != test.left || p.Right != test.right || p.Offset != test.offset || p.Axis != test.axis {
			t.Errorf("reversed %v: left %v, right %v, offset %v, axis %v; want %+v", test.reversed, p.Left, p.Right, p.Offset, p.Axis, test)
		}
		if want := (r3.Vector{Z: 0.5}); p.Point != want {
			t.Errorf("reversed %v: the line lies at %v, want %v", test.reversed, p.Point, want)
		}
	}
}
