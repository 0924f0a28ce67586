package compare

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
)

// sample is a plan of two joints: ten welds at 30 mm and a closed ring of eight.
func sample() *layout.Plan {
	p := &layout.Plan{Format: layout.Format, Shell: layout.Shell{Name: "cab", Revision: "A", Input: "1"}}
	p.Joints = []layout.Joint{{ID: "row", Panels: []string{"a", "b"}, Length: 300}, {ID: "ring", Panels: []string{"c", "d"}, Length: 240}}
	p.Settings = []layout.Setting{{ID: "S1", Stack: "0.9 + 1.2", Force: 2000, Current: 9000, Weld: 0.18}, {ID: "S2", Stack: "0.8 + 0.8",
		Force: 1800, Current: 8000, Weld: 0.16}}
	for i := range 10 {
		p.Welds = append(p.Welds, layout.Weld{Number: i + 1, Station: "jig", Joint: "row", Flange: "row/1",
			Position: layout.Vec{15 + 30*float64(i), 0, 0}, Sheets: []string{"a", "b"}, Gun: "A", Tip: "t", Setting: "S1", Step: "fill"})
	}
	for i := range 8 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 4)
		p.Welds = append(p.Welds, layout.Weld{Number: 11 + i, Station: "jig", Joint: "ring", Flange: "ring/1",
			Position: layout.Vec{500 + 38.2*cos, 38.2 * sin, 0}, Sheets: []string{"c", "d"}, Gun: "A", Tip: "t", Setting: "S2", Step: "fill"})
	}
	p.Seams = []layout.Seam{{ID: "r", Flange: "row/1", Length: 300, Time: 10}}
	p.Labour = layout.Labour{ManMinutesPerShell: 40, PrepareMinutes: 60, Stations: []layout.StationLabour{{Station: "jig", ManMinutes: 40}},
		Lines: []layout.Line{{What: "aim", Station: "jig", Total: 54}, {What: "aim", Station: "jig", Total: 30}, {What: "load", Total: 100}}}
	p.Cost = layout.Cost{Currency: "EUR", Batch: 24, CostPerShell: 80, CostPerBatch: 1920, Lines: []layout.Line{{What: "labour", Total: 70},
		{What: "tips", Total: 10}}}
	p.Findings = []layout.Finding{
		{Rule: "pitch.greatest", Severity: layout.Doubt, Where: "flange row/1: 41 mm", Joint: "row", Flange: "row/1", Value: 41, Limit: 38,
			At: layout.Vec{100}},
		{Rule: "pitch.greatest", Severity: layout.Doubt, Where: "flange row/1: 44 mm", Joint: "row", Flange: "row/1", Value: 44, Limit: 38,
			At: layout.Vec{200}},
		{Rule: "fit.apart", Severity: layout.Note, Where: "a and b"},
	}
	return p
}

