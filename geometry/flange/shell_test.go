package flange_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// dome is a part of a sphere made of panels in rows and columns, each of which laps over its neighbours. The rows
// alternate between two heights, so do the columns: wherever four panels meet, they lie one above the other.
type dome struct {
	rows, columns int
	cells         int     // of each panel's mesh, along and across
	radius        float64 // mm
	lap, rowLap   float64 // mm: of columns, measured at the equator, and of rows
	angle         float64 // radians from row to row, and from column to column, of the panels' middles
	thickness     float64 // the heights are 0 or 1, and 0 or 2 times it
}

// lapAngle is the angle of a lap of rows, or of columns.
func (d dome) lapAngle(rows bool) float64 {
	if rows {
		return d.rowLap / d.radius
	}
	return d.lap / d.radius
}

// edge is the latitude of the lower edge of row i without its lap, or the longitude of a column's left edge.
func (d dome) edge(i, count int) float64 { return (float64(i) - float64(count)/2) * d.angle }

func (d dome) height(row, column int) float64 {
	return d.thickness * float64(2*(row%2)+column%2)
}

func (d dome) place(latitude, longitude, height float64) r3.Vector {
	r := d.radius + height
	return vec(r*math.Cos(latitude)*math.Cos(longitude), r*math.Cos(latitude)*math.Sin(longitude), r*math.Sin(latitude))
}

func (d dome) panel(row, column int, rng *rand.Rand) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(k, first, count int, rows bool) float64 {
		u := float64(k)
		if k > 0 && k < d.cells {
			u += rng.Float64()*0.5 - 0.25
		}
		return d.edge(first, count) - d.lapAngle(rows)/2 + (d.angle+d.lapAngle(rows))*u/float64(d.cells)
	}
	for i := range d.cells + 1 {
		for j := range d.cells + 1 {
			m.Vertices = append(m.Vertices, d.place(at(i, row, d.rows, true), at(j, column, d.columns, false), d.height(row, column)))
		}
	}
	n := int32(d.cells + 1)
	for i := range n - 1 {
		for j := range n - 1 {
			a := i*n + j
			if rng.IntN(2) == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, a + 1, a + n}, [3]int32{a + 1, a + n + 1, a + n})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, a + 1, a + n + 1}, [3]int32{a, a + n + 1, a + n})
			}
		}
	}
	return m
}

// sheets are the panels, row by row.
func (d dome) sheets() []flange.Sheet {
	rng := rand.New(rand.NewPCG(11, 5))
	var out []flange.Sheet
	for row := range d.rows {
		for column := range d.columns {
			out = append(out, flange.Sheet{Name: fmt.Sprintf("%d-%d", row, column), Mesh: d.panel(row, column, rng), Thickness: d.thickness})
		}
	}
	return out
}

// trueWidth is the width of the lap of two neighbours at a place, and the air between them.
func (d dome) trueWidth(a, b int, at r3.Vector) (width, gap float64) {
	if b-a == 1 { // in a row: the lap narrows towards the poles
		return d.lapAngle(false) * math.Hypot(at.X, at.Y), 0
	}
	return d.lapAngle(true) * at.Norm(), d.thickness
}

// seam is the length of the lap of two neighbours in the middle of it, without the corners where it is of four panels.
func (d dome) seam(a, b int) float64 {
	r := d.radius + (d.height(a/d.columns, a%d.columns)+d.height(b/d.columns, b%d.columns))/2
	if b-a == 1 {
		return r * d.free(b/d.columns, d.rows, true)
	}
	return r * d.free(b%d.columns, d.columns, false) * math.Cos(d.edge(b/d.columns, d.rows))
}

// free is the angle over which a panel of the i-th row, or column, has no lap with the next: an outer one has only one.
func (d dome) free(i, count int, rows bool) float64 {
	angle := d.angle - d.lapAngle(rows)
	if i == 0 {
		angle += d.lapAngle(rows)
	}
	if i == count-1 {
		angle += d.lapAngle(rows)
	}
	return angle
}

