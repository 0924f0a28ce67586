package surface

import (
	"errors"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// Whole is what is to be known of all of a sheet where only a part of its mesh is at hand.
type Whole struct {
	moment
	Loose bool           // it is of several pieces, which may lie on both sides of another sheet
	Scan  bool           // it is a noisy scan, from whose mesh the noise was taken
	Topo  *mesh.Topology // of the part, where that was needed to tell all this; its panel has it then, too
}

// WholeOf looks at a whole mesh.
func WholeOf(m *mesh.Mesh) Whole { return Whole{moment: momentOf(m), Loose: isLoose(m)} }

// isLoose says whether a sheet is of several pieces, which may lie on both sides of another.
func isLoose(m *mesh.Mesh) bool {
	pieces := mesh.NewPieces(len(m.Vertices))
	for _, t := range m.Triangles {
		pieces.Join(t[0], t[1])
		pieces.Join(t[1], t[2])
	}
	first := int32(-1)
	for _, t := range m.Triangles {
		if r := pieces.First(t[0]); first < 0 {
			first = r
		} else if r != first {
			return true
		}
	}
	return false
}

// Surface says which surface of the sheet a panel's mesh is.
type Surface string

// The three ways to mesh a panel. Two touching sheets are then (t1+t2)/2, 0 to t, or 0 apart.
const (
	Mid   Surface = "mid"
	Skin  Surface = "skin"
	Solid Surface = "solid"
)

// Sheet is one panel as the finder sees it, already in its place.
type Sheet struct {
	Name      string
	Mesh      *mesh.Mesh
	Thickness float64 // mm; 0 when not known: then the measured distance decides
	Surface   Surface // empty means Mid
	Face      Face    // of a skin: which face of the sheet it is; empty: found
}

// Metal says how much of the sheet lies behind and before its mesh surface, seen along an axis; facing says that the surface
// met is the one turned against the axis (it matters for solids only). A skin's is as stated, all of it on either side.
func (s Sheet) Metal(facing bool) (behind, before float64) {
	t := s.Thickness
	switch {
	case s.Surface == Solid && facing:
		return 0, t
	case s.Surface == Solid:
		return t, 0
	case s.Surface == Skin && s.Face == Outer:
		return t, t
	case s.Surface == Skin:
		return 0, 0
	}
	return t / 2, t / 2
}

// moment is what a sheet's metal weighs and where, whatever its triangles are.
type moment struct {
	Area    float64 // mm²
	Center  r3.Vector
	Spread  float64 // mm: root mean square distance of the corners from the centre, weighted by area
	Corners int
}

func momentOf(m *mesh.Mesh) moment {
	out := moment{Corners: len(m.Triangles)}
	if len(m.Vertices) == 0 {
		return out
	}
	o, sum, square := m.Vertices[0], r3.Vector{}, 0.0
	each := func(do func(area float64, a, b, c r3.Vector)) {
		for t := range m.Triangles {
			a, b, c := m.Corners(t)
			do(b.Sub(a).Cross(c.Sub(a)).Norm()/2, a.Sub(o), b.Sub(o), c.Sub(o))
		}
	}
	each(func(area float64, a, b, c r3.Vector) {
		out.Area += area
		sum = sum.Add(a.Add(b).Add(c).Mul(area / 3))
	})
	if !(out.Area > 0) || math.IsInf(out.Area, 0) {
		out.Center = o
		return out
	}
	sum = sum.Mul(1 / out.Area)
	each(func(area float64, a, b, c r3.Vector) {
		square += area / 3 * (a.Sub(sum).Norm2() + b.Sub(sum).Norm2() + c.Sub(sum).Norm2())
	})
	out.Center, out.Spread = o.Add(sum), math.Sqrt(square/out.Area)
	return out
}

// FarthestPlace is the greatest coordinate at which a micrometre can still be told, with room for what is reckoned
// from it, mm.
const FarthestPlace = 1e9

// ErrFarAway is returned for a panel whose places cannot be told apart.
var ErrFarAway = errors.New("it has a corner farther than a thousand kilometres from the origin, or one that is not a number: check its " +
	"unit")

// IsWithin says whether all coordinates of a mesh are numbers of at most so many mm.
func IsWithin(m *mesh.Mesh, most float64) bool {
	return !slices.ContainsFunc(m.Vertices, func(v r3.Vector) bool {
		return !(math.Abs(v.X) <= most && math.Abs(v.Y) <= most && math.Abs(v.Z) <= most)
	})
}

// Face says which face of a sheet a skin is.
type Face string

// The two faces, as seen from the sheet that it lies on.
const (
	Outer  Face = "outer"  // the metal lies between the mesh and the other sheet
	Faying Face = "faying" // the mesh is the face that touches
)

// IsOpen says whether it is not stated on which side of a sheet the metal lies.
func (p *Panel) IsOpen() bool { return p.Surface == Skin && p.Face == "" && p.Thickness > 0 }

// SharpEdge is how far beside a sheet's edge a place may be and still be on the sheet, mm: below what any
// panel is made to, above the cracks of a mesh whose neighbours do not share vertices.
const SharpEdge = 0.005
