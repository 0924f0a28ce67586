package main

import (
	"path/filepath"
	"strings"
	"testing"

	"seamwright/layout/compare"
)

func TestCompare(t *testing.T) {
	file := lapShell(t, "joints: [{id: lap, panels: [a, b]}]\n")
	dir := filepath.Dir(file)
	must(t, exitDone, "plan", file, "-o", filepath.Join(dir, "old"))
	must(t, exitDone, "plan", file, "-o", filepath.Join(dir, "new"), "--set", "joints.lap.count=13", "--set", "revision=B")
	before, after := filepath.Join(dir, "old", "plan.json"), filepath.Join(dir, "new", "plan.json")
	r := decode[compare.Report](t, must(t, exitDone, "compare", before, after, "--json"))
	if r.Old.Welds != 12 || r.New.Welds != 13 || len(r.Added)-len(r.Gone) != 1 || len(r.Moved) == 0 || r.New.Revision != "B" {
		t.Errorf("%d added, %d gone, %d moved; %+v, %+v", len(r.Added), len(r.Gone), len(r.Moved), r.Old, r.New)
	}
	for _, d := range r.Figures {
		if d.What == "spot welds" && d.Change != 1 || d.What == "cost a shell" && d.Change <= 0 {
			t.Errorf("%+v", d)
		}
	}
	text := must(t, exitDone, "compare", before, after)
	for _, want := range []string{"13 welds, 12 before", "added: main-jig weld", "moved: main-jig weld", "figures", "cost a shell",
		"findings: 0 new"} {
		if !strings.Contains(text, want) {
			t.Errorf("text lacks %q:\n%s", want, text)
		}
	}
	same := must(t, exitDone, "compare", before, before)
	if !strings.Contains(same, "0 added, 0 gone, 0 moved, 0 made otherwise, 12 the same") {
		t.Errorf("%s", same)
	}
}

func TestCompareWrongCalls(t *testing.T) {
	dir := t.TempDir()
	empty := put(t, dir, "empty.json", `{"format": 1}`)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"compare", empty}, "takes two plan.json files"},
		{[]string{"compare", empty, filepath.Join(dir, "gone.json")}, "gone.json: cannot be read"},
		{[]string{"compare", empty, put(t, dir, "bad.json", "{\n\"format\": 2,\n\"colour\": 2}")}, "bad.json: plan: line 3"},
		{[]string{"compare", put(t, dir, "later.json", `{"format": 3}`), empty}, "written by a newer seamwright"},
		{[]string{"compare", empty, empty, "--tolerance", "0"}, "--tolerance 0: write millimetres above zero"},
	} {
		code, out, errOut := call(t, c.args...)
		if code != exitInput || out != "" || !strings.Contains(errOut, c.want) || strings.Count(errOut, "\n") != 1 {
			t.Errorf("%v: %d, %q", c.args, code, errOut)
		}
	}
}

// A plan that an earlier program wrote is compared with one of today.
func TestCompareReadsFormat1(t *testing.T) {
	const before, now = "../../layout/testdata/format1.plan.json", "../../layout/testdata/sample.plan.json"
	code, out, errOut := call(t, "compare", before, now)
	if code != exitBroken || !strings.Contains(out, ": 0 added, 0 gone, 0 moved, 0 made otherwise, ") {
		t.Errorf("exit %d\n%s\n%s", code, out, errOut)
	}
}
