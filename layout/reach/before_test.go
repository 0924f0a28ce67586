package reach

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// What a searcher remembers of the welds before changes nothing: neither air nor ways off, nor which panel a reason names.
func TestWeldsBeforeChangeNothing(t *testing.T) {
	panels, welds, tools := cab(3000, 48)
	for i := range tools {
		tools[i].Gun.Stroke = 20
	}
	opt := Options{WayOff: true, WhyNot: true, Tilt: 8, Workers: 1}
	every := make([]int, len(welds))
	alone := make([]Result, len(welds))
	reasons := 0
	for i, w := range welds {
		every[i] = i
		alone[i] = find(t, panels, []Weld{w}, opt, tools...)[0]
		reasons += len(alone[i].Reasons)
	}
	if reasons == 0 {
		t.Fatal("no tool is kept from any weld: the test says nothing about reasons")
	}
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.Permutation(every).Draw(t, "order")[:12]
		var asked []Weld
		for _, i := range order {
			asked = append(asked, welds[i])
		}
		for k, r := range find(t, panels, asked, opt, tools...) {
			if diff := cmp.Diff(alone[order[k]], r); diff != "" {
				t.Fatalf("weld %d: %s", order[k], diff)
			}
		}
	})
}
