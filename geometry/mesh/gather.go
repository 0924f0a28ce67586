package mesh

import (
	"math"
	"math/bits"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
	"seamwright/geometry/stl"
)

// gather gives equal corners of a file's triangles one number.
type gather struct {
	points    []point // bits of the float32 coordinates, in the order of first use
	table     []int32 // open addressing: number of a point + 1, or 0
	key       hashKey
	triangles [][3]int32
	repeated  int // triangles left out because two corners are equal
	// The triangle before: of neighbours, one after another in the file, two corners are known at once.
	last    [3]point
	numbers [3]int32
}

// take adds some of about so many triangles. Vertices are numbered in the order of their first use.
func (g *gather) take(some *stl.Soup, about int) {
	if g.table == nil {
		g.points = make([]point, 0, about/2+about/16) // a large mesh has about half as many vertices as triangles
		g.triangles = make([][3]int32, 0, about)
		g.key = newHashKey() // numbering follows the file, not the hash
		nowhere := pointOf(float32(math.NaN()), 0, 0)
		g.last = [3]point{nowhere, nowhere, nowhere}
		g.resize(max(1<<10, 1<<bits.Len(uint(about))))
	}
	for i := range some.Len() {
		a, b, c := pointOf(some.Corner(i, 0)), pointOf(some.Corner(i, 1)), pointOf(some.Corner(i, 2))
		v := [3]int32{g.known(a), g.known(b), g.known(c)}
		g.last, g.numbers = [3]point{a, b, c}, v
		if v[0] == v[1] || v[1] == v[2] || v[2] == v[0] {
			g.repeated++
			continue
		}
		g.triangles = append(g.triangles, v)
	}
}

// mesh makes a mesh of what was taken, in millimetres, and says how far it reaches. Scaling keeps different float32 numbers different, so
// no two vertices are equal.
func (g *gather) mesh(factor float64) (*Mesh, space.Box) {
	m := &Mesh{Vertices: make([]r3.Vector, len(g.points)), Triangles: g.triangles}
	box := space.EmptyBox()
	for i, p := range g.points {
		v := r3.Vector{
			X: float64(math.Float32frombits(p.x)) * factor,
			Y: float64(math.Float32frombits(p.y)) * factor,
			Z: float64(math.Float32frombits(p.z)) * factor,
		}
		m.Vertices[i] = v
		box.Hold(v)
	}
	return m, box
}

// point is the bits of a corner's coordinates, with minus zero made zero.
type point struct{ x, y, z uint32 }

func pointOf(x, y, z float32) point {
	return point{math.Float32bits(x + 0), math.Float32bits(y + 0), math.Float32bits(z + 0)}
}

// known is number, with a look at the triangle before.
func (g *gather) known(p point) int32 {
	switch p {
	case g.last[0]:
		return g.numbers[0]
	case g.last[1]:
		return g.numbers[1]
	case g.last[2]:
		return g.numbers[2]
	}
	return g.number(p)
}

// number finds or gives the number of a point.
func (g *gather) number(p point) int32 {
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

func (g *gather) hash(p point) uint64 {
	return g.key.mix(uint64(p.x)|uint64(p.y)<<32, uint64(p.z))
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
