package laying

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout/spots"
)

// Two flanges of the same length carry a joint; on one a keep-out takes most of the line. What it cannot hold the other takes.
func TestLoadIsTakenByWhatHasRoom(t *testing.T) {
	blocked, free := lineOf("blocked", 0, 300, 15, 40, "a", "b"), lineOf("free", 0, 300, 15, 40, "a", "b")
	blocked.request.KeepOuts = []spots.KeepOut{{ID: "bracket", At: r3.Vector{X: 130}, Radius: 110}}
	own := []*line{&blocked, &free}
	got, err := raise(20, own)
	if err != nil || got != 20 {
		t.Fatalf("%d welds, %v", got, err)
	}
	if a, b := len(blocked.laid.Welds), len(free.laid.Welds); a < 3 || a > 6 || b != 20-a {
		t.Errorf("%d and %d welds", a, b)
	}
	most := len(blocked.laid.Welds) + 19
	if got, err = raise(100, own); err != nil || got != most {
		t.Errorf("%d welds of 100, %d fit; %v", got, most, err)
	}
}
