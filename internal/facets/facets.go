// Package facets makes STL files for tests, as other programs write them: triangles, binary and text, and readers that fail.
package facets

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"
)

// Soup is triangles as a file holds them, in the file's unit.
type Soup [][3]r3.Vector

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// Quad is two triangles; anticlockwise seen from the side it faces.
func Quad(a, b, c, d r3.Vector) Soup { return Soup{{a, b, c}, {a, c, d}} }

// Block is a closed box of twelve triangles that face outward.
func Block(x, y, z float64) Soup {
	p := func(i, j, k float64) r3.Vector { return vec(i*x, j*y, k*z) }
	return slices.Concat(
		Quad(p(0, 0, 0), p(0, 1, 0), p(1, 1, 0), p(1, 0, 0)),
		Quad(p(0, 0, 1), p(1, 0, 1), p(1, 1, 1), p(0, 1, 1)),
		Quad(p(0, 0, 0), p(1, 0, 0), p(1, 0, 1), p(0, 0, 1)),
		Quad(p(1, 0, 0), p(1, 1, 0), p(1, 1, 1), p(1, 0, 1)),
		Quad(p(1, 1, 0), p(0, 1, 0), p(0, 1, 1), p(1, 1, 1)),
		Quad(p(0, 1, 0), p(0, 0, 0), p(0, 0, 1), p(0, 1, 1)),
	)
}

// Sheet is a rectangle of nx by ny squares, faced up, from its corner; height lifts it.
func Sheet(corner r3.Vector, nx, ny int, step float64, height func(x, y float64) float64) Soup {
	at := func(i, j int) r3.Vector {
		p := corner.Add(vec(float64(i)*step, float64(j)*step, 0))
		if height != nil {
			p.Z += height(p.X, p.Y)
		}
		return p
	}
	var s Soup
	for i := range nx {
		for j := range ny {
			s = append(s, Quad(at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1))...)
		}
	}
	return s
}

// Moved is the triangles elsewhere.
func (s Soup) Moved(by r3.Vector) Soup {
	out := slices.Clone(s)
	for i := range out {
		for k := range 3 {
			out[i][k] = out[i][k].Add(by)
		}
	}
	return out
}

// Area is the sum of the triangles' areas.
func (s Soup) Area() float64 {
	sum := 0.0
	for _, t := range s {
		sum += t[1].Sub(t[0]).Cross(t[2].Sub(t[0])).Norm() / 2
	}
	return sum
}

// Binary writes the triangles as binary STL, apart from the product's own writer.
func (s Soup) Binary(header string) []byte {
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

// ASCII writes the triangles as one ASCII solid, numbers by the given verb.
func (s Soup) ASCII(name, verb string) string {
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

// FailingReader gives some bytes, then an error.
type FailingReader struct {
	Data []byte
	Err  error
}

// ReadAt is of an io.ReaderAt.
func (f FailingReader) ReadAt(p []byte, off int64) (int, error) {
	if off >= int64(len(f.Data)) {
		return 0, f.Err
	}
	n := copy(p, f.Data[off:])
	if n < len(p) {
		return n, f.Err
	}
	return n, nil
}
