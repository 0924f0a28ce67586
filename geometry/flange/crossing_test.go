package flange_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// turnedBy is a mesh turned about z by an angle, then about x by a third of it, and moved.
func turnedBy(m *mesh.Mesh, angle float64) *mesh.Mesh {
	out := &mesh.Mesh{Triangles: m.Triangles}
	s, c := math.Sincos(angle)
	st, ct := math.Sincos(angle / 3)
	for _, v := range m.Vertices {
		x, y := c*v.X-s*v.Y, s*v.X+c*v.Y
		out.Vertices = append(out.Vertices, vec(x+11*angle, ct*y-st*v.Z-7*angle, st*y+ct*v.Z))
	}
	return out
}

// gridded is a plate cut into quads of about the pitch.
func gridded(x0, y0, x1, y1, z, pitch float64) *mesh.Mesh {
	nx, ny := int(math.Ceil((x1-x0)/pitch)), int(math.Ceil((y1-y0)/pitch))
	m := &mesh.Mesh{}
	for i := range nx + 1 {
		for j := range ny + 1 {
			m.Vertices = append(m.Vertices, vec(x0+(x1-x0)*float64(i)/float64(nx), y0+(y1-y0)*float64(j)/float64(ny), z))
		}
	}
	n := int32(ny + 1)
	for i := range int32(nx) {
		for j := range int32(ny) {
			a := i*n + j
			m.Triangles = append(m.Triangles, [3]int32{a, a + n, a + n + 1}, [3]int32{a, a + n + 1, a + 1})
		}
	}
	return m
}

// crossing is four panels of 1 mm that meet at a corner, where laps of the given widths along x and y cross: all four
// lie on each other there.
func crossing(wide, high, angle, pitch float64) []flange.Sheet {
	var out []flange.Sheet
	for k := range 4 {
		x0, x1, y0, y1 := -100-wide/2, wide/2, -120-high/2, high/2
		if k%2 == 1 {
			x0, x1 = -wide/2, 90+wide/2
		}
		if k >= 2 {
			y0, y1 = -high/2, 110+high/2
		}
		m := gridded(x0, y0, x1, y1, float64(k), pitch)
		out = append(out, flange.Sheet{Name: fmt.Sprint(k), Mesh: turnedBy(m, angle), Thickness: 1})
	}
	return out
}

// Where two laps cross at a corner, four panels meet: the spot is found whether it is square or not, as long as its
// longer side and as wide as its shorter, however the panels are turned and meshed, down to the narrowest flange.
func TestCrossingLaps(t *testing.T) {
	for i, size := range [][2]float64{{16, 16}, {16, 16.01}, {14, 16}, {16, 14}, {20, 20}, {18, 25}, {75, 75}, {5, 5}, {6, 9}, {10, 10},
		{11, 11.9}, {12, 12}, {11, 4.5}} {
		for k, angle := range []float64{0, 0.3, 0.785} {
			pitch := []float64{7.3, 40}[(i+k)%2]
			t.Run(fmt.Sprint(size, pitch, angle), func(t *testing.T) {
				fours := 0
				for _, f := range find(t, flange.Options{GapLimit: 1.5}, crossing(size[0], size[1], angle, pitch)...).Flanges {
					if len(f.Sheets) != 4 {
						continue
					}
					fours++
					long, short := max(size[0], size[1]), min(size[0], size[1])
					if !(math.Abs(f.Length-long) <= 0.002) || !(math.Abs(f.Width.Least-short) <= 0.002) || !(math.Abs(f.Width.Greatest-short) <= 0.002) {
						t.Errorf("%.4f long, %+v wide, want %g and %g", f.Length, f.Width, long, short)
					}
					if !(math.Abs(f.Area/(long*short)-1) <= 0.001) || f.Patch != (short > 60) || f.Closed {
						t.Errorf("area %.2f, patch %v, closed %v", f.Area, f.Patch, f.Closed)
					}
				}
				if fours != 1 {
					t.Errorf("%d stacks of four, want 1", fours)
				}
			})
		}
	}
}

// A round doubler is told by a line across its middle.
func TestRoundSpot(t *testing.T) {
	for _, corners := range []int{24, 37, 90} {
		disc := &mesh.Mesh{Vertices: []r3.Vector{vec(3, 4, 1)}}
		for i := range corners {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
			disc.Vertices = append(disc.Vertices, vec(3+10*c, 4+10*s, 1))
			disc.Triangles = append(disc.Triangles, [3]int32{0, int32(i + 1), int32((i+1)%corners + 1)})
		}
		f := one(t, sheetOf("disc", disc, 1), sheetOf("floor", gridded(-50, -60, 70, 50, 0, 9), 1))
		mid := f.Line[0].Point.Add(f.Line[len(f.Line)-1].Point).Mul(0.5)
		if !(math.Abs(f.Length-20) <= 0.2) || !(math.Abs(f.Width.Greatest-20) <= 0.2) || !(mid.Sub(vec(3, 4, 0.5)).Norm() <= 0.1) {
			t.Errorf("%d corners: %.3f long, %+v wide, about %v", corners, f.Length, f.Width, mid)
		}
	}
}

// A strap of a few millimetres across a flange is told, and the flange on both sides of it; one that is narrower than
// any flange is not.
func TestNarrowStrap(t *testing.T) {
	for _, wide := range []float64{3.5, 4.5, 8, 11} {
		found := find(t, flange.Options{}, sheetOf("a", gridded(0, 0, 200, 18, 0, 7), 1), sheetOf("b", gridded(0, 0, 200, 60, 1, 9), 1),
			sheetOf("strap", gridded(90, -40, 90+wide, 70, -1, 5), 1))
		want := map[bool]int{true: 1}[wide >= 4]
		twos, threes := 0, 0
		for _, f := range found.Flanges {
			if len(f.Sheets) == 2 {
				twos++
				continue
			}
			threes++
			if !(math.Abs(f.Area/(18*wide)-1) <= 0.001) || !(math.Abs(f.Length-18) <= 0.01) || !(math.Abs(f.Width.Mean-wide) <= 0.01) {
				t.Errorf("a strap of %g mm: %.2f long, %+v wide, %.2f mm²", wide, f.Length, f.Width, f.Area)
			}
		}
		if threes != want || twos < 2 {
			t.Errorf("a strap of %g mm: %d stacks of three and %d of two, want %d and 2 at least", wide, threes, twos, want)
		}
	}
}
