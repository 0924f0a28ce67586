package finding_test

import (
	"fmt"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
)

func sample() *layout.Plan {
	return &layout.Plan{
		Panels: []layout.Panel{{ID: "roof", Box: [2]layout.Vec{{0, 0, 0}, {2, 4, 6}}}},
		Joints: []layout.Joint{{ID: "lap", Station: "jig", Panels: []string{"roof", "rail"}}, {ID: "bare", Station: "end",
			Panels: []string{"roof"}}},
		Flanges: []layout.Flange{
			{ID: "lap/1", Joint: "lap", Length: 10, Line: []layout.LinePoint{{At: layout.Vec{1}}, {At: layout.Vec{2}}, {At: layout.Vec{3}}}},
			{ID: "lap/2", Joint: "lap", Length: 30, Line: []layout.LinePoint{{At: layout.Vec{7}}, {At: layout.Vec{8}}, {At: layout.Vec{9}}}},
		},
		Welds: []layout.Weld{{Number: 4, Station: "jig", Flange: "lap/2", Position: layout.Vec{5, 5, 5}}},
	}
}

func TestSettleFillsIdsAndPlace(t *testing.T) {
	for _, c := range []struct {
		about finding.About
		want  finding.About
	}{
		{finding.About{Flange: "lap/1"}, finding.About{Station: "jig", Joint: "lap", Flange: "lap/1", At: layout.Vec{2}}},
		{finding.About{Joint: "lap"}, finding.About{Station: "jig", Joint: "lap", At: layout.Vec{8}}},
		{finding.About{Station: "jig", Weld: 4}, finding.About{Station: "jig", Joint: "lap", Flange: "lap/2", Weld: 4,
			At: layout.Vec{5, 5, 5}}},
		{finding.About{Joint: "bare"}, finding.About{Station: "end", Joint: "bare", At: layout.Vec{1, 2, 3}}},
		{finding.About{Panels: []string{"roof"}}, finding.About{At: layout.Vec{1, 2, 3}}},
		{finding.About{Flange: "lap/1", At: layout.Vec{0, 0, 9}}, finding.About{Station: "jig", Joint: "lap", Flange: "lap/1",
			At: layout.Vec{0, 0, 9}}},
		{finding.About{}, finding.About{}},
	} {
		p := sample()
		p.Findings = []layout.Finding{finding.By(rule.Book()).Of(rule.Problem{Rule: "joint.flange"}, c.about, "here")}
		finding.Settle(p)
		f := p.Findings[0]
		if f.Station != c.want.Station || f.Joint != c.want.Joint || f.Flange != c.want.Flange || f.Weld != c.want.Weld || f.At != c.want.At {
			t.Errorf("%+v gives %+v, want %+v", c.about, f, c.want)
		}
	}
}

func TestTheBookFillsIn(t *testing.T) {
	of := finding.By(rule.Book()).Of
	f := of(rule.Problem{Rule: "reach.tilt", Value: 6}, finding.About{}, "")
	if f.Limit != 8 || f.Unit != "degrees" || f.Severity != layout.Doubt || f.Remedy == "" ||
		f.Source != "common practice, no source: a panel is in the way of a gun held square (common practice)" {
		t.Errorf("%+v", f)
	}
	// What a problem says of itself goes before the book.
	own := rule.Problem{Rule: "reach.tilt", Value: 6, Limit: 5, Unit: "gon", Source: "the works", From: "a drawing"}
	if f := of(own, finding.About{}, ""); f.Limit != 5 || f.Unit != "gon" || f.From != "a drawing" ||
		!strings.HasPrefix(f.Source, "the works") {
		t.Errorf("%+v", f)
	}
	// What there is no figure of has no unit either.
	if f := of(rule.Problem{Rule: "reach.blocked"}, finding.About{}, ""); !f.Plain() || f.Severity != layout.Broken {
		t.Errorf("%+v", f)
	}
	// The book's severity counts, whoever says otherwise, and the works' remedy stands above the program's.
	book, err := rule.Book().With(rule.Rules{{ID: "strength.en.p1", Severity: rule.Broken, Remedy: "ask the works"}})
	if err != nil {
		t.Fatal(err)
	}
	f = finding.By(book).Of(rule.Problem{Rule: "strength.en.p1", Severity: rule.Doubt, Value: 9, Limit: 8, Unit: "mm", Source: "EN",
		Certainty: rule.Memory, Remedy: "move"}, finding.About{}, "")
	if f.Severity != layout.Broken || f.Remedy != "ask the works" || f.Source != "EN (memory)" {
		t.Errorf("%+v", f)
	}
	if f := of(rule.Problem{Rule: "pitch.lest", Severity: rule.Note}, finding.About{}, ""); f.Severity != layout.Broken || f.Source == "" {
		t.Errorf("a rule that the book does not have: %+v", f)
	}
}

func ExampleMaker_Of() {
	f := finding.By(rule.Book()).Of(rule.Problem{Rule: "reach.tilt", Value: 6}, finding.About{Flange: "roof/1"}, "flange roof/1: 3 welds")
	fmt.Println(f.Severity, f.Rule, f.Value, f.Limit, f.Unit)
	// Output: doubt reach.tilt 6 8 degrees
}
