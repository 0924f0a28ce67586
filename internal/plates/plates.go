// Package plates writes small panels for tests: text STL of quadrilaterals, in mm.
//
//	data := plates.STL(plates.Flat(0, 0, 400, 80, 0))
package plates

import (
	"bytes"
	"fmt"
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
