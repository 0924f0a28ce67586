package near

import (
	"math"
	"math/bits"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// lanes is how many places a packet has: as many float32 as fit in a register of 256 bits.
const lanes = shortRun

// packet is up to eight places that lie near each other and are asked for at once: they go down a tree together, and a
// triangle is made ready once for all of them. Where there are fewer, the last is there several times. The order of the
// fields down to corner is known to packet_amd64.s.
//
// What a packet is asked is answered in two steps. First, weigh reckons in float32 for every place and triangle a least
// and a greatest squared distance: the least from the triangle's plane and from the farthest of the three planes that
// stand on its sides, the greatest from the plane alone where the place is above the inside, and from a corner
// otherwise. Then the triangles whose least is below the least greatest, one or two for most places, are settled in float64.
//
// Doubt: with eps = 2^-24, sides are off by eps of their length, so the normal by no more than 7·eps·L²/|n| and 3·eps, n being
// the product of two sides and L the longest; the planes on the sides by 4·eps more; distances from them, reckoned
// from the packet's origin with places and corners at most M apart, by 4·eps·M more. All are thus within 18·eps·M·L²/|n|, as L²/|n| is
// above one; 32 are allowed for. A triangle without area, the square of whose normal is too small for float32, is in doubt
// altogether: its least is zero.
type packet struct {
	at        [3][lanes]int32   // in grains
	place     [3][lanes]float32 // from the origin, in the soup's unit
	limit     [lanes]float32    // squared: the nearest triangle is no farther away
	middle    [3][lanes]float32 // the places: middles of triangles
	triangles [lanes]int32
	origin    [3]float32 // the first place
	radius    float32    // the farthest place from the origin
	low       [3]int32   // box of the places, in grains
	high      [3]int32
	scale     float32 // squared grains in a squared unit, rounded up
	_         float32
	grain     float64    // grains in a unit
	corner    [3]float64 // where grains are counted from
	places    int
	start     float32 // the first limit
}

func newPacket(f *frame, within float64) *packet {
	return &packet{
		scale: above(f.scale * f.scale), start: above(within * within),
		grain: f.scale, corner: [3]float64{f.origin.X, f.origin.Y, f.origin.Z},
	}
}

// above is a float32 above x by more than what reckoning with it takes away.
func above(x float64) float32 { return float32(x*(1+1e-6)) + math.SmallestNonzeroFloat32 }

// take fills the packet with the middles of at most eight triangles.
func (p *packet) take(soup *mesh.Soup, triangles []int32) {
	p.places = copy(p.triangles[:], triangles)
	for i := p.places; i < lanes; i++ {
		p.triangles[i] = triangles[p.places-1]
	}
	middles(p, soup)
}

// exactly is a place.
func (p *packet) exactly(i int) r3.Vector {
	return r3.Vector{X: float64(p.middle[0][i]), Y: float64(p.middle[1][i]), Z: float64(p.middle[2][i])}
}

// search looks for nearest triangles in a packed tree, one packet after another.
type search struct {
	tree  *packed
	entry int32          // the node under which all is that can be near, or below zero
	limit float64        // squared: the greatest distance that is asked about
	best  [lanes]nearest // what was found for each place
	hint  *node          // the leaf with what the packet before found: a first guess for the next

	n          int // candidates, with their least squared distances
	candidates [mostCandidates]candidate
	rows       [mostCandidates][lanes]float32
}

// mostCandidates is how many there are before they are settled; for most packets it is at the end.
const mostCandidates = 64

// nearest is the nearest triangle so far.
type nearest struct {
	at    int32   // its place in the tree, or below zero
	limit float64 // its squared distance, or the greatest that is asked for
	leaf  *node   // it is in
}

// candidate is a triangle that may be the nearest of a place.
type candidate struct {
	at   int32
	leaf *node
}

// closest finds the nearest triangles of all under entry.
func (s *search) closest(entry int32, p *packet) {
	for i := range lanes {
		s.best[i] = nearest{at: -1, limit: s.limit}
		p.limit[i] = p.start
	}
	s.n = 0
	hint := s.hint
	if hint != nil {
		s.look(hint, p)
	}
	nodes := s.tree.nodes
	var stack [deepest + 2]int32
	stack[0] = entry
	for depth := 1; depth > 0; {
		depth--
		n := &nodes[stack[depth]]
		for n.count == 0 {
			left, right, rightFirst := pairNear(p, &nodes[n.first], &nodes[n.first+1])
			near, far := n.first, n.first+1
			if left == 0 || right != 0 && bits.OnesCount32(rightFirst) > lanes/2 {
				near, far, left, right = far, near, right, left
			}
			if left == 0 {
				n = nil
				break
			}
			if right != 0 {
				stack[depth] = far
				depth++
			}
			n = &nodes[near]
		}
		if n != nil && n != hint {
			s.look(n, p)
		}
	}
	s.settle(p)
}

// look weighs a leaf's triangles, and keeps those that may be the nearest of some place.
func (s *search) look(leaf *node, p *packet) {
	for from, end := leaf.first, leaf.first+leaf.count; from < end; from += lanes {
		if s.n > mostCandidates-lanes {
			s.settle(p)
		}
		base := s.n
		near := weigh(p, s.tree.soup, s.tree.order[from:min(from+lanes, end)], s.rows[base:])
		for i := 0; near != 0; i, near = i+1, near>>lanes {
			if near&(1<<lanes-1) != 0 {
				s.rows[s.n], s.candidates[s.n] = s.rows[base+i], candidate{from + int32(i), leaf}
				s.n++
			}
		}
	}
}

// settle finds the nearest of the candidates, and makes room for others.
func (s *search) settle(p *packet) {
	for k := range s.n {
		c, row := &s.candidates[k], &s.rows[k]
		for i := range p.places {
			if !(row[i] > p.limit[i]) {
				s.compare(c, p.exactly(i), &s.best[i])
			}
		}
	}
	s.n = 0
	for i := range p.places {
		if best := &s.best[i]; best.at >= 0 {
			p.limit[i] = min(p.limit[i], above(best.limit))
			s.hint = best.leaf
		}
	}
}

// compare puts a candidate in place of the best so far if it is nearer to a place.
func (s *search) compare(c *candidate, place r3.Vector, best *nearest) {
	order := s.tree.order
	p, q, r := s.tree.soup.Corners(int(order[c.at]))
	on, _ := ClosestOnTriangle(place, p, q, r)
	d := on.Sub(place).Norm2()
	if d < best.limit || d == best.limit && (best.at < 0 || order[c.at] < order[best.at]) {
		*best = nearest{c.at, d, c.leaf}
	}
}
