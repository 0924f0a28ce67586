package rule

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func sheets(t ...float64) Stack {
	var s Stack
	for _, v := range t {
		s = append(s, Sheet{Thickness: v})
	}
	return s
}

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, within)
	}
}

// At 0.040 in (1.016 mm) the tables' own figures come back; the formulas are worked by hand.
func TestLimitsAtARowOfTheTable(t *testing.T) {
	l := For(sheets(1.016, 1.016), Options{})
	root := math.Sqrt(1.016)
	for _, c := range []struct {
		l    Limit
		rule string
		want float64
		cert Certainty
	}{
		{l.WeldDiameter, "weld.diameter", 5 * root, Memory},
		{l.LeastWeldDiameter, "weld.diameter.least", 4 * root, Memory},
		{l.LeastPitch, "pitch.least", 0.750 * 25.4, Read},
		{l.GreatestPitch, "pitch.wanted", 40, Practice},
		{l.PitchBound, "pitch.greatest", 40 * root, Memory},
		{l.EdgeDistance, "edge.least", 6.25 * root, Memory},
		{l.EndDistance, "end.least", 10 * root, Memory},
		{l.BendClearance, "bend.clearance", 2, Practice},
		{l.LeastOverlap, "overlap.least", 12.7, Read},
		{l.GreatestGap, "gap.greatest", 0.5, Practice},
		{l.TipFace, "tip.face", 5 * root, Memory},
		{l.TackEvery, "tack.every", 150, Practice},
	} {
		close(t, c.rule, c.l.Value, c.want, 1e-12*c.want)
		if c.l.Rule != c.rule || c.l.Certainty != c.cert || c.l.Source == "" || c.l.Unit != "mm" || c.l.From != FromDefault || c.l.Note != "" {
			t.Errorf("%s: %+v", c.rule, c.l)
		}
	}
}

func TestThreeSheetsWantThirtyPerCentMore(t *testing.T) {
	two := For(sheets(0.9, 1.2), Options{}).LeastPitch.Value
	three := For(sheets(0.9, 0.9, 1.2), Options{}).LeastPitch.Value
	close(t, "three over two", three/two, 1.3, 1e-12)
}

func TestThicknessesOfAStack(t *testing.T) {
	for _, c := range []struct {
		s                                      Stack
		governing, outside, thinnest, thickest float64
	}{
		{nil, 0, 0, 0, 0},
		{sheets(0.8), 0.8, 0.8, 0.8, 0.8},
		{sheets(0.9, 1.2), 0.9, 0.9, 0.9, 1.2},
		{sheets(1.2, 0.9), 0.9, 0.9, 0.9, 1.2},
		{sheets(0.7, 1.5, 1.5), 1.5, 0.7, 0.7, 1.5}, // thin sheet outside a thick pair: the two rules part
		{sheets(1.5, 0.7, 1.2), 1.2, 1.2, 0.7, 1.5},
		{sheets(1, 2, 3, 4), 3, 1, 1, 4},
	} {
		if c.s.Governing() != c.governing || c.s.Outside() != c.outside || c.s.Thinnest() != c.thinnest || c.s.Thickest() != c.thickest {
			t.Errorf("%v: governing %v outside %v thinnest %v thickest %v", c.s, c.s.Governing(), c.s.Outside(), c.s.Thinnest(), c.s.Thickest())
		}
	}
	if got := (Stack{{Thickness: 0.9}, {Thickness: 1.2, Coating: "Z100"},
		{Thickness: 1, Coating: "none"}}).String(); got != "0.9 + 1.2 Z100 + 1" {
		t.Errorf("named %q", got)
	}
}

