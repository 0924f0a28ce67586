package steel_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"seamwright/seams/steel"
)

func ExampleFindGrade() {
	grade, ok := steel.FindGrade("dx54d+z100mb")
	fmt.Println(grade.Name, grade.Tensile, grade.Yield, ok)
	_, ok = steel.FindGrade("DX5D")
	fmt.Println(ok, steel.NearestGrade("DX5D+Z"))
	// Output:
	// DX54D+Z 260 120 true
	// false DX51D+Z
}

// rows reads a table of published figures, each line with its source and certainty.
func rows(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, name := range all[0] {
			m[name] = r[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	if text == "" {
		return 0
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Every grade agrees with the published table, and every row of the table is a grade.
func TestGradesAgainstTable(t *testing.T) {
	table := rows(t, "testdata/steel-grades.csv")
	if len(table) != len(steel.Grades()) {
		t.Errorf("%d grades, %d rows in the table", len(steel.Grades()), len(table))
	}
	for _, r := range table {
		g, ok := steel.FindGrade(r["grade"])
		if !ok {
			t.Errorf("%s is not known", r["grade"])
			continue
		}
		yield := number(t, r["Re_min_MPa"])
		if g.Name == "DX51D+Z" {
			yield = 140 // not in this table: EN 1993-1-3:2006 Table 3.1b, memory
		}
		got := [4]float64{g.Tensile, g.MaxTensile, g.Yield, g.MaxYield}
		want := [4]float64{number(t, r["Rm_min_MPa"]), number(t, r["Rm_max_MPa"]), yield, number(t, r["Re_max_MPa"])}
		if got != want {
			t.Errorf("%s: %v, want %v", g.Name, got, want)
		}
		if g.Number != r["number"] || g.Standard != r["standard"]+":"+r["edition"] {
			t.Errorf("%s: %s %s, want %s of %s:%s", g.Name, g.Number, g.Standard, r["number"], r["standard"], r["edition"])
		}
		if !strings.HasPrefix(r["certainty"], g.Certainty) || g.Source == "" {
			t.Errorf("%s: certainty %q, want %q", g.Name, g.Certainty, r["certainty"])
		}
	}
}

func TestFindGrade(t *testing.T) {
	for name, want := range map[string]string{
		"DC04": "DC04", "dc04": "DC04", " dc 04 ": "DC04", "1.0338": "DC04",
		"DX51D": "DX51D+Z", "DX51D+Z": "DX51D+Z", "dx51d+z275-n-a-c": "DX51D+Z", "DX54D+Z100MB": "DX54D+Z",
		"": "", "DC02": "", "DC04+Z": "", "DC04+ZE": "", "DX54D+ZF": "", "DX54D+AZ": "", "+Z": "",
	} {
		got, ok := steel.FindGrade(name)
		if got.Name != want || ok != (want != "") {
			t.Errorf("FindGrade(%q) = %q, %v; want %q", name, got.Name, ok, want)
		}
	}
}

func TestCoatingsAgainstTable(t *testing.T) {
	table := rows(t, "testdata/zinc-coatings.csv")
	if len(table) != len(steel.Coatings()) {
		t.Errorf("%d coatings, %d rows in the table", len(steel.Coatings()), len(table))
	}
	for _, r := range table {
		c, ok := steel.FindCoating(r["designation"])
		if !ok {
			t.Errorf("%s is not known", r["designation"])
			continue
		}
		if c.Mass != number(t, r["triple_spot_g_m2_both_sides"]) || c.SingleMass != number(t, r["single_spot_g_m2"]) ||
			c.PerSide != number(t, r["typical_um_EN10346"]) || fmt.Sprintf("%g-%g", c.Range[0], c.Range[1]) != r["range_um_EN10346"] {
			t.Errorf("%+v, want %v", c, r)
		}
		// An independent look at the same figure: half the mass over zinc's density of 7.14 g/cm³.
		if from := c.Mass / 2 / 7.14; !(math.Abs(from-c.PerSide) <= 0.75) {
			t.Errorf("%s: %g µm a side, but its mass gives %.1f µm", c.Designation, c.PerSide, from)
		}
	}
}

func TestFindCoating(t *testing.T) {
	for _, bare := range []string{"", "none", "NONE"} {
		if c, ok := steel.FindCoating(bare); !ok || c.PerSide != 0 {
			t.Errorf("FindCoating(%q) = %+v, %v; want a bare sheet", bare, c, ok)
		}
	}
	if c, ok := steel.FindCoating("z100"); !ok || c.PerSide != 7 {
		t.Errorf("z100: %+v, %v", c, ok)
	}
	for _, wrong := range []string{"Z", "Z101", "zinc", "Z1000"} {
		if c, ok := steel.FindCoating(wrong); ok {
			t.Errorf("FindCoating(%q) = %+v, want not known", wrong, c)
		}
	}
	if got := steel.NearestCoating("Z10O"); got != "Z100" {
		t.Errorf("nearest to Z10O is %q", got)
	}
}

// Coatings that are named by their own figures: zinc-iron by mass, electrolytic ones by tenths of a µm a side.
func TestCoatingsNamedByTheirFigures(t *testing.T) {
	for name, want := range map[string]float64{"ZE25/25": 2.5, "ze75/75": 7.5, "ZN30/30": 3, "ZE50/00": 5, "ZF100": 100 / 2 / 7.14,
		"zf140": 140 / 2 / 7.14} {
		c, ok := steel.FindCoating(name)
		if !ok || c.Designation != strings.ToUpper(name) || !(math.Abs(c.PerSide-want) <= 1e-12) || c.Source == "" || c.Certainty != "memory" {
			t.Errorf("%s: %+v, %v", name, c, ok)
		}
	}
	for _, wrong := range []string{"ZE", "ZE25", "ZE0/0", "ZF0", "ZF1000", "ZX25/25", "ZE25/25/25"} {
		if c, ok := steel.FindCoating(wrong); ok {
			t.Errorf("%s: %+v", wrong, c)
		}
	}
}
