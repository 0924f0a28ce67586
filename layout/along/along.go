// Package along measures how far apart two places are along a sheet, over its bends: the way that welding current takes.
//
// The shortest way over the triangles is looked for among points on their edges; the triangles that it crosses are then laid
// out flat one behind the other and the way pulled straight through them, and where it bends at a vertex it is let go by on that
// one's other side. What comes out is as short as any way near it and never too short; on sheets that bend one
// way it is the shortest, on sheets as rough as egg boxes within half a per cent.
//
//	sheet := along.New(near.NewShape(m), 0)
//	from := sheet.From(place, 20)
//	fmt.Println(from.To(other)) // mm
//
// A sheet is read-only after New. A From belongs to one goroutine.
package along

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// off is how far a place may lie off the sheet's mesh, mm: half of the thickest stack.
const off = 6.0

// beyond is how much farther than asked the way is looked for: a way that is longer is told from a sheet that is in pieces.
const beyond = 2.0

// Sheet is a panel's mesh made ready.
type Sheet struct {
	mesh  *mesh.Mesh
	tree  *near.Tree
	topo  *mesh.Topology
	solid float64
}

// New prepares a mesh. Of a solid with both skins the thickness says how far through it a place may be reached; 0 for a mesh of
// one skin.
func New(s *near.Shape, solid float64) *Sheet {
	return &Sheet{mesh: s.Mesh, tree: s.Tree(), topo: s.Topology(), solid: solid}
}

// place is a point on the mesh.
type place struct {
	tri int32
	at  r3.Vector
}

// places are where a point lies on the sheet: on the nearest triangle, and of a solid on its other skin too. None where the point
// is off the sheet.
func (s *Sheet) places(p r3.Vector) []place {
	hit, ok := s.tree.Closest(p, off)
	if !ok {
		return nil
	}
	out := []place{{hit.Tri, hit.Point}}
	if s.solid <= 0 {
		return out
	}
	normal := s.mesh.Normal(int(hit.Tri))
	for _, side := range []float64{1, -1} {
		q := hit.Point.Add(normal.Mul(side * s.solid))
		if other, ok := s.tree.Closest(q, s.solid/2); ok && math.Abs(s.mesh.Normal(int(other.Tri)).Dot(normal)) > 0.7 {
			out = append(out, place{other.Tri, other.Point})
		}
	}
	return out
}

// From is the ways along a sheet from one place.
type From struct {
	sheet  *Sheet
	point  r3.Vector
	start  []place
	limit  float64
	search *search
}

// From looks for ways from a place, as long as limit and some more.
func (s *Sheet) From(p r3.Vector, limit float64) *From {
	return &From{sheet: s, point: p, start: s.places(p), limit: limit}
}

// To is the distance along the sheet to another place, mm. Where no way is found that is up to twice as long as the limit, or one
// of the places is not on the sheet, that cannot be told, and it is the straight distance, which is never longer.
func (f *From) To(p r3.Vector) float64 {
	straight := f.point.Distance(p)
	if len(f.start) == 0 {
		return straight
	}
	best := math.Inf(1)
	for _, end := range f.sheet.places(p) {
		for _, start := range f.start {
			if start.tri == end.tri {
				best = math.Min(best, start.at.Distance(end.at))
			}
		}
		if !math.IsInf(best, 1) {
			continue
		}
		if f.search == nil {
			f.search = f.sheet.spread(f.start, f.limit*beyond)
		}
		best = math.Min(best, f.search.to(end))
	}
	if math.IsInf(best, 1) {
		return straight
	}
	return math.Max(best, straight)
}
