// Package plates writes small panels for tests: text STL of quadrilaterals, in mm.
//
//	data := plates.STL(plates.Flat(0, 0, 400, 80, 0))
package plates

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// Point is a place in mm.
type Point = [3]float64

// STL is a text STL file of quadrilaterals, each given by its corners in turn; coordinates have six decimals.
func STL(quads ...[4]Point) []byte {
	var b bytes.Buffer
	b.WriteString("solid sheet\n")
	for _, q := range quads {
		for _, c := range [][3]int{{0, 1, 2}, {0, 2, 3}} {
			b.WriteString("facet normal 0 0 0\nouter loop\n")
			for _, k := range c {
				fmt.Fprintf(&b, "vertex %.6f %.6f %.6f\n", q[k][0], q[k][1], q[k][2])
			}
			b.WriteString("endloop\nendfacet\n")
		}
	}
	b.WriteString("endsolid sheet\n")
	return b.Bytes()
}

// Flat is a rectangle at a height.
func Flat(x0, y0, x1, y1, z float64) [4]Point {
	return [4]Point{{x0, y0, z}, {x1, y0, z}, {x1, y1, z}, {x0, y1, z}}
}

// Beside is a line of straight pieces moved to its left, as a sheet's section lies beside another's.
func Beside[L ~[]r2.Point](line L, by float64) L {
	out := make(L, len(line))
	normal := func(i int) r2.Point {
		d := line[i+1].Sub(line[i]).Normalize()
		return r2.Point{X: -d.Y, Y: d.X}
	}
	for i := range line {
		n := normal(min(i, len(line)-2))
		if i > 0 && i < len(line)-1 {
			before := normal(i - 1)
			n = n.Add(before)
			n = n.Mul(1 / n.Dot(before))
		}
		out[i] = line[i].Add(n.Mul(by))
	}
	return out
}

// Lap writes two plates that lap by 20 mm into a folder, and beside them a shell file, shell.yaml, with more keys, if any. It returns the
// shell file's path.
func Lap(dir, more string) (string, error) {
	file := filepath.Join(dir, "shell.yaml")
	return file, errors.Join(
		os.WriteFile(filepath.Join(dir, "a.stl"), STL(Flat(0, 0, 400, 60, 1.05)), 0o600),
		os.WriteFile(filepath.Join(dir, "b.stl"), STL(Flat(0, 40, 400, 100, 0)), 0o600),
		os.WriteFile(file, []byte(lap+more), 0o600))
}

// lap has a name with signs that XML and paths take for their own.
const lap = `name: Lap <&"> joint
batch: 10
steels:
  - {id: thin, grade: DC04, thickness_mm: 0.9}
  - {id: thick, grade: DC04, thickness_mm: 1.2}
panels:
  - {id: a, mesh: a.stl, unit: mm, steel: thin}
  - {id: b, mesh: b.stl, unit: mm, steel: thick}
`

// Extruded is a sheet of a section, its points as y and z, along x from 0 to a length, in rows about pitch apart that are off by up
// to 0.15 of that, and quads cut either way.
func Extruded(section [][2]float64, length, pitch float64, rng *rand.Rand) *mesh.Mesh {
	n := max(1, int(math.Round(length/pitch)))
	m := &mesh.Mesh{}
	for i := range n + 1 {
		x := length * float64(i) / float64(n)
		if i > 0 && i < n {
			x += length / float64(n) * 0.3 * (rng.Float64() - .5)
		}
		for _, q := range section {
			m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: q[0], Z: q[1]})
		}
	}
	k := len(section)
	for i := range n {
		for j := range k - 1 {
			a, b := int32(i*k+j), int32((i+1)*k+j)
			if rng.IntN(2) == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, a + 1}, [3]int32{b, b + 1, a + 1})
			}
		}
	}
	return m
}
