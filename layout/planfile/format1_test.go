package planfile_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"seamwright/layout/planfile"
)

// A plan that an earlier program wrote reads as the same plan in this format.
func TestFormat1IsRead(t *testing.T) {
	text, err := os.ReadFile("testdata/format1.plan.json")
	if err != nil {
		t.Fatal(err)
	}
	got, err := planfile.Read(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	want := samplePlan()
	want.Settings[0].Supply = ""
	want.Stations[0].GunCounts = nil
	want.Labour.Lines[0].Kind = ""
	if err := planfile.Round(want); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	spoilt := strings.Replace(string(text), `"weld_line"`, `"wild_line"`, 1)
	if _, err := planfile.Read(strings.NewReader(spoilt)); err == nil || !strings.Contains(err.Error(), "wild_line") {
		t.Errorf("an unknown member of format 1: %v", err)
	}
	spoilt = strings.Replace(string(text), `"left": [7,`, `"left": ["seven",`, 1)
	if _, err := planfile.Read(strings.NewReader(spoilt)); err == nil || !strings.Contains(err.Error(), "format 1") {
		t.Errorf("words for a number in format 1: %v", err)
	}
}
