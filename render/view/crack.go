package view

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// A mesh written face by face often does not share vertices along the faces' borders: one long edge lies
// against several short ones, and each looks like a free edge though the sheet goes on. Such cracks are
// not drawn.

// crackWidth is how near the other side must be, in mm: the coarsest chord error between two sides of one
// curve that still is the same curve on a 1:1 print. Common practice, no source.
const crackWidth = 0.05

const crackCell = 8.0 // mm, side of the cells in which neighbours are looked up

// findCracks tells, for every edge, whether it is free only because of such a crack: at three places along
// it another free edge of the mesh lies against it.
func findCracks(m *mesh.Mesh, topo *mesh.Topology) []bool {
	cells := map[[3]int32][]int32{}
	for i, e := range topo.Edges {
		if e.Free() {
			visitCells(m.Vertices[e.V[0]], m.Vertices[e.V[1]], func(c [3]int32) { cells[c] = append(cells[c], int32(i)) })
		}
	}
	out := make([]bool, len(topo.Edges))
	for i, e := range topo.Edges {
		if !e.Free() {
			continue
		}
		a, b := m.Vertices[e.V[0]], m.Vertices[e.V[1]]
		out[i] = true
		for _, f := range []float64{0.2, 0.5, 0.8} {
			p := a.Add(b.Sub(a).Mul(f))
			if !liesAgainst(m, topo, cells[cellOf(p)], int32(i), p, b.Sub(a)) {
				out[i] = false
				break
			}
		}
	}
	return out
}

// liesAgainst reports whether a free edge other than self passes p in direction dir.
func liesAgainst(m *mesh.Mesh, topo *mesh.Topology, near []int32, self int32, p, dir r3.Vector) bool {
	for _, j := range near {
		if j == self {
			continue
		}
		a, b := m.Vertices[topo.Edges[j].V[0]], m.Vertices[topo.Edges[j].V[1]]
		d := b.Sub(a)
		f := p.Sub(a).Dot(d) / d.Norm2()
		if f < -1e-6 || f > 1+1e-6 || math.Abs(d.Dot(dir)) < 0.99*d.Norm()*dir.Norm() {
			continue
		}
		if p.Sub(a.Add(d.Mul(f))).Norm() < crackWidth {
			return true
		}
	}
	return false
}

func cellOf(p r3.Vector) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / crackCell)), int32(math.Floor(p.Y / crackCell)), int32(math.Floor(p.Z / crackCell))}
}

// visitCells calls visit once for every cell near the segment ab.
func visitCells(a, b r3.Vector, visit func([3]int32)) {
	n := int(b.Sub(a).Norm()/(crackCell/2)) + 1
	seen := map[[3]int32]bool{}
	for k := 0; k <= n; k++ {
		p := a.Add(b.Sub(a).Mul(float64(k) / float64(n)))
		for _, d := range [...]r3.Vector{{}, {X: crackWidth}, {X: -crackWidth}, {Y: crackWidth}, {Y: -crackWidth}, {Z: crackWidth}, {Z: -crackWidth}} {
			if c := cellOf(p.Add(d)); !seen[c] {
				seen[c] = true
				visit(c)
			}
		}
	}
}
