package flange_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// one is the only strip of the sheets.
func one(t *testing.T, sheets ...flange.Sheet) flange.Flange {
	t.Helper()
	found := find(t, flange.Options{}, sheets...)
	if len(found.Flanges) != 1 {
		t.Fatalf("%d flanges, want 1", len(found.Flanges))
	}
	return found.Flanges[0]
}

// A notch in the upper sheet's edge is listed with its place, width and depth, and the line runs straight past it. The
// stretch that is too narrow is told to a step of the line at both ends.
func TestNotch(t *testing.T) {
	for _, test := range []struct{ at, wide, deep float64 }{{60, 12, 6}, {61.3, 7, 4}, {40, 25, 8}, {80, 3, 5}} {
		f := one(t, sheetOf("a", notched(150, 18, test.at, test.wide, test.deep), 1), sheetOf("b", plate(-3, -40, 155, 30, 1.02), 1.1))
		if len(f.Notches) != 1 {
			t.Errorf("%+v: notches %+v", test, f.Notches)
			continue
		}
		n := f.Notches[0]
		from, to := n.From, n.To
		if f.Line[0].Point.X > 75 {
			from, to = f.Length-n.To, f.Length-n.From
		}
		if !(math.Abs(from-test.at) <= 0.2) || !(math.Abs(to-test.at-test.wide) <= 0.2) || !(math.Abs(n.Depth-test.deep) <= 0.05) {
			t.Errorf("%+v: from %.3f to %.3f, %.3f deep", test, from, to, n.Depth)
		}
		for _, s := range f.Line {
			if !(math.Abs(s.Point.Y-9) <= 0.05) {
				t.Errorf("%+v: the weld line swerves to %.3f at %.1f", test, s.Point.Y, s.S)
				break
			}
		}
		narrow := f.TooNarrow(flange.Need{FreeEdge: 8})
		if least := 18 - test.deep; least < 16 && test.wide > 4 && (len(narrow) != 1 || !(math.Abs(narrow[0].By-(16-least)) <= 0.05) ||
			!(math.Abs(narrow[0].To-narrow[0].From-test.wide) <= 4)) {
			t.Errorf("%+v: too narrow at %+v", test, narrow)
		}
	}
}

// A notch's depth is from where its side would run there, in a strip that tapers as well.
func TestNotchOfATaper(t *testing.T) {
	for _, test := range []struct{ at, wide, deep float64 }{{40, 12, 6}, {41.1, 9, 5}, {60, 12, 8}, {61.3, 12, 8}} {
		a := notched(150, 18, test.at, test.wide, test.deep)
		for i, v := range a.Vertices {
			a.Vertices[i].Y = v.Y * (1 - v.X/200)
		}
		f := one(t, sheetOf("a", a, 1), sheetOf("b", plate(-3, -40, 155, 30, 1.02), 1.1))
		if len(f.Notches) != 1 {
			t.Errorf("%+v: notches %+v", test, f.Notches)
			continue
		}
		if n, want := f.Notches[0], test.deep*(1-test.at/200); !(math.Abs(n.Depth-want) <= 0.02) {
			t.Errorf("%+v: from %.3f to %.3f, %.3f deep, want %.3f", test, n.From, n.To, n.Depth, want)
		}
	}
}

// A strip that tapers from 20 to 12 mm is too narrow for 8 mm on both sides from its middle on, in the end by 4 mm.
func TestTooNarrow(t *testing.T) {
	c := straight(200)
	a := sweep(c, profile{{8, 1}, {-8, 1}}, 10, rand.New(rand.NewPCG(1, 2)))
	for i, v := range a.Vertices {
		a.Vertices[i].Y = v.Y / 8 * (10 - v.X/50)
	}
	f := one(t, sheetOf("a", a, 1), sheetOf("b", plate(-9, -40, 209, 40, 0), 1))
	for _, need := range []float64{8, 7.77, 6.41} { // met at a point of the line, and between two
		to := 200 - 50*(10-need) // counted from the narrow end
		narrow := f.TooNarrow(flange.Need{FreeEdge: need})
		if len(narrow) != 1 || narrow[0].From != 0 || !(math.Abs(narrow[0].To-to) <= 0.15) ||
			!(math.Abs(narrow[0].By-2*need+12) <= 0.1) {
			t.Fatalf("%g mm: %+v, want to %.2f", need, narrow, to)
		}
		if x := narrow[0].Place.X; !(math.Abs(x-200) <= 1) {
			t.Errorf("narrowest at x = %.1f, want 200", x)
		}
	}
	if wide := f.TooNarrow(flange.Need{FreeEdge: 5.9}); len(wide) != 0 {
		t.Errorf("%+v though there is room", wide)
	}
}

