package rule

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var pair = Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 270}}

// Worked by hand: edge 1.25 x 5 root 0.9 = 5.929, half a face of 5 = 2.5, clearance 2.
func TestWidthAddsUp(t *testing.T) {
	l, err := Book().EvaluateGiven("flange.width.least", pair, Given{Face: 5})
	if err != nil || !(math.Abs(l.Value-(1.25*5*math.Sqrt(0.9)+2.5+2)) <= 1e-12) {
		t.Errorf("%v, %v", l, err)
	}
	own, err := Book().Evaluate("flange.width.least", pair)
	if err != nil || !(math.Abs(own.Value-(1.25*5*math.Sqrt(0.9)+2.5*math.Sqrt(0.9)+2)) <= 1e-12) || !strings.Contains(own.Note,
		"face of 4.743 mm") {
		t.Errorf("without a face: %v, %v", own, err)
	}
}

// Anchors calculated from the published forms, c = 3.5: the stress at which a sheet of t mm buckles at a pitch of s mm. Turned
// round, that stress gives back the pitch.
func TestBucklingAnchors(t *testing.T) {
	for _, c := range []struct {
		t, s, modulus float64
		by            string
		stress        float64
	}{
		{0.9, 25, 205e3, "column", 764.8}, {0.9, 40, 205e3, "column", 298.7}, {1.2, 50, 205e3, "column", 339.9},
		{1.0, 30, 210e3, "column", 671.7}, {1.0, 40, 210e3, "column", 377.8}, {1.0, 50, 210e3, "column", 241.8},
		{0.8, 40, 210e3, "column", 241.8}, {0.8, 50, 210e3, "column", 154.8},
		{1.0, 30, 210e3, "plate", 738.1}, {1.0, 40, 210e3, "plate", 415.2}, {1.0, 50, 210e3, "plate", 265.7}, {0.8, 50, 210e3, "plate", 170.1},
		// s/t at which buckling meets the yield strength.
		{1, 65.7, 210e3, "column", 140}, {1, 53.7, 210e3, "column", 210}, {1, 46.5, 210e3, "column", 280},
		{1, 44.2, 203e3, "aisi", 140}, {1, 36.1, 203e3, "aisi", 210}, {1, 31.2, 203e3, "aisi", 280},
	} {
		book, err := Book().Choose("pitch.buckling.greatest", c.by, FromShell)
		if err != nil {
			t.Fatal(err)
		}
		r, _ := book.Find("pitch.buckling.greatest")
		own, _ := r.source(c.by)
		l, err := book.EvaluateGiven(r.ID, Stack{{Thickness: c.t}, {Thickness: 3}}, Given{Compression: c.stress * own.Value / c.modulus})
		if err != nil || !(math.Abs(l.Value-c.s) <= 0.05) {
			t.Errorf("%+v: %v, %v", c, l.Value, err)
		}
	}
}

// How far the three sources part, and that no stress asks for nothing.
func TestBucklingSources(t *testing.T) {
	// How far the three sources part: the plate factor is 4.8 % on pitch, AISI asks for a third less.
	all, err := Book().Sources("pitch.buckling.greatest", pair, Given{Compression: 150})
	if err != nil || len(all) != 3 {
		t.Fatal(all, err)
	}
	if r := all[1].Value / all[0].Value; !(math.Abs(r-1.0483) <= 1e-4) {
		t.Errorf("plate over column %v", r)
	}
	if r := all[2].Value / all[0].Value; !(math.Abs(r-0.6722) <= 1e-4) {
		t.Errorf("AISI over column %v", r)
	}
	none, err := Book().Evaluate("pitch.buckling.greatest", pair)
	if err != nil || none.Value != 0 || none.Note == "" {
		t.Errorf("no stress: %v, %v", none, err)
	}
}

