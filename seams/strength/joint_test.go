package strength

import (
	"fmt"
	"math"
	"seamwright/internal/record"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/seams/rule"
)

func two(a, b float64) rule.Stack {
	return rule.Stack{{Thickness: a, Tensile: 300}, {Thickness: b, Tensile: 300}}
}

func TestSingleTakesTheWeakestInterface(t *testing.T) {
	w, err := Single(two(0.9, 1.2), Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "shear kN", w.Shear/1000, 2.916, 0.001)
	near(t, "tension kN", w.Tension/1000, 0.793, 0.001) // 1.25 x 0.9^2.2 over 1.25
	three, err := Single(rule.Stack{{Thickness: 1.2, Tensile: 300}, {Thickness: 1.2, Tensile: 300}, {Thickness: 0.7, Tensile: 270}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	pair, _ := Single(rule.Stack{{Thickness: 1.2, Tensile: 300}, {Thickness: 0.7, Tensile: 270}}, Options{})
	if three.Interface != 1 || three.Shear != pair.Shear || three.Tension != pair.Tension {
		t.Errorf("three sheets: interface %d, %v N, %v N; the thin pair alone %v N, %v N", three.Interface, three.Shear, three.Tension,
			pair.Shear, pair.Tension)
	}
	soft, _ := Single(rule.Stack{{Thickness: 0.9, Tensile: 600}, {Thickness: 1.2, Tensile: 300}}, Options{})
	if soft.Shear != w.Shear {
		t.Errorf("the weaker steel must count: %v, %v", soft.Shear, w.Shear)
	}
}

func TestSingleByEachMethod(t *testing.T) {
	stack := two(1, 1)
	for _, c := range []struct {
		m    Method
		want float64
		cert rule.Certainty
	}{{ByEurocode, 2.7 * 5 * 300 / 1.25, rule.Memory}, {ByAISI, 0.65 * 5510, rule.Memory}, {ByAWS, 2176.992, rule.Memory}} {
		w, err := Single(stack, Options{Method: c.m})
		if err != nil || !(math.Abs(w.Shear-c.want) <= 0.1) || w.ShearCertainty != c.cert || w.ShearSource == "" || w.TensionSource == "" {
			t.Errorf("%q: %+v, %v", c.m, w, err)
		}
	}
	if w, err := Single(stack, Options{TensionFactor: 2}); err != nil || !(math.Abs(w.Tension-625) <= 1e-9) {
		t.Errorf("tension with a factor: %v, %v", w.Tension, err)
	}
	if w, _ := Single(stack, Options{Diameter: 4, End: 7}); w.Mode != End || w.Diameter != 4 || len(w.Problems) == 0 {
		t.Errorf("distances must reach the rule: %+v", w)
	}
}

func TestSingleRefuses(t *testing.T) {
	said := record.Errors(t)
	for _, c := range []struct {
		stack rule.Stack
		opt   Options
		want  string
	}{
		{nil, Options{}, "two sheets"},
		{rule.Stack{{Thickness: 1}}, Options{}, "two sheets"},
		{rule.Stack{{Thickness: 1}, {Thickness: 1}}, Options{}, "tensile strength is not known"},
		{two(1, math.NaN()), Options{}, "two sheets"},
		{two(1, 1), Options{Method: "guess"}, "choose from"},
		{two(1, 1), Options{End: -3}, "zero or above"},
		{two(1, 1), Options{TensionFactor: 0.5}, "1 or more"},
		{two(6, 6), Options{Method: ByAISI}, "outside"},
	} {
		if _, err := Single(c.stack, c.opt); err == nil || !said.Has(err, c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v %+v: %v, want %q", c.stack, c.opt, err, c.want)
		}
	}
}

func TestNeeded(t *testing.T) {
	w := Weld{Shear: 2000, Tension: 1000}
	for _, c := range []struct {
		d      Demand
		length float64
		want   int
	}{
		{Demand{}, 500, 0},
		{Demand{Shear: 20000}, 500, 10},   // exactly ten
		{Demand{Shear: 20000.1}, 500, 11}, // one more
		{Demand{Flow: 10}, 500, 3},        // 5 kN
		{Demand{Tension: 2500}, 500, 3},   // 2.5
		{Demand{Shear: 1000, Tension: 500}, 500, 1},
		{Demand{Shear: 1000, Tension: 501}, 500, 2},
		{Demand{Shear: 0.1 * 3 * 2000, Flow: 0.7 * 2000}, 1, 1}, // 0.3 + 0.7 in floating point
	} {
		got, err := w.Needed(c.d, c.length)
		if err != nil || got != c.want {
			t.Errorf("%+v: %d, %v; want %d", c.d, got, err, c.want)
		}
	}
	for _, d := range []Demand{{Shear: -1}, {Flow: math.NaN()}, {Tension: math.Inf(1)}} {
		if _, err := w.Needed(d, 1); err == nil {
			t.Errorf("%+v passed", d)
		}
	}
	if _, err := w.Needed(Demand{Shear: 1e20}, 1); err == nil || !strings.Contains(err.Error(), "unit") {
		t.Errorf("an absurd load: %v", err)
	}
	if _, err := (Weld{}).Needed(Demand{Shear: 1}, 1); err == nil {
		t.Error("a weld that carries nothing was counted by")
	}
}

// The count that is needed carries the load, and one weld fewer does not.
func TestNeededIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Weld{Shear: rapid.Float64Range(500, 9000).Draw(t, "shear"), Tension: rapid.Float64Range(200, 9000).Draw(t, "tension")}
		d := Demand{Shear: rapid.Float64Range(1, 1e5).Draw(t, "S"), Flow: rapid.Float64Range(0, 50).Draw(t, "q"), Tension: rapid.Float64Range(0,
			1e4).Draw(t, "T")}
		n, err := w.Needed(d, 1000)
		if err != nil {
			t.Fatal(err)
		}
		used := (d.Shear+1000*d.Flow)/w.Shear + d.Tension/w.Tension // of one weld, were it alone
		if used/float64(n) > 1+1e-8 {
			t.Fatalf("%d welds are used to %v", n, used/float64(n))
		}
		if n > 1 && used/float64(n-1) <= 1 {
			t.Fatalf("%d welds would do, %d asked", n-1, n)
		}
	})
}

