package strength

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

	"seamwright/seams/rule"
)

func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	all, err := csv.NewReader(f).ReadAll()
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

// near checks against a printed figure: half a unit of its last digit, and a hair for figures that fall on the half.
func near(t *testing.T, what string, got, want, lastDigit float64) {
	t.Helper()
	if math.IsNaN(got) || !(math.Abs(got-want) <= lastDigit*0.5001) {
		t.Errorf("%s = %v, printed %v", what, got, want)
	}
}

func TestEurocodeReproducesEveryWorkedRow(t *testing.T) {
	rows := published(t, "eurocode-worked.csv")
	if len(rows) != 12 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		w := Spot{Thin: figure(t, row, "t_mm"), Thick: figure(t, row, "t1_mm"), Tensile: figure(t, row, "fu_MPa"), End: figure(t, row, "e1_mm")}
		r := Eurocode(w)
		name := fmt.Sprintf("t %g t1 %g fu %g: ", w.Thin, w.Thick, w.Tensile)
		near(t, name+"d_s", r.Diameter, figure(t, row, "ds_resistance_mm"), 0.001)
		near(t, name+"d_s fusion", Diameter(w.Thin, true), figure(t, row, "ds_fusion_mm"), 0.01)
		near(t, name+"F_tb kN", r.Tearing/1000, figure(t, row, "Ftb_Rd_kN"), 0.001)
		near(t, name+"F_e kN", r.End/1000, figure(t, row, "Fe_Rd_kN"), 0.001)
		near(t, name+"F_v kN", r.Shear/1000, figure(t, row, "Fv_Rd_kN"), 0.001)
		ductile := !slices.ContainsFunc(r.Problems, func(p rule.Problem) bool { return p.Rule == "strength.en.ductility" })
		if fmt.Sprint(ductile) != strings.ToLower(row["Fv>=1.25*min(Ftb,Fe)"]) {
			t.Errorf("%sductile %v, worked %s", name, ductile, row["Fv>=1.25*min(Ftb,Fe)"])
		}
		if want := min(r.Tearing, r.End, r.Shear); r.Design != want {
			t.Errorf("%sdesign %v, the least mode is %v", name, r.Design, want)
		}
	}
}

// Worked by hand from EN 1993-1-3:2006 Table 8.5, gamma_M2 = 1.25 (calculated).
func TestEurocodeByHand(t *testing.T) {
	for _, c := range []struct{ t, t1, fu, ds, ftb, fv float64 }{
		{1.0, 1.0, 360, 5.000, 3.888, 5.655}, {0.9, 1.2, 300, 4.743, 2.916, 4.241}, {0.8, 2.5, 330, 4.472, 2.851, 0}} {
		r := Eurocode(Spot{Thin: c.t, Thick: c.t1, Tensile: c.fu})
		near(t, "d_s", r.Diameter, c.ds, 0.001)
		near(t, "F_tb", r.Tearing/1000, c.ftb, 0.001)
		if c.fv > 0 {
			near(t, "F_v", r.Shear/1000, c.fv, 0.001)
		}
		if r.Capped != "" || r.Mode != Tearing {
			t.Errorf("%+v: capped %q, mode %q", c, r.Capped, r.Mode)
		}
	}
}

// Each mode can govern; figures worked by hand with f_u = 300, gamma_M2 = 1.25, t = 1, d_s = 5.
func TestEachModeGoverns(t *testing.T) {
	for _, c := range []struct {
		name string
		w    Spot
		mode Mode
		want float64
	}{
		{"tearing", Spot{Thin: 1, Thick: 1, Tensile: 300, End: 20}, Tearing, 2.7 * 1 * 5 * 300 / 1.25},
		{"end", Spot{Thin: 1, Thick: 1, Tensile: 300, End: 8}, End, 1.4 * 1 * 8 * 300 / 1.25},
		{"net", Spot{Thin: 1, Thick: 1, Tensile: 300, NetArea: 20, Sharing: 2}, NetSection, 20 * 300 / 1.25 / 2},
		{"net of one weld", Spot{Thin: 1, Thick: 1, Tensile: 300, NetArea: 10}, NetSection, 10 * 300 / 1.25},
		{"weld", Spot{Thin: 1, Thick: 1, Tensile: 300, Diameter: 3}, WeldShear, math.Pi / 4 * 9 * 300 / 1.25},
		{"factor", Spot{Thin: 1, Thick: 1, Tensile: 300, Factor: 1}, Tearing, 2.7 * 5 * 300},
		{"fusion", Spot{Thin: 1, Thick: 1, Tensile: 300, Fusion: true}, Tearing, 2.7 * 5.5 * 300 / 1.25},
		{"swapped", Spot{Thin: 2, Thick: 1, Tensile: 300}, Tearing, 2.7 * 5 * 300 / 1.25},
	} {
		r := Eurocode(c.w)
		if r.Mode != c.mode || !(math.Abs(r.Design-c.want) <= 1e-9*c.want) {
			t.Errorf("%s: %v by %q, want %v by %q", c.name, r.Design, r.Mode, c.want, c.mode)
		}
	}
}