func TestWantedPitchStaysBetween(t *testing.T) {
	thin := For(sheets(0.7, 0.7), Options{}) // 8 d_s = 33.5 mm is under the 40 mm wanted
	close(t, "cut to 8 d_s", thin.GreatestPitch.Value, 40*math.Sqrt(0.7), 1e-12)
	if thin.GreatestPitch.Rule != "pitch.greatest" || thin.GreatestPitch.Note == "" || thin.PitchBound.Note != "" {
		t.Errorf("%+v", thin.GreatestPitch)
	}
	thick := For(sheets(3, 3, 3), Options{}) // 1.3 x the table's spacing is above 40 mm
	if thick.GreatestPitch.Value != thick.LeastPitch.Value || thick.LeastPitch.Value <= 40 || thick.GreatestPitch.Note == "" {
		t.Errorf("thick: least %v, greatest %+v", thick.LeastPitch.Value, thick.GreatestPitch)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := sheets(rapid.SliceOfN(rapid.Float64Range(0.1, 6), 2, 4).Draw(t, "t")...)
		l := For(s, Options{})
		if l.GreatestPitch.Value < l.LeastPitch.Value || len(CheckLimits(l)) > 0 && l.LeastPitch.Value <= l.PitchBound.Value {
			t.Fatalf("%v: least %v, greatest %v, bound %v", s, l.LeastPitch.Value, l.GreatestPitch.Value, l.PitchBound.Value)
		}
		for _, v := range []Limit{l.WeldDiameter, l.LeastPitch, l.EdgeDistance, l.GreatestGap, l.TipFace} {
			if !(v.Value > 0) || v.Source == "" {
				t.Fatalf("%v: %+v", s, v)
			}
		}
		if l.LeastWeldDiameter.Value >= l.WeldDiameter.Value {
			t.Fatal("least weld above the one aimed at")
		}
	})
}

// Thicker sheet never allows a smaller pitch, edge distance or weld.
func TestLimitsGrowWithThickness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0.2, 3.5).Draw(t, "a")
		b := rapid.Float64Range(a, 3.5).Draw(t, "b")
		la, lb := For(sheets(a, a), Options{}), For(sheets(b, b), Options{})
		for _, p := range [][2]Limit{{la.LeastPitch, lb.LeastPitch}, {la.EdgeDistance, lb.EdgeDistance}, {la.WeldDiameter, lb.WeldDiameter},
			{la.LeastOverlap, lb.LeastOverlap}, {la.GreatestGap, lb.GreatestGap}} {
			if p[0].Value > p[1].Value+1e-12 {
				t.Fatalf("%s: %v at %v mm, %v at %v mm", p[0].Rule, p[0].Value, a, p[1].Value, b)
			}
		}
	})
}

func TestStatedFiguresStandAbove(t *testing.T) {
	opt := Options{LeastPitch: 12, GreatestPitch: 60, EdgeDistance: 7, EndDistance: 8, BendClearance: 3, TackEvery: 90, GapLimit: 0.8}
	l := For(sheets(1, 1), opt)
	for _, c := range []struct {
		l    Limit
		want float64
	}{{l.LeastPitch, 12}, {l.GreatestPitch, 60}, {l.EdgeDistance, 7}, {l.EndDistance, 8}, {l.BendClearance, 3}, {l.TackEvery, 90},
		{l.GreatestGap, 0.8}} {
		if c.l.Value != c.want || c.l.Certainty != Stated || c.l.From != FromShell || c.l.Unit != "mm" {
			t.Errorf("%+v, stated %v", c.l, c.want)
		}
	}
	found := CheckLimits(l)
	if len(found) != 1 || found[0].Rule != "pitch.greatest" || found[0].Limit != 40 {
		t.Errorf("60 mm is beyond 8 d_s: %v", found)
	}
	clash := CheckLimits(For(sheets(1, 1), Options{GreatestPitch: 10}))
	if len(clash) != 1 || clash[0].Severity != Broken || clash[0].Rule != "pitch.least" {
		t.Errorf("a greatest pitch below the least: %v", clash)
	}
	for _, v := range []float64{-1, math.NaN(), math.Inf(1)} {
		if got := For(sheets(1, 1), Options{EdgeDistance: v}).EdgeDistance; got.From != FromDefault {
			t.Errorf("%v was taken: %+v", v, got)
		}
	}
}

