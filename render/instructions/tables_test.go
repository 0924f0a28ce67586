package instructions

import (
	"slices"
	"strings"
	"testing"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/figure"
	"seamwright/render/view"
)

// tables are those of a station of a plan.
func tables(t *testing.T, plan *layout.Plan, panels []view.Panel) *Tables {
	t.Helper()
	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		t.Fatal(err)
	}
	return New(set)
}

// What is inspected follows from the plan's labour.
func TestInspection(t *testing.T) {
	plan, panels := sample.Plan()
	plan.Labour.Lines = []layout.Line{
		{Kind: layout.WorkInspect, Station: "st10", Quantity: 4}, {Kind: layout.WorkInspect, Station: "st10", Quantity: 2},
		{Kind: layout.WorkCoupon, Station: "st10", Quantity: 2}, {Kind: layout.WorkCoupon, Station: "st20", Quantity: 9},
	}
	in := tables(t, plan, panels)
	if got := words.List(in.here.Look); got != "8, 16, 24, 32, 40, 48" {
		t.Errorf("looked at %s", got)
	}
	if n := in.here.Coupons; n != 2 {
		t.Errorf("%g coupons", n)
	}
	var used []string
	for _, s := range in.here.Settings {
		used = append(used, s.ID)
	}
	if got := strings.Join(used, " "); got != "S1 S2 R1" {
		t.Errorf("settings %s", got)
	}
	var rows []string
	for _, r := range in.inspection().Rows {
		rows = append(rows, r[0]+" "+r[2])
	}
	if got := strings.Join(rows, "; "); got != "count 48; visual 6; visual 200 mm; peel 2 a shell; chisel as found" {
		t.Errorf("rows %s", got)
	}
	plan.Labour.Lines = nil
	for _, r := range tables(t, plan, panels).inspection().Rows {
		if (r[0] == "peel" || r[0] == "visual" && !strings.Contains(r[1], "seam")) && !strings.Contains(r[1], "as the works orders") {
			t.Errorf("no labour counts it, but the sheet says %v", r)
		}
	}
}

// The map has the dressings of shell 1 from the count that the station's card goes on with.
func TestTipsAsOnTheCard(t *testing.T) {
	plan, panels := sample.Plan()
	tip := slices.IndexFunc(plan.Tips, func(x layout.Tip) bool { return x.ID == "dome" })
	plan.Tips[tip].Dressings = 15
	for _, c := range []struct {
		every int
		want  string
	}{{0, "– – –"}, {10, "10 10, 20, 30 150"}, {31, "31 31 465"}, {5000, "5000 none 75000"}} {
		plan.Tips[tip].Dress = c.every
		b := tables(t, plan, panels).tips()
		k := slices.IndexFunc(b.Rows, func(r []string) bool { return r[1] == layout.NewIndex(plan).Tip("dome").Name })
		if got := strings.Join(b.Rows[k][4:], " "); got != c.want {
			t.Errorf("dressed every %d: %q, want %q (%s welds)", c.every, got, c.want, b.Rows[k][3])
		}
		if !strings.Contains(b.Note, "card") {
			t.Errorf("%q does not say where the other shells' are", b.Note)
		}
	}
}

// A finding's row has its value beside its limit, in the rule's unit; a waived one says by whom and why, not what to do.
func TestRowsOfFindings(t *testing.T) {
	in := &Tables{here: &layout.AtStation{Findings: []layout.Finding{
		{Rule: "edge.least", Severity: layout.Doubt, Where: "weld 3", Value: 4.5, Limit: 6, Unit: "mm", Remedy: "move it"},
		{Rule: "pitch.least", Severity: layout.Waived, Where: "weld 4", Value: 11, Limit: 12, Unit: "mm", Remedy: "leave it out",
			Name: "A. Welder", Reason: "peel tested"},
		{Rule: "panel.open", Severity: layout.Doubt, Where: "panel roof", Remedy: "close the mesh"},
	}}}
	want := [][]string{
		{"doubt", "edge.least", "weld 3", "4.5", "6 mm", "move it"},
		{"waived", "pitch.least", "weld 4", "11", "12 mm", "let stand by A. Welder: peel tested"},
		{"doubt", "panel.open", "panel roof", "", "", "close the mesh"},
	}
	for i, row := range in.findings().Rows {
		if !slices.Equal(row, want[i]) {
			t.Errorf("%q, want %q", row, want[i])
		}
	}
}
