package setting

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"seamwright/seams/rule"
)

// Every band of every coating adds what the published ranges say: the table that was read at second hand, row by row.
func TestZincByThicknessAndCoating(t *testing.T) {
	text, err := os.ReadFile("testdata/zinc-bs1140.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 40 {
		t.Fatal(len(rows), err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	middle := func(row []string, name string) float64 {
		a, errA := strconv.ParseFloat(row[column[name+"_min"]], 64)
		b, errB := strconv.ParseFloat(row[column[name+"_max"]], 64)
		if errA != nil || errB != nil {
			t.Fatal(row, errA, errB)
		}
		return (a + b) / 2
	}
	bare := map[string][]string{}
	for _, row := range rows[1:] {
		if row[1] == "uncoated high force" {
			bare[row[2]] = row
		}
	}
	coatings := map[string][]string{"hot-dip zinc": {"Z100"}, "electrolytic zinc": {"ZE25/25"}, "iron-zinc and zinc-nickel": {"ZF100",
		"ZN30/30"}}
	seen := 0
	for _, row := range rows[1:] {
		for _, coating := range coatings[row[1]] {
			thickness, _ := strconv.ParseFloat(row[column["t_to_mm"]], 64) // the band's own end
			plain, err := Spot(sheets(thickness, thickness), Options{})
			if err != nil {
				t.Fatal(err)
			}
			z, err := Spot(rule.Stack{{Thickness: thickness, Coating: coating}, {Thickness: thickness}}, Options{})
			if err != nil {
				t.Fatal(err)
			}
			b := bare[row[2]]
			for what, v := range map[string][2]float64{
				"current": {z.Current - plain.Current, 1000 * (middle(row, "current_kA") - middle(b, "current_kA"))},
				"weld":    {z.Weld - plain.Weld, (middle(row, "weld_time_cycles") - middle(b, "weld_time_cycles")) / 50},
				"force":   {z.Force / plain.Force, middle(row, "force_kN") / middle(b, "force_kN")},
			} {
				if !(math.Abs(v[0]-v[1]) <= 1e-9*math.Max(1, math.Abs(v[1]))) {
					t.Errorf("%s, %s to %g mm: %s %v, want %v", coating, row[2], thickness, what, v[0], v[1])
				}
			}
			if z.Certainty != rule.SecondHand || !strings.Contains(z.Source, "AWS C1.1") || !strings.Contains(z.Source, "BS 1140:1993 (replaced") {
				t.Errorf("%s: %s (%s)", coating, z.Source, z.Certainty)
			}
			seen++
		}
	}
	if seen != 32 { // eight bands of four
		t.Errorf("%d coatings and bands", seen)
	}
}

// Hot-dip zinc adds 1.5 kA up to 1.2 mm, then 3.5, 6, 8 and 9.5 kA; a stack with two coatings takes the one that asks for more.
func TestZincGrowsWithThickness(t *testing.T) {
	add := func(thickness float64, coatings ...string) float64 {
		var s rule.Stack
		for _, c := range coatings {
			s = append(s, rule.Sheet{Thickness: thickness, Coating: c})
		}
		z, err := Spot(s, Options{})
		if err != nil {
			t.Fatal(err)
		}
		plain, _ := Spot(s, Options{AsBare: true})
		return math.Round((z.Current-plain.Current)*1e6) / 1e9
	}
	for _, c := range [][2]float64{{0.4, 1.5}, {0.8, 1.5}, {1.2, 1.5}, {1.21, 3.5}, {1.6, 3.5}, {2.0, 6}, {2.5, 8}, {3.0, 9.5}} {
		if got := add(c[0], "Z100", "Z100"); got != c[1] {
			t.Errorf("%g mm: %g kA, want %g kA", c[0], got, c[1])
		}
	}
	if a, b := add(2, "ZE25/25", "Z100"), add(2, "Z100", "none"); a != b || a <= add(2, "ZE25/25", "none") {
		t.Errorf("two coatings %g kA, the stronger alone %g kA", a, b)
	}
}

// A figure made of several names them all, and is as sure as the least sure of them.
func TestMixedSettingsNameEverySource(t *testing.T) {
	a, err := Spot(sheets(1, 1), Options{Table: "class-a"})
	if err != nil || a.Certainty != rule.Memory || !strings.Contains(a.Source, "hold time: AWS C1.1") {
		t.Errorf("%s (%s), %v", a.Source, a.Certainty, err)
	}
	dc, err := Spot(rule.Stack{{Thickness: 1, Coating: "Z100"}, {Thickness: 1}}, Options{Supply: DC, Squeeze: 0.4})
	if err != nil || dc.Certainty != rule.SecondHand || !strings.Contains(dc.Source, "zinc: BS 1140:1993") ||
		!strings.Contains(dc.Source, "converted to direct current") {
		t.Errorf("%s (%s), %v", dc.Source, dc.Certainty, err)
	}
	if said := strings.Join(dc.Notes, " "); !strings.Contains(said, "Squeeze 0.4 s: the shell file's") || strings.Contains(said, "0.34") {
		t.Errorf("%s", said)
	}
}

// Low-carbon steel ends at 420 MPa for the settings.
func TestSettingsAreForLowCarbonSteel(t *testing.T) {
	for tensile, outside := range map[float64]bool{270: false, 420: false, 421: true} {
		s, err := Spot(rule.Stack{{Thickness: 1, Tensile: 270}, {Thickness: 1, Tensile: tensile}}, Options{})
		if err != nil || (len(s.Problems) == 1 && s.Problems[0].Rule == "setting.tensile.greatest") != outside {
			t.Errorf("%g MPa: %v, %v", tensile, s.Problems, err)
		}
	}
}