func TestBadStacksSaySo(t *testing.T) {
	for _, s := range []Stack{nil, {}, sheets(0, 1), sheets(-1, 1), sheets(math.NaN(), 1), sheets(math.Inf(1), 1)} {
		l := For(s, Options{})
		if l.LeastPitch.Value != 0 || l.LeastPitch.Note == "" || l.WeldDiameter.Note == "" {
			t.Errorf("%v: %+v", s, l.LeastPitch)
		}
		found := CheckBy(nil, s)
		if len(found) != 1 || found[0].Rule != "stack.input" || found[0].Severity != Broken {
			t.Errorf("%v: %v", s, found)
		}
	}
	if note := For(sheets(0.2, 0.2), Options{}).LeastPitch.Note; !strings.Contains(note, "outside the table") {
		t.Errorf("outside the table: %q", note)
	}
}

func names(found []Problem) string {
	var n []string
	for _, p := range found {
		n = append(n, string(p.Severity)+" "+p.Rule)
	}
	return strings.Join(n, ", ")
}

// Each bound just kept and just broken.
func TestCheckOnBothSidesOfEachBound(t *testing.T) {
	strong := func(f float64) Stack { return Stack{{Thickness: 1, Tensile: f}, {Thickness: 1}} }
	coated := func(c string) Stack { return Stack{{Thickness: 1, Coating: c}, {Thickness: 1}} }
	for _, c := range []struct {
		s    Stack
		want string
	}{
		{sheets(0.9, 1.2), ""},
		{sheets(1), "broken stack.sheets.least"},
		{sheets(1, 1, 1), ""},
		{sheets(1, 1, 1, 1), "broken stack.sheets.greatest"},
		{sheets(0.8, 2.4), ""},
		{sheets(0.8, 2.41), "broken stack.ratio.greatest, broken stack.pileup.greatest"},
		{sheets(1, 1.5, 1.5), ""}, // exactly 4 T
		{sheets(1, 1.5, 1.51), "broken stack.pileup.greatest"},
		{sheets(1.5, 0.6, 1.5), ""}, // T is the thinner outside sheet
		{sheets(0.4, 0.4), ""},
		{sheets(0.39, 0.39), "doubt stack.sheet.least"},
		{sheets(3, 3, 3), ""}, // 9 mm
		{sheets(3, 3.01, 3), "doubt stack.total.greatest, doubt stack.sheet.greatest"},
		{sheets(3.01, 3.01), "doubt stack.sheet.greatest"},
		{strong(620), ""},
		{strong(621), "doubt stack.tensile.greatest"},
		{coated("Z100"), "note coating.zinc"},
		{coated("ZE25/25"), "note coating.zinc"},
		{coated("AS120"), ""},
		{coated("paint"), "doubt coating.unknown"},
		{sheets(0.1+0.2, 0.9, 0.3), "broken stack.pileup.greatest, doubt stack.sheet.least"},
	} {
		found := CheckBy(nil, c.s)
		if got := names(found); got != c.want {
			t.Errorf("%v: %q, want %q", c.s, got, c.want)
		}
		for _, p := range found {
			if p.Source == "" || p.Remedy == "" || strings.Contains(p.String(), "\n") {
				t.Errorf("%v: %+v", c.s, p)
			}
		}
	}
	if p := CheckBy(nil, sheets(0.8, 2.8))[0]; !(math.Abs(p.Value-3.5) <= 1e-12) || p.Limit != 3 || p.Certainty != Read {
		t.Errorf("%+v", p)
	}
}

