package mesh

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/space"
	"seamwright/internal/facets"
)

func TestWriteSTL(t *testing.T) {
	m, _ := mustRead(t, facets.Block(100, 50, 25))
	var out bytes.Buffer
	if err := WriteSTL(&out, m); err != nil {
		t.Fatal(err)
	}
	b := out.Bytes()
	if len(b) != 84+12*50 || string(b[:80]) != writtenHeader+strings.Repeat("\x00", 80-len(writtenHeader)) ||
		binary.LittleEndian.Uint32(b[80:]) != 12 {
		t.Errorf("%d bytes, header %q", len(b), b[:84])
	}
	for i := range m.Triangles {
		row := b[84+50*i:]
		a, _, _ := m.Corners(i)
		n := m.Normal(i)
		for k, x := range []float64{n.X, n.Y, n.Z, a.X, a.Y, a.Z} {
			if got := math.Float32frombits(binary.LittleEndian.Uint32(row[4*k:])); float64(got) != x {
				t.Errorf("triangle %d: number %d is %g, want %g", i, k, got, x)
			}
		}
		if row[48] != 0 || row[49] != 0 {
			t.Errorf("triangle %d has attributes", i)
		}
	}
}

func TestWriteSTLWritesNoMinusZero(t *testing.T) {
	zero := math.Copysign(0, -1)
	m := &Mesh{Vertices: []r3.Vector{vec(zero, zero, zero), vec(1, zero, zero), vec(0, 1, zero)}, Triangles: [][3]int32{{0, 1, 2}}}
	var out bytes.Buffer
	if err := WriteSTL(&out, m); err != nil {
		t.Fatal(err)
	}
	for at := 84; at < 84+48; at += 4 {
		if binary.LittleEndian.Uint32(out.Bytes()[at:]) == 1<<31 {
			t.Errorf("minus zero at byte %d", at)
		}
	}
}

func TestWriteSTLRefuses(t *testing.T) {
	corners := []r3.Vector{{}, vec(1, 0, 0), vec(0, 1, 0)}
	triangle := [][3]int32{{0, 1, 2}}
	tests := []struct {
		name string
		m    Mesh
		want string
	}{
		{"nothing", Mesh{Name: "door"}, "mesh door: no triangles"},
		{"not a number", Mesh{Name: "door", Vertices: append(slices.Clone(corners), vec(0, math.NaN(), 0)), Triangles: triangle}, "vertex 3"},
		{"infinity", Mesh{Vertices: append(slices.Clone(corners), vec(math.Inf(1), 0, 0)), Triangles: triangle}, "mesh panel: vertex 3"},
		{"too far", Mesh{Vertices: append(slices.Clone(corners), vec(0, 0, -1e39)), Triangles: triangle}, "vertex 3"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var out bytes.Buffer
			err := WriteSTL(&out, &test.m)
			if err == nil || !strings.Contains(err.Error(), test.want) || out.Len() != 0 {
				t.Errorf("%d bytes, error %v; want none and %q", out.Len(), err, test.want)
			}
		})
	}
}

var errFull = errors.New("no space left")

type fullDisk struct{ room int }

func (f *fullDisk) Write(p []byte) (int, error) {
	if len(p) > f.room {
		n := f.room
		f.room = 0
		return n, errFull
	}
	f.room -= len(p)
	return len(p), nil
}

func TestWriteSTLReportsAFullDisk(t *testing.T) {
	m, _ := mustRead(t, facets.Sheet(vec(0, 0, 0), 40, 40, 10, nil))
	for _, room := range []int{0, 100, 70_000} {
		err := WriteSTL(&fullDisk{room}, m)
		if !errors.Is(err, errFull) || strings.Contains(err.Error(), "\n") {
			t.Errorf("room for %d bytes: error %v", room, err)
		}
	}
}

// drawSheet is a sheet with waves, some squares left out, some triangles turned: sound but for that.
func drawSheet(t *rapid.T) soup {
	nx, ny := rapid.IntRange(1, 8).Draw(t, "nx"), rapid.IntRange(1, 8).Draw(t, "ny")
	lift := rapid.SliceOfN(rapid.Float64Range(-20, 20), 81, 81).Draw(t, "lift")
	s := facets.Sheet(vec(-1000, 300, 55.5), nx, ny, 12.7, func(x, y float64) float64 {
		i, j := int(math.Round((x+1000)/12.7)), int(math.Round((y-300)/12.7))
		return lift[9*i+j]
	})
	keep := rapid.SliceOfN(rapid.IntRange(0, 9), len(s), len(s)).Draw(t, "keep")
	var out soup
	for i, tri := range s {
		switch keep[i] {
		case 0:
			continue
		case 1:
			tri[1], tri[2] = tri[2], tri[1]
		}
		out = append(out, tri)
	}
	if len(out) == 0 {
		out = s
	}
	return out
}

