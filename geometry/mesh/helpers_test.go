package mesh

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// soup is triangles as a file holds them, in the file's unit.
type soup [][3]r3.Vector

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// quad is two triangles; anticlockwise seen from the side it faces.
func quad(a, b, c, d r3.Vector) soup { return soup{{a, b, c}, {a, c, d}} }

// block is a closed box of twelve triangles that face outward.
func block(x, y, z float64) soup {
	p := func(i, j, k float64) r3.Vector { return vec(i*x, j*y, k*z) }
	return slices.Concat(
		quad(p(0, 0, 0), p(0, 1, 0), p(1, 1, 0), p(1, 0, 0)),
		quad(p(0, 0, 1), p(1, 0, 1), p(1, 1, 1), p(0, 1, 1)),
		quad(p(0, 0, 0), p(1, 0, 0), p(1, 0, 1), p(0, 0, 1)),
		quad(p(1, 0, 0), p(1, 1, 0), p(1, 1, 1), p(1, 0, 1)),
		quad(p(1, 1, 0), p(0, 1, 0), p(0, 1, 1), p(1, 1, 1)),
		quad(p(0, 1, 0), p(0, 0, 0), p(0, 0, 1), p(0, 1, 1)),
	)
}

// sheet is a rectangle of nx by ny squares, faced up, from its corner; height lifts it.
func sheet(corner r3.Vector, nx, ny int, step float64, height func(x, y float64) float64) soup {
	at := func(i, j int) r3.Vector {
		p := corner.Add(vec(float64(i)*step, float64(j)*step, 0))
		if height != nil {
			p.Z += height(p.X, p.Y)
		}
		return p
	}
	var s soup
	for i := range nx {
		for j := range ny {
			s = append(s, quad(at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1))...)
		}
	}
	return s
}

func (s soup) moved(by r3.Vector) soup {
	out := slices.Clone(s)
	for i := range out {
		for k := range 3 {
			out[i][k] = out[i][k].Add(by)
		}
	}
	return out
}

func (s soup) area() float64 {
	sum := 0.0
	for _, t := range s {
		sum += t[1].Sub(t[0]).Cross(t[2].Sub(t[0])).Norm() / 2
	}
	return sum
}

// binary writes the triangles as binary STL, apart from WriteSTL.
func (s soup) binary(header string) []byte {
	b := make([]byte, 84)
	copy(b, header)
	binary.LittleEndian.PutUint32(b[80:], uint32(len(s)))
	for _, t := range s {
		b = append(b, make([]byte, 12)...)
		for _, v := range t {
			for _, x := range []float64{v.X, v.Y, v.Z} {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
			}
		}
		b = append(b, 0, 0)
	}
	return b
}

// ascii writes the triangles as one ASCII solid, numbers by the given verb.
func (s soup) ascii(name, verb string) string {
	var b strings.Builder
	row := "      vertex " + verb + " " + verb + " " + verb + "\n"
	fmt.Fprintf(&b, "solid %s\n", name)
	for _, t := range s {
		b.WriteString("  facet normal 0 0 1\n    outer loop\n")
		for _, v := range t {
			fmt.Fprintf(&b, row, v.X, v.Y, v.Z)
		}
		b.WriteString("    endloop\n  endfacet\n")
	}
	fmt.Fprintf(&b, "endsolid %s\n", name)
	return b.String()
}

var inMillimetres = Options{Unit: space.Millimetre}

func readBytes(data []byte, opt Options) (*Mesh, []string, error) {
	return Read(bytes.NewReader(data), int64(len(data)), "door.stl", opt)
}

// mustRead reads triangles as a binary file in millimetres.
func mustRead(t interface {
	Helper()
	Fatal(...any)
}, s soup) (*Mesh, []string) {
	t.Helper()
	m, notes, err := readBytes(s.binary("made by a test"), inMillimetres)
	if err != nil {
		t.Fatal(err)
	}
	return m, notes
}

// canonical is a mesh's triangles by coordinates, whatever the order of vertices, triangles and corners, and whichever
// way they face.
func canonical(m *Mesh) [][3]r3.Vector {
	var out [][3]r3.Vector
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		corners := [3]r3.Vector{a, b, c}
		slices.SortFunc(corners[:], r3.Vector.Cmp)
		out = append(out, corners)
	}
	slices.SortFunc(out, func(p, q [3]r3.Vector) int { return slices.CompareFunc(p[:], q[:], r3.Vector.Cmp) })
	return out
}

// checkMesh finds fault with a mesh that Read must never give.
func checkMesh(m *Mesh) error {
	used := make([]bool, len(m.Vertices))
	for i, t := range m.Triangles {
		for _, v := range t {
			if v < 0 || int(v) >= len(m.Vertices) {
				return fmt.Errorf("triangle %d has vertex %d of %d", i, v, len(m.Vertices))
			}
			used[v] = true
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			return fmt.Errorf("triangle %d repeats a vertex: %v", i, t)
		}
	}
	if i := slices.Index(used, false); i >= 0 {
		return fmt.Errorf("vertex %d is not used", i)
	}
	places := map[r3.Vector]bool{}
	for i, v := range m.Vertices {
		if places[v] || v != v {
			return fmt.Errorf("vertex %d at %v is there twice or not a number", i, v)
		}
		places[v] = true
	}
	return nil
}

// failingReader gives some bytes, then an error.
type failingReader struct {
	data []byte
	err  error
}

func (f failingReader) ReadAt(p []byte, off int64) (int, error) {
	if off >= int64(len(f.data)) {
		return 0, f.err
	}
	n := copy(p, f.data[off:])
	if n < len(p) {
		return n, f.err
	}
	return n, nil
}

var _ io.ReaderAt = failingReader{}

func wantNote(t *testing.T, notes []string, part string) {
	t.Helper()
	if !slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, part) }) {
		t.Errorf("no note says %q: %q", part, notes)
	}
}
