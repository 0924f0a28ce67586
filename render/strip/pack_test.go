package strip

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// A piece that is too high for what the words on the first page leave, but not for a page, stands on the second: the first has the
// words alone.
func TestFirstPieceNeedsAWholePage(t *testing.T) {
	for _, half := range []float64{45, 60, 80} {
		plate := surface{name: "plate", length: 150, point: func(s float64) r3.Vector { return r3.Vector{X: s} },
			normal: func(float64) r3.Vector { return r3.Vector{Z: 1} }}
		sheets, err := Sheets(layout.NewIndex(planOf(flangeOf(plate, half), 1, 30)), "strip", Options{})
		if err != nil {
			t.Fatal(err)
		}
		pages, first := 1, 1
		if 2*half > roomHigh-leadHigh-above-around {
			pages, first = 2, 0
		}
		if len(sheets) != pages || sheets[0].Pieces != first || sheets[pages-1].Pieces != 1 || sheets[0].Crowded > 0 {
			t.Errorf("%.0f mm wide: %d pages, %d pieces on the first, %d on the last", 2*half, len(sheets), sheets[0].Pieces,
				sheets[len(sheets)-1].Pieces)
		}
	}
}