func TestCoatings(t *testing.T) {
	f, err := os.Open("testdata/zinc-coatings.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 9 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		c, ok := ParseCoating(row[0])
		mass, _ := strconv.ParseFloat(row[1], 64)
		micron, _ := strconv.ParseFloat(row[3], 64)
		if !ok || c.Kind != HotDipZinc || c.Mass != mass || !(math.Abs(c.Micron-micron) <= 0.0501) {
			t.Errorf("%s: %+v", row[0], c)
		}
	}
	for name, want := range map[string]Coating{"": {Kind: Bare}, "None": {Kind: Bare}, " zf100 ": {ZincIron, 100, 100.0 / 2 / 7.14},
		"+Z275":   {HotDipZinc, 275, 275.0 / 2 / 7.14},
		"ZE25/25": {ElectroZinc, 0, 2.5}, "AZ150": {AluminiumZinc, 150, 0}, "ZM120": {ZincMagnesium, 120, 0}} {
		if got, ok := ParseCoating(name); !ok || got.Kind != want.Kind || got.Mass != want.Mass || !(math.Abs(got.Micron-want.Micron) <= 1e-12) {
			t.Errorf("%q: %+v, %v", name, got, ok)
		}
	}
	for _, name := range []string{"Z", "Z1", "Z10000", "chrome", "Z100x", "ZE/25"} {
		if got, ok := ParseCoating(name); ok || got.Kind != UnknownCoating {
			t.Errorf("%q: %+v", name, got)
		}
	}
}

// Published sources disagree; this holds by how much, for the report to show both.
func TestSourcesDisagreeByThisMuch(t *testing.T) {
	at := func(id string, s Stack) map[string]float64 {
		all, err := Book().Sources(id, s, Given{})
		if err != nil {
			t.Fatal(err)
		}
		r, _ := Book().Find(id)
		values := map[string]float64{r.Use: all[0].Value}
		i := 1
		for _, src := range r.Sources {
			if src.ID != r.Use {
				values[src.ID] = all[i].Value
				i++
			}
		}
		return values
	}
	pitch := at("pitch.least", sheets(1.2, 1.2))
	close(t, "repair manual at 1.2 mm", pitch["repair"], 20, 1e-12)
	close(t, "table over repair manual at 1.2 mm", pitch["optimum"]/pitch["repair"], 1.075, 0.005)
	close(t, "design guide, never under 13 mm", at("pitch.least", sheets(0.9, 0.9))["ten-t"], 13, 1e-12)
	close(t, "3 d_s at 1.2 mm", pitch["en-1993"], 15*math.Sqrt(1.2), 1e-12)
	size := at("weld.diameter.least", sheets(1, 1))
	if size["aws-d8.1"] != 4 || size["iso-14373"] != 3.5 || size["bs-1140"] != 5 {
		t.Errorf("least weld diameter %v", size)
	}
	thick := at("pitch.least", sheets(1.981, 1.981)) // 0.078 in: two printings of one table, 1.125 and 1.25 in
	close(t, "two printings at 0.078 in", thick["aws-c1.1"]/thick["optimum"], 1.25/1.125, 0.001)
}

func TestTheBookIsWhole(t *testing.T) {
	book := Book()
	if len(book) < 30 {
		t.Fatalf("%d rules", len(book))
	}
	if err := book.validate(); err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, r := range book {
		if r.Title == "" || r.Sentence == "" || r.From != FromDefault || !strings.HasSuffix(r.Sentence, ".") {
			t.Errorf("%s: title %q, sentence %q", r.ID, r.Title, r.Sentence)
		}
		if r.Severity != "" && r.Remedy == "" {
			t.Errorf("%s can be broken but names no remedy", r.ID)
		}
		for _, s := range r.Sources {
			if s.Certainty == Practice != strings.Contains(s.Source, "common practice") {
				t.Errorf("%s, %s: certainty %q beside %q", r.ID, s.ID, s.Certainty, s.Source)
			}
		}
		ids = append(ids, r.ID)
	}
	slices.Sort(ids)
	if n := len(slices.Compact(ids)); n != len(book) {
		t.Errorf("%d ids for %d rules", n, len(book))
	}
	book[0].Sources[0].Factor = 99
	if Book()[0].Sources[0].Factor == 99 {
		t.Error("a caller changed the default book")
	}
}

func TestExplain(t *testing.T) {
	lines, err := Explain(sheets(0.9, 1.2), Options{EdgeDistance: 7})
	if err != nil || len(lines) != len(Book()) {
		t.Fatalf("%d lines, %v", len(lines), err)
	}
	for _, l := range lines {
		switch l.Rule.ID {
		case "edge.least":
			if l.InForce.From != FromShell || l.InForce.Value != 7 || len(l.Others) != 2 {
				t.Errorf("edge: %+v", l)
			}
		case "weld.diameter.least":
			close(t, "spread", l.Spread, 5/3.5, 1e-12)
		}
	}
	if _, err := Explain(nil, Options{}); err == nil {
		t.Error("an empty stack was explained")
	}
}

