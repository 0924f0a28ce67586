package rule

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// permutations of a stack, by Heap's exchange of the last with each before it.
func permutations(s Stack) []Stack {
	if len(s) < 2 {
		return []Stack{append(Stack{}, s...)}
	}
	var out []Stack
	for i := range s {
		rest := append(append(Stack{}, s[:i]...), s[i+1:]...)
		for _, p := range permutations(rest) {
			out = append(out, append(Stack{s[i]}, p...))
		}
	}
	return out
}

// The distances, widths and faces of a stack do not change when the same sheets are turned over or exchanged, and they agree
// with each other: a fresh face makes the least weld, the least distances hold at the widest interface by EN 1993-1-3's own
// d_s = 5 root t, the greatest at the narrowest.
func TestEveryOrderOfTheSameSheetsReadsAlike(t *testing.T) {
	thicknesses := []float64{0.6, 0.8, 1.0, 1.5, 3.0}
	try := func(t testing.TB, stack Stack) {
		t.Helper()
		want := For(stack, Options{})
		for _, p := range permutations(stack) {
			got := For(p, Options{})
			if !reflect.DeepEqual(got, want) {
				t.Fatalf("%s reads otherwise than %s: %+v, %+v", p, stack, got, want)
			}
			if got.TipFace.Value < got.LeastWeldDiameter.Value {
				t.Fatalf("%s: a face of %v mm for a least weld of %v mm", p, got.TipFace.Value, got.LeastWeldDiameter.Value)
			}
			widest, narrowest := 5*math.Sqrt(p.Governing()), 5*math.Sqrt(p.Thinnest())
			for id, limit := range map[string]float64{"row.least": 3 * widest, "row.greatest": 6 * narrowest, "end.least": 2 * widest,
				"end.greatest": 6 * narrowest, "edge.greatest": 4 * narrowest, "pitch.greatest": 8 * narrowest,
				"pitch.across.greatest": 6 * narrowest} {
				l, err := Book().Evaluate(id, p)
				if err != nil || !(math.Abs(l.Value-limit) <= 1e-9) || !strings.HasPrefix(l.Source, "EN 1993-1-3:2006") {
					t.Fatalf("%s: %s is %v, want %v by EN 1993-1-3: %s, %v", p, id, l.Value, limit, l.Source, err)
				}
			}
		}
	}
	for i, a := range thicknesses {
		for k, b := range thicknesses[i:] {
			try(t, sheets(a, b))
			for _, c := range thicknesses[i+k:] {
				try(t, sheets(a, b, c))
			}
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		try(t, sheets(rapid.SliceOfN(rapid.SampledFrom(thicknesses), 4, 4).Draw(r, "t")...))
	})
}

// 0.7 + 1.5 + 1.5: the thick pair's spacing, not the thin sheet's, whichever way round it lies: 24.7 mm and 30 % for three.
func TestLeastPitchOfAThinOutsideSheet(t *testing.T) {
	for _, p := range permutations(sheets(0.7, 1.5, 1.5)) {
		if l := For(p, Options{}).LeastPitch; !(math.Abs(l.Value-32.1) <= 0.05) {
			t.Errorf("%s: %v mm", p, l.Value)
		}
	}
}

func pressed(yield ...float64) Stack {
	var s Stack
	for _, y := range yield {
		s = append(s, Sheet{Thickness: 1, Yield: y})
	}
	return s
}

