package surface

import (
	"math"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

const (
	// bendRadius tells bends from curved flanges, mm: presses bend sheet to a few times its thickness (common
	// practice, no source), and a flange that follows a panel is far rounder.
	bendRadius = 15.
	kink       = 12. // degrees: two facets that meet more sharply are two faces, whatever their size
	even       = 2.  // degrees: facets that meet less sharply are one face, whatever their size
)

// Faces splits a panel's triangles at its bends, in the order of first triangle.
func (p *Panel) Faces() [][]int32 {
	seen := make([]bool, len(p.Normals))
	var out [][]int32
	for start := range p.Normals {
		if seen[start] {
			continue
		}
		seen[start] = true
		face := []int32{int32(start)}
		for i := 0; i < len(face); i++ {
			for k := range 3 {
				if o := p.Topo.Across(face[i], k); o != mesh.None && !seen[o] && !p.bends(face[i], o, k) {
					seen[o] = true
					face = append(face, o)
				}
			}
		}
		out = append(out, face)
	}
	return out
}

// bends says whether the sheet bends between triangle t and its neighbour o across side k: the turn is measured
// against the height of the lower of the two, for a bend is meshed in narrow strips.
func (p *Panel) bends(t, o int32, k int) bool {
	c := math.Abs(p.Normals[t].Dot(p.Normals[o]))
	if c >= kit.CosDegrees(even) {
		return false
	}
	if c < kit.CosDegrees(kink) {
		return true
	}
	tri := p.Mesh.Triangles[t]
	side := p.Mesh.Vertices[tri[(k+1)%3]].Sub(p.Mesh.Vertices[tri[k]]).Norm()
	height := math.Inf(1)
	for _, x := range [2]int32{t, o} {
		a, b, c := p.Mesh.Corners(int(x))
		height = min(height, b.Sub(a).Cross(c.Sub(a)).Norm()/side)
	}
	return math.Acos(min(1, c))*bendRadius > height
}

// FaceSize is the area of some facets, mm², and the length of the border about them, mm.
func (p *Panel) FaceSize(face []int32) (area, border float64) {
	inside := map[int32]bool{}
	for _, t := range face {
		inside[t] = true
		a, b, c := p.Mesh.Corners(int(t))
		area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	}
	for _, t := range face {
		for k, v := range p.Mesh.Triangles[t] {
			if !inside[p.Topo.Across(t, k)] {
				border += p.Mesh.Vertices[p.Mesh.Triangles[t][(k+1)%3]].Sub(p.Mesh.Vertices[v]).Norm()
			}
		}
	}
	return area, border
}