// A line at a distance from a sheet's free edge: on a ring and on a flange bent across its length, in closed form.
func TestLineFromEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	t.Run("ring", func(t *testing.T) { // the free edge of both lies 8 mm inward, at a radius of 82
		c := ring(90)
		f := one(t, sheetOf("a", sweep(c, flat(8, 1, 1, 3), 2, rng), 1), sheetOf("b", sweep(c, profile{{6, 0}, {0, 0}, {-20, 0}}, 2.5, rng), 1))
		sheet := f.Line[0].LeftSheet // the left of the way, to the middle, is b's edge at a radius of 84
		line, err := f.LineFromEdge(sheet, 5)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range line {
			if d := math.Hypot(s.Point.X, s.Point.Y) - 89; !(math.Abs(d) <= 0.05) {
				t.Fatalf("point %d is %.3f mm beside a radius of 89", i, d)
			}
			if !(math.Abs(s.Left-5) <= 0.05) || !(math.Abs(s.Along.Dot(s.Across)) <= 1e-9) || !(s.Axis.Cross(s.Along).Sub(s.Across).Norm() <= 1e-9) {
				t.Fatalf("point %d: %+v", i, s)
			}
		}
		if last := line[len(line)-1]; !(math.Abs(last.S+last.Point.Sub(line[0].Point).Norm()-2*math.Pi*89) <= 0.5) {
			t.Errorf("length %.2f", last.S)
		}
		if _, err := f.LineFromEdge(7, 5); !errors.Is(err, flange.ErrNoEdge) {
			t.Errorf("from the edge of a sheet that is not there: %v", err)
		}
		if _, err := f.LineFromEdge(sheet, 50); err == nil {
			t.Error("50 mm from the edge of a strip of 14 mm")
		}
	})
	t.Run("across a cylinder", func(t *testing.T) { // the strip runs along the cylinder's axis, and bows across
		const radius = 60.
		s := cylinderSurface(radius)
		c := on(s, func(u float64) (float64, float64) { return 0, 150 * u }, false)
		f := one(t, sheetOf("a", form(s, c, 8, 1, 1, 2, rng), 1), sheetOf("b", form(s, c, 8, 0, -1, 2.6, rng), 1))
		for _, sheet := range []int{0, 1} {
			line, err := f.LineFromEdge(sheet, 4)
			if errors.Is(err, flange.ErrNoEdge) {
				continue // both edges lie on each other: one of the two is said to be there
			}
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range line {
				if off := math.Hypot(s.Point.X, s.Point.Z) - radius - 0.5; !(math.Abs(off) <= 0.03) {
					t.Fatalf("%.3f mm off the faying surface", off)
				}
				if arc := math.Abs(math.Atan2(s.Point.X, s.Point.Z)) * (radius + 0.5); !(math.Abs(arc-4*(radius+.5)/radius) <= 0.1) {
					t.Fatalf("%.3f mm from the middle, want 4", arc)
				}
			}
		}
	})
}

// Legs of 16 mm that meet: the lines end at one place, and are as long as the legs.
func TestBranches(t *testing.T) {
	for name, angles := range map[string][]float64{"T": {0, 90, 180}, "Y": {90, 210, 330}, "skew": {0, 75, 180}} {
		t.Run(name, func(t *testing.T) {
			const leg = 80.
			var outline []r3.Vector
			for i, a := range angles { // to the left of each leg, out and back on the next
				b := angles[(i+1)%len(angles)]
				dir := func(deg float64) r3.Vector { sin, cos := math.Sincos(deg * math.Pi / 180); return vec(cos, sin, 0) }
				u, w := dir(a), dir(b)
				left, right := vec(-u.Y, u.X, 0).Mul(8), vec(w.Y, -w.X, 0).Mul(8)
				outline = append(outline, u.Mul(leg).Sub(left), u.Mul(leg).Add(left))
				if turn := u.Cross(w).Z; !(math.Abs(turn) <= 1e-9) { // where the left of one leg meets the right of the next
					along := right.Sub(left).Cross(w).Z / turn
					outline = append(outline, left.Add(u.Mul(along)))
				}
			}
			runs, err := flange.FromOutline(context.Background(), [][]r3.Vector{outline}, flange.Options{})
			if err != nil || len(runs) != 3 {
				t.Fatalf("%d runs, %v", len(runs), err)
			}
			for _, f := range runs {
				if !(math.Abs(f.Length-leg) <= 0.5) || !(math.Abs(f.Width.Mean-16) <= 0.2) || !(math.Abs(f.Width.Greatest-16) <= 0.3) {
					t.Errorf("length %.2f, width %+v", f.Length, f.Width)
				}
				if _, d := curve.New(points(f), false).Nearest(vec(0, 0, 0)); d > 0.3 {
					t.Errorf("ends %.3f mm beside the junction", d)
				}
			}
		})
	}
}