func TestJudgeNeverPassesSilently(t *testing.T) {
	if p, ok := Book().Judge("pitch.lest", sheets(1, 1), 5); ok || p.Severity != Doubt {
		t.Errorf("a rule that is not there: %+v", p)
	}
	if _, ok := Book().Judge("edge.least", sheets(1, 1), math.NaN()); ok {
		t.Error("not a number passed")
	}
	if _, ok := Book().Judge("gap.greatest", sheets(1, 1), math.NaN()); ok {
		t.Error("not a number passed")
	}
}

func ExampleFor() {
	l := For(Stack{{Thickness: 0.9}, {Thickness: 1.2}}, Options{EdgeDistance: 7})
	for _, v := range []Limit{l.WeldDiameter, l.LeastPitch, l.EdgeDistance} {
		fmt.Printf("%s %.1f %s (%s)\n", v.Rule, v.Value, v.Unit, v.Certainty)
	}
	// Output:
	// weld.diameter 4.7 mm (memory)
	// pitch.least 15.8 mm (read)
	// edge.least 7.0 mm (stated)
}

func ExampleCheck() {
	for _, p := range CheckBy(nil, Stack{{Thickness: 0.7}, {Thickness: 2.5}}) {
		fmt.Printf("%s: %s: %.2f %s, at most %.2f\n", p.Severity, p.Rule, p.Value, p.Unit, p.Limit)
	}
	// Output:
	// broken: stack.ratio.greatest: 3.57 times, at most 3.00
	// broken: stack.pileup.greatest: 3.20 mm, at most 2.80
}

func BenchmarkFor(b *testing.B) {
	s := sheets(0.9, 1.2, 0.8)
	b.ReportAllocs()
	for b.Loop() {
		For(s, Options{})
	}
}

// A gun that may be off by 1.5 mm counts once from an edge or end and twice between rows; what is least grows, what is greatest
// shrinks, and nothing else changes.
func TestToleranceOfGuns(t *testing.T) {
	const off = 1.5
	stack := sheets(1, 1)
	for id, times := range map[string]float64{"edge.least": 1, "end.least": 1, "edge.greatest": -1, "end.greatest": -1, "row.least": 2,
		"row.staggered.least": 2, "row.greatest": -2, "pitch.least": 0, "bend.clearance": 0, "overlap.least": 0} {
		l, err := Book().Evaluate(id, stack)
		if err != nil {
			t.Fatal(err)
		}
		got := l.Off(off)
		close(t, id, got.Value, l.Value+times*off, 1e-12)
		words := map[float64]string{1: ", and 1.5 mm that", 2: ", and 3 mm that", -1: ", less 1.5 mm that", -2: ", less 3 mm that"}[times]
		if said := strings.TrimPrefix(got.Source, l.Source); !strings.HasPrefix(said, words) || (said == "") != (times == 0) ||
			got.Certainty != l.Certainty {
			t.Errorf("%s: %+v", id, got)
		}
		for _, none := range []float64{0, -1, math.NaN(), math.Inf(1)} {
			if l.Off(none) != l {
				t.Errorf("%s off by %g: %+v", id, none, l.Off(none))
			}
		}
		if far := l.Off(1e6).Value; times < 0 && far != 0 {
			t.Errorf("%s off by a kilometre: %g", id, far)
		}
	}
	plain, wide := For(stack, Options{}), For(stack, Options{Tolerance: off, EndDistance: 11})
	close(t, "edge", wide.EdgeDistance.Value, plain.EdgeDistance.Value+off, 1e-12)
	close(t, "a stated end", wide.EndDistance.Value, 11+off, 1e-12)
	close(t, "pitch", wide.LeastPitch.Value, plain.LeastPitch.Value, 0)
}