// Johnson's parabola by hand, 1.0 mm of f_y = 140: up to 70 MPa elastic, s = root(2.878634617 x 210000 / 70) = 92.93 mm; at
// 105 MPa eta = 4 x 0.75 x 0.25 = 0.75, s = root(0.75 x 2.878634617 x 210000 / 105) = 65.71 mm; at 140 MPa and above none.
func TestBucklingEndsAtTheYieldStress(t *testing.T) {
	for _, c := range []struct {
		stack        Stack
		stress, want float64
		note         string
	}{
		{pressed(140, 140), 70, 92.929, ""},
		{pressed(140, 140), 105, 65.711, "inelastic"},
		{pressed(140, 140), 140, 0, "no pitch holds"},
		{pressed(140, 140), 2000, 0, "no pitch holds"},
		{pressed(140, 280), 105, 65.711, "inelastic"}, // the weaker of the two outside sheets
		{pressed(280, 140), 105, 65.711, "inelastic"},
		{pressed(280, 140, 280), 105, 75.877, ""}, // the one inside does not buckle
		{pressed(0, 0), 105, 75.877, "not known"},
	} {
		l, err := Book().EvaluateGiven("pitch.buckling.greatest", c.stack, Given{Compression: c.stress})
		if err != nil || !(math.Abs(l.Value-c.want) <= 0.001) || !strings.Contains(l.Note, c.note) || c.note == "" && l.Note != "" {
			t.Errorf("%v MPa in %v: %v mm (%s), %v; want %v", c.stress, c.stack, l.Value, l.Note, err, c.want)
		}
		if l.Certainty != Memory || !strings.Contains(l.Source, "Johnson") {
			t.Errorf("%s (%s)", l.Source, l.Certainty)
		}
	}
	// The parabola meets Euler's curve at half the yield stress, and never lies above it.
	rapid.Check(t, func(t *rapid.T) {
		yield, stress := rapid.Float64Range(100, 700).Draw(t, "yield"), rapid.Float64Range(1, 699).Draw(t, "stress")
		got, _ := Book().EvaluateGiven("pitch.buckling.greatest", pressed(yield, yield), Given{Compression: stress})
		elastic, _ := Book().EvaluateGiven("pitch.buckling.greatest", pressed(0, 0), Given{Compression: stress})
		if got.Value > elastic.Value*(1+1e-12) || stress <= yield/2 && got.Value != elastic.Value || stress >= yield && got.Value != 0 {
			t.Fatalf("f_y %v, %v MPa: %v mm, elastic %v mm", yield, stress, got.Value, elastic.Value)
		}
	})
}

// A load across the row cuts the greatest pitch, and with it what the planner aims at: 6 d_s, 26.8 mm for 0.8 mm sheet.
func TestPitchUnderALoadAcrossTheRow(t *testing.T) {
	along, across := For(sheets(0.8, 0.8), Options{}), For(sheets(0.8, 0.8), Options{Across: true})
	close(t, "along", along.PitchBound.Value, 40*math.Sqrt(0.8), 1e-9)
	close(t, "across", across.PitchBound.Value, 26.8328, 1e-4)
	if along.GreatestPitch.Value <= across.GreatestPitch.Value || across.GreatestPitch.Rule != "pitch.across.greatest" {
		t.Errorf("the aim: %+v, across %+v", along.GreatestPitch, across.GreatestPitch)
	}
}

func TestWeakestCertainty(t *testing.T) {
	for _, c := range []struct {
		all  []Certainty
		want Certainty
	}{{nil, ""}, {[]Certainty{Read, Memory}, Memory}, {[]Certainty{Memory, Read}, Memory}, {[]Certainty{Read, SecondHand, Stated}, SecondHand},
		{[]Certainty{Practice, Memory, Calculated}, Practice}, {[]Certainty{Read, Calculated}, Calculated}} {
		if got := Weakest(c.all...); got != c.want {
			t.Errorf("%v: %q, want %q", c.all, got, c.want)
		}
	}
}

// A source that was withdrawn or replaced says so, and none is called read that cannot be named.
func TestSourcesSayTheirStanding(t *testing.T) {
	for _, r := range Book() {
		for _, s := range r.Sources {
			for _, old := range []string{"BS 1140", "EN 1993-1-3:2006", "ISO 14373:2006", "AWS C1.1-66"} {
				if strings.Contains(s.Source, old) && !strings.Contains(s.Source, "replaced") {
					t.Errorf("%s, %s: %s was replaced: %s", r.ID, s.ID, old, s.Source)
				}
			}
			named := s.Certainty == Read && strings.Contains(s.Source, "title not")
			if named || strings.Contains(s.Source, "title was not kept") && s.Certainty != Practice {
				t.Errorf("%s, %s: %s (%s)", r.ID, s.ID, s.Source, s.Certainty)
			}
		}
	}
}