// The wanted pitch is the least of its reasons, and never below the least pitch.
func TestWantedPitchIsCut(t *testing.T) {
	free := For(pair, Options{}).GreatestPitch.Value
	sealed := For(pair, Options{Sealed: true})
	if sealed.GreatestPitch.Rule != "pitch.sealed.greatest" || sealed.GreatestPitch.Value != 30 || free <= 30 {
		t.Errorf("sealed: %+v, free %v", sealed.GreatestPitch, free)
	}
	pressed := For(pair, Options{Sealed: true, Compression: 700, GreatestPitch: 60})
	if g := pressed.GreatestPitch; g.Rule != "pitch.buckling.greatest" || g.Value >= 30 || g != cutNote(pressed.BucklingPitch, g.Note) {
		t.Errorf("pressed: %+v", g)
	}
	hard := For(pair, Options{Compression: 1e5})
	if g := hard.GreatestPitch; g.Value != hard.LeastPitch.Value || !strings.Contains(g.Note, "below the least pitch") {
		t.Errorf("hard pressed: %+v", g)
	}
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Compression: rapid.Float64Range(0, 800).Draw(t, "stress"), Sealed: rapid.Bool().Draw(t, "sealed"),
			GreatestPitch: rapid.Float64Range(0, 90).Draw(t, "stated")}
		l := For(pair, o)
		for _, b := range []Limit{l.SealedPitch, l.BucklingPitch} {
			if b.Value > 0 && l.GreatestPitch.Value > max(b.Value, l.LeastPitch.Value) {
				t.Fatalf("%+v: %v above %v", o, l.GreatestPitch, b)
			}
		}
	})
}

func cutNote(l Limit, note string) Limit {
	l.Note = note
	return l
}

func TestChoose(t *testing.T) {
	book, err := Book().Choose("pitch.least", "ten-t", FromShell)
	if err != nil {
		t.Fatal(err)
	}
	l, err := book.Evaluate("pitch.least", pair)
	if err != nil || l.Value != 13 || l.By != "ten-t" || l.From != FromShell {
		t.Errorf("%+v, %v", l, err)
	}
	if was, _ := Book().Evaluate("pitch.least", pair); was.By != "optimum" || was.From != FromDefault {
		t.Errorf("the default book changed: %+v", was)
	}
	for _, c := range [][3]string{{"pitch.leest", "optimum", "nearest is pitch.least"},
		{"pitch.least", "optimal", "choose from optimum, aws-c1.1"}} {
		if _, err := Book().Choose(c[0], c[1], FromShell); err == nil || !strings.Contains(err.Error(), c[2]) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// Every rule of the book has a formula in words for each source, and a severity or none on purpose.
func TestFormulas(t *testing.T) {
	for _, r := range Book() {
		for _, s := range r.Sources {
			if f := s.Formula(r.Unit); f == "" || f == r.Unit {
				t.Errorf("%s, %s: no formula", r.ID, s.ID)
			}
		}
	}
	for id, want := range map[string]string{
		"pitch.least":        "table optimum, column spacing, by the governing sheet, x 1.3 for three sheets",
		"weld.diameter":      "5 x root of the governing sheet in mm",
		"gap.greatest":       "0.5 x the thinnest sheet, at most 0.5 mm",
		"flange.width.least": "edge.least + half the electrode face + bend.clearance",
		"pitch.buckling.greatest": "outside sheet x root(2.879 x 210000 MPa / compressive stress), the modulus by Johnson's parabola above " +
			"half the yield stress",
	} {
		r, _ := Book().Find(id)
		if got := r.Sources[0].Formula(r.Unit); got != want {
			t.Errorf("%s: %q", id, got)
		}
	}
}

func TestKeepsWithSlack(t *testing.T) {
	upper, lower := Limit{Rule: "pitch.greatest", Value: 40}, Limit{Rule: "edge.least", Value: 6}
	for _, c := range []struct {
		l     Limit
		value float64
		slack float64
		want  bool
	}{{upper, 40, 0, true}, {upper, 40.04, 0, false}, {upper, 40.04, 0.05, true}, {lower, 5.96, 0, false}, {lower, 5.96, 0.05, true},
		{lower, 5.94, 0.05, false},
		{lower, math.NaN(), 0.05, false}, {upper, math.NaN(), 0.05, false}} {
		if got := c.l.Keeps(c.value, c.slack); got != c.want {
			t.Errorf("%v with %v: %v", c.l.Rule, c.value, got)
		}
	}
}