// A whole shell: every pair of neighbours has its flange and every meeting of four its stack, with the widths, gaps
// and lengths of the closed form, on any number of workers.
func TestShellOfPanels(t *testing.T) {
	d := dome{rows: 3, columns: 3, cells: 48, radius: 900, lap: 16, rowLap: 16, angle: 0.25, thickness: 0.6}
	sheets := d.sheets()
	found := find(t, flange.Options{GapLimit: 0.8, Workers: 1}, sheets...)
	if again := find(t, flange.Options{GapLimit: 0.8, Workers: 3}, sheets...); !reflect.DeepEqual(found, again) {
		t.Error("one worker and three find different flanges")
	}
	pairs, fours := map[[2]int]bool{}, 0
	for _, f := range found.Flanges {
		if len(f.Sheets) == 4 {
			fours++
			continue
		}
		a, b := min(f.Sheets[0], f.Sheets[1]), max(f.Sheets[0], f.Sheets[1])
		if len(f.Sheets) != 2 || b-a != 1 && b-a != d.columns {
			t.Fatalf("sheets %v are no neighbours", f.Sheets)
		}
		pairs[[2]int{a, b}] = true
		if want := d.seam(a, b); !(math.Abs(f.Length/want-1) <= 0.003) || len(f.Open) > 0 || len(f.Holes) > 0 {
			t.Errorf("%v: length %.3f, want %.3f; open %v, holes %v", f.Sheets, f.Length, want, f.Open, f.Holes)
		}
		for i, s := range f.Line {
			width, gap := d.trueWidth(a, b, s.Point)
			if i > 0 && i < len(f.Line)-1 && !(math.Abs(s.Left+s.Right-width) <= 0.1) || !(math.Abs(s.Gap-gap) <= 0.05) {
				t.Errorf("%v at %.1f of %.1f: width %.3f and gap %.3f, want %.3f and %.3f", f.Sheets, s.S, f.Length, s.Left+s.Right, s.Gap, width, gap)
				break
			}
		}
	}
	if want := d.rows*(d.columns-1) + d.columns*(d.rows-1); len(pairs) != want || fours != (d.rows-1)*(d.columns-1) ||
		len(found.Flanges) != want+fours {
		t.Errorf("%d flanges of %d pairs, %d stacks of four; want %d pairs and %d stacks", len(found.Flanges), len(pairs), fours, want,
			(d.rows-1)*(d.columns-1))
	}
	if len(found.Near) != 0 {
		t.Errorf("near: %+v", found.Near)
	}
}

// Whole shells with ever more, and ever finer, panels.
func BenchmarkFind(b *testing.B) {
	for _, d := range []dome{{rows: 2, columns: 2, cells: 32}, {rows: 2, columns: 2, cells: 128}, {rows: 4, columns: 4, cells: 32},
		{rows: 4, columns: 4, cells: 128}} {
		d.radius, d.lap, d.rowLap, d.angle, d.thickness = 1500, 16, 22, 0.25, 0.6
		sheets := d.sheets()
		triangles := 0
		for _, s := range sheets {
			triangles += len(s.Mesh.Triangles)
		}
		b.Run(fmt.Sprintf("%d panels of %d triangles", len(sheets), triangles/len(sheets)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				find(b, flange.Options{GapLimit: 0.8}, sheets...)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(triangles), "ns/triangle")
		})
	}
}

// Ever finer facets in the flange itself, of 200 mm by 18: with a scan's noise, and without.
func BenchmarkFineFacets(b *testing.B) {
	for _, size := range []float64{1.2, 0.6, 0.3} {
		for _, noise := range []float64{0, 0.03} {
			rng := rand.New(rand.NewPCG(4, 4))
			sheets := []flange.Sheet{sheetOf("a", gridded(0, 0, 200, 40, 0, size), 1), sheetOf("b", gridded(0, 22, 200, 62, 1, 1.03*size), 1)}
			facets := 0
			for _, s := range sheets {
				facets += len(s.Mesh.Triangles)
				for i := range s.Mesh.Vertices {
					s.Mesh.Vertices[i].Z += noise * rng.NormFloat64() * size
				}
			}
			b.Run(fmt.Sprintf("%g mm, noise %g of it, %d facets", size, noise, facets), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					find(b, flange.Options{Workers: 1}, sheets...)
				}
				b.ReportMetric(b.Elapsed().Seconds()*1e6/float64(b.N)/float64(facets), "µs/facet")
			})
		}
	}
}

// The line of a straight strip lies in the same plane as many corners of its regular mesh, and runs from end to
// end nevertheless.
func TestRegularMeshes(t *testing.T) {
	for _, length := range []float64{60., 120, 200} {
		for pitch := 1.; pitch < 5; pitch += 0.1 {
			rng := rand.New(rand.NewPCG(1, 2))
			a, b := sweep(straight(length), flat(9, 1.25, 1, 3), pitch, rng), sweep(straight(length), flat(9, 0, -1, 2), 1.31*pitch, rng)
			found := find(t, flange.Options{}, sheetOf("a", a, 0.9), sheetOf("b", b, 1.2))
			if len(found.Flanges) != 1 {
				t.Fatalf("edges of %.1f mm: %d flanges", pitch, len(found.Flanges))
			}
			if f := found.Flanges[0]; !(math.Abs(f.Length-length) <= 0.1) || !(math.Abs(f.Width.Greatest-18) <= 0.05) {
				t.Errorf("edges of %.1f mm: %.1f mm long and %+v wide, want %g and 18", pitch, f.Length, f.Width, length)
			}
		}
	}
}
