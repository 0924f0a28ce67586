package whatif_test

import (
	"bytes"
	"context"
	"reflect"
	"testing"

	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/layout/planfile"
	"seamwright/layout/quote"
	"seamwright/layout/whatif"
	"seamwright/seams/shell"
)

func works() *shell.Shell {
	sh := sample.Works()
	sh.Stations[2].Crew = 2
	return sh
}

// Reckoning anew gives what an estimate of the changed file gives, and leaves the plan alone.
func TestAgain(t *testing.T) {
	sh := works()
	p := sample.Cab(sh)
	first, err := whatif.Again(context.Background(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	before := *first
	other := works()
	other.Batch, other.Stations[2].Crew, other.Rates.Labour = 50, 4, 99
	second, err := whatif.Again(context.Background(), first, other)
	if err != nil {
		t.Fatal(err)
	}
	direct := sample.Cab(other)
	direct.Stations[2].Crew = 4
	if err := planfile.Round(direct); err != nil {
		t.Fatal(err)
	}
	work, cost, err := labour.Estimate(t.Context(), direct, other)
	if err != nil {
		t.Fatal(err)
	}
	direct.Labour, direct.Cost = work, cost
	if err = crews.ShareOut(context.Background(), direct, nil); err != nil {
		t.Fatal(err)
	}
	if err = quote.Settle(t.Context(), direct, other, quote.Options{Seed: quote.DefaultSeed}); err != nil {
		t.Fatal(err)
	}
	if direct.Flow, err = crews.Flow(direct, other.Batch, other.WeekHours()); err != nil {
		t.Fatal(err)
	}
	if direct.Cost.Paid, err = crews.Paid(context.Background(), direct, other); err != nil {
		t.Fatal(err)
	}
	if direct.Cost.Steel, _, err = buy.Of(direct, other); err != nil {
		t.Fatal(err)
	}
	if err := planfile.Round(direct); err != nil {
		t.Fatal(err)
	}
	work, cost = direct.Labour, direct.Cost
	if cost.Spread.ShellP80 <= cost.CostPerShell || reflect.DeepEqual(cost.Spread, first.Cost.Spread) {
		t.Errorf("range %+v", cost.Spread)
	}
	if !reflect.DeepEqual(second.Labour, work) || !reflect.DeepEqual(second.Cost, cost) {
		t.Errorf("%v a shell, want %v (%v)", second.Cost.CostPerShell, cost.CostPerShell, err)
	}
	if !reflect.DeepEqual(before, *first) || first.Stations[2].Crew != 2 || second.Shell.Batch != 50 {
		t.Error("the plan was changed")
	}
	other.Batch = 0
	if _, err := whatif.Again(context.Background(), first, other); err == nil {
		t.Error("no error for a batch of none")
	}
}

// A plan that was read back, so rounded, gives the figures that it holds.
func TestAgainUnchanged(t *testing.T) {
	sh := works()
	first, err := whatif.Again(context.Background(), sample.Cab(sh), sh)
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	first.Format = layout.Format
	if err := planfile.Write(&text, first); err != nil {
		t.Fatal(err)
	}
	read, err := planfile.Read(&text)
	if err != nil {
		t.Fatal(err)
	}
	second, err := whatif.Again(context.Background(), read, sh)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(first.Cost, second.Cost) || !reflect.DeepEqual(first.Labour, second.Labour) ||
		!reflect.DeepEqual(first.Flow, second.Flow) {
		t.Errorf("%v a shell, %v from the plan read back", first.Cost.CostPerShell, second.Cost.CostPerShell)
	}
}

func TestOf(t *testing.T) {
	sh := works()
	p, err := whatif.Again(context.Background(), sample.Cab(sh), sh)
	if err != nil {
		t.Fatal(err)
	}
	p.Findings = []layout.Finding{{Severity: layout.Broken}, {Severity: layout.Note}}
	v, err := whatif.Of(t.Context(), "as stated", p, sh, 1)
	if err != nil || v.Batch != 24 || v.Crew != 4 || v.CostPerShell != p.Cost.CostPerShell || v.P80PerShell <= v.CostPerShell ||
		v.Broken != 1 || v.Welds != 410 || v.Makespan != p.Flow.MakespanPrepared {
		t.Errorf("%+v (%v)", v, err)
	}
}