// t1 = 2.5 t is the last of the uncapped branch; just above it the caps hold: 3.1 t d_s f_u below t = 0.7586 mm,
// and for a weld smaller than the clause's, 0.7 d_s² f_u.
func TestBranchesOnBothSides(t *testing.T) {
	at := Eurocode(Spot{Thin: 0.6, Thick: 1.5, Tensile: 270})
	above := Eurocode(Spot{Thin: 0.6, Thick: math.Nextafter(1.5, 2), Tensile: 270})
	if at.Capped != "" || above.Capped != CapBearing || above.Tearing >= at.Tearing {
		t.Errorf("at 2.5 t: %v %q; above: %v %q", at.Tearing, at.Capped, above.Tearing, above.Capped)
	}
	crossing := (2.7 / 3.1) * (2.7 / 3.1) // sqrt t = 2.7/3.1
	near(t, "thickness where the bearing cap lets go", crossing, 0.7586, 0.0001)
	for _, c := range []struct {
		thin float64
		want Mode
	}{{crossing - 1e-6, CapBearing}, {crossing + 1e-6, ""}} {
		if r := Eurocode(Spot{Thin: c.thin, Thick: 3, Tensile: 270}); r.Capped != c.want {
			t.Errorf("t = %v: capped %q, want %q", c.thin, r.Capped, c.want)
		}
	}
	small := Eurocode(Spot{Thin: 1, Thick: 3, Tensile: 300, Diameter: 3})
	if small.Capped != CapDiameter || !(math.Abs(small.Tearing-0.7*9*300/1.25) <= 1e-9) {
		t.Errorf("small weld: %v %q", small.Tearing, small.Capped)
	}
	rapid.Check(t, func(t *rapid.T) { // with d_s of the clause the diameter cap can never govern: 0.7 x 25 t > 2.7 x 5 t
		thin := rapid.Float64Range(0.1, 3).Draw(t, "t")
		if r := Eurocode(Spot{Thin: thin, Thick: thin * 2.6, Tensile: 300}); r.Capped == CapDiameter {
			t.Fatalf("t = %v: the diameter cap governs", thin)
		}
	})
}

// Every bound of the range of validity, just within and just without; d_s = 5.
func TestRangeOfValidityOnBothSides(t *testing.T) {
	base := Spot{Thin: 1, Thick: 1, Tensile: 300, End: 15, Edge: 10, Pitch: 30, Row: 20, NetArea: 1000}
	if r := Eurocode(base); len(r.Problems) != 0 || len(r.Unchecked) != 0 {
		t.Fatalf("base: %v, unchecked %v", r.Problems, r.Unchecked)
	}
	for _, c := range []struct {
		rule string
		set  func(*Spot, float64)
		ok   float64
		bad  float64
	}{
		{"strength.en.e1", func(w *Spot, v float64) { w.End = v }, 10, 9.99},
		{"strength.en.e1", func(w *Spot, v float64) { w.End = v }, 30, 30.01},
		{"strength.en.e2", func(w *Spot, v float64) { w.Edge = v }, 20, 20.01},
		{"strength.en.p1", func(w *Spot, v float64) { w.Pitch = v }, 15, 14.99},
		{"strength.en.p1", func(w *Spot, v float64) { w.Pitch = v }, 40, 40.01},
		{"strength.en.p2", func(w *Spot, v float64) { w.Row = v }, 15, 14.99},
		{"strength.en.p2", func(w *Spot, v float64) { w.Row = v }, 30, 30.01},
		{"strength.en.thick", func(w *Spot, v float64) { w.Thick = v }, 4.0, 4.01},
	} {
		for _, v := range []float64{c.ok, c.bad} {
			w := base
			c.set(&w, v)
			found := Eurocode(w).Problems
			broken := slices.ContainsFunc(found, func(p rule.Problem) bool {
				return p.Rule == c.rule && p.Value == v && p.Limit == c.ok && p.Source != ""
			})
			if broken != (v == c.bad) || len(found) > 1 {
				t.Errorf("%s at %v: %v", c.rule, v, found)
			}
		}
	}
	for _, c := range []struct {
		thin float64
		bad  bool
	}{{3.0, false}, {3.01, true}} {
		r := Eurocode(Spot{Thin: c.thin, Thick: c.thin, Tensile: 300})
		if got := slices.ContainsFunc(r.Problems, func(p rule.Problem) bool { return p.Rule == "strength.en.thin" }); got != c.bad {
			t.Errorf("t = %v: %v", c.thin, r.Problems)
		}
	}
	if r := Eurocode(Spot{Thin: 1, Thick: 1, Tensile: 300}); !slices.Equal(r.Unchecked, []string{"e1", "e2", "p1", "p2", "net section"}) {
		t.Errorf("unchecked %v", r.Unchecked)
	}
}

