package flange_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

func find(t testing.TB, opt flange.Options, sheets ...flange.Sheet) *flange.Found {
	t.Helper()
	found, err := flange.Find(context.Background(), sheets, opt)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func trueLine(c seam, from, to, height float64) *curve.Line {
	var points []r3.Vector
	n := int((to - from) / 0.25)
	last := n
	if c.closed {
		last = n - 1
	}
	for i := 0; i <= last; i++ {
		p, _, axis := c.at(from + (to-from)*float64(i)/float64(n))
		points = append(points, p.Add(axis.Mul(height)))
	}
	return curve.New(points, c.closed)
}

// check holds a flange to its true line: length within 0.3 %, width within 0.2 mm, centre line within 0.3 mm.
func check(t *testing.T, f flange.Flange, truth *curve.Line, width float64) {
	t.Helper()
	if d := math.Abs(f.Length/truth.Length() - 1); d > 0.003 {
		t.Errorf("length %.3f, want %.3f (%.2f %% off)", f.Length, truth.Length(), 100*d)
	}
	if !(math.Abs(f.Width.Least-width) <= 0.2) || !(math.Abs(f.Width.Greatest-width) <= 0.2) {
		t.Errorf("width %+v, want %.3f", f.Width, width)
	}
	worst, where := 0.0, 0.0
	for _, s := range f.Line {
		if _, d := truth.Nearest(s.Point); d > worst {
			worst, where = d, s.S
		}
	}
	if worst > 0.3 {
		t.Errorf("centre line is %.3f mm off, %.1f mm from its start", worst, where)
	}
	t.Logf("length %.3f of %.3f, width %.3f..%.3f of %.3f, centre %.3f mm off, gap %.3f..%.3f, %d points", f.Length, truth.Length(),
		f.Width.Least, f.Width.Greatest, width, worst, f.Gap.Least, f.Gap.Greatest, len(f.Line))
}

func TestClosedForms(t *testing.T) {
	for name, test := range map[string]struct {
		seam     seam
		half     float64
		gap      float64
		pitch    float64
		tolerant bool
	}{
		"straight, long triangles": {straight(600), 8, 0, 40, false},
		"straight, fine":           {straight(200), 9, 0.2, 2, false},
		"ring":                     {ring(90), 8, 0, 6, false},
		"large ring":               {ring(300), 9, 0.1, 10, false},
		"leaning ring":             {coneRing(120, 35), 8, 0, 4, false},
		"helix":                    {helix(250, 200, 0.6), 8, 0.1, 6, false},
		"S":                        {sCurve(150, 1.2), 7.5, 0.3, 6, false},
		"arch":                     {helix(330, 80, 0.5), 7, 0, 8, false},
	} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(1, 2))
			const ta, tb = 0.9, 1.2
			a := sweep(test.seam, flat(test.half, tb/2+ta/2+test.gap, 1, 3), test.pitch, rng)
			b := sweep(test.seam, flat(test.half, 0, -1, 2), test.pitch*1.31, rng)
			found := find(t, flange.Options{}, flange.Sheet{Name: "a", Mesh: a, Thickness: ta}, flange.Sheet{Name: "b", Mesh: b, Thickness: tb})
			if len(found.Flanges) != 1 {
				t.Fatalf("%d flanges found, want 1", len(found.Flanges))
			}
			f := found.Flanges[0]
			if f.Closed != test.seam.closed {
				t.Errorf("closed: %v", f.Closed)
			}
			check(t, f, trueLine(test.seam, 0, test.seam.length, tb/2+test.gap/2), 2*test.half)
			if !(math.Abs(f.Gap.Mean-test.gap) <= 0.03) {
				t.Errorf("gap %+v, want %g", f.Gap, test.gap)
			}
		})
	}
}

func TestThreeSheets(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	c := straight(500)
	a := sweep(c, flat(8, 0.95, 1, 3), 9, rng)
	b := sweep(c, flat(8, 0, -1, 2), 7, rng)
	part := straight(180)
	whole := part.at
	part.at = func(s float64) (r3.Vector, r3.Vector, r3.Vector) { return whole(s + 150) }
	third := sweep(part, flat(8, -1, -1, 2), 5, rng)
	sheet := func(name string, m *mesh.Mesh, t float64) flange.Sheet {
		return flange.Sheet{Name: name, Mesh: m, Thickness: t}
	}
	found := find(t, flange.Options{}, sheet("a", a, 0.9), sheet("b", b, 1), sheet("c", third, 1))
	var two, three int
	for _, f := range found.Flanges {
		first, last := f.Line[0].Point.X, f.Line[len(f.Line)-1].Point.X
		first, last = math.Min(first, last), math.Max(first, last)
		if len(f.Sheets) == 3 {
			three++
			if !(math.Abs(first-150) <= 1) || !(math.Abs(last-330) <= 1) {
				t.Errorf("three sheets from %.2f to %.2f, want 150 to 330", first, last)
			}
		} else {
			two++
		}
		t.Logf("sheets %v from %.2f to %.2f, width %.2f", f.Sheets, first, last, f.Width.Mean)
	}
	if two != 2 || three != 1 {
		t.Errorf("%d stretches of two sheets and %d of three, want 2 and 1", two, three)
	}
}

// A middle sheet that stands out by a millimetre all round does not hide that the strip of three ends at free edges.
func TestMiddleSheetWiderThanTheFlange(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	c := straight(250)
	long := straight(252)
	long.at = func(s float64) (r3.Vector, r3.Vector, r3.Vector) { return c.at(s - 1) }
	upper := sweep(c, flat(8, 1.0, 1, 3), 9, rng)
	middle := sweep(long, profile{{9, 0}, {-30, 0}, {-60, 0}}, 20, rng)
	lower := sweep(c, flat(8, -1.0, -1, 2), 7, rng)
	for _, order := range [][3]*mesh.Mesh{{upper, middle, lower}, {middle, upper, lower}, {lower, upper, middle}} {
		var sheets []flange.Sheet
		for _, m := range order {
			sheets = append(sheets, flange.Sheet{Mesh: m, Thickness: 1})
		}
		found := find(t, flange.Options{}, sheets...)
		if len(found.Flanges) != 1 || len(found.Flanges[0].Sheets) != 3 {
			t.Fatalf("%d flanges, want one of three sheets", len(found.Flanges))
		}
		check(t, found.Flanges[0], trueLine(c, 0, 250, 0), 16)
		if s := found.Flanges[0].Line[60]; s.LeftEdge != flange.FreeEdge && s.RightEdge != flange.FreeEdge {
			t.Errorf("edges %q and %q, want a free edge on one side", s.LeftEdge, s.RightEdge)
		}
	}
}
