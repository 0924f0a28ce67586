package mesh

import (
	"math"
	"math/bits"
	"seamwright/geometry/stl"

	"github.com/golang/geo/r3"
)

// gather gives equal corners of a soup one number.
type gather struct {
	points    [][3]uint32 // bits of the float32 coordinates, in the order of first use
	table     []int32     // open addressing: number of a point + 1, or 0
	key       hashKey
	triangles [][3]int32
	repeated  int      // triangles left out because two corners are equal
	last      [3]int32 // corners of the triangle before: of neighbours, one after another in the file, two are known at once
}

// merged makes a mesh in millimetres of a soup and says how many triangles it left out because two of their corners
// are equal. Vertices are numbered in the order of their first use. Scaling keeps different float32
// numbers different, so no two vertices are equal.
func merged(s *stl.Soup, factor float64) (*Mesh, int) {
	n := s.Len()
	g := &gather{
		points:    make([][3]uint32, 0, n/2+n/16), // a large mesh has about half as many vertices as triangles
		triangles: make([][3]int32, 0, n),
		key:       newHashKey(), // numbering follows the file, not the hash
	}
	g.resize(max(1<<10, 1<<bits.Len(uint(n))))
	for i := range n {
		g.take(s.Triangle(i))
	}
	m := &Mesh{Vertices: make([]r3.Vector, len(g.points)), Triangles: g.triangles}
	for i, p := range g.points {
		m.Vertices[i] = r3.Vector{
			X: float64(math.Float32frombits(p[0])) * factor,
			Y: float64(math.Float32frombits(p[1])) * factor,
			Z: float64(math.Float32frombits(p[2])) * factor,
		}
	}
	return m, g.repeated
}

func (g *gather) take(t [9]float32) {
	var v [3]int32
	for k := range v {
		v[k] = g.known(point(t[3*k], t[3*k+1], t[3*k+2]))
	}
	g.last = v
	if v[0] == v[1] || v[1] == v[2] || v[2] == v[0] {
		g.repeated++
		return
	}
	g.triangles = append(g.triangles, v)
}

// point is a corner's bits, with minus zero made zero.
func point(x, y, z float32) [3]uint32 {
	return [3]uint32{math.Float32bits(x + 0), math.Float32bits(y + 0), math.Float32bits(z + 0)}
}

// known is number, with a look at the triangle before.
func (g *gather) known(p [3]uint32) int32 {
	if len(g.points) > 0 {
		for _, n := range g.last {
			if g.points[n] == p {
				return n
			}
		}
	}
	return g.number(p)
}

// number finds or gives the number of a point.
func (g *gather) number(p [3]uint32) int32 {
	mask := uint64(len(g.table) - 1)
	at := g.hash(p) & mask
	for g.table[at] != 0 {
		if n := g.table[at] - 1; g.points[n] == p {
			return n
		}
		at = (at + 1) & mask
	}
	n := int32(len(g.points))
	g.points = append(g.points, p)
	g.table[at] = n + 1
	if 4*len(g.points) > 3*len(g.table) {
		g.resize(2 * len(g.table))
	}
	return n
}

func (g *gather) hash(p [3]uint32) uint64 {
	return g.key.mix(uint64(p[0])|uint64(p[1])<<32, uint64(p[2]))
}

func (g *gather) resize(size int) {
	g.table = make([]int32, size)
	mask := uint64(size - 1)
	for n, p := range g.points {
		at := g.hash(p) & mask
		for g.table[at] != 0 {
			at = (at + 1) & mask
		}
		g.table[at] = int32(n) + 1
	}
}
