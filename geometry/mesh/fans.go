package mesh

import (
	"cmp"
	"iter"
	"slices"

	"seamwright/geometry/kit"
)

// side is one side of a triangle, in the fan of its lower vertex.
type side struct {
	upper  int32 // the higher vertex
	corner corner
}

// corner is a corner of a triangle, and the side from there to the next one: 4·triangle + 0, 1 or 2.
type corner uint32

func (c corner) triangle() int32 { return int32(c >> 2) }

func (c corner) index() int { return int(c & 3) }

// fans gives out, vertex by vertex, the sides that have it as their lower vertex, sorted by the higher one and then by triangle, so
// that those of one edge stand together. A fan holds until the next. The sides are kept in a list for each vertex: that is one walk over
// the triangles, and half as much memory as sorting them into a table.
func (m *Mesh) fans() iter.Seq2[int32, []side] {
	return func(yield func(int32, []side) bool) {
		first, next := m.sides()
		var fan []side
		for v, c := range first {
			if c == 0 {
				continue
			}
			fan = fan[:0]
			for c != 0 {
				c--
				t, k := c.triangle(), c.index()
				fan = append(fan, side{m.along(t, k) ^ int32(v), c})
				c = next[t][k]
			}
			sortFan(fan)
			if !yield(int32(v), fan) {
				return
			}
		}
	}
}

// sides is for each vertex the first corner + 1 whose side has it as its lower vertex, and for each side of a triangle the next corner
// + 1 of the same list, by rising triangle; 0 for none.
func (m *Mesh) sides() (first []corner, next [][3]corner) {
	first, next = kit.Zeros[corner](len(m.Vertices)), make([][3]corner, len(m.Triangles))
	for t := len(m.Triangles) - 1; t >= 0; t-- {
		a, b, c := m.Triangles[t][0], m.Triangles[t][1], m.Triangles[t][2]
		n, at := &next[t], corner(t)<<2+1
		for k, low := range [3]int32{min(a, b), min(b, c), min(c, a)} {
			n[k], first[low] = first[low], at+corner(k)
		}
	}
	return first, next
}

// along is the ends of side k of a triangle, as their bits differ: of one end that makes the other.
func (m *Mesh) along(t int32, k int) int32 {
	v := &m.Triangles[t]
	switch k {
	case 0:
		return v[0] ^ v[1]
	case 1:
		return v[1] ^ v[2]
	}
	return v[2] ^ v[0]
}

// sortFan sorts the sides that share a lower vertex. Nearly all have a handful of them.
func sortFan(fan []side) {
	if len(fan) > 32 {
		slices.SortFunc(fan, func(a, b side) int {
			return cmp.Or(cmp.Compare(a.upper, b.upper), cmp.Compare(a.corner, b.corner))
		})
		return
	}
	for i := 1; i < len(fan); i++ {
		s, k := fan[i], i
		for ; k > 0 && fan[k-1].upper > s.upper; k-- {
			fan[k] = fan[k-1]
		}
		fan[k] = s
	}
}
