package strength

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/seams/rule"
)

func pair(t, tensile float64) rule.Stack {
	return rule.Stack{{Thickness: t, Tensile: tensile}, {Thickness: t, Tensile: tensile}}
}

func single(t testing.TB, s rule.Stack, o Options) Weld {
	t.Helper()
	w, err := Single(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func ids(all []rule.Problem) []string {
	var out []string
	for _, p := range all {
		out = append(out, p.Rule)
	}
	return out
}

// Cross tension is the weaker way to load a weld: 0.74 of its lap shear (Chao 2003). By hand at 3.0 mm of 270 MPa: F_tb
// without a factor 13.5 x 3 x 270 = 10,935 N, x 0.74 / 1.25 = 6,473.5 N, where 1250 x 3^2.2 alone gives 14,012 N; at
// 1.0 mm 1250 / 1.25 = 1,000 N governs, below 0.74 x 3,645 / 1.25 = 2,157.8 N. The two meet at t^1.2 = 0.74 x 13.5 x 270 / 1250,
// t = 1.90 mm.
func TestTensionIsCappedByLapShear(t *testing.T) {
	for _, c := range []struct {
		thickness, want float64
		by              Mode
	}{{1.0, 1000, ByCrossTension}, {1.89, 1250 * math.Pow(1.89, 2.2) / 1.25, ByCrossTension}, {1.91, 0.74 * 13.5 * 1.91 * 270 / 1.25,
		ByLapShear}, {3.0, 6473.52, ByLapShear}} {
		w := single(t, pair(c.thickness, 270), Options{})
		if !(math.Abs(w.Tension-c.want) <= 0.01) || w.TensionBy != c.by || !strings.Contains(w.TensionSource, string(c.by)+" ") ||
			!strings.Contains(w.TensionSource, "Chao 2003") || !strings.Contains(w.TensionSource, "governs") {
			t.Errorf("%g mm: %.2f N by %s, want %.2f N by %s (%s)", c.thickness, w.Tension, w.TensionBy, c.want, c.by, w.TensionSource)
		}
		if w.TensionBasis != TestFactored || w.ShearBasis != DesignValue || w.TensionCertainty != rule.Memory {
			t.Errorf("%g mm: shear is a %s, tension a %s (%s)", c.thickness, w.ShearBasis, w.TensionBasis, w.TensionCertainty)
		}
	}
}

func TestTensionStaysBelowShear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0.3, 4).Draw(t, "a"), rapid.Float64Range(0.3, 4).Draw(t, "b")
		tensile := rapid.Float64Range(250, 1299).Draw(t, "tensile")
		w, err := Single(rule.Stack{{Thickness: a, Tensile: tensile}, {Thickness: b, Tensile: tensile}}, Options{Nugget: rapid.Float64Range(1,
			12).Draw(t, "nugget")})
		if err != nil {
			t.Fatal(err)
		}
		if w.Tension > CrossTensionRatio*w.Shear*(1+1e-9) {
			t.Fatalf("tension %v N, shear %v N", w.Tension, w.Shear)
		}
	})
}

// Strength counts on the weld that the setting lets expect. By hand at 1.0 mm of 360 MPa with 4.0 mm: tearing 2.7 x 4 x 360 /
// 1.25 = 3110.4 N, 20 % below 3888 N; shear of the weld 4² pi / 4 x 288 = 3619.1 N, 36 % below; F_v / F_tb = 1.16 < 1.25.
func TestStrengthCountsOnTheNugget(t *testing.T) {
	s := pair(1, 360)
	full, small, large := single(t, s, Options{}), single(t, s, Options{Nugget: 4}), single(t, s, Options{Nugget: 5.5})
	if !(math.Abs(full.Shear-3888) <= 1e-9) || !(math.Abs(small.Shear-3110.4) <= 1e-9) || small.Diameter != 4 || small.Counted != 4 ||
		large.Shear != full.Shear {
		t.Errorf("5 root t %v N, 4 mm %v N of %v mm, 5.5 mm %v N", full.Shear, small.Shear, small.Diameter, large.Shear)
	}
	if !slices.Contains(ids(small.Problems), "strength.en.ductility") || slices.Contains(ids(full.Problems), "strength.en.ductility") {
		t.Errorf("a weld of 4 root t shears off before the sheet tears: %v, %v", ids(small.Problems), ids(full.Problems))
	}
	three := single(t, rule.Stack{{Thickness: 0.8, Tensile: 300}, {Thickness: 1.5, Tensile: 300}, {Thickness: 1.5, Tensile: 300}},
		Options{Nugget: 5})
	if !(math.Abs(three.Diameter-5*math.Sqrt(0.8)) <= 1e-12) || three.Counted != 5 {
		t.Errorf("three sheets: %v mm at the weakest interface, %v mm at the widest", three.Diameter, three.Counted)
	}
	if _, err := Single(s, Options{Nugget: math.NaN()}); err == nil || !strings.Contains(err.Error(), "nugget") {
		t.Errorf("a nugget that is no number: %v", err)
	}
	// A small weld stands no nearer to an edge: 2 x 5 mm.
	if near := single(t, s, Options{Nugget: 4, End: 9}); !slices.Contains(ids(near.Problems), "strength.en.e1") {
		t.Errorf("9 mm from the end: %v", ids(near.Problems))
	}
}

