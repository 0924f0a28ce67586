package check

import (
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
)

// What is said of the place where a rule that is kept comes nearest names no fault: of a face that is wide enough not that it is
// narrower than the strap.Nugget, and of a shell that is joined not that it has no weld.
func TestKeptRulesNameNoFault(t *testing.T) {
	power := func(s *sample) { s.Shell.Rollers[0].Power, s.Shell.Rollers[0].Voltage = 200, 5.2 }
	keptOut := on(strap.New(t)) // its second weld 2.3 mm from an opening, by its face nearer than by itself
	x := strap.Start + strap.Pitch + d/2 + 2.3
	keptOut.Shell.Tips[0].Face = 9
	keptOut.Plan.Panels = []layout.Panel{{ID: "roof",
		KeepOuts: []layout.Outline{{Closed: true, Points: []layout.Vec{{x, -20, 0.5}, {x + 10, -20, 0.5}, {x + 10, 20, 0.5}, {x, 20, 0.5}}}}}}
	seam := on(strap.New(t).Rolled(100))
	power(seam)
	for _, c := range []struct {
		s    *sample
		rule string
		want string
	}{
		{on(strap.New(t)), "tip.weld.least", "joint strap): its face of 5 mm"},
		{on(strap.New(t)), "tip.nugget.least", "joint strap): its face of 5 mm"},
		{on(strap.New(t)), "tip.face.worn.greatest", "joint strap): its fresh face of 5 mm"},
		{on(strap.New(t)), "shell.joined", ": 10 welds and roller seams"},
		{keptOut, "keep.clear.least", "the electrode face of weld 2 is 0.2 mm clear of keep-out of roof"},
		{seam, "gun.duty.greatest", "kVA drawn with current on"},
	} {
		if j := strap.Judged(t, c.s.evaluate(), c.rule); j.Kept != j.Places || !strings.HasSuffix(j.Where, c.want) {
			t.Errorf("%+v, want …%s", j, c.want)
		}
	}
}