func ExampleFlange_TooNarrow() {
	loop := []r3.Vector{vec(0, 0, 0), vec(200, 0, 0), vec(200, 14, 0), vec(0, 14, 0)}
	strips, _ := flange.FromOutline(context.Background(), [][]r3.Vector{loop}, flange.Options{})
	for _, n := range strips[0].TooNarrow(flange.Need{FreeEdge: 7.5}) {
		fmt.Printf("from %.0f to %.0f mm by %.1f mm\n", n.From, n.To, n.By)
	}
	// Output: from 0 to 200 mm by 1.0 mm
}

// Two sheets that end together: the line is counted from the edge of either, on either side.
func TestLineFromCoincidentEdges(t *testing.T) {
	a, b := plate(0, 0, 200, 20, 0), plate(0, -30, 200, 20, 1)
	third := plate(0, -3, 200, 20.03, 2)
	for _, sheets := range [][]flange.Sheet{{sheetOf("a", a, 1), sheetOf("b", b, 1)}, {sheetOf("b", b, 1), sheetOf("a", a, 1)},
		{sheetOf("a", a, 1), sheetOf("b", b, 1), sheetOf("c", third, 1)}} {
		f := one(t, sheets...)
		for sheet := range sheets {
			line, err := f.LineFromEdge(sheet, 7)
			if err != nil {
				t.Errorf("%d sheets, from the edge of %s: %v", len(sheets), sheets[sheet].Name, err)
				continue
			}
			for _, s := range line {
				if !(math.Abs(s.Point.Y-13) <= 0.05) && (sheets[sheet].Name != "a" || !(math.Abs(s.Point.Y-7) <= 0.05)) {
					t.Fatalf("%d sheets, from the edge of %s: the line lies at %.3f, want 13", len(sheets), sheets[sheet].Name, s.Point.Y)
				}
			}
		}
	}
	// An edge that is set back from the strip's by a millimetre is not the strip's.
	f := one(t, sheetOf("a", plate(0, 0, 200, 20, 0), 1), sheetOf("b", plate(0, -30, 200, 21, 1), 1))
	if _, err := f.LineFromEdge(1, 7); !errors.Is(err, flange.ErrNoEdge) {
		t.Errorf("from an edge a millimetre beyond the strip: %v", err)
	}
}

// What is counted along the middle line is counted along the line that takes its place: on a ring the one beside it is
// shorter or longer.
func TestAlongAnotherLine(t *testing.T) {
	quarter := sector(100, 120, 90)
	f := one(t, sheetOf("a", quarter, 1), sheetOf("b", gridded(-50, -50, 150, 150, 1, 11), 1))
	f.Notches = []flange.Notch{{From: f.Length / 3, To: f.Length / 2}}
	f.Open = []flange.OpenFit{{From: f.Length / 4, To: f.Length}}
	line, err := f.LineFromEdge(0, 4)
	if err != nil {
		t.Fatal(err)
	}
	moved := f.Along(line)
	share := moved.Length / f.Length
	if math.Abs(share-1) < 0.04 {
		t.Fatalf("the other line is as long: %.1f and %.1f", moved.Length, f.Length)
	}
	n, o := moved.Notches[0], moved.Open[0]
	for _, c := range [][2]float64{{n.From, moved.Length / 3}, {n.To, moved.Length / 2}, {o.From, moved.Length / 4}, {o.To, moved.Length}} {
		if !(math.Abs(c[0]-c[1]) <= 0.2) {
			t.Errorf("counted to %.2f along the new line, want %.2f", c[0], c[1])
		}
	}
	if f.Notches[0].From != f.Length/3 {
		t.Error("the flange itself was changed")
	}
}

// sector is a part of a ring about the origin over an angle in degrees.
func sector(inner, outer, degrees float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	const n = 60
	for i := range n + 1 {
		sin, cos := math.Sincos(degrees * math.Pi / 180 * float64(i) / n)
		m.Vertices = append(m.Vertices, vec(inner*cos, inner*sin, 0), vec(outer*cos, outer*sin, 0))
		if k := int32(2 * i); i < n {
			m.Triangles = append(m.Triangles, [3]int32{k, k + 1, k + 3}, [3]int32{k, k + 3, k + 2})
		}
	}
	return m
}

// A notch is on the side of the line on which its corners lie, whichever sheet comes first.
func TestNotchIsOnItsSide(t *testing.T) {
	a, b := sheetOf("a", notched(150, 18, 60, 12, 6), 1), sheetOf("b", plate(-3, -40, 155, 30, 1.02), 1.1)
	for _, sheets := range [][]flange.Sheet{{a, b}, {b, a}} {
		f := one(t, sheets...)
		if len(f.Notches) != 1 {
			t.Fatalf("%d notches", len(f.Notches))
		}
		n := f.Notches[0]
		near := flange.Nearest(f.Line, n.Center)
		if left := n.Center.Sub(near.Point).Dot(near.Across) > 0; left != n.Left {
			t.Errorf("sheets %s first: the notch lies left %v, told left %v", sheets[0].Name, left, n.Left)
		}
	}
}