var z = r3.Vector{Z: 1}

func row(n int, pitch float64) []Place {
	var w []Place
	for i := range n {
		w = append(w, Place{At: r3.Vector{X: float64(i)*pitch + 100, Y: -30, Z: 7}, Axis: z})
	}
	return w
}

// A line under a moment in its plane: shear M x / sum x² across the line, worked by hand: 5 welds, 20 mm, 100 N·m,
// sum x² = 2(20² + 40²) = 4000 mm², end weld 100000 x 40 / 4000 = 1000 N.
func TestLineUnderMoment(t *testing.T) {
	g, err := Group(row(5, 20), Load{Moment: r3.Vector{Z: 100e3}, At: r3.Vector{X: 999}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{1000, 500, 0, 500, 1000} {
		if f := g.Each[i]; !(math.Abs(f.Shear-want) <= 1e-9*1000) || !(math.Abs(f.Tension) <= 1e-9) || !(math.Abs(f.Vector.X) <= 1e-9) {
			t.Errorf("weld %d: %+v, want %v N across", i+1, f, want)
		}
	}
	if g.Each[4].Vector.Y < 0 || g.Each[0].Vector.Y > 0 {
		t.Error("a moment about +z must push the far end along +y")
	}
	// Out of plane about y: tension and push by the same lever.
	g, _ = Group(row(5, 20), Load{Moment: r3.Vector{Y: 100e3}})
	for i, want := range []float64{1000, 500, 0, -500, -1000} {
		if f := g.Each[i]; !(math.Abs(f.Tension-want) <= 1e-9*1000) || !(math.Abs(f.Shear) <= 1e-9) {
			t.Errorf("weld %d: %+v, want %v N of tension", i+1, f, want)
		}
	}
	// About its own line a row resists nothing, and says so.
	g, _ = Group(row(5, 20), Load{Moment: r3.Vector{X: 5000, Y: 100e3}})
	if !(math.Abs(g.Free.X-5000) <= 1e-6) || !(math.Abs(g.Free.Y) <= 1e-6) || !(math.Abs(g.Free.Z) <= 1e-6) {
		t.Errorf("left over %v", g.Free)
	}
}

// A rectangle 2a x 2b with welds at its corners under torsion: each T r / (4 r²) = T / (4 r).
func TestRectangleUnderTorsion(t *testing.T) {
	var w []Place
	for _, c := range [][2]float64{{-30, -40}, {30, -40}, {30, 40}, {-30, 40}} {
		w = append(w, Place{At: r3.Vector{X: c[0], Y: c[1]}, Axis: z.Mul(5)})
	}
	g, err := Group(w, Load{Moment: r3.Vector{Z: 2e6}})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range g.Each {
		if !(math.Abs(f.Shear-2e6/(4*50)) <= 1e-6) || f.Vector.Dot(w[i].At) > 1e-6 {
			t.Errorf("weld %d: %+v, want 10000 N square to the radius", i+1, f)
		}
	}
	// An eccentric force, worked by hand: 4 kN along y at x = 60: direct 1 kN each, torsion 240 N·m adds 240e3/(4·50) = 1200 N
	// square to the radius; at (30, 40) that is (-960, 720): 1 kN + 720 up, 960 across.
	g, _ = Group(w, Load{Force: r3.Vector{Y: 4000}, At: r3.Vector{X: 60}})
	if got := g.Each[2].Vector; !(got.Sub(r3.Vector{X: -960, Y: 1720}).Norm() <= 1e-6) {
		t.Errorf("eccentric force: %v", got)
	}
	// Pull at the middle of one side: a weld group in bending, N/4 + M y / sum y² = 1000 + 160e3·40/6400 = 2000 N.
	g, _ = Group(w, Load{Force: r3.Vector{Z: 4000}, At: r3.Vector{Y: 40}})
	if got := g.Each[2].Tension; !(math.Abs(got-2000) <= 1e-6) {
		t.Errorf("pull at the side: %v", got)
	}
	if got := g.Each[0].Tension; !(math.Abs(got) <= 1e-6) {
		t.Errorf("far side: %v", got)
	}
}

// A ring of n welds under torsion: each T / (n R); bent about a diameter: the farthest 2 M / (n R).
func TestCircle(t *testing.T) {
	const n, radius = 24, 80.0
	var w []Place
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		w = append(w, Place{At: r3.Vector{X: radius * c, Y: radius * s}, Axis: z})
	}
	g, _ := Group(w, Load{Moment: r3.Vector{Z: 1e6}})
	for i, f := range g.Each {
		if !(math.Abs(f.Shear-1e6/(n*radius)) <= 1e-6) {
			t.Errorf("weld %d: %v", i+1, f.Shear)
		}
	}
	g, _ = Group(w, Load{Moment: r3.Vector{X: 1e6}})
	worst, at := 0.0, 0
	for i, f := range g.Each {
		if f.Tension > worst+1e-9 {
			worst, at = f.Tension, i
		}
	}
	if !(math.Abs(worst-2*1e6/(n*radius)) <= 1e-6) || at != n/4 {
		t.Errorf("bent: %v at weld %d", worst, at+1)
	}
}

// Whatever the group and the load, the forces on the welds add up to the load, and their moments to the moment less what
// is left over; turning the whole thing in space turns the answer with it.
func TestGroupIsInBalance(t *testing.T) {
	vector := func(t *rapid.T, name string, reach float64) r3.Vector {
		v := func(axis string) float64 { return rapid.Float64Range(-reach, reach).Draw(t, name+axis) }
		return r3.Vector{X: v("x"), Y: v("y"), Z: v("z")}
	}
	rapid.Check(t, func(t *rapid.T) {
		var w []Place
		for i := range rapid.IntRange(1, 9).Draw(t, "welds") {
			w = append(w, Place{At: vector(t, fmt.Sprint("at", i), 300), Axis: r3.Vector{X: 0.6, Z: 0.8}})
		}
		load := Load{Force: vector(t, "force", 1e4), Moment: vector(t, "moment", 1e6), At: vector(t, "place", 500)}
		g, err := Group(w, load)
		if err != nil {
			t.Fatal(err)
		}
		var force, moment r3.Vector
		most := 1.0
		for i, f := range g.Each {
			most = max(most, f.Vector.Norm())
			force = force.Add(f.Vector)
			moment = moment.Add(w[i].At.Sub(g.Centroid).Cross(f.Vector))
			if !(math.Abs(math.Hypot(f.Shear, f.Tension)-f.Vector.Norm()) <= 1e-9*(1+f.Vector.Norm())) {
				t.Fatalf("shear %v and tension %v do not make %v", f.Shear, f.Tension, f.Vector)
			}
		}
		want := load.Moment.Add(load.At.Sub(g.Centroid).Cross(load.Force)).Sub(g.Free)
		if !(force.Sub(load.Force).Norm() <= 1e-8*most) || !(moment.Sub(want).Norm() <= 1e-3*(1+want.Norm())) {
			t.Fatalf("force %v of %v, moment %v of %v", force, load.Force, moment, want)
		}
	})
}

// Two welds at one place, but for the last digits of it, carry no moment: their forces would be the moment over those digits.
func TestWeldsAtOnePlace(t *testing.T) {
	for _, apart := range []float64{0, 1e-12, 1e-6, 0.009} {
		w := []Place{{At: r3.Vector{X: 100}, Axis: z}, {At: r3.Vector{X: 100 + apart}, Axis: z}}
		g, err := Group(w, Load{Force: r3.Vector{X: 500}, Moment: r3.Vector{Z: 1e6}, At: r3.Vector{X: 100}})
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(g.Free.Z-1e6) <= 1e-6) || !(math.Abs(g.Each[0].Shear-250) <= 1e-6) || !(math.Abs(g.Each[1].Shear-250) <= 1e-6) {
			t.Errorf("%g mm apart: left over %v, shear %v and %v", apart, g.Free, g.Each[0].Shear, g.Each[1].Shear)
		}
	}
	// 25 mm apart they do: 1e6 N·mm over 25 mm.
	w := []Place{{At: r3.Vector{}, Axis: z}, {At: r3.Vector{X: 25}, Axis: z}}
	if g, _ := Group(w, Load{Moment: r3.Vector{Z: 1e6}}); !(math.Abs(g.Each[0].Shear-40000) <= 1e-6) {
		t.Errorf("25 mm apart: %v", g.Each[0].Shear)
	}
}

