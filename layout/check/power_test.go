package check

import (
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
)

// A roller head is held to its current and its rating too.
func TestRollerHeads(t *testing.T) {
	r := on(strap.New(t).Rolled(100))
	r.Shell.Rollers[0].Power, r.Shell.Rollers[0].Current, r.Shell.Rollers[0].Voltage = 20, 9000, 6
	report := r.evaluate()
	if f := r.One(report, "gun.current.least"); f.Severity != layout.Broken {
		t.Errorf("%s", strap.Words(f))
	}
	if f := r.One(report, "gun.duty.greatest"); f.Severity != layout.Doubt || f.Unit != "% of the time" {
		t.Errorf("%s", strap.Words(f))
	}
	r.Shell.Rollers[0].Power, r.Shell.Rollers[0].Current = 170, 30000
	for _, f := range r.evaluate().Findings {
		if strings.HasPrefix(f.Rule, "gun.") {
			t.Errorf("%s", strap.Words(f))
		}
	}
	r = on(strap.New(t).Rolled(100))
	r.Shell.Rollers[0].Power, r.Shell.Rollers[0].Current, r.Shell.Rollers[0].Voltage = 60, 20000, 2
	if f := r.One(r.evaluate(), "gun.short.least"); f.Value != 40 || f.Limit != 60 {
		t.Errorf("%s", strap.Words(f))
	}
}
