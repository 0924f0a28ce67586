package surface

import (
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// A closed solid is told apart into skins and rim by what lies opposite: from a facet of a skin the way straight into the
// metal ends, a thickness on, at a facet turned the other way; from the narrow rim it does not, whether the rim stands
// square, is rounded or chamfered, and however it is meshed. The skins' edges are then moved out to where the rim stands
// farthest out, which is the edge of the sheet that a rule lies against, and the rim takes no part in what follows.
const (
	oppositeLimit = 10.  // degrees that opposite facets of a sheet may be off parallel
	unknownDepth  = 12.  // mm: the thickest sheet that is looked for when the thickness is not stated
	leastDepth    = 0.4  // of the thickness, and
	mostDepth     = 1.6  // of it: what lies opposite of a skin is between
	mostRim       = 2.2  // of the thickness: a rim is no wider, measured over its rounding
	leastSkins    = 0.5  // of the surface: with less of it told to be skin the mesh is no closed sheet
	mostOverhang  = 0.8  // of the thickness that a rim may stand out beyond the skin's edge
	peelHeight    = 0.18 // of the thickness: lower facets beside the rim may be the beginning of its rounding, and
	peelRounds    = 16   // so many of them in a row go to it; where they are flat the skin's edge comes back to the same place
	intoMetal     = 0.01
	outDamping    = 1e-3 // of a corner's displacement: keeps two edges that run nearly alike from throwing their corner far out
)

// solid is what is known of a closed solid's facets.
type solid struct {
	p         *Panel
	depth     []float64 // mm of metal behind each facet of a skin; 0 of others
	thickness float64   // mm, the middle depth by area
}

// tellRim tells the skins of a solid from its rim and squares their edges. Where the mesh is no closed sheet all stays as
// it is, and the rim is told facet by facet.
func (p *Panel) tellRim(workers int) {
	s := &solid{p: p, depth: make([]float64, len(p.Normals))}
	if !s.measure() {
		return
	}
	if p.Thickness == 0 {
		p.Thickness = s.thickness
	}
	p.rim = s.rim()
	if moved := s.squared(); moved != nil {
		p.Mesh = moved
		p.Tree = near.NewOn(moved, workers)
	}
	for t, is := range p.rim {
		if is {
			p.Normals[t] = r3.Vector{}
		}
	}
}

// measure finds the metal behind every facet, and whether the mesh is a closed sheet.
func (s *solid) measure() bool {
	p := s.p
	reach := 4 * p.Thickness
	if p.Thickness == 0 {
		reach = unknownDepth
	}
	var found []kit.Weighted
	whole := 0.0
	for t, n := range p.Normals {
		a, b, c := p.Mesh.Corners(t)
		area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		whole += area
		if depth, ok := s.opposite(a.Add(b).Add(c).Mul(1./3), n, reach); ok {
			s.depth[t] = depth
			found = append(found, kit.Weighted{Value: depth, Weight: area})
		}
	}
	if len(found) > 0 {
		s.thickness = kit.MedianByWeight(found)
	}
	sum := 0.0
	for t, d := range s.depth {
		if d < leastDepth*s.thickness || d > mostDepth*s.thickness {
			s.depth[t] = 0
			continue
		}
		a, b, c := p.Mesh.Corners(t)
		sum += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	}
	return s.thickness > 0 && sum >= leastSkins*whole
}

// opposite is how far behind a place the metal ends at a facet that is turned the other way.
func (s *solid) opposite(at, n r3.Vector, reach float64) (float64, bool) {
	hit, ok := s.p.Tree.Ray(at.Sub(n.Mul(intoMetal)), n.Mul(-1), reach)
	return hit.Distance + intoMetal, ok && s.p.Normals[hit.Tri].Dot(n) < -kit.CosDegrees(oppositeLimit)
}

// rim is the facets between the skins: those of pieces, connected by edges, that are about as wide as the sheet is thick.
// Broader ones are faces of a thicker part.
func (s *solid) rim() []bool {
	p := s.p
	out, seen := make([]bool, len(s.depth)), make([]bool, len(s.depth))
	for start := range s.depth {
		if s.depth[start] > 0 || seen[start] {
			continue
		}
		seen[start] = true
		piece, area, border := []int32{int32(start)}, 0.0, 0.0
		for i := 0; i < len(piece); i++ {
			a, b, c := p.Mesh.Corners(int(piece[i]))
			area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
			for k := range 3 {
				o := p.Topo.Across(piece[i], k)
				if o == mesh.None || s.depth[o] > 0 {
					from, to := p.side(piece[i], k)
					border += to.Sub(from).Norm()
				} else if !seen[o] {
					seen[o] = true
					piece = append(piece, o)
				}
			}
		}
		if area <= mostRim*s.thickness*border/2 {
			for _, t := range piece {
				out[t] = true
			}
		}
	}
	s.peel(out)
	return out
}

// peel gives the rim the narrow facets beside it.
func (s *solid) peel(rim []bool) {
	p := s.p
	var next []int32
	for t, is := range rim {
		if is {
			next = append(next, int32(t))
		}
	}
	for range peelRounds {
		last := next
		next = nil
		for _, t := range last {
			for k := range 3 {
				o := p.Topo.Across(t, k)
				if o == mesh.None || rim[o] || s.depth[o] == 0 {
					continue
				}
				from, to := p.side(t, k)
				a, b, c := p.Mesh.Corners(int(o))
				if b.Sub(a).Cross(c.Sub(a)).Norm() <= float64(peelHeight*s.thickness*to.Sub(from).Norm()) {
					next = append(next, o)
				}
			}
		}
		for _, o := range next {
			rim[o], s.depth[o] = true, 0
		}
	}
}

// outward is what the edges at a corner of a skin say of where it goes: the least squares of how far out each is to move.
type outward struct {
	xx, xy, xz, yy, yz, zz float64
	sum                    r3.Vector
	most                   float64
}

func (o *outward) add(dir r3.Vector, by float64) {
	o.xx, o.xy, o.xz = o.xx+float64(dir.X*dir.X), o.xy+float64(dir.X*dir.Y), o.xz+float64(dir.X*dir.Z)
	o.yy, o.yz, o.zz = o.yy+float64(dir.Y*dir.Y), o.yz+float64(dir.Y*dir.Z), o.zz+float64(dir.Z*dir.Z)
	o.sum, o.most = o.sum.Add(dir.Mul(by)), max(o.most, by)
}

// solve is the displacement, by Cramer's rule.
func (o *outward) solve() r3.Vector {
	a := r3.Vector{X: o.xx + outDamping, Y: o.xy, Z: o.xz}
	b := r3.Vector{X: o.xy, Y: o.yy + outDamping, Z: o.yz}
	c := r3.Vector{X: o.xz, Y: o.yz, Z: o.zz + outDamping}
	det := a.Dot(b.Cross(c))
	out := r3.Vector{X: o.sum.Dot(b.Cross(c)), Y: a.Dot(o.sum.Cross(c)), Z: a.Dot(b.Cross(o.sum))}.Mul(1 / det)
	if l := out.Norm(); l > 2*o.most {
		out = out.Mul(2 * o.most / l)
	}
	return out
}

// squared is the mesh with the edges of the skins moved out to where the rim stands farthest out; nil where it stands
// square already.
func (s *solid) squared() *mesh.Mesh {
	p := s.p
	corners := map[int32]*outward{}
	stands := false
	for t, d := range s.depth {
		for k := 0; d > 0 && k < 3; k++ {
			o := p.Topo.Across(int32(t), k)
			if o == mesh.None || !p.rim[o] {
				continue
			}
			dir, by := s.overhang(int32(t), k)
			stands = stands || by > 0
			for _, v := range [2]int32{p.Mesh.Triangles[t][k], p.Mesh.Triangles[t][(k+1)%3]} {
				if corners[v] == nil {
					corners[v] = &outward{}
				}
				corners[v].add(dir, by)
			}
		}
	}
	if !stands {
		return nil
	}
	out := &mesh.Mesh{Name: p.Mesh.Name, Triangles: p.Mesh.Triangles, Vertices: slices.Clone(p.Mesh.Vertices)}
	for v, o := range corners {
		out.Vertices[v] = out.Vertices[v].Add(o.solve())
	}
	return out
}

// overhang is how far the rim beyond side k of a skin's triangle stands out, and which way: rays through the middle of
// the metal meet it there, and just beside the middle, where a round rim may have its foremost edge.
func (s *solid) overhang(t int32, k int) (dir r3.Vector, by float64) {
	p := s.p
	from, to := p.side(t, k)
	n := p.Mesh.Normal(int(t))
	dir = to.Sub(from).Cross(n).Normalize()
	back := s.thickness / 4
	start := from.Add(to).Mul(0.5).Sub(dir.Mul(back))
	for _, share := range [3]float64{0.5, 0.48, 0.52} {
		hit, ok := p.Tree.Ray(start.Sub(n.Mul(share*s.depth[t])), dir, back+mostOverhang*s.thickness)
		if out := hit.Distance - back; ok && p.rim[hit.Tri] && out >= SharpEdge {
			by = max(by, out)
		}
	}
	return dir, by
}
