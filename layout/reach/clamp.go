package reach

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// ClampHeight is how far a clamp stands up from the sheets, and down below them, when nothing else is known, mm:
// pad, spindle and the end of its arm (common practice, no source).
const ClampHeight = 40.0

// clampSides is the number of a clamp body's flat sides. They lie outside the round body, by at most 0.9 % of its
// radius at the corners.
const clampSides = 24

// Clamp is a closed clamp as a panel of the scene: a round body of the radius that stands on both sides of the sheets at
// a place, upright to them, height mm up and down. Leave it out of a weld's scene by its Absent once it is open.
func Clamp(name string, at, axis r3.Vector, radius, height float64) axial.Panel {
	z := axis.Normalize()
	x := z.Ortho()
	y := z.Cross(x)
	corner := radius / math.Cos(math.Pi/clampSides)
	m := &mesh.Mesh{Name: name, Vertices: []r3.Vector{at.Sub(z.Mul(height)), at.Add(z.Mul(height))}}
	for k := range clampSides {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / clampSides)
		rim := at.Add(x.Mul(corner * cos)).Add(y.Mul(corner * sin))
		m.Vertices = append(m.Vertices, rim.Sub(z.Mul(height)), rim.Add(z.Mul(height)))
	}
	for k := range int32(clampSides) {
		a, b := 2+2*k, 2+2*((k+1)%clampSides)
		m.Triangles = append(m.Triangles, [3]int32{0, b, a}, [3]int32{1, a + 1, b + 1}, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
	}
	return axial.Panel{Name: name, Shape: near.NewShape(m)}
}
