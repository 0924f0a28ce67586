package mesh

import (
	"math"
	"math/bits"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/space"
	"seamwright/geometry/stl"
)

// gather gives equal corners of a file's triangles one number.
type gather struct {
	points    []point // bits of the float32 coordinates, in the order of first use
	table     []int32 // open addressing: the numbers of points
	marks     []uint8 // of the table's places: some bits of the point's hash, or 0 where there is none
	key       hashKey
	triangles [][3]int32
	repeated  int // triangles left out because two corners are equal
	// The corners of the two triangles before, and the number after that of the last corner that was neither new nor one of theirs: of
	// neighbours, one after another in the file, two corners are known at once, and most of the others follow those of the row before.
	last    [6]point
	numbers [6]int32
	oldest  int // of these, where the earlier triangle begins
	next    int32
}

// take adds some of about so many triangles. Vertices are numbered in the order of their first use.
func (g *gather) take(some *stl.Soup, about int) {
	if g.table == nil {
		g.points = make([]point, 0, about/2+about/16) // a large mesh has about half as many vertices as triangles
		g.triangles = make([][3]int32, 0, about)
		g.key = newHashKey() // numbering follows the file, not the hash
		nowhere := pointOf(float32(math.NaN()), 0, 0)
		g.last = [6]point{nowhere, nowhere, nowhere, nowhere, nowhere, nowhere}
		g.resize(max(1<<10, 1<<bits.Len(uint(about))))
	}
	g.triangles = slices.Grow(g.triangles, some.Len())
	for i := range some.Len() {
		a, b, c := pointOf(some.Corner(i, 0)), pointOf(some.Corner(i, 1)), pointOf(some.Corner(i, 2))
		u, v, w := g.known(a), g.known(b), g.known(c)
		k := g.oldest
		g.last[k], g.last[k+1], g.last[k+2] = a, b, c
		g.numbers[k], g.numbers[k+1], g.numbers[k+2] = u, v, w
		g.oldest = 3 - k
		if u == v || v == w || w == u {
			g.repeated++
			continue
		}
		n := len(g.triangles)
		g.triangles = g.triangles[:n+1]
		t := &g.triangles[n] // number by number: to put three together and copy them makes the processor wait for the three
		t[0], t[1], t[2] = u, v, w
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

// known is number, with a look at where most corners are found.
func (g *gather) known(p point) int32 {
	for k := range g.last {
		if g.last[k] == p {
			return g.numbers[k]
		}
	}
	if n := g.next; int(n) < len(g.points) && g.points[n] == p {
		g.next++
		return n
	}
	return g.number(p)
}

// number finds or gives the number of a point.
func (g *gather) number(p point) int32 {
	mask := uint64(len(g.table) - 1)
	at, mark := g.hash(p)
	for at &= mask; g.marks[at] != 0; at = (at + 1) & mask {
		if g.marks[at] != mark {
			continue
		}
		if n := g.table[at]; g.points[n] == p {
			g.next = n + 1
			return n
		}
	}
	n := int32(len(g.points))
	g.points = append(g.points, p)
	g.table[at], g.marks[at] = n, mark
	if 4*len(g.points) > 3*len(g.table) {
		g.resize(2 * len(g.table))
	}
	return n
}

// hash is a place in a table, to be cut to its size, and a mark. Of a point that is not there the marks tell that nearly always: they are
// an eighth of the memory that the table and the points take, and at hand when those are not.
func (g *gather) hash(p point) (place uint64, mark uint8) {
	h := g.key.mix(uint64(p.x)|uint64(p.y)<<32, uint64(p.z))
	return h, uint8(h>>56) | 1
}

func (g *gather) resize(size int) {
	g.table, g.marks = make([]int32, size), kit.Zeros[uint8](size)
	mask := uint64(size - 1)
	for n, p := range g.points {
		at, mark := g.hash(p)
		for at &= mask; g.marks[at] != 0; at = (at + 1) & mask {
		}
		g.table[at], g.marks[at] = int32(n), mark
	}
}