// A weld of the clause's own diameter is always ductile (F_v / F_tb = 1.454); one of 4 root t is not.
func TestDuctility(t *testing.T) {
	r := Eurocode(Spot{Thin: 1.2, Thick: 1.2, Tensile: 300})
	near(t, "F_v / F_tb", r.Shear/r.Tearing, 1.454, 0.001)
	if len(r.Problems) != 0 {
		t.Errorf("%v", r.Problems)
	}
	small := Eurocode(Spot{Thin: 1, Thick: 1, Tensile: 300, Diameter: 4})
	if len(small.Problems) != 1 || small.Problems[0].Rule != "strength.en.ductility" {
		t.Errorf("4 root t: %v", small.Problems)
	}
}

// A weld that would itself fail before the sheet tears is ductile where the net section yields first: each weld's share of
// it counts. F_v = 3016 N and 1.25 F_tb = 3240 N; 1.25 times half of 20 mm² carries 3000 N, of 20.2 mm² 3030 N.
func TestDuctilityByTheNetSection(t *testing.T) {
	spot := Spot{Thin: 1, Thick: 1, Tensile: 300, Diameter: 4, Sharing: 2}
	for _, c := range []struct {
		area    float64
		ductile bool
		limit   float64
	}{{20, true, 0}, {20.2, false, 3030}, {0, false, 3240}} {
		spot.NetArea = c.area
		r := Eurocode(spot)
		if c.ductile != (len(r.Problems) == 0) {
			t.Errorf("net area %v: %v", c.area, r.Problems)
			continue
		}
		if !c.ductile {
			near(t, "needed", r.Problems[0].Limit, c.limit, 1e-6)
		}
	}
}

// So it is where the end of the sheet tears out first: 1.25 F_e is 3016 N = F_v at e1 = 7.181 mm.
func TestDuctilityByTheEnd(t *testing.T) {
	for _, c := range []struct {
		end, limit float64
	}{{7.18, 0}, {7.19, 420 * 7.19}, {20, 3240}, {0, 3240}} {
		limit := 0.0
		for _, p := range Eurocode(Spot{Thin: 1, Thick: 1, Tensile: 300, Diameter: 4, End: c.end}).Problems {
			if p.Rule == "strength.en.ductility" {
				limit = p.Limit
			}
		}
		near(t, fmt.Sprintf("needed at e1 %g", c.end), limit, c.limit, 1e-6)
	}
}

// The end of the sheet governs below 9.64 mm whatever the thickness.
func TestEndDistanceThatGoverns(t *testing.T) {
	edge := 2.7 * 5 / 1.4
	near(t, "e1", edge, 9.64, 0.01)
	for _, thin := range []float64{0.5, 1, 2} {
		for _, c := range []struct {
			end  float64
			mode Mode
		}{{edge * 0.999, End}, {edge * 1.001, Tearing}} {
			if r := Eurocode(Spot{Thin: thin, Thick: thin, Tensile: 300, End: c.end}); r.Mode != c.mode {
				t.Errorf("t %v, e1 %v: %q", thin, c.end, r.Mode)
			}
		}
	}
}

func TestEurocodeRefusesNonsense(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, w := range []Spot{{}, {Thin: nan, Thick: 1, Tensile: 300}, {Thin: 1, Thick: 1, Tensile: -1}, {Thin: 1, Thick: inf, Tensile: 300},
		{Thin: 1, Thick: 1, Tensile: 300, End: -1}, {Thin: 1, Thick: 1, Tensile: 300, Diameter: nan}, {Thin: 1, Thick: 1, Tensile: 300,
			Pitch: inf}} {
		r := Eurocode(w)
		if r.Design != 0 || len(r.Problems) != 1 || r.Problems[0].Severity != rule.Broken {
			t.Errorf("%+v: %v N, %v", w, r.Design, r.Problems)
		}
	}
}

func TestAISIReproducesEveryRow(t *testing.T) {
	for _, row := range published(t, "spot-shear-aisi.csv") {
		thick := figure(t, row, "t_mm")
		n, err := AISI(thick)
		if thick > 4.6 { // 0.19 and 0.25 in: outside the formula
			if err == nil {
				t.Errorf("%g mm: %v N where there is no formula", thick, n.Strength)
			}
			continue
		}
		if err != nil {
			t.Errorf("%g mm: %v", thick, err)
			continue
		}
		near(t, row["t_mm"]+" P_n kN", n.Strength/1000, figure(t, row, "Pn_formula_kN_SI"), 0.011) // columns carry 3 to 4 digits
		near(t, row["t_mm"]+" phi P_n kN", n.Design/1000, figure(t, row, "phi_Pn_kN(0.65)"), 0.002)
		near(t, row["t_mm"]+" P_n/Omega kN", n.Allowed/1000, figure(t, row, "Pn_over_Omega_kN(2.35)"), 0.002)
	}
}

