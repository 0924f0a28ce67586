package labour_test

import (
	"testing"

	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/seams/shell"
)

// What a plan hangs on and what it does not.
func TestSamePlan(t *testing.T) {
	for name, test := range map[string]struct {
		change func(*shell.Shell)
		same   bool
	}{
		"nothing":      {func(*shell.Shell) {}, true},
		"batch":        {func(sh *shell.Shell) { sh.Batch = 7 }, true},
		"crew":         {func(sh *shell.Shell) { sh.Stations[0].Crew = 3 }, true},
		"preparation":  {func(sh *shell.Shell) { sh.Stations[0].Prepare, sh.Stations[1].Change = 1, 2 }, true},
		"rates":        {func(sh *shell.Shell) { sh.Rates.Labour = 1 }, true},
		"learning":     {func(sh *shell.Shell) { sh.Allowances.Learning = 0.8 }, true},
		"fitting":      {func(sh *shell.Shell) { sh.Elements.Fit = 1 }, true},
		"prices":       {func(sh *shell.Shell) { sh.Tips[0].Price, sh.Rollers[0].Price = 1, 1 }, true},
		"power":        {func(sh *shell.Shell) { sh.Guns[0].Power = 1 }, true},
		"spreads":      {func(sh *shell.Shell) { sh.Spreads = []shell.Spread{{ID: "gauge_s", Pct: 1}} }, true},
		"moving":       {func(sh *shell.Shell) { sh.Elements.MoveSpeed = 1 }, false}, // decides the order
		"posture":      {func(sh *shell.Shell) { sh.Elements.Posture = 1 }, false},
		"settings":     {func(sh *shell.Shell) { sh.Elements.SetChange = 1 }, false},
		"handing over": {func(sh *shell.Shell) { sh.Elements.HandOver = 1 }, false}, // the plan's stations hold it
		"jig's frame":  {func(sh *shell.Shell) { sh.Rates.JigBase = 1 }, false},
		"its fixtures": {func(sh *shell.Shell) { sh.Rates.JigFix = 1 }, false},
		"looking":      {func(sh *shell.Shell) { sh.Elements.InspectEvery = 1 }, false},
		"squeeze":      {func(sh *shell.Shell) { sh.Elements.Squeeze = 1 }, false}, // stands in the settings
		"pitch":        {func(sh *shell.Shell) { sh.Rules.LeastPitch = 20 }, false},
		"tip's length": {func(sh *shell.Shell) { sh.Tips[0].Length = 99 }, false},
		"joints":       {func(sh *shell.Shell) { sh.Joints = []shell.Joint{{ID: "j"}} }, false},
	} {
		sh := sample.Works()
		test.change(sh)
		if got := labour.SamePlan(sample.Works(), sh); got != test.same {
			t.Errorf("%s: %v", name, got)
		}
	}
}
