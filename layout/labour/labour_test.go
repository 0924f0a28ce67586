package labour_test

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"seamwright/internal/record"
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/seams/shell"
)

func estimated(t testing.TB, p *layout.Plan, sh *shell.Shell) (layout.Labour, layout.Cost) {
	t.Helper()
	work, cost, err := labour.Estimate(t.Context(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return work, cost
}

// Each quantity and each time reckoned by hand from tray and bench.
func TestLinesOfWork(t *testing.T) {
	work, _ := estimated(t, tray(), bench())
	tests := []struct {
		what, station, joint  string
		quantity, each, total float64
	}{
		{"load panels and sub-assemblies", "tray-jig", "", 2, 20, 40},
		{"carry them", "tray-jig", "", 10, 1, 10},
		{"carry them", "main", "", 15, 1, 15}, // the tray's two panels and the roof
		{"peg", "tray-jig", "", 2, 3, 6},
		{"clamp", "tray-jig", "", 4, 5, 20},
		{"release clamps", "main", "", 6, 2, 12},
		{"gauge", "tray-jig", "", 1, 60, 60},
		{"take guns and rollers", "tray-jig", "", 1, 15, 15},
		{"take guns and rollers", "main", "", 3, 15, 45}, // a, b, roller
		{"change tips", "main", "", 2, 45, 90},           // gun b: narrow to dome, and back for the next shell
		{"test coupons", "main", "", 3, 100, 300},
		{"lift out", "main", "", 1, 40, 40},
		{"position the gun", "tray-jig", "sill-pan", 20, 2, 40},
		{"move the gun", "tray-jig", "sill-pan", 0.95, 5, 4.75},
		{"squeeze", "tray-jig", "sill-pan", 20, 0.3, 6},
		{"squeeze", "main", "roof-pan", 10, 0.4, 4}, // the setting states none
		{"weld", "main", "roof-pan", 10, 0.25, 2.5},
		{"hold", "main", "roof-pan", 10, 0.15, 1.5},
		{"open", "main", "roof-pan", 10, 0.5, 5},
		{"weld again", "tray-jig", "sill-pan", 0.4, (40 + 4.75 + 6 + 4 + 2 + 10) / 20, 0.4 * 66.75 / 20},
		{"grip the gun for a run", "tray-jig", "sill-pan", 2, 12, 24},
		{"grip the gun for a run", "main", "roof-pan", 1, 12, 12},
		{"fit flanges together", "main", "roof-pan", 0.5, 50, 25}, // for its spots; not again for its seam
		{"dress tips", "tray-jig", "sill-pan", 20 * 1.02 / 50, 20, 8.16},
		{"change caps", "tray-jig", "sill-pan", 20 * 1.02 / 500, 90, 3.672},
		{"mark out", "tray-jig", "sill-pan", 1, 20, 20},
		{"inspect", "tray-jig", "sill-pan", 2, 5, 10},
		{"start the roller", "main", "roof-pan", 1, 30, 30},
		{"roll", "main", "roof-pan", 20, 1, 20},
		{"dress wheels", "main", "roof-pan", 0.05, 20, 1},
		{"change wheels", "main", "roof-pan", 0.0025, 600, 1.5},
	}
	for _, test := range tests {
		lines := find(work.Lines, test.what, test.station, test.joint)
		if len(lines) != 1 {
			t.Errorf("%s at %s %s: %d lines", test.what, test.station, test.joint, len(lines))
			continue
		}
		l := lines[0]
		if !(math.Abs(l.Quantity-test.quantity) <= 1e-9) || !(math.Abs(l.Each-test.each) <= 1e-9) || !(math.Abs(l.Total-test.total) <= 0.00301) {
			t.Errorf("got %s, want %v x %v = %v", show(l), test.quantity, test.each, test.total)
		}
	}
	if marked := find(work.Lines, "mark out", "main", "roof-pan"); len(marked) != 1 {
		t.Errorf("the roof's weld line is marked %d times, once for its spots", len(marked))
	}
	tips := find(work.Lines, "dress tips", "main", "roof-pan")
	if len(tips) != 2 || tips[0].From != "7 welds + 2 % again / 50 per dressing of tip dome" {
		t.Errorf("dressings by tip: %v", tips)
	}
}

// Twenty seconds of rolling and thirty of starting the roller, by hand: practice at 90 % over four shells is 0.81 on
// hand work (30 + 1 + 1.5 s), then 18 % allowances on it all.
func TestPracticeAndAllowances(t *testing.T) {
	work, _ := estimated(t, tray(), bench())
	hand := 30 + 1 + 1.5
	practice := hand * (0.81 - 1)
	allowances := (20 + hand + practice) * 0.18
	var got []float64
	for _, l := range work.Lines {
		if l.Joint == "roof-pan" && (l.What == "practice over the batch" || l.What == "allowances") {
			got = append(got, l.Total)
		}
	}
	if len(got) != 4 { // spots, then the seam
		t.Fatalf("got %v", got)
	}
	if !(math.Abs(got[2]-practice) <= 0.003) || !(math.Abs(got[3]-allowances) <= 0.003) {
		t.Errorf("practice %v and allowances %v, want %v and %v", got[2], got[3], practice, allowances)
	}
	if got, want := work.Stations[1].Roll, (20+hand+practice)*1.18/60; !(math.Abs(got-want) <= 2e-4) {
		t.Errorf("rolling takes %v min, want %v", got, want)
	}
}

// The ILO's example table of relaxation allowances (from memory): a man standing, awkward posture, 7.5 kg:
// 5 + 4 + 2 + 2 + 2 = 15 %; a woman: 7 + 4 + 4 + 3 + 3 = 21 %.
func TestAllowancesAddUp(t *testing.T) {
	tests := []struct {
		allowances shell.Allowances
		factor     float64
	}{
		{shell.Allowances{Personal: 5, Fatigue: 4, Posture: 2 + 2 + 2}, 1.15},
		{shell.Allowances{Personal: 7, Fatigue: 4, Posture: 4 + 3 + 3}, 1.21},
		{shell.Allowances{}, 1},
	}
	sh := bench()
	sh.Allowances = shell.Allowances{}
	bare, _ := estimated(t, tray(), sh)
	for _, test := range tests {
		sh.Allowances = test.allowances
		work, _ := estimated(t, tray(), sh)
		if got := work.ManMinutesPerShell / bare.ManMinutesPerShell; !(math.Abs(got-test.factor) <= 1e-4) {
			t.Errorf("%+v: %v times the bare work, want %v", test.allowances, got, test.factor)
		}
	}
}

func TestLinesOfMoney(t *testing.T) {
	work, cost := estimated(t, tray(), bench())
	tests := []struct {
		what, station, joint string
		quantity, each       float64
	}{
		{"labour", "tray-jig", "sill-pan", work.Joints[0].ManMinutes, 0.6},
		{"labour", "tray-jig", "", work.Stations[0].Handling, 0.6},
		{"caps", "tray-jig", "sill-pan", 20 * 1.02 / 500, 6},
		{"energy", "tray-jig", "sill-pan", 20 * (20 * 0.2 * 1.02) / 3600 * 0.6, 0.25}, // kVA x s / 3600 x share
		{"wheels", "main", "roof-pan", 0.0025, 80},
		{"jig preparation", "main", "", 90, 0.8},
		{"sheet for test coupons", "main", "", 3, 0.5},
		{"changeover", "main", "", 10, 0.6},
		{"water", "tray-jig", "sill-pan", work.Joints[0].ManMinutes * 5 / 1000, 3},
	}
	for _, test := range tests {
		lines := find(cost.Lines, test.what, test.station, test.joint)
		if len(lines) != 1 {
			t.Errorf("%s at %s %s: %d lines", test.what, test.station, test.joint, len(lines))
			continue
		}
		l := lines[0]
		if !(math.Abs(l.Quantity-test.quantity) <= 1e-9) || l.Each != test.each || !(math.Abs(l.Total-test.quantity*test.each) <= 5.1e-5) {
			t.Errorf("got %s, want %v x %v", show(l), test.quantity, test.each)
		}
	}
	energy := find(cost.Lines, "energy", "main", "roof-pan")
	if len(energy) != 3 { // guns a and b, roller
		t.Fatalf("energy lines %v", energy)
	}
	if want := 100 * (20 * 0.4) / 3600 * 0.6; !(math.Abs(energy[2].Quantity-want) <= 1e-9) || !strings.Contains(energy[2].From, "estimate") {
		t.Errorf("rolling takes %s, want %v kWh", show(energy[2]), want)
	}
	// With the voltage of the open tips it is the setting's current that counts, not the rating.
	sh := bench()
	plan := tray()
	sh.Guns[0].Voltage, plan.Settings[0].Current = 7, 9000
	_, cost7 := estimated(t, plan, sh)
	line := find(cost7.Lines, "energy", "tray-jig", "sill-pan")[0]
	if want := 20 * (7 * 9 * 0.2 * 1.02) / 3600 * 0.6; !(math.Abs(line.Quantity-want) <= 1e-9) ||
		!strings.Contains(line.From, "63 kVA (7 V at its open ends") {
		t.Errorf("%s, want %v kWh", show(line), want)
	}
	if cost.CostPerBatch != layout.Times(cost.CostPerShell, 4) || cost.Currency != "EUR" || cost.Batch != 4 {
		t.Errorf("cost %v, batch %v", cost.CostPerShell, cost.CostPerBatch)
	}
	if got, want := cost.MinutesPerShell, work.ManMinutesPerShell+(480.0+40)/4; !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("%v minutes a shell, want %v", got, want)
	}
}

func TestEstimateWritesTheMinutes(t *testing.T) {
	p := tray()
	work, _ := estimated(t, p, bench())
	if p.Stations[1].Minutes != work.Stations[1].ManMinutes/2 || p.Joints[0].Minutes != work.Joints[0].ManMinutes || p.Joints[2].Minutes != 0 {
		t.Errorf("stations %v, joints %v", p.Stations, p.Joints)
	}
	if first, second := p.Runs[0].Minutes, p.Runs[1].Minutes; !(math.Abs(first/second-(12+12*3.35)/(12+8*3.35)) <= 0.02) ||
		!(math.Abs(first+second-p.Joints[0].Minutes) <= 1e-9) {
		t.Errorf("runs of 12 and 8 welds of about 3.35 s, 12 s to start each, take %v and %v of %v", first, second, p.Joints[0].Minutes)
	}
}

func TestForBatchLeavesThePlanAlone(t *testing.T) {
	p, sh := tray(), bench()
	before, _ := estimated(t, p, sh)
	plan, file := *p, *sh
	plan.Runs = slices.Clone(p.Runs)
	work, cost, err := forBatch(p, sh, 64)
	if err != nil || cost.Batch != 64 || work.ManMinutesPerShell >= before.ManMinutesPerShell {
		t.Errorf("batch %d: %v minutes against %v (%v)", cost.Batch, work.ManMinutesPerShell, before.ManMinutesPerShell, err)
	}
	if !reflect.DeepEqual(*p, plan) || !reflect.DeepEqual(*sh, file) || p.Runs[0].Minutes != plan.Runs[0].Minutes {
		t.Error("the plan or the shell was changed")
	}
	again, money := estimated(t, p, sh)
	if !reflect.DeepEqual(again, before) || money.Batch != 4 {
		t.Error("a second estimate differs from the first")
	}
}

func TestSubassembliesRollUp(t *testing.T) {
	p := tray()
	work, _ := estimated(t, p, bench())
	if got, want := work.Subassemblies[0].ManMinutes, work.Stations[0].ManMinutes; got != want {
		t.Errorf("the tray takes %v, its jig %v", got, want)
	}
	body := work.Subassemblies[1]
	if !(math.Abs(body.ManMinutes-work.ManMinutesPerShell) <= 1e-9) || body.Welds != 30 || body.RollerMetre != 0.5 {
		t.Errorf("the body takes %+v, the shell %v", body, work.ManMinutesPerShell)
	}
	p.Subassemblies[0].Parts = []string{"body"} // a circle comes to an end
	estimated(t, p, bench())
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	tests := []struct {
		name   string
		change func(*layout.Plan, *shell.Shell)
		want   string
	}{
		{"no crew", func(p *layout.Plan, _ *shell.Shell) { p.Stations[1].Crew = 0 }, "station main: crew is 0"},
		{"no shells", func(_ *layout.Plan, sh *shell.Shell) { sh.Batch = 0 }, "batch is 0"},
		{"negative element", func(_ *layout.Plan, sh *shell.Shell) { sh.Elements.Clamp = -1 }, "elements: clamp_s is -1"},
		{"negative count", func(_ *layout.Plan, sh *shell.Shell) { sh.Elements.InspectEvery = -1 }, "elements: inspect_every"},
		{"element not a number", func(_ *layout.Plan, sh *shell.Shell) { sh.Elements.Gauge = math.NaN() }, "elements: gauge_s is NaN"},
		{"endless rate", func(_ *layout.Plan, sh *shell.Shell) { sh.Rates.Labour = math.Inf(1) }, "rates: labour_per_hour"},
		{"negative allowance", func(_ *layout.Plan, sh *shell.Shell) { sh.Allowances.Posture = -4 }, "allowances: posture_pct"},
		{"learning too fast", func(_ *layout.Plan, sh *shell.Shell) { sh.Allowances.Learning = 0.4 }, "learning is 0.4"},
		{"learning backwards", func(_ *layout.Plan, sh *shell.Shell) { sh.Allowances.Learning = 1.1 }, "learning is 1.1"},
		{"no speed", func(_ *layout.Plan, sh *shell.Shell) { sh.Elements.MoveSpeed = 0 }, "move_mm_per_s is 0"},
		{"negative price", func(_ *layout.Plan, sh *shell.Shell) { sh.Tips[0].Price = -1 }, "tips: dome"},
		{"negative power", func(_ *layout.Plan, sh *shell.Shell) { sh.Guns[0].Power = -1 }, "guns: a: power_kva"},
		{"negative wheel life", func(_ *layout.Plan, sh *shell.Shell) { sh.Rollers[0].Wheels = -1 }, "rollers: w"},
		{"negative preparation", func(_ *layout.Plan, sh *shell.Shell) { sh.Stations[0].Prepare = -1 }, "stations: tray-jig: prepare_min"},
		{"unknown station", func(p *layout.Plan, _ *shell.Shell) { p.Welds[3].Station = "attic" }, `weld 4 at station "attic"`},
		{"unknown joint", func(p *layout.Plan, _ *shell.Shell) { p.Welds[3].Joint = "x" }, `joint "x" is not known`},
		{"unknown setting", func(p *layout.Plan, _ *shell.Shell) { p.Welds[3].Setting = "S9" }, `setting "S9" is not known`},
		{"unknown gun", func(p *layout.Plan, _ *shell.Shell) { p.Welds[3].Gun = "z" }, `gun "z" is not known`},
		{"unknown tip", func(p *layout.Plan, _ *shell.Shell) { p.Welds[3].Tip = "z" }, `tip "z" is not known`},
		{"unknown roller", func(p *layout.Plan, _ *shell.Shell) { p.Seams[0].Roller = "z" }, `roller seam R1: roller "z"`},
		{"weld nowhere", func(p *layout.Plan, _ *shell.Shell) { p.Welds[3].Position[1] = math.NaN() }, "is no place"},
		{"seam not a number", func(p *layout.Plan, _ *shell.Shell) { p.Seams[0].Time = math.NaN() }, "roller seam R1"},
		{"negative weld time", func(p *layout.Plan, _ *shell.Shell) { p.Settings[0].Weld = -1 }, "setting S1"},
		{"negative mass", func(p *layout.Plan, _ *shell.Shell) { p.Panels[0].Mass = -1 }, "panel pan: mass"},
		{"flange without length", func(p *layout.Plan, _ *shell.Shell) { p.Flanges[0].Length = math.NaN() }, "flange F1"},
		{"more than can be counted", func(_ *layout.Plan, sh *shell.Shell) { sh.Elements.LiftOut = 1e300 }, "lift out: 1 lift"},
	}
	for _, test := range tests {
		p, sh := tray(), bench()
		test.change(p, sh)
		work, cost, err := labour.Estimate(t.Context(), p, sh)
		if err == nil || !said.Has(err, test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: got %v, want one line with %q", test.name, err, test.want)
		}
		if !reflect.DeepEqual(work, layout.Labour{}) || !reflect.DeepEqual(cost, layout.Cost{}) {
			t.Errorf("%s: figures beside an error", test.name)
		}
	}
}

// A weld that no gun reaches still takes its time; nothing is invented for its tip and setting.
func TestWeldWithoutGun(t *testing.T) {
	p := tray()
	p.Welds[0].Gun, p.Welds[0].Tip, p.Welds[0].Setting = "", "", ""
	work, _ := estimated(t, p, bench())
	if l := find(work.Lines, "position the gun", "tray-jig", "sill-pan"); l[0].Quantity != 20 {
		t.Errorf("positions %v", l)
	}
	if l := find(work.Lines, "dress tips", "tray-jig", "sill-pan"); l[0].Quantity != 19*1.02/50 {
		t.Errorf("dressings %v", l)
	}
}

func TestTipWithoutDressingIsSaid(t *testing.T) {
	sh := bench()
	sh.Tips[0].Dress = 0
	work, cost := estimated(t, tray(), sh)
	said := slices.ContainsFunc(work.Factors, func(f layout.Factor) bool { return strings.Contains(f.Name, "tip dome is neither dressed") })
	if !said || len(find(cost.Lines, "caps", "tray-jig", "sill-pan")) != 0 {
		t.Errorf("factors %v", work.Factors)
	}
}

func TestShellWithoutStatedStation(t *testing.T) {
	sh := bench()
	sh.Stations = nil
	sh.Rates.JigWork = 0
	work, cost := estimated(t, tray(), sh)
	if work.PrepareMinutes != 0 || len(find(cost.Lines, "jig preparation", "main", "")) != 0 {
		t.Errorf("preparation %v", work.PrepareMinutes)
	}
}

func TestJigWorkIsPaidAsLabourUnlessStated(t *testing.T) {
	sh := bench()
	sh.Rates.JigWork = 0
	_, cost := estimated(t, tray(), sh)
	if l := find(cost.Lines, "jig preparation", "main", ""); len(l) != 1 || l[0].Each != 0.6 {
		t.Errorf("got %v", l)
	}
}

func ExampleEstimate() {
	work, cost, err := labour.Estimate(context.Background(), tray(), bench())
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%d welds and %.1f m of seam: %.1f man-minutes a shell\n", work.Welds, work.RollerMetres, work.ManMinutesPerShell)
	fmt.Printf("batch of %d: %.2f %s a shell\n", cost.Batch, cost.CostPerShell, cost.Currency)
	for _, l := range find(work.Lines, "dress tips", "tray-jig", "sill-pan") {
		fmt.Printf("%s: %.3f %s x %v s = %.2f s (%s)\n", l.What, l.Quantity, l.Unit, l.Each, l.Total, l.From)
	}
	// Output:
	// 30 welds and 0.5 m of seam: 19.9 man-minutes a shell
	// batch of 4: 128.42 EUR a shell
	// dress tips: 0.408 dressing x 20 s = 8.16 s (20 welds + 2 % again / 50 per dressing of tip dome)
}

func BenchmarkEstimate(b *testing.B) {
	for _, welds := range []int{100, 1000, 4000, 10_000} {
		p, sh := tray(), bench()
		for i := len(p.Welds); i < welds; i++ {
			w := p.Welds[0]
			w.Number, w.Position = i+1, layout.Vec{float64(i) * 30, 0, 0}
			p.Welds = append(p.Welds, w)
		}
		b.Run(fmt.Sprintf("welds=%d", welds), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				estimated(b, p, sh)
			}
		})
	}
}
