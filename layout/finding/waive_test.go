package finding_test

import (
	"fmt"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

func TestWaivers(t *testing.T) {
	findings := []layout.Finding{
		{Rule: "edge.least", Severity: layout.Broken, Where: "flange a/1: …", Joint: "a", Flange: "a/1", Station: "jig", Weld: 4},
		{Rule: "edge.least", Severity: layout.Broken, Where: "flange a/2: …", Joint: "a", Flange: "a/2", Station: "jig"},
		{Rule: "edge.least", Severity: layout.Note, Where: "flange b/1: …", Joint: "b", Flange: "b/1"},
		{Rule: "reach", Severity: layout.Doubt, Where: "…", Joint: "b", Station: "jig", Weld: 3},
		{Rule: "fit", Severity: layout.Broken, Where: "roof and rail", Panels: []string{"roof", "rail"}, At: layout.Vec{1}},
		{Rule: "pitch", Severity: layout.Broken, Where: "…: …", Joint: "c", Flange: "c/1", Station: "end", Weld: 7,
			Also: []layout.Subject{{Station: "jig", Joint: "d", Flange: "d/1", Weld: 9}}},
	}
	waiver := func(rule, where string) shell.Waiver {
		return shell.Waiver{Rule: rule, Where: where, Reason: "tested", Name: "A. Fitter"}
	}
	for _, c := range []struct {
		waivers []shell.Waiver
		waived  string // which of the findings
		unused  int
	}{
		{[]shell.Waiver{waiver("edge.least", "a")}, "12", 0},
		{[]shell.Waiver{waiver("edge.least", "a/2")}, "2", 0},
		{[]shell.Waiver{waiver("edge.least", "jig:4")}, "1", 0},
		{[]shell.Waiver{waiver("edge.least", "jig:0")}, "", 1},
		{[]shell.Waiver{waiver("edge.least", "jig:5")}, "", 1},
		{[]shell.Waiver{waiver("edge.least", "")}, "12", 0},
		{[]shell.Waiver{waiver("edge.least", "b")}, "", 1}, // a note needs none
		{[]shell.Waiver{waiver("reach", "b")}, "4", 0},
		{[]shell.Waiver{waiver("reach", "bb")}, "", 1},
		{[]shell.Waiver{waiver("edge", "a")}, "", 1},
		{[]shell.Waiver{waiver("edge.least", "a"), waiver("edge.least", "a")}, "12", 1},
		{[]shell.Waiver{waiver("edge.least", "jig")}, "12", 0},
		{[]shell.Waiver{waiver("reach", "jig:3")}, "4", 0},
		{[]shell.Waiver{waiver("fit", "rail")}, "5", 0},
		{[]shell.Waiver{waiver("fit", "rai")}, "", 1},
		{[]shell.Waiver{waiver("pitch", "jig:9")}, "6", 0},
		{[]shell.Waiver{waiver("pitch", "d")}, "6", 0},
		{[]shell.Waiver{waiver("pitch", "end:9")}, "", 1},
		{nil, "", 0},
	} {
		out := finding.By(rule.Book()).Waive(findings, c.waivers)
		got, unused := "", 0
		for _, f := range out {
			if f.Rule == "waiver.unused" {
				unused++
				if f.Severity != layout.Note || !strings.Contains(f.Remedy, "A. Fitter") {
					t.Errorf("%+v", f)
				}
			}
			if f.Severity == layout.Waived {
				if f.Was == "" || f.Reason != "tested" || f.Name != "A. Fitter" {
					t.Errorf("%+v", f)
				}
				for i, x := range findings {
					if x.Where == f.Where {
						got += fmt.Sprint(i + 1)
					}
				}
			}
		}
		if got != c.waived || unused != c.unused || len(out) != len(findings)+c.unused {
			t.Errorf("%v: waived %q, unused %d, %d findings", c.waivers, got, unused, len(out))
		}
	}
	if findings[0].Severity != layout.Broken {
		t.Error("the findings given were changed")
	}
	out := finding.By(rule.Book()).Waive(findings, []shell.Waiver{waiver("edge.least", "elsewhere")})
	last := out[len(out)-1]
	if last.Rule != "waiver.unused" || !strings.Contains(last.Remedy, "but at jig:4: name that") {
		t.Errorf("%+v", last)
	}
}
