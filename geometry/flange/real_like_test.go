package flange_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"seamwright/geometry/flange"
)

// The sheet count changes along a line: a third sheet lies on two others from 61 to 152 mm. Its stretch starts and
// ends there, and the two-sheet stretches take up the rest.
func TestSheetCountChangesAlongALine(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	c := straight(240)
	a := sheetOf("a", sweep(c, flat(9, 1, 1, 3), 8, rng), 1)
	b := sheetOf("b", sweep(c, flat(9, 0, -1, 2), 11, rng), 1)
	patch := sheetOf("c", plate(61, -9, 152, 9, 2), 1)
	found := find(t, flange.Options{}, a, b, patch)
	ends := map[int][]float64{}
	for _, f := range found.Flanges {
		for _, s := range []flange.LinePoint{f.Line[0], f.Line[len(f.Line)-1]} {
			ends[len(f.Sheets)] = append(ends[len(f.Sheets)], s.Point.X)
		}
	}
	for n, want := range map[int][]float64{2: {0, 61, 152, 240}, 3: {61, 152}} {
		slices.Sort(ends[n])
		if len(ends[n]) != len(want) {
			t.Errorf("stacks of %d sheets end at %v, want %v", n, ends[n], want)
			continue
		}
		for i := range want {
			if !(math.Abs(ends[n][i]-want[i]) <= 0.5) {
				t.Errorf("stacks of %d sheets end at %.2f, want %v", n, ends[n], want)
			}
		}
	}
}

// A middle sheet that is wider than the flange on both sides does not widen it.
func TestMiddleSheetIsWider(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 8))
	c := straight(200)
	a := sheetOf("a", sweep(c, profile{{8, 1}, {0, 1}, {-8, 1}}, 8, rng), 1)
	b := sheetOf("b", sweep(c, profile{{25, 0}, {4, 0}, {-30, 0}}, 11, rng), 1)
	d := sheetOf("d", sweep(c, profile{{8, -1}, {0, -1}, {-8, -1}}, 9, rng), 1)
	f := one(t, a, b, d)
	if len(f.Sheets) != 3 || f.Sheets[1] != 1 {
		t.Errorf("sheets %v, want the wide one amid three", f.Sheets)
	}
	check(t, f, trueLine(c, 0, 200, 0), 16)
}

// Plates 4 mm apart are said, not joined, whether or not their thicknesses are known.
func TestFourMillimetresApart(t *testing.T) {
	for _, thickness := range []float64{0, 1} {
		found := find(t, flange.Options{}, sheetOf("a", plate(0, 0, 200, 60, 0), thickness), sheetOf("b", plate(0, 0, 200, 60, 4), thickness))
		if len(found.Flanges) != 0 || len(found.Near) != 1 || !(math.Abs(found.Near[0].Distance-4) <= 1e-9) {
			t.Errorf("thickness %g: %d flanges, near %+v", thickness, len(found.Flanges), found.Near)
		}
	}
}

// An inch file read as inches gives the strip in millimetres; read as millimetres it would be a strip of nothing.
func TestInchPanels(t *testing.T) {
	const inch = 25.4
	scale := func(s flange.Sheet, by float64) flange.Sheet {
		m := *s.Mesh
		m.Vertices = slices.Clone(m.Vertices)
		for i, v := range m.Vertices {
			m.Vertices[i] = v.Mul(by)
		}
		s.Mesh = &m
		return s
	}
	a, b := pair(rand.New(rand.NewPCG(3, 4)))
	want := one(t, a, b)
	in := one(t, scale(scale(a, 1/inch), inch), scale(scale(b, 1/inch), inch))
	if !(math.Abs(in.Length-want.Length) <= 1e-6) || !(math.Abs(in.Area-want.Area) <= 1e-3) {
		t.Errorf("length %.6f and %.6f", in.Length, want.Length)
	}
	if found := find(t, flange.Options{}, scale(a, 1/inch), scale(b, 1/inch)); len(found.Flanges) != 0 {
		t.Errorf("%d flanges of a strip 0.6 mm wide", len(found.Flanges))
	}
}

// A stretch that is locally narrow, without a notch's steep ends, is followed by the line and told by TooNarrow.
func TestLocallyNarrow(t *testing.T) {
	c := straight(240)
	a := sweep(c, profile{{9, 1}, {3, 1}, {-9, 1}}, 4, rand.New(rand.NewPCG(2, 2)))
	for i, v := range a.Vertices {
		if v.Y > 8 {
			a.Vertices[i].Y -= 5 * math.Exp(-math.Pow((v.X-120)/35, 2))
		}
	}
	f := one(t, sheetOf("a", a, 1), sheetOf("b", plate(-5, -40, 245, 40, 0), 1))
	narrow := f.TooNarrow(flange.Need{FreeEdge: 8}) // where the edge is set back by more than 2 mm
	half := 35 * math.Sqrt(math.Log(5./2))
	if len(narrow) != 1 || !(math.Abs(narrow[0].By-3) <= 0.1) || !(math.Abs(narrow[0].To-narrow[0].From-2*half) <= 1.5) ||
		len(f.Notches) != 0 {
		t.Errorf("narrow %+v, want %.1f mm by 3; notches %+v", narrow, 2*half, f.Notches)
	}
}
