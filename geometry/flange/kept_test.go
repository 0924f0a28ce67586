package flange

import (
	"testing"

	"github.com/golang/geo/r3"
)

// What is kept from a side is asked by what ends the flange there at most points, of as many the first.
func TestKeptByWhatEndsMostOfASide(t *testing.T) {
	for name, c := range map[string]struct {
		left []Edge
		want Edge
	}{
		"all alike":       {[]Edge{FreeEdge, FreeEdge}, FreeEdge},
		"most":            {[]Edge{FreeEdge, Bend, Bend}, Bend},
		"as many":         {[]Edge{FreeEdge, Bend}, FreeEdge},
		"by turns":        {[]Edge{Bend, FreeEdge, Bend, FreeEdge}, Bend},
		"later by one":    {[]Edge{Bend, FreeEdge, Bend, FreeEdge, FreeEdge}, FreeEdge},
		"earlier by one":  {[]Edge{Bend, Bend, Bend, FreeEdge, FreeEdge}, Bend},
		"three different": {[]Edge{GapOpens, Bend, FreeEdge}, GapOpens},
	} {
		var line []LinePoint
		for i, e := range c.left {
			line = append(line, LinePoint{Point: r3.Vector{X: float64(i)}, Across: r3.Vector{Y: 1}, LeftEdge: e, RightEdge: FreeEdge})
		}
		var asked []Edge
		fl := Flange{Line: line}
		left, right := fl.kept(line, func(e Edge, _ []int) float64 {
			asked = append(asked, e)
			return float64(len(asked))
		})
		if left != 1 || right != 2 || asked[0] != c.want || asked[1] != FreeEdge {
			t.Errorf("%s: %v, want %v", name, asked, c.want)
		}
	}
}