func TestGroupRefuses(t *testing.T) {
	good := Place{Axis: z}
	nan := r3.Vector{X: math.NaN()}
	for _, c := range []struct {
		w []Place
		l Load
	}{{nil, Load{}}, {[]Place{{}}, Load{}}, {[]Place{{At: nan, Axis: z}}, Load{}}, {[]Place{good}, Load{Force: nan}},
		{[]Place{good}, Load{At: r3.Vector{Y: math.Inf(1)}}}} {
		if _, err := Group(c.w, c.l); err == nil {
			t.Errorf("%+v passed", c)
		}
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, v := range []r3.Vector{{X: bad}, {Y: bad}, {Z: bad}} {
			for k, l := range []Load{{Force: v}, {Moment: v}, {At: v}} {
				if _, err := Group([]Place{good}, l); err == nil {
					t.Errorf("%v as number %d of a load passed", v, k)
				}
			}
			if _, err := Group([]Place{good, {At: v, Axis: z}}, Load{}); err == nil {
				t.Errorf("a weld at %v passed", v)
			}
			if _, err := Group([]Place{good, {Axis: v}}, Load{}); err == nil {
				t.Errorf("a weld with the axis %v passed", v)
			}
		}
	}
	g, err := Group([]Place{good}, Load{Force: r3.Vector{X: 3, Z: 4}, Moment: r3.Vector{Z: 9}})
	if err != nil || g.Each[0].Shear != 3 || g.Each[0].Tension != 4 || g.Free != (r3.Vector{Z: 9}) {
		t.Errorf("a single weld resists no moment: %+v, %v", g, err)
	}
}

