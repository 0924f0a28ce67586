package mesh

import (
	"errors"
	"fmt"
	"math"
	"math/bits"

	"github.com/golang/geo/r3"
	"github.com/hschendel/stl"
)

// farthest is the greatest coordinate that is taken, in mm: a thousand kilometres. No panel is placed
// there; damaged files are. It also keeps every later product and grid cell within range.
const farthest = 1e9

// gather takes triangles from the STL library one by one (it is an stl.Writer) and gives equal
// vertices one number at once, so that memory follows the mesh and not the file.
type gather struct {
	factor float64 // mm in one unit of the file
	reach  float32 // farthest in units of the file
	limit  int

	points    [][3]uint32 // bits of the float32 coordinates, in the order of first use
	table     []int32     // open addressing: number of a point + 1, or 0
	key       hashKey
	triangles [][3]int32

	seen     int   // triangles handed over
	repeated int   // of these, left out because two corners are equal
	err      error // the first refusal; nothing is taken after it
}

func newGather(factor float64, limit int) *gather {
	if limit <= 0 {
		limit = DefaultMaxTriangles
	}
	return &gather{
		factor: factor,
		reach:  float32(farthest / factor),
		limit:  min(limit, hardLimit),
		table:  make([]int32, 1<<10),
		key:    newHashKey(), // numbering follows the file, not the hash
	}
}

// SetName, SetBinaryHeader and SetASCII belong to stl.Writer; a panel's name comes from its file.
func (g *gather) SetName(string)         {}
func (g *gather) SetBinaryHeader([]byte) {}
func (g *gather) SetASCII(bool)          {}

// SetTriangleCount makes room. The count has been checked against the file's size and the limit.
func (g *gather) SetTriangleCount(n uint32) {
	if int64(n) > int64(g.limit) {
		return
	}
	g.triangles = make([][3]int32, 0, n)
	g.points = make([][3]uint32, 0, n/2+n/16) // a large mesh has about half as many vertices as triangles
	g.resize(max(len(g.table), 1<<bits.Len32(n)))
}

// AppendTriangle takes the next triangle or refuses it.
func (g *gather) AppendTriangle(t stl.Triangle) {
	if g.err != nil {
		return
	}
	g.seen++
	var v [3]int32
	for k, corner := range t.Vertices {
		point, err := g.point(corner)
		if err != nil {
			g.err = fmt.Errorf("triangle %d: corner %d %w", g.seen, k+1, err)
			return
		}
		v[k] = g.number(point)
	}
	if v[0] == v[1] || v[1] == v[2] || v[2] == v[0] {
		g.repeated++
		return
	}
	g.triangles = append(g.triangles, v)
}

// point checks a corner and returns its bits, with minus zero made zero.
func (g *gather) point(corner stl.Vec3) (point [3]uint32, err error) {
	for i, x := range corner {
		if !(x >= -g.reach && x <= g.reach) {
			if x != x {
				return point, errors.New("is not a number: export the panel again")
			}
			return point, fmt.Errorf("has the coordinate %g, beyond %g mm: check the unit, or export the panel again", x, farthest)
		}
		if x != 0 {
			point[i] = math.Float32bits(x)
		}
	}
	return point, nil
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

// mesh hands the triangles over in millimetres and lets go of the rest. Scaling keeps different float32
// numbers different, so no two vertices become equal.
func (g *gather) mesh() *Mesh {
	m := &Mesh{Vertices: make([]r3.Vector, len(g.points)), Triangles: g.triangles}
	for i, p := range g.points {
		m.Vertices[i] = r3.Vector{
			X: float64(math.Float32frombits(p[0])) * g.factor,
			Y: float64(math.Float32frombits(p[1])) * g.factor,
			Z: float64(math.Float32frombits(p[2])) * g.factor,
		}
	}
	g.points, g.table, g.triangles = nil, nil, nil
	return m
}
