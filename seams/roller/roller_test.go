package roller

import (
	"errors"
	"fmt"
	"math"
	"seamwright/internal/record"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/seams/rule"
	"seamwright/seams/schedule"
)

func pair(t float64) rule.Stack { return rule.Stack{{Thickness: t}, {Thickness: t}} }

const newton = 0.45359237 * 9.80665 // one pound-force

// The recalled seam table, row by row at 60 Hz: wheel in, force lbf, on, off, in/min, A, overlap in.
func TestEveryRowAtSixtyHertz(t *testing.T) {
	for _, row := range [][8]float64{
		{0.010, 3. / 16, 400, 2, 1, 80, 8000, 3. / 8}, {0.021, 3. / 16, 550, 2, 2, 75, 11000, 7. / 16}, {0.031, 1. / 4, 700, 3, 2, 72, 13000,
			1. / 2},
		{0.040, 1. / 4, 900, 3, 3, 67, 15000, 1. / 2}, {0.050, 5. / 16, 1050, 4, 3, 65, 16500, 9. / 16}, {0.062, 5. / 16, 1200, 4, 4, 63, 17500,
			5. / 8},
		{0.078, 3. / 8, 1500, 6, 5, 55, 19000, 11. / 16}, {0.094, 7. / 16, 1700, 7, 6, 50, 20000, 3. / 4}, {0.109, 1. / 2, 1950, 9, 6, 48, 21000,
			13. / 16},
		{0.125, 1. / 2, 2200, 11, 7, 45, 22000, 7. / 8},
	} {
		s, err := Set(pair(row[0]*25.4), Options{Frequency: 60})
		if err != nil {
			t.Fatal(err)
		}
		for what, v := range map[string][2]float64{"wheel": {s.Wheel, row[1] * 25.4}, "force": {s.Force, row[2] * newton},
			"on": {s.On, row[3] / 60}, "off": {s.Off, row[4] / 60},
			"speed": {s.Speed, row[5] * 25.4 / 60}, "current": {s.Current, row[6]}, "overlap": {s.Overlap, row[7] * 25.4},
			"pitch": {s.Pitch, pitchOf(row[5]*25.4/60, row[3], row[4], 60)}} {
			if !(math.Abs(v[0]-v[1]) <= 1e-12*v[1]) {
				t.Errorf("%g in: %s %v, table %v", row[0], what, v[0], v[1])
			}
		}
		if s.OnCycles != int(row[3]) || s.OffCycles != int(row[4]) || s.Certainty != rule.Memory || s.Caution != Caution || len(s.Problems) != 0 {
			t.Errorf("%g in: %+v", row[0], s)
		}
	}
}

// That the table counts cycles of 60 Hz is said where the mains are others, and only there.
func TestOtherMainsAreSaid(t *testing.T) {
	for hertz, want := range map[float64]bool{50: true, 60: false} {
		s, err := Set(pair(1), Options{Frequency: hertz})
		if err != nil {
			t.Fatal(err)
		}
		if said := strings.Contains(strings.Join(s.Notes, " "), "counts cycles of 60 Hz"); said != want {
			t.Errorf("%g Hz: said %t, want %t: %q", hertz, said, want, s.Notes)
		}
	}
}

// Pitch = v (on + off) / f at either mains; the table's pitch is kept at 50 Hz, in whole cycles. The same cycle counts
// at 50 Hz would stretch it by 6/5.
func TestFiftyHertzKeepsThePitch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0.25, 3.2).Draw(t, "t")
		a, errA := Set(pair(x), Options{})
		b, errB := Set(pair(x), Options{Frequency: 60})
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if !(math.Abs(a.Pitch-b.Pitch) <= 1e-12*b.Pitch) {
			t.Fatalf("pitch %v at 50 Hz, %v at 60 Hz", a.Pitch, b.Pitch)
		}
		for _, s := range []Setting{a, b} {
			if s.OnCycles < 1 || s.OffCycles < 1 || !(math.Abs(s.Pitch-pitchOf(s.Speed, float64(s.OnCycles), float64(s.OffCycles),
				s.Frequency)) <=
				1e-12*s.Pitch) {
				t.Fatalf("%+v", s)
			}
			if len(s.Problems) != 0 {
				t.Fatalf("the table's own seam is not tight: %v", s.Problems)
			}
		}
	})
	if got := pitchOf(10, 3, 3, 50) / pitchOf(10, 3, 3, 60); !(math.Abs(got-1.2) <= 1e-15) {
		t.Errorf("%v", got)
	}
}

