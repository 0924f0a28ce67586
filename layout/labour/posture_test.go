package labour_test

import (
	"math"
	"strings"
	"testing"

	"seamwright/layout"
)

// A run costs a change of posture when its first weld lies much higher or has its axis turned, whichever way that points;
// welds within a run never do, and the station's first run always does.
func TestPosture(t *testing.T) {
	for _, c := range []struct {
		name string
		rise float64
		axis layout.Vec
		want float64 // changes at the tray jig's two runs
	}{
		{"the same", 0, layout.Vec{0, 0, 1}, 1},
		{"the other way round", 0, layout.Vec{0, 0, -1}, 1},
		{"turned by 29 degrees", 0, layout.Vec{math.Sin(29 * math.Pi / 180), 0, math.Cos(29 * math.Pi / 180)}, 1},
		{"turned by 31 degrees", 0, layout.Vec{0, math.Sin(31 * math.Pi / 180), -math.Cos(31 * math.Pi / 180)}, 2},
		{"400 mm higher", 400, layout.Vec{0, 0, 1}, 1},
		{"401 mm lower", -401, layout.Vec{0, 0, 1}, 2},
	} {
		p, sh := tray(), bench()
		sh.Elements.Posture = 7
		for i := range p.Welds {
			p.Welds[i].Axis = layout.Vec{0, 0, 1}
			if p.Welds[i].Run == 2 {
				p.Welds[i].Axis = c.axis
				p.Welds[i].Position[2] = c.rise
			}
		}
		work, _ := estimated(t, p, sh)
		lines := find(work.Lines, "change posture", "tray-jig", "sill-pan")
		if len(lines) != 1 || lines[0].Quantity != c.want || lines[0].Each != 7 {
			t.Errorf("%s: %+v, want %g", c.name, lines, c.want)
		}
		if !strings.Contains(lines[0].From, "turned by more than 30 degrees, or lies more than 400 mm higher or lower") {
			t.Errorf("%s: %s", c.name, lines[0].From)
		}
		if sum := p.Runs[0].Minutes + p.Runs[1].Minutes; !(math.Abs(sum-p.Joints[0].Minutes) <= 1e-9) {
			t.Errorf("%s: runs of %v min, the joint of %v", c.name, sum, p.Joints[0].Minutes)
		}
	}
}