// Steel above that of EN 1993-1-3: the smaller of it and AWS D8.1M, by hand at 1.0 mm: k(1000) = 1.696, 6,784 N over 1.25 =
// 5,427.2 N; EN alone 13.5 x 1000 / 1.25 = 10,800 N. From 1300 MPa on nothing holds.
func TestSteelBeyondTheFormulas(t *testing.T) {
	for _, c := range []struct {
		tensile, want float64
		mode          Mode
		outside       bool
	}{{750, 13.5 * 750 / 1.25, Tearing, false}, {751, 4 * 751 * (-6.36e-7*751*751 + 6.58e-4*751 + 1.674) / 1.25, ByLeastShear, true},
		{1000, 5427.2, ByLeastShear, true}} {
		w := single(t, pair(1, c.tensile), Options{})
		if !(math.Abs(w.Shear-c.want) <= 1e-6) || w.Mode != c.mode || slices.Contains(ids(w.Problems), "strength.en.tensile") != c.outside {
			t.Errorf("%g MPa: %v N, %s, %v", c.tensile, w.Shear, w.Mode, ids(w.Problems))
		}
		if c.outside && (w.ShearBasis != TestFactored || !strings.Contains(w.ShearSource, "AWS D8.1M") || !strings.Contains(w.ShearSource,
			"EN 1993-1-3")) {
			t.Errorf("%g MPa: a %s by %s", c.tensile, w.ShearBasis, w.ShearSource)
		}
	}
	for _, m := range []Method{ByEurocode, ByAISI, ByAWS} {
		for _, s := range []rule.Stack{pair(1, 1300), pair(1, 1500)} {
			if w, err := Single(s, Options{Method: m}); !errors.Is(err, ErrNone) || w.Shear != 0 {
				t.Errorf("%q, %g MPa: %v N, %v", m, s[0].Tensile, w.Shear, err)
			}
		}
	}
	if _, err := Single(pair(5, 300), Options{Method: ByAISI}); !errors.Is(err, ErrNone) {
		t.Errorf("AISI above 0.18 in: %v", err)
	}
}

// Thickness ranges on both sides of every bound: AWS D8.1M 0.6 to 3.0 mm, EN 1993-1-3 3.0 and 4.0 mm.
func TestThicknessRanges(t *testing.T) {
	for _, c := range []struct {
		a, b   float64
		method Method
		want   []string
	}{
		{0.6, 0.6, ByEurocode, nil}, {0.59, 0.6, ByEurocode, []string{"strength.aws.thin"}},
		{3.0, 4.0, ByEurocode, nil}, {3.0, 4.01, ByEurocode, []string{"strength.en.thick"}},
		{3.01, 3.01, ByEurocode, []string{"strength.aws.thin", "strength.en.thin"}},
		{0.6, 3.0, ByAWS, nil}, {0.5, 0.5, ByAWS, []string{"strength.aws.thin"}}, {3.1, 3.1, ByAWS, []string{"strength.aws.thin"}},
		{0.5, 0.5, ByAISI, []string{"strength.aws.thin"}}, // its tension
	} {
		w := single(t, rule.Stack{{Thickness: c.a, Tensile: 300}, {Thickness: c.b, Tensile: 300}}, Options{Method: c.method})
		got := ids(w.Problems)
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%g on %g mm, %q: %v, want %v", c.a, c.b, c.method, got, c.want)
		}
		for _, p := range w.Problems {
			if p.Severity != rule.Doubt || p.Remedy == "" || p.Source == "" {
				t.Errorf("%+v", p)
			}
		}
	}
}

// P_n was read, phi is recalled.
func TestAISIIsLabelledByItsWeakestPart(t *testing.T) {
	n, err := AISI(1)
	if err != nil || n.Certainty != rule.Memory {
		t.Errorf("phi is recalled, so phi P_n is: %q, %v", n.Certainty, err)
	}
}