// What was read and written reads again as the same mesh, to the bit and in the same order.
func TestWriteThenRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, _ := mustRead(t, drawSheet(t))
		var out, again bytes.Buffer
		if err := WriteSTL(&out, first); err != nil {
			t.Fatal(err)
		}
		second, notes, err := readBytes(out.Bytes(), inMillimetres)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(first.Vertices, second.Vertices) || !slices.Equal(first.Triangles, second.Triangles) {
			t.Fatalf("%d triangles became %d; notes %q", len(first.Triangles), len(second.Triangles), notes)
		}
		if err := WriteSTL(&again, second); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Fatalf("the second writing differs: %v", err)
		}
	})
}

// drawMess is what a poor exporter makes of two patches that meet on a line: sides divided differently, vertices
// rounded apart, triangles given twice or without area, all in any order.
func drawMess(t *rapid.T) soup {
	n := rapid.IntRange(1, 12).Draw(t, "rows")
	left := facets.Sheet(vec(-48, 0, 0), 4, 4, 12, nil)
	right := facets.Sheet(vec(0, 0, 0), 3, n, 48/float64(n), nil)
	s := slices.Concat(left, right, facets.Block(10, 20, 30).Moved(vec(500, 0, 0)))
	for i := range s {
		for k := range 3 {
			shift := rapid.SampledFrom([]float64{0, 0, 0, 2e-5, -3e-5}).Draw(t, "shift")
			s[i][k].Z += shift
		}
	}
	for range rapid.IntRange(0, 6).Draw(t, "more") {
		tri := s[rapid.IntRange(0, len(s)-1).Draw(t, "which")]
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			s = append(s, [3]r3.Vector{tri[1], tri[2], tri[0]})
		case 1:
			s = append(s, [3]r3.Vector{tri[0], tri[2], tri[1]})
		case 2:
			s = append(s, [3]r3.Vector{tri[0], tri[0], tri[1]})
		}
	}
	return s
}

// Neither the order of the triangles nor the corner that each begins with changes the mesh or what is said of it.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawMess(t)
		first, notes := mustRead(t, s)
		if err := checkMesh(first); err != nil {
			t.Fatal(err)
		}
		order := rapid.Permutation(s).Draw(t, "order")
		for i, tri := range order {
			by := rapid.IntRange(0, 2).Draw(t, "corner")
			order[i] = [3]r3.Vector{tri[by], tri[(by+1)%3], tri[(by+2)%3]}
		}
		second, other := mustRead(t, order)
		if !slices.EqualFunc(canonical(first), canonical(second), func(p, q [3]r3.Vector) bool { return p == q }) {
			t.Fatalf("%d triangles or %d, notes %q or %q", len(first.Triangles), len(second.Triangles), notes, other)
		}
		turned := func(note string) bool { return strings.Contains(note, "turned to face") } // as the first of two copies does
		if notes, other = slices.DeleteFunc(notes, turned), slices.DeleteFunc(other, turned); !slices.Equal(notes, other) {
			t.Fatalf("notes %q or %q", notes, other)
		}
	})
}

// Mending keeps area and box: nothing of the sheet is lost, nothing is added.
func TestMendingKeepsArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawMess(t)
		m, notes := mustRead(t, s)
		clean := map[[3]r3.Vector]float64{} // area of what is left when equal triangles count once
		for _, tri := range s {
			corners := tri
			for k := range corners {
				corners[k] = vec(math.Round(corners[k].X*100), math.Round(corners[k].Y*100), math.Round(corners[k].Z*100))
			}
			slices.SortFunc(corners[:], r3.Vector.Cmp)
			clean[corners] = soup{tri}.Area()
		}
		sum := 0.0
		for _, area := range clean {
			sum += area
		}
		if !(math.Abs(m.Area()-sum) <= 0.05) {
			t.Fatalf("area %g mm², want %g; notes %q", m.Area(), sum, notes)
		}
		if box := m.Box(); !(box.Min.Sub(vec(-48, 0, 0)).Norm() <= 1e-3) || box.Max.X != 510 {
			t.Fatalf("box %v", box)
		}
	})
}

// The unit scales lengths and nothing else.
func TestUnitScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		unit := rapid.SampledFrom([]space.Unit{space.Centimetre, space.Metre, space.Inch, space.Foot}).Draw(t, "unit")
		plain, _ := mustRead(t, s)
		scaled, _, err := readBytes(s.Binary(""), Options{Unit: unit})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(plain.Triangles, scaled.Triangles) {
			t.Fatalf("%d triangles became %d", len(plain.Triangles), len(scaled.Triangles))
		}
		for i, v := range plain.Vertices {
			if scaled.Vertices[i] != v.Mul(unit.Millimetres()) {
				t.Fatalf("vertex %d is %v, want %v times %g", i, scaled.Vertices[i], v, unit.Millimetres())
			}
		}
	})
}
