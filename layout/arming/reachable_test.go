package arming

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/layout/joining"
)

// A clamp stands upright to the sheets where it closes: on a bent part each clamp leans its own way.
func TestClampAxis(t *testing.T) {
	line := func(axis r3.Vector, at ...r3.Vector) *joining.Strip {
		s := &joining.Strip{}
		for _, p := range at {
			s.Flange.Line = append(s.Flange.Line, flange.LinePoint{Point: p, Axis: axis})
		}
		s.Flange.Length = at[0].Distance(at[1])
		return s
	}
	strips := []*joining.Strip{
		line(r3.Vector{Z: 1}, r3.Vector{}, r3.Vector{X: 100}),
		line(r3.Vector{Y: -1}, r3.Vector{Y: 50, Z: 80}, r3.Vector{X: 100, Y: 50, Z: 80}),
	}
	for _, test := range []struct{ at, want r3.Vector }{
		{r3.Vector{X: 3, Y: 8}, r3.Vector{Z: 1}},
		{r3.Vector{X: 90, Y: 40, Z: 70}, r3.Vector{Y: -1}},
	} {
		if got := clampAxis(strips, test.at); got != test.want {
			t.Errorf("a clamp at %v stands along %v, want %v", test.at, got, test.want)
		}
	}
	if got := clampAxis(nil, r3.Vector{X: 1}); got != (r3.Vector{Z: 1}) {
		t.Errorf("without any flange %v", got)
	}
}