func TestGrowsWithThickness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0.24, 3.4).Draw(t, "a")
		b := rapid.Float64Range(a, 3.4).Draw(t, "b")
		x, errA := Set(pair(a), Options{})
		y, errB := Set(pair(b), Options{})
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		for what, p := range map[string][2]float64{"force": {x.Force, y.Force}, "wheel": {x.Wheel, y.Wheel}, "overlap": {x.Overlap, y.Overlap},
			"heat":   {x.Current * x.Current * x.On, y.Current * y.Current * y.On},
			"cycles": {float64(x.OnCycles), float64(y.OnCycles)}} {
			if p[0] > p[1]*(1+1e-12) {
				t.Fatalf("%s: %v at %v mm, %v at %v mm", what, p[0], a, p[1], b)
			}
		}
	})
}

// 0.040 in: one metre takes 1/1.70 min = 35.3 s (67 in/min).
func TestTime(t *testing.T) {
	s, _ := Set(pair(1.016), Options{Frequency: 60})
	if got := s.TimePerMetre(); !(math.Abs(got-35.3) <= 0.05) {
		t.Errorf("%v s for a metre", got)
	}
	if got := s.Time(2000); !(math.Abs(got-2*s.TimePerMetre()) <= 1e-9) {
		t.Errorf("%v s", got)
	}
}

func TestStatedSpeedAndWheel(t *testing.T) {
	base, _ := Set(pair(1), Options{})
	s, err := Set(pair(1), Options{Speed: base.Speed * 2, Wheel: 9})
	if err != nil || s.Speed != base.Speed*2 || !(math.Abs(s.Pitch-2*base.Pitch) <= 1e-9) || s.Wheel != 9 {
		t.Errorf("%+v, %v", s, err)
	}
	if len(s.Problems) != 1 || s.Problems[0].Rule != "roller.pitch.greatest" {
		t.Errorf("twice the speed leaves leaks: %v", s.Problems)
	}
	if s, _ := Set(pair(1), Options{Speed: base.Speed * 2, Loose: true}); len(s.Problems) != 0 {
		t.Errorf("%v", s.Problems)
	}
	// 3.75 root t is the bound: on both sides at 1 mm.
	cycle := base.On + base.Off
	for _, c := range []struct {
		pitch float64
		n     int
	}{{3.75, 0}, {3.76, 1}} {
		if s, _ := Set(pair(1), Options{Speed: c.pitch / cycle}); len(s.Problems) != c.n {
			t.Errorf("pitch %v: %v", c.pitch, s.Problems)
		}
	}
}

func TestRefusals(t *testing.T) {
	said := record.Errors(t)
	nan := math.NaN()
	for _, c := range []struct {
		s    rule.Stack
		o    Options
		kind error
		want string
	}{
		{nil, Options{}, ErrStack, "two sheets"}, {append(pair(1), rule.Sheet{Thickness: 1}), Options{}, ErrStack, "ISO 16433"},
		{pair(nan), Options{}, ErrStack, "two sheets"},
		{pair(0.2), Options{}, ErrOutside, "runs from"}, {pair(4), Options{}, ErrOutside, "runs from"},
		{pair(1), Options{Frequency: 400}, nil, "50 or 60"}, {pair(1), Options{Speed: -1}, nil, "above zero"}, {pair(1), Options{Wheel: nan},
			nil, "above zero"},
	} {
		_, err := Set(c.s, c.o)
		if err == nil || !said.Has(err, c.want) || c.kind != nil && !errors.Is(err, c.kind) {
			t.Errorf("%v %+v: %v, want %q", c.s, c.o, err, c.want)
		}
	}
	edge, err := Set(pair(3.3), Options{})
	if err != nil || !strings.Contains(strings.Join(edge.Notes, " "), "outside the table") {
		t.Errorf("%v, %v", edge.Notes, err)
	}
	coated, _ := Set(rule.Stack{{Thickness: 1, Coating: "Z100"}, {Thickness: 1}}, Options{})
	if !strings.Contains(strings.Join(coated.Notes, " "), "Coated sheet") {
		t.Errorf("%v", coated.Notes)
	}
}

// pitchOf is the distance between nuggets, mm: v (on + off) / f.
func pitchOf(speed, onCycles, offCycles, frequency float64) float64 {
	return speed * (onCycles + offCycles) / frequency
}

// turn is the tightest place of a path.
type turn struct {
	Along, Radius float64
	Concave       bool
}

// turns are the tightest places in the plane of the sheets and out of it.
func turns(path, normals []r3.Vector, closed bool, span float64) (in, out turn, err error) {
	bends, err := Bends(path, normals, closed, span)
	in.Radius, out.Radius = math.Inf(1), math.Inf(1)
	for _, b := range bends {
		if b.Side*in.Radius > 1 {
			in = turn{Along: b.Along, Radius: 1 / b.Side}
		}
		if math.Abs(b.Up)*out.Radius > 1 {
			out = turn{Along: b.Along, Radius: 1 / math.Abs(b.Up), Concave: b.Up > 0}
		}
	}
	return in, out, err
}

// ring is a circle of n points; normal gives the sheets' normal there.
func ring(n int, radius float64, normal func(p r3.Vector) r3.Vector) (path, normals []r3.Vector) {
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p := r3.Vector{X: radius * c, Y: radius * s}
		path, normals = append(path, p), append(normals, normal(p))
	}
	return path, normals
}

