package flange_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// slotted is a strip of 300 by 18 mm, or wider, in cells of about 6 mm, without the openings, each from x0, y0 to x1, y1.
func slotted(width float64, openings [][4]float64) *mesh.Mesh {
	var xs, ys []float64
	for x := 0.; x <= 300; x += 6 {
		xs = append(xs, x)
	}
	for y := 0.; y <= width; y += 6 {
		ys = append(ys, y)
	}
	for _, o := range openings {
		xs, ys = append(xs, o[0], o[2]), append(ys, o[1], o[3])
	}
	slices.Sort(xs)
	slices.Sort(ys)
	return rectangles(slices.Compact(xs), slices.Compact(ys), func(x, y float64) bool {
		return !slices.ContainsFunc(openings, func(o [4]float64) bool { return x > o[0] && x < o[2] && y > o[1] && y < o[3] })
	})
}

// rounded lays a strip along x round a circle of 100 mm, its free edge inside.
func rounded(m *mesh.Mesh) *mesh.Mesh {
	for i, v := range m.Vertices {
		sin, cos := math.Sincos(v.X / 100)
		m.Vertices[i] = vec(cos, sin, 0).Mul(100 + v.Y).Add(vec(0, 0, v.Z))
	}
	return m
}

// The weld line runs straight over slots that leave no metal under it, and the strip is as narrow there as the metal
// that is left.
func TestDeepSlots(t *testing.T) {
	for _, test := range []struct{ wide, deep float64 }{{4, 5}, {4, 8.7}, {4, 9.3}, {4, 12}, {4, 15}, {10, 8.7}, {10, 12}, {10, 15}, {14, 12},
		{18, 11}} {
		for _, isBent := range []bool{false, true} {
			t.Run(fmt.Sprintf("%g wide, %g deep, bent %v", test.wide, test.deep, isBent), func(t *testing.T) {
				var slots [][4]float64
				for x := 31.3; x < 270; x += 60 {
					slots = append(slots, [4]float64{x, 0, x + test.wide, test.deep})
				}
				a, b, radius := slotted(18, slots), slotted(18, nil), math.Inf(1)
				if isBent {
					a, b, radius = rounded(a), rounded(b), 109
				}
				for i := range a.Vertices {
					a.Vertices[i].Z++
				}
				f := one(t, sheetOf("a", a, 1), sheetOf("b", b, 1))
				beside := func(p r3.Vector) float64 {
					if isBent {
						return math.Hypot(p.X, p.Y) - radius
					}
					return p.Y - 9
				}
				for _, s := range f.Line {
					if d := beside(s.Point); !(math.Abs(d) <= 0.1+test.wide*test.wide/1600) { // the slot is closed straight
						t.Fatalf("at %.1f of %.1f the line is %.2f mm beside the middle", s.S, f.Length, d)
					}
				}
				if len(f.Notches) != len(slots) || !(math.Abs(f.Width.Least-(18-test.deep)) <= 0.1) {
					t.Errorf("%d notches, want %d; width %+v", len(f.Notches), len(slots), f.Width)
				}
				for _, n := range f.Notches {
					wide := n.To - n.From // along the line, which is longer than the side round a bend
					if wide < test.wide-0.5 || wide > test.wide*1.09+0.5 || !(math.Abs(n.Depth-test.deep) <= 0.25) {
						t.Errorf("notch %+v", n)
					}
				}
			})
		}
	}
}

// Slots in a flange whose other side is a bend.
func TestDeepSlotsBesideABend(t *testing.T) {
	for _, deep := range []float64{9.3, 9.31, 9.4, 12, 15} { // the first two where the line probes for metal beside it
		var slots [][4]float64
		for x := 31.3; x < 270; x += 60 {
			slots = append(slots, [4]float64{x, 0, x + 4, deep})
		}
		a := slotted(42, slots)
		for i, v := range a.Vertices {
			a.Vertices[i] = vec(v.X, math.Min(v.Y, 18), 1+math.Max(0, v.Y-18))
		}
		f := one(t, sheetOf("a", a, 1), sheetOf("b", plate(-5, -40, 310, 18, 0), 1))
		for _, s := range f.Line {
			if !(math.Abs(s.Point.Y-9) <= 0.05) {
				t.Fatalf("%g deep: at %.1f the line lies at %.2f", deep, s.S, s.Point.Y)
			}
		}
		if len(f.Notches) != len(slots) || !(math.Abs(f.Width.Least-(18-deep)) <= 0.1) ||
			!(math.Abs(f.Area-5400+4*deep*float64(len(slots))) <= 10) {
			t.Errorf("%g deep: %d notches, width %+v, area %.1f", deep, len(f.Notches), f.Width, f.Area)
		}
	}
}

// Openings along a strip, and large ones, do not part its line in two.
func TestLongAndLargeHoles(t *testing.T) {
	for name, size := range map[string][2]float64{"long": {40, 4}, "longer": {90, 3}, "large": {13, 13}, "small": {4, 4}} {
		var holes [][4]float64
		for x := 20.; x < 200; x += 96 {
			holes = append(holes, [4]float64{x, 9 - size[1]/2, x + size[0], 9 + size[1]/2})
		}
		f := one(t, sheetOf("a", slotted(18, holes), 1), sheetOf("b", plate(0, 0, 300, 40, 1), 1))
		area := 5400 - 2*size[0]*size[1]
		if !(math.Abs(f.Length-300) <= 0.3) || len(f.Holes) != 2 || !(math.Abs(f.Area-area) <= 1) || !(math.Abs(f.Width.Least-18) <= 0.05) {
			t.Errorf("%s: length %.2f, %d holes, area %.1f of %.1f, width %+v", name, f.Length, len(f.Holes), f.Area, area, f.Width)
		}
	}
}
