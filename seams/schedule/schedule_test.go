package schedule

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"seamwright/internal/record"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// published reads a copy of a published table by its column names.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, field := range line {
			row[all[0][i]] = field
		}
		rows = append(rows, row)
	}
	return rows
}

func figure(t *testing.T, row map[string]string, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

// match is one column: its name here, its name in the published file, and the exact factor between them.
type match struct {
	ours, theirs string
	factor       float64
}

// checkNodes compares every figure of every row; conversions are exact, so only the last bits may differ.
func checkNodes(t *testing.T, table string, rows []map[string]string, matches []match) {
	t.Helper()
	tab, err := Named(table)
	if err != nil {
		t.Fatal(err)
	}
	if len(tab.Thickness) != len(rows) || len(rows) == 0 {
		t.Fatalf("%s: %d rows, published %d", table, len(tab.Thickness), len(rows))
	}
	for _, row := range rows {
		x := figure(t, row, "thickness_in") * 25.4
		for _, m := range matches {
			if row[m.theirs] == "" {
				continue
			}
			want := figure(t, row, m.theirs) * m.factor
			got, outside := tab.At(m.ours, x)
			if outside || !(math.Abs(got-want) <= 1e-12*want) {
				t.Errorf("%s at %.3f mm: %s = %v (outside %v), published %v", table, x, m.ours, got, outside, want)
			}
		}
	}
}

const newton = 0.45359237 * 9.80665 // one pound-force, by definition

func TestOptimumScheduleReproducesEveryRow(t *testing.T) {
	checkNodes(t, "optimum", published(t, "spot-settings-low-carbon.csv"), []match{
		{"face", "face_diameter_max_in", 25.4}, {"body", "body_diameter_min_in", 25.4}, {"face_radius", "face_radius_in", 25.4},
		{"force", "force_lb", newton}, {"weld", "weld_cycles_60hz", 1. / 60}, {"hold", "hold_cycles_min", 1. / 60}, {"current", "current_a", 1},
		{"shear", "shear_strength_lb", newton}, {"nugget", "fused_zone_diameter_in", 25.4}, {"spacing", "min_spacing_in", 25.4},
		{"overlap", "min_contacting_overlap_in", 25.4}})
}

func TestClassAndPracticeTablesReproduceEveryRow(t *testing.T) {
	matches := []match{{"face", "electrode_face_d_in", 25.4}, {"body", "electrode_min_D_in", 25.4}, {"force", "force_lbf", newton},
		{"weld", "weld_time_cycles_60Hz", 1. / 60}, {"current", "current_kA", 1000}, {"overlap", "min_overlap_in", 25.4},
		{"spacing", "min_spacing_in", 25.4}, {"nugget", "nugget_in", 25.4}, {"shear", "min_shear_lbf", newton},
		{"shear_high", "min_shear_hi_lbf", newton}}
	families := map[string][]map[string]string{}
	for _, row := range append(published(t, "spot-settings-classes.csv"), published(t, "spot-settings-aws-c11.csv")...) {
		families[row["family"]] = append(families[row["family"]], row)
	}
	for table, family := range map[string]string{"class-a": "RWMA_class_A", "class-b": "RWMA_class_B", "class-c": "RWMA_class_C",
		"aws-c1.1": "AWS_C1.1"} {
		checkNodes(t, table, families[family], matches)
	}
}

func TestSeamTableReproducesEveryRow(t *testing.T) {
	rows := published(t, "seam-settings-low-carbon.csv")
	checkNodes(t, "seam", rows, []match{{"wheel", "wheel_width_in", 25.4}, {"force", "force_lbf", newton}, {"on", "on_cycles_60Hz", 1. / 60},
		{"off", "off_cycles_60Hz", 1. / 60}, {"speed", "speed_in_min", 25.4 / 60}, {"welds", "welds_per_inch_tab", 1 / 25.4},
		{"current", "current_kA", 1000}, {"overlap", "min_overlap_in", 25.4}})
	// The published welds per inch and those that follow from speed and cycles differ by 2 % at most, and by that much on one row.
	tab, _ := Named("seam")
	worst := 0.0
	for _, x := range tab.Thickness {
		on, _ := tab.At("on", x)
		off, _ := tab.At("off", x)
		speed, _ := tab.At("speed", x)
		welds, _ := tab.At("welds", x)
		worst = max(worst, math.Abs(1/(speed*(on+off))/welds-1))
	}
	if worst > 0.0205 || worst < 0.0195 {
		t.Errorf("welds per inch are out by %.4f at worst, published 0.020", worst)
	}
}

// Rounded millimetre and newton columns printed beside the inch ones agree to their last digit.
func TestMetricColumnsAgree(t *testing.T) {
	for _, row := range published(t, "seam-settings-low-carbon.csv") {
		if d := math.Abs(figure(t, row, "force_lbf")*PoundForce/1000 - figure(t, row, "force_kN")); d > 0.0051 {
			t.Errorf("force row %s: %g kN off", row["thickness_in"], d)
		}
		if d := math.Abs(figure(t, row, "thickness_in")*Inch - figure(t, row, "thickness_mm")); d > 0.00051 {
			t.Errorf("thickness row %s: %g mm off", row["thickness_in"], d)
		}
	}
}

func TestConversionsAreExact(t *testing.T) {
	if PoundForce != newton {
		t.Errorf("pound-force %v, by definition %v", PoundForce, newton)
	}
	if want := newton / (25.4 * 25.4) * 1000; !(math.Abs(Ksi-want) <= 1e-12) {
		t.Errorf("ksi %v, by definition %v", Ksi, want)
	}
}

// Between two rows every column stays between the two figures and goes one way.
func TestMonotoneBetweenRows(t *testing.T) {
	tables, err := all()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		tab := rapid.SampledFrom(tables).Draw(t, "table")
		var names []string
		for name := range tab.columns {
			names = append(names, name)
		}
		slices.Sort(names)
		c := tab.columns[rapid.SampledFrom(names).Draw(t, "column")]
		i := rapid.IntRange(0, len(c.x)-2).Draw(t, "row")
		a := rapid.Float64Range(c.x[i], c.x[i+1]).Draw(t, "a")
		b := rapid.Float64Range(a, c.x[i+1]).Draw(t, "b")
		name := ""
		for n, other := range tab.columns {
			if other == c {
				name = n
			}
		}
		va, _ := tab.At(name, a)
		vb, _ := tab.At(name, b)
		rise := c.y[i+1] - c.y[i]
		if (vb-va)*rise < -1e-12*math.Abs(c.y[i]*rise) {
			t.Fatalf("%s %s turns back between %v and %v: %v, %v", tab.Name, name, a, b, va, vb)
		}
		if rise == 0 && va != vb {
			t.Fatalf("%s %s leaves a level stretch: %v, %v", tab.Name, name, va, vb)
		}
	})
}