func ExampleEurocode() {
	r := Eurocode(Spot{Thin: 1.0, Thick: 1.0, Tensile: 360, End: 15})
	fmt.Printf("%.0f N by %s; not checked: %v\n", r.Design, r.Mode, r.Unchecked)
	// Output: 3888 N by tearing and bearing; not checked: [e2 p1 p2 net section]
}

func ExampleWeld_Needed() {
	stack := rule.Stack{{Thickness: 0.9, Tensile: 300}, {Thickness: 1.2, Tensile: 300}}
	weld, err := Single(stack, Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	n, err := weld.Needed(Demand{Shear: 24000, Flow: 5}, 640)
	fmt.Println(n, err)
	// Output: 10 <nil>
}

func BenchmarkGroup(b *testing.B) {
	w := row(200, 25)
	load := Load{Force: r3.Vector{X: 1000, Z: 50}, Moment: r3.Vector{Z: 1e6}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Group(w, load); err != nil {
			b.Fatal(err)
		}
	}
}

// From a million welds on a load is taken for a mistake.
func TestTooManyWelds(t *testing.T) {
	w := Weld{Shear: 1000, Tension: 500}
	for newtons, refused := range map[float64]bool{0.99e9: false, 1.01e9: true} {
		n, err := w.Needed(Demand{Shear: newtons}, 100)
		if (err != nil) != refused || err == nil && n != int(newtons/1000) {
			t.Errorf("%g N: %d welds, %v", newtons, n, err)
		}
	}
}