func TestAISIBounds(t *testing.T) {
	for _, x := range []float64{0.24, 0, -1, math.NaN(), 4.58, math.Inf(1)} {
		if n, err := AISI(x); err == nil {
			t.Errorf("%v mm gave %v", x, n.Strength)
		}
	}
	below, _ := AISI(3.556 * (1 - 1e-9))
	at, err := AISI(3.556)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "power branch at 0.14 in", below.Strength/1000, 5.51*math.Pow(3.556, 1.47), 1e-6)
	near(t, "straight branch at 0.14 in", at.Strength/1000, 7.6*3.556+8.57, 1e-9)
	if gap := at.Strength/below.Strength - 1; !(math.Abs(gap) <= 0.01) { // the two branches nearly meet
		t.Errorf("branches part by %v", gap)
	}
	if top, err := AISI(4.572); err != nil || top.Strength != 1000*(7.6*4.572+8.57) {
		t.Errorf("0.18 in: %v, %v", top.Strength, err)
	}
	// Inch and metric forms agree within 0.1 %: 144 t^1.47 kip.
	for _, in := range []float64{0.02, 0.08, 0.125} {
		n, _ := AISI(in * 25.4)
		if kN := 144 * math.Pow(in, 1.47) * 4.4482216152605; !(math.Abs(n.Strength/1000/kN-1) <= 0.001) {
			t.Errorf("%g in: metric %v, inch %v kN", in, n.Strength/1000, kN)
		}
	}
}

func TestAWSReproducesEveryRow(t *testing.T) {
	for _, row := range published(t, "aws-d8-minimums.csv") {
		thick, tensile := figure(t, row, "t_mm"), figure(t, row, "Rm_MPa")
		st, err := LeastShear(thick, tensile)
		if err != nil {
			t.Fatal(err)
		}
		ct, err := LeastCrossTension(thick)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("%g mm %g MPa ST", thick, tensile), st/1000, figure(t, row, "min_shear_tension_kN"), 0.01)
		near(t, fmt.Sprintf("%g mm CT", thick), ct/1000, figure(t, row, "min_cross_tension_kN"), 0.01)
	}
	for x, want := range map[float64]float64{0.8: 1.558, 1.0: 2.177, 1.2: 2.862} { // worked, S = 300
		st, _ := LeastShear(x, 300)
		near(t, fmt.Sprint("ST at ", x), st/1000, want, 0.001)
	}
	if _, err := LeastShear(1, 1299.9); err != nil {
		t.Error(err)
	}
	for _, c := range [][2]float64{{1, 1300}, {1, 0}, {0, 300}, {math.NaN(), 300}, {1, math.NaN()}, {math.Inf(1), 300}} {
		if v, err := LeastShear(c[0], c[1]); err == nil {
			t.Errorf("%v gave %v", c, v)
		}
	}
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if v, err := LeastCrossTension(x); err == nil {
			t.Errorf("%v gave %v", x, v)
		}
	}
}

// Sources differ because they mean different things; this holds by how much for 1.0 mm of 270 MPa.
func TestSourcesDisagreeByThisMuch(t *testing.T) {
	n, _ := AISI(1)
	e := Eurocode(Spot{Thin: 1, Thick: 1, Tensile: 270})
	a, _ := LeastShear(1, 270)
	near(t, "AISI nominal kN", n.Strength/1000, 5.51, 0.01)
	near(t, "EN characteristic kN", e.Design*GammaM2/1000, 3.645, 0.001)
	near(t, "EN design kN", e.Design/1000, 2.916, 0.001)
	near(t, "AWS D8.1M least kN", a/1000, 1.950, 0.001)
	near(t, "AISI over AWS", n.Strength/a, 2.83, 0.01)
	// The older AISI table against the formula, from 0.05 in up: within 8.2 %; at 0.03 in 20 % above.
	for _, row := range published(t, "spot-shear-aisi.csv") {
		if row["Pn_table_kN"] == "" || figure(t, row, "t_mm") > 4.6 {
			continue
		}
		n, _ := AISI(figure(t, row, "t_mm"))
		near(t, row["t_in"]+" table over formula", figure(t, row, "Pn_table_kN")*1000/n.Strength, figure(t, row, "ratio_table_over_formula"),
			0.01)
	}
}