func TestTurnsOfACircle(t *testing.T) {
	flat := func(r3.Vector) r3.Vector { return r3.Vector{Z: 2} }
	path, normals := ring(360, 80, flat)
	in, out, err := turns(path, normals, true, 0)
	if err != nil || !(math.Abs(in.Radius-80) <= 0.4) || !math.IsInf(out.Radius, 1) {
		t.Errorf("flat ring: in the plane %+v, out of it %+v, %v", in, out, err)
	}
	inward := func(p r3.Vector) r3.Vector { return p.Mul(-1) }
	path, normals = ring(360, 80, inward)
	in, out, _ = turns(path, normals, true, 0)
	if !(math.Abs(out.Radius-80) <= 0.4) || !out.Concave || in.Radius < 1e6 {
		t.Errorf("hoop: in the plane %+v, out of it %+v", in, out)
	}
	_, out, _ = turns(path, normals, true, 25)
	if !(math.Abs(out.Radius-80) <= 0.4) {
		t.Errorf("the span must not matter on a circle: %+v", out)
	}
}

func TestTurnsOfOtherPaths(t *testing.T) {
	up := func(n int) (v []r3.Vector) {
		for range n {
			v = append(v, r3.Vector{Z: 1})
		}
		return v
	}
	straight := []r3.Vector{{}, {X: 20}, {X: 40}, {X: 60}}
	if in, out, err := turns(straight, up(4), false, 0); err != nil || !math.IsInf(in.Radius, 1) || !math.IsInf(out.Radius, 1) {
		t.Errorf("straight: %+v %+v %v", in, out, err)
	}
	// A square corner with a span of 10 mm: the circle through (10,0), corner and (0,10) has radius 10/root 2.
	corner := []r3.Vector{{X: 50}, {}, {Y: 50}}
	in, _, _ := turns(corner, up(3), false, 10)
	if !(math.Abs(in.Radius-10/math.Sqrt2) <= 1e-9) || !(math.Abs(in.Along-50) <= 1e-9) {
		t.Errorf("corner: %+v", in)
	}
	back := []r3.Vector{{X: 50}, {}, {X: 50}}
	if in, _, _ := turns(back, up(3), false, 10); in.Radius > 5.001 {
		t.Errorf("a path that turns back on itself: %+v", in)
	}
	for _, p := range [][]r3.Vector{nil, {{}}, {{}, {}}, {{}, {}, {}}} {
		if in, _, err := turns(p, up(len(p)), true, 0); err != nil || !math.IsInf(in.Radius, 1) {
			t.Errorf("%v: %+v, %v", p, in, err)
		}
	}
	if _, _, err := turns(straight, up(3), false, 0); err == nil {
		t.Error("too few normals passed")
	}
	if _, _, err := turns(straight, up(4), false, math.NaN()); err == nil {
		t.Error("a span that is no number passed")
	}
}

// The works' own radius stands above the rule book's ten wheel widths.
func TestLeastRadius(t *testing.T) {
	for _, c := range []struct {
		w    Wheel
		want float64
	}{{Wheel{Width: 6.4}, 64}, {Wheel{Width: 6.4, LeastRadius: 50}, 50}, {Wheel{LeastRadius: 50}, 50}} {
		l, err := c.w.Radius(nil)
		if err != nil || !(math.Abs(l.Value-c.want) <= 1e-12) || l.Rule != "roller.radius.least" || l.Unit != "mm" || l.Source == "" {
			t.Errorf("%+v: %+v, %v", c.w, l, err)
		}
	}
	if _, err := (Wheel{}).Radius(nil); err == nil ||
		err.Error() != "rule roller.radius.least: the wheel's width is not known; state it" {
		t.Errorf("a wheel without a width: %v", err)
	}
}

// The table's pitch leaves nuggets of 5 root t overlapping by a quarter at least on every row.
func TestTableIsTight(t *testing.T) {
	table, err := schedule.Named("seam")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range table.Thickness {
		s, _ := Set(pair(x), Options{Frequency: 60})
		if overlap := 1 - s.Pitch/(5*math.Sqrt(x)); overlap < 0.25 {
			t.Errorf("%.3f mm: overlap %.2f", x, overlap)
		}
	}
}

func ExampleSet() {
	s, err := Set(rule.Stack{{Thickness: 0.9}, {Thickness: 0.9}}, Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f N, %d on %d off, %.1f mm/s, nuggets every %.2f mm, %.0f s for 1.8 m (%s)\n", s.Force, s.OnCycles, s.OffCycles, s.Speed,
		s.Pitch, s.Time(1800), s.Certainty)
	// Output: 3551 N, 3 on 3 off, 22.4 mm/s, nuggets every 2.69 mm, 80 s for 1.8 m (memory)
}
