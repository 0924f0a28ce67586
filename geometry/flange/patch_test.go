package flange_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// folded is a sheet along x, 12 mm of which are folded back over a sheet at z = 0 that ends at y = 0: its layers
// lie at -1 and +1, its own panel goes on to y = deep.
func folded(length, deep float64, rng *rand.Rand) *mesh.Mesh {
	p := profile{{12, 1}, {6, 1}, {0, 1}}
	for i := 1; i < 6; i++ {
		sin, cos := math.Sincos(math.Pi * float64(i) / 6)
		p = append(p, [2]float64{-sin, cos})
	}
	return sweep(straight(length), append(p, [2]float64{0, -1}, [2]float64{12, -1}, [2]float64{deep, -1}), 9, rng)
}

// A hem is one strip, told from a flange and from loose strips, whichever of the two sheets is the larger.
func TestHem(t *testing.T) {
	for _, deep := range []float64{13, 120} {
		rng := rand.New(rand.NewPCG(5, 5))
		outer, inner := sheetOf("outer", folded(200, deep, rng), 1), sheetOf("inner", plate(0, 0.2, 200, 80, 0), 1)
		for _, sheets := range [][]flange.Sheet{{outer, inner}, {inner, outer}} {
			found := find(t, flange.Options{}, sheets...)
			hems := 0
			for _, f := range found.Flanges {
				t.Logf("deep %g: %v hem %v, length %.1f, width %.2f", deep, f.Sheets, f.Hem, f.Length, f.Width.Mean)
				if !f.Hem {
					continue
				}
				hems++
				if len(f.Sheets) != 3 || !(math.Abs(f.Length-200) <= 0.5) || !(math.Abs(f.Width.Mean-11.8) <= 0.2) {
					t.Errorf("%v, length %.2f, width %+v", f.Sheets, f.Length, f.Width)
				}
			}
			if hems != 1 {
				t.Errorf("%d hems, want 1", hems)
			}
		}
	}
	strips := joined(plate(0, 0, 300, 18, 1), plate(0, 0, 300, 18, -1))
	if f := one(t, sheetOf("blade", plate(0, 0, 300, 60, 0), 1), sheetOf("strips", strips, 1)); f.Hem {
		t.Error("loose strips are called a hem")
	}
}

// keeping is the same distance from whatever ends a patch.
func keeping(distance float64) flange.Keep {
	return func(flange.Edge, []int) float64 { return distance }
}

// A doubler of 260 by 100 mm is a patch, and is welded in rows.
func TestPatchInRows(t *testing.T) {
	f := one(t, sheetOf("doubler", plate(0, 0, 260, 100, 1), 1), sheetOf("floor", plate(-50, -50, 310, 150, 0), 1))
	if !f.Patch || f.Hem {
		t.Fatalf("patch %v, hem %v", f.Patch, f.Hem)
	}
	inRows := func(pitch, edge float64) [][]flange.LinePoint {
		t.Helper()
		rows, err := f.Rows(pitch, keeping(edge))
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	rows := inRows(35, 10)
	if len(rows) != 4 {
		t.Fatalf("%d rows over 80 mm at 35 mm at most, want 4", len(rows))
	}
	seen := map[int]bool{}
	for _, row := range rows {
		y := row[0].Point.Y
		seen[int(math.Round(y*3))] = true
		for _, s := range row {
			if !(math.Abs(s.Point.Y-y) <= 0.05) || !(math.Abs(s.Point.Z-.5) <= 1e-6) {
				t.Fatalf("a row leaves y = %.2f at %v", y, s.Point)
			}
		}
		if last := row[len(row)-1]; !(math.Abs(last.S-260) <= 0.1) {
			t.Errorf("a row is %.2f mm long, want 260", last.S)
		}
	}
	for _, y := range []float64{10, 10 + 80./3, 90 - 80./3, 90} {
		if !seen[int(math.Round(y*3))] {
			t.Errorf("no row at y = %.1f", y)
		}
	}
	if got := inRows(200, 10); len(got) != 2 {
		t.Errorf("%d rows at 200 mm, want one along either side", len(got))
	}
	if got := inRows(30, 50); len(got) != 1 {
		t.Errorf("%d rows without room, want 1", len(got))
	}
}

// An L is flat, but no strip: its rows run straight along its longer side and each ends where the metal does.
func TestPatchOfLInRows(t *testing.T) {
	l := rectangles([]float64{0, 70, 200}, []float64{0, 80, 160}, func(x, y float64) bool { return x < 70 || y < 80 })
	for i := range l.Vertices {
		l.Vertices[i].Z = 1
	}
	found := find(t, flange.Options{}, sheetOf("l", l, 1), sheetOf("floor", plate(-50, -50, 250, 210, 0), 1))
	for _, f := range found.Flanges {
		if !f.Patch {
			continue
		}
		rows, err := f.Rows(40, keeping(10))
		if err != nil || len(rows) < 4 {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		for _, row := range rows {
			y, length := row[0].Point.Y, row[len(row)-1].S
			if want := map[bool]float64{true: 200, false: 70}[y < 80]; !(math.Abs(length-want) <= 0.1) {
				t.Errorf("the row at y = %.1f is %.2f mm long, want %g", y, length, want)
			}
			for _, s := range row {
				if s.Point.Y-y > 0.01 || s.Left < 9.9 || s.Right < 9.9 {
					t.Fatalf("the row at y = %.1f leaves it at %v, sides %.2f and %.2f", y, s.Point, s.Left, s.Right)
				}
			}
		}
		return
	}
	t.Fatal("no patch")
}

// A broad lap: sheet a ends on one side, b on the other. The outermost row stands where it is stated from a's edge alone,
// whether the lap is flat or bent.
func TestRowsFromOneEdge(t *testing.T) {
	for _, radius := range []float64{0, 900} {
		onto := func(m *mesh.Mesh) *mesh.Mesh {
			for i, v := range m.Vertices {
				if sin, cos := math.Sincos(v.X / max(radius, 1)); radius > 0 {
					m.Vertices[i] = vec((radius+v.Z)*sin, v.Y, (radius+v.Z)*cos)
				}
			}
			return m
		}
		a, b := sheetOf("a", onto(gridded(0, -200, 300, 90, 0, 6)), 1), sheetOf("b", onto(gridded(0, 0, 300, 300, 1, 7)), 1)
		f := one(t, a, b)
		for sheet, edge := range []float64{90, 0} {
			seen := 0
			rows, err := f.Rows(30, func(side flange.Edge, sheets []int) float64 {
				if side == flange.FreeEdge && slices.Contains(sheets, sheet) {
					seen++
					return 17
				}
				return 8
			})
			if err != nil || seen != 1 || len(rows) != 4 {
				t.Fatalf("radius %g: %d rows, %d sides of %d, %v", radius, len(rows), seen, sheet, err)
			}
			least, other := math.Inf(1), math.Inf(1)
			for _, row := range rows {
				for _, s := range row {
					least, other = min(least, math.Abs(s.Point.Y-edge)), min(other, math.Abs(s.Point.Y-(90-edge)))
				}
			}
			if !(math.Abs(least-17) <= 0.1) || !(math.Abs(other-8) <= 0.1) {
				t.Errorf("radius %g, from the edge of sheet %d: the outermost rows are %.2f and %.2f mm from the sides, want 17 and 8", radius, sheet,
					least, other)
			}
		}
	}
}