func TestOutsideTheTable(t *testing.T) {
	tab, err := Named("optimum")
	if err != nil {
		t.Fatal(err)
	}
	least, greatest := tab.Range()
	for _, c := range []struct {
		x       float64
		want    float64
		outside bool
	}{{least, 6.35, false}, {math.Nextafter(least, 0), 6.35, true}, {0, 6.35, true}, {-1, 6.35, true}, {math.Inf(-1), 6.35, true},
		{greatest, 38.1, false}, {math.Nextafter(greatest, 9), 38.1, true}, {math.Inf(1), 38.1, true}} {
		got, outside := tab.At("spacing", c.x)
		if !(math.Abs(got-c.want) <= 1e-12) || outside != c.outside {
			t.Errorf("spacing at %v: %v, outside %v", c.x, got, outside)
		}
	}
	for _, x := range []float64{math.NaN()} {
		if got, outside := tab.At("spacing", x); !math.IsNaN(got) || !outside {
			t.Errorf("spacing at %v: %v", x, got)
		}
	}
	if got, outside := tab.At("colour", 1); !math.IsNaN(got) || !outside {
		t.Errorf("a column that is not there: %v, %v", got, outside)
	}
	// The strength for 70 ksi steel is printed for the four thinnest rows only.
	c, _ := Named("aws-c1.1")
	if !c.Has("shear_high", 1.0) || c.Has("shear_high", 1.05) || c.Has("colour", 1) {
		t.Error("Has does not know where a column ends")
	}
}

func TestEveryTableNamesItsSource(t *testing.T) {
	tables, err := all()
	if err != nil {
		t.Fatal(err)
	}
	if len(tables) != 7 {
		t.Fatalf("%d tables", len(tables))
	}
	for _, tab := range tables {
		if tab.Title == "" || tab.Source == "" || tab.Note == "" || !slices.Contains([]string{"read", "memory", "common practice"},
			tab.Certainty) {
			t.Errorf("table %s: title %q, source %q, certainty %q, note %q", tab.Name, tab.Title, tab.Source, tab.Certainty, tab.Note)
		}
	}
	want := []string{"aws-c1.1", "class-a", "class-b", "class-c", "optimum"}
	if got := Names(Spot); !slices.Equal(got, want) {
		t.Errorf("spot tables %v", got)
	}
}

func TestTablesThatDoNotParse(t *testing.T) {
	said := record.Errors(t)
	for _, c := range []struct{ text, want string }{
		{"", "no line of column names"},
		{"thickness_mm,force_lbf\n1,2\n", "1 rows: two are needed"},
		{"thickness_mm,force_lbf\n1,2\n1,3\n", "row 2: thickness does not rise"},
		{"thickness_mm,force_stone\n1,2\n2,3\n", "column force_stone: unknown unit"},
		{"thickness_mm,force_lbf\n1,two\n2,3\n", "row 1, column force_lbf"},
		{"thickness_mm,force_lbf\n1,2\n2\n", "wrong number of fields"},
		{"thickness_mm,force_lbf\n1,2\n2,\n", "column force: two figures are needed"},
	} {
		_, err := parse("x", c.text)
		if err == nil || !said.Has(err, c.want) {
			t.Errorf("%q: %v, want %q", c.text, err, c.want)
		}
	}
	if _, err := Named("class-d"); err == nil || !strings.Contains(err.Error(), "class-a") {
		t.Errorf("an unknown table must list the known ones: %v", err)
	}
}

func ExampleTable_At() {
	table, err := Named("optimum")
	if err != nil {
		fmt.Println(err)
		return
	}
	spacing, outside := table.At("spacing", 0.9)
	fmt.Printf("%.1f mm, outside the table: %v, %s\n", spacing, outside, table.Certainty)
	// Output: 15.8 mm, outside the table: false, read
}