func plans(t *testing.T, before, after *layout.Plan) *Report {
	t.Helper()
	r, err := Plans(before, after, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestAPlanAgainstItself(t *testing.T) {
	r := plans(t, sample(), sample())
	if r.Same != 18 || len(r.Added)+len(r.Gone)+len(r.Moved)+len(r.Changed)+r.Numbers+
		len(r.Joints)+len(r.Seams)+len(r.Stations)+len(r.Time)+len(r.Cost) != 0 {
		t.Errorf("%+v", r)
	}
	for _, f := range r.Figures {
		if f.Change != 0 {
			t.Errorf("%+v", f)
		}
	}
	if f := r.Findings; f.Same != 3 || len(f.New)+len(f.Mended)+len(f.Changed) != 0 {
		t.Errorf("%+v", f)
	}
	if !slices.Equal(r.Notes, []string{"both plans come from the same files"}) {
		t.Errorf("%v", r.Notes)
	}
}

// Numbers mean nothing: the same welds in another order are the same welds, renumbered.
func TestRenumbered(t *testing.T) {
	after := sample()
	for i := range after.Welds {
		after.Welds[i].Number = len(after.Welds) - i
	}
	slices.Reverse(after.Welds)
	r := plans(t, sample(), after)
	if r.Same != 18 || r.Numbers != 18 || len(r.Moved) != 0 {
		t.Errorf("same %d, renumbered %d, moved %d", r.Same, r.Numbers, len(r.Moved))
	}
}

func TestAddedGoneMovedChanged(t *testing.T) {
	after := sample()
	after.Shell.Input = "2"
	after.Welds[3].Position[0] += 4                  // moved
	after.Welds[7].Position[0] += 0.09               // rounding
	after.Welds[5].Gun, after.Welds[5].Tip = "B", "" // another gun
	after.Welds[12].Setting = "S9"                   // the same setting under another id
	after.Settings = append(after.Settings, layout.Setting{ID: "S9", Stack: "0.8 + 0.8", Force: 1800, Current: 8000, Weld: 0.16})
	after.Welds[0].Position[0] = 160 // one gone, one added
	r := plans(t, sample(), after)
	if len(r.Moved) != 1 || r.Moved[0].Old.Number != 4 || !(math.Abs(r.Moved[0].Distance-4) <= 1e-9) {
		t.Errorf("moved %+v", r.Moved)
	}
	if len(r.Changed) != 1 || r.Changed[0].What != "gun A to B, tip t to none" {
		t.Errorf("changed %+v", r.Changed)
	}
	if len(r.Gone) != 1 || r.Gone[0].Number != 1 || len(r.Added) != 1 || r.Added[0].At[0] != 160 {
		t.Errorf("gone %+v, added %+v", r.Gone, r.Added)
	}
	if r.Same != 15 || len(r.Joints) != 1 || r.Joints[0] != (Joint{Joint: "row", Was: "row", Old: 10, New: 10, Added: 1, Gone: 1, Moved: 1}) {
		t.Errorf("same %d, joints %+v", r.Same, r.Joints)
	}
	// Every old weld is gone, moved, changed or the same; every new one added or one of the others.
	if len(r.Gone)+len(r.Moved)+len(r.Changed)+r.Same != r.Old.Welds || len(r.Added)+len(r.Moved)+len(r.Changed)+r.Same != r.New.Welds {
		t.Error("sums do not close")
	}
}

// A row laid anew with another count: what is near counts as moved, the rest as added.
func TestAnotherCount(t *testing.T) {
	after := sample()
	after.Welds = after.Welds[10:]
	for i := range 12 {
		after.Welds = append(after.Welds, layout.Weld{Number: 100 + i, Station: "jig", Joint: "row", Flange: "row/1",
			Position: layout.Vec{15 + 270*float64(i)/11, 0, 0}, Sheets: []string{"a", "b"}, Gun: "A", Tip: "t", Setting: "S1", Step: "fill"})
	}
	r := plans(t, sample(), after)
	if len(r.Added)-len(r.Gone) != 2 || len(r.Gone) > 1 || r.Joints[0].New != 12 {
		t.Errorf("added %d, gone %d, %+v", len(r.Added), len(r.Gone), r.Joints)
	}
}

func TestJointsRenamedNewAndDropped(t *testing.T) {
	after := sample()
	after.Joints[1].ID = "lamp" // the same panels
	for i := range after.Welds {
		if after.Welds[i].Joint == "ring" {
			after.Welds[i].Joint = "lamp"
		}
	}
	after.Joints = append(after.Joints[1:], layout.Joint{ID: "new", Panels: []string{"e", "f"}})
	after.Welds = append(after.Welds[10:], layout.Weld{Number: 99, Joint: "new"})
	r := plans(t, sample(), after)
	if len(r.Gone) != 10 || len(r.Added) != 1 || r.Same != 8 || len(r.Joints) != 3 {
		t.Errorf("gone %d, added %d, same %d, %+v", len(r.Gone), len(r.Added), r.Same, r.Joints)
	}
	if !strings.Contains(strings.Join(r.Notes, ";"), "joint ring is called lamp now: the same panels") {
		t.Errorf("%v", r.Notes)
	}
}

func TestFigures(t *testing.T) {
	after := sample()
	after.Labour.ManMinutesPerShell, after.Cost.CostPerShell = 46, 91.5
	after.Labour.Stations = append(after.Labour.Stations, layout.StationLabour{Station: "second", ManMinutes: 6})
	after.Labour.Lines = []layout.Line{{What: "aim", Total: 444}, {What: "gauge", Total: 60}}
	after.Cost.Lines[1].Total = 21.5
	after.Seams[0].Length, after.Seams[0].Time = 350, 12
	after.Cost.Batch = 12
	r := plans(t, sample(), after)
	want := func(list []Difference, text string) {
		t.Helper()
		var got []string
		for _, d := range list {
			if d.Change != 0 {
				got = append(got, fmt.Sprintf("%s %+g %s", d.What, d.Change, d.Unit))
			}
		}
		if strings.Join(got, ", ") != text {
			t.Errorf("%q, want %q", strings.Join(got, ", "), text)
		}
	}
	want(r.Figures, "work on a shell +6 man-min, cost a shell +11.5 EUR")
	want(r.Stations, "second +6 man-min")
	want(r.Time, "aim +6 man-min, gauge +1 man-min, load -1.6667 man-min") // 84 s to 444 s; nothing to 60 s; 100 s to nothing
	want(r.Cost, "tips +11.5 EUR")
	if len(r.Seams) != 1 || r.Seams[0] != (Seam{"row/1", 300, 350, 10, 12}) {
		t.Errorf("%+v", r.Seams)
	}
	if !strings.Contains(strings.Join(r.Notes, ";"), "the batch went from 24 to 12") {
		t.Errorf("%v", r.Notes)
	}
	after.Cost.Currency, after.Shell.Name = "GBP", "van"
	r = plans(t, sample(), after)
	if len(r.Cost) != 0 || len(r.Figures) != 6 || !strings.Contains(strings.Join(r.Notes, ";"), "two currencies, EUR and GBP") ||
		!strings.Contains(r.Notes[0], "two shells: cab and van") {
		t.Errorf("%+v, %v", r.Cost, r.Notes)
	}
}

func TestFindings(t *testing.T) {
	after := sample()
	f := after.Findings
	f[0].Value, f[0].Where, f[0].At[0] = 52, "flange row/1: 52 mm", 190 // the one at 200 is worse; the one at 100 has gone
	after.Findings = []layout.Finding{f[0], f[2], {Rule: "edge.least", Severity: layout.Broken, Where: "x", Flange: "ring/1"}}
	r := plans(t, sample(), after)
	if c := r.Findings.Changed; len(c) != 1 || c[0].Old.Value != 44 || c[0].New.Value != 52 {
		t.Errorf("changed %+v", c)
	}
	if len(r.Findings.New) != 1 || r.Findings.New[0].Rule != "edge.least" || len(r.Findings.Mended) != 1 ||
		r.Findings.Mended[0].Value != 41 || r.Findings.Same != 1 {
		t.Errorf("%+v", r.Findings)
	}
	// A waiver changes the severity, not the finding.
	waived := sample()
	waived.Findings[0].Severity = layout.Waived
	if c := plans(t, sample(), waived).Findings; len(c.Changed) != 1 || len(c.New)+len(c.Mended) != 0 {
		t.Errorf("%+v", c)
	}
}

func TestRefusals(t *testing.T) {
	for _, o := range []Options{{Tolerance: -1}, {Reach: math.NaN()}, {Tolerance: math.Inf(1)}} {
		if _, err := Plans(sample(), sample(), o); err == nil {
			t.Errorf("%+v passed", o)
		}
	}
	r := plans(t, &layout.Plan{}, sample())
	if len(r.Added) != 18 || len(r.Gone) != 0 || len(r.Findings.New) != 3 {
		t.Errorf("%+v", r)
	}
}

// Lists are never null, and the same comparison gives the same bytes.
func TestJSON(t *testing.T) {
	text := func() string {
		r := plans(t, sample(), &layout.Plan{})
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if a := text(); a != text() || strings.Contains(a, "null") {
		t.Errorf("%s", a)
	}
}

func ExamplePlans() {
	before, after := sample(), sample()
	after.Welds = after.Welds[1:]
	after.Welds[0].Position[0] += 3
	r, err := Plans(before, after, Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d gone, %d moved, %d added\n", len(r.Gone), len(r.Moved), len(r.Added))
	// Output: 1 gone, 1 moved, 0 added
}
