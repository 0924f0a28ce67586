package outline

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// DefaultJoin is the distance in mm between two ends up to which Chain joins them: about the gap that a
// draughtsman does not see (common practice, no source).
const DefaultJoin = 0.1

// Chain joins loose entities into polylines, layer by layer; join is in mm, 0 means DefaultJoin.
//
// Two ends are joined when each is the only one near the other. Near is tried at a thousandth of join first,
// then at a hundredth, a tenth and the whole of it, so that ends that really coincide are not disturbed by a
// stray end close by. Where three or more ends meet, none is joined. Two ends that are joined move to the
// middle between them. A chain runs in the direction of the piece that comes first in paths, takes that
// piece's place in the result, and closes when its two ends meet. Pieces of no length and pieces drawn twice
// are left out. The length of a chain is the sum of its pieces' lengths.
//
// The result depends on nothing but the arguments; paths is not changed.
func Chain(paths []Path, join float64) []Path {
	chained, _ := ChainNotes(paths, join)
	return chained
}

// ChainNotes is Chain with notes on what was left out and where ends were left unjoined.
func ChainNotes(paths []Path, join float64) (chained []Path, notes []string) {
	if !(join > 0) {
		join = DefaultJoin
	}
	kept, notes := distinctPieces(paths, join)
	c := newChainer(paths, kept)
	for _, share := range []float64{1e-3, 1e-2, 1e-1, 1} {
		c.joinWithin(join * share)
	}
	return c.chains(), append(notes, c.branchNotes(join)...)
}

// distinctPieces returns the indices of the paths to chain: those with a length, each drawn once.
func distinctPieces(paths []Path, join float64) (kept []int, notes []string) {
	tiny, twice := 0, 0
	same := join * 1e-3
	seen := map[pieceKey][]int{}
	for i := range paths {
		if len(paths[i].Points) < 2 || paths[i].Length <= 0 {
			tiny++
			continue
		}
		key := keyOf(&paths[i], same)
		known := slices.ContainsFunc(key.around(), func(k pieceKey) bool {
			return slices.ContainsFunc(seen[k], func(j int) bool { return drawnAlike(&paths[j], &paths[i], same) })
		})
		if known {
			twice++
			continue
		}
		seen[key] = append(seen[key], i)
		kept = append(kept, i)
	}
	if tiny > 0 {
		notes = append(notes, fmt.Sprintf("chain: %d of no length left out", tiny))
	}
	if twice > 0 {
		notes = append(notes, fmt.Sprintf("chain: %d drawn twice left out", twice))
	}
	return kept, notes
}

// pieceKey puts pieces that may be alike into one drawer: by layer, number of points and, roughly, the
// middle between the ends, which does not depend on the direction.
type pieceKey struct {
	layer  string
	points int
	closed bool
	middle cell
}

func keyOf(p *Path, same float64) pieceKey {
	middle := scaled(p.Points[0].Add(p.Points[len(p.Points)-1]), 0.5)
	return pieceKey{p.Layer, len(p.Points), p.Closed, cellOf(middle, 4*same)}
}

// around returns the keys under which a piece alike may be found.
func (k pieceKey) around() []pieceKey {
	keys := make([]pieceKey, 0, 27)
	k.middle.around(func(c cell) bool {
		k.middle = c
		keys = append(keys, k)
		return true
	})
	return keys
}

// drawnAlike reports whether two paths with the same number of points run through the same places, in either
// direction.
func drawnAlike(a, b *Path, same float64) bool {
	n := len(a.Points)
	forward, back := true, true
	for i := 0; i < n && (forward || back); i++ {
		forward = forward && within(a.Points[i], b.Points[i], same)
		back = back && within(a.Points[i], b.Points[n-1-i], same)
	}
	return forward || back
}

func within(a, b r3.Vector, d float64) bool { return a.Sub(b).Norm2() <= d*d }

// cell is a cube of space; its numbers are whole but too large for integers far out.
type cell [3]float64

func cellOf(p r3.Vector, size float64) cell {
	return cell{math.Floor(p.X / size), math.Floor(p.Y / size), math.Floor(p.Z / size)}
}

// around visits the cell and its 26 neighbours until visit returns false.
func (c cell) around(visit func(cell) bool) {
	for x := -1.0; x <= 1; x++ {
		for y := -1.0; y <= 1; y++ {
			for z := -1.0; z <= 1; z++ {
				if !visit(cell{c[0] + x, c[1] + y, c[2] + z}) {
					return
				}
			}
		}
	}
}

// chainer joins ends. End 2i is the start of piece i, end 2i+1 its end.
type chainer struct {
	paths   []Path
	pieces  []int // indices into paths
	partner []int // the end that an end is joined to, or -1
	far     []int // the other end of the chain that a free end belongs to
	length  []float64
}

func newChainer(paths []Path, pieces []int) *chainer {
	c := &chainer{paths: paths, pieces: pieces}
	for i, piece := range pieces {
		c.partner = append(c.partner, -1, -1)
		c.far = append(c.far, 2*i+1, 2*i)
		c.length = append(c.length, paths[piece].Length, paths[piece].Length)
	}
	return c
}

func (c *chainer) piece(end int) *Path { return &c.paths[c.pieces[end/2]] }

func (c *chainer) place(end int) r3.Vector {
	points := c.piece(end).Points
	if end%2 == 0 {
		return points[0]
	}
	return points[len(points)-1]
}

// free reports whether an end may still be joined.
func (c *chainer) free(end int) bool { return !c.piece(end).Closed && c.partner[end] < 0 }

// endCell is a drawer of the search for near ends: only ends of one layer are joined.
type endCell struct {
	layer string
	cell  cell
}

// drawers sorts the free ends by place.
func (c *chainer) drawers(size float64) map[endCell][]int {
	drawers := map[endCell][]int{}
	for end := range c.partner {
		if c.free(end) {
			k := endCell{c.piece(end).Layer, cellOf(c.place(end), size)}
			drawers[k] = append(drawers[k], end)
		}
	}
	return drawers
}

// joinWithin joins the free ends of which each has only the other within the distance.
func (c *chainer) joinWithin(distance float64) {
	drawers := c.drawers(distance)
	only := make([]int, len(c.partner))
	for end := range only {
		only[end] = -1
		if c.free(end) {
			if near := c.nearEnds(end, distance, drawers); len(near) == 1 {
				only[end] = near[0]
			}
		}
	}
	for end, other := range only {
		if other > end && only[other] == end {
			c.join(end, other)
		}
	}
}

// nearEnds returns up to two other free ends within the distance. The far end of the same chain counts only
// when the chain is long enough to close on itself.
func (c *chainer) nearEnds(end int, distance float64, drawers map[endCell][]int) []int {
	var near []int
	place, layer := c.place(end), c.piece(end).Layer
	cellOf(place, distance).around(func(k cell) bool {
		for _, other := range drawers[endCell{layer, k}] {
			const leastLoop = 4 // times the distance
			short := c.far[end] == other && c.length[end] <= leastLoop*distance
			if other == end || short || !within(c.place(other), place, distance) {
				continue
			}
			if near = append(near, other); len(near) == 2 {
				return false
			}
		}
		return true
	})
	return near
}

func (c *chainer) join(a, b int) {
	c.partner[a], c.partner[b] = b, a
	farA, farB := c.far[a], c.far[b]
	if farA == b {
		return // a loop: no free end is left
	}
	length := c.length[a] + c.length[b]
	c.far[farA], c.far[farB] = farB, farA
	c.length[farA], c.length[farB] = length, length
}

// chains builds the result, in the order of the first piece of each chain.
func (c *chainer) chains() []Path {
	done := make([]bool, len(c.pieces))
	var out []Path
	for i := range c.pieces {
		if done[i] {
			continue
		}
		p := c.piece(2 * i)
		if c.partner[2*i] < 0 && c.partner[2*i+1] < 0 {
			out = append(out, Path{p.Layer, p.Kind, slices.Clone(p.Points), p.Closed, p.Length})
			done[i] = true
			continue
		}
		out = append(out, c.chainFrom(2*i, done))
	}
	return out
}

// chainFrom follows the chain that the end belongs to, which is the start of the chain's first piece.
func (c *chainer) chainFrom(start int, done []bool) Path {
	closed := false
	first := start
	for c.partner[first] >= 0 {
		first = c.partner[first] ^ 1 // the other end of the piece before
		if first == start {
			closed = true
			break
		}
	}
	out := Path{Layer: c.piece(start).Layer, Kind: "CHAIN", Closed: closed}
	if c.partner[start]^1 == start {
		out.Kind = c.piece(start).Kind // one piece that closes on itself
	}
	for end := first; end >= 0; {
		done[end/2] = true
		out.Length += c.piece(end).Length
		out.Points = append(out.Points, c.run(end)...)
		end = c.partner[end^1]
		if end == first {
			break
		}
		if end >= 0 {
			out.Points = out.Points[:len(out.Points)-1] // the next piece starts there
		}
	}
	if closed {
		out.Points = out.Points[:len(out.Points)-1]
	}
	return out
}

// run returns the points of a piece from the end given to its other end, joined ends moved to the middle.
func (c *chainer) run(end int) []r3.Vector {
	points := slices.Clone(c.piece(end).Points)
	if end%2 == 1 {
		slices.Reverse(points)
	}
	points[0] = c.joint(end)
	points[len(points)-1] = c.joint(end ^ 1)
	return points
}

// joint is where an end comes to lie.
func (c *chainer) joint(end int) r3.Vector {
	here := c.place(end)
	if c.partner[end] < 0 {
		return here
	}
	there := c.place(c.partner[end])
	if here == there {
		return here
	}
	return scaled(here.Add(there), 0.5)
}

// branchNotes tells where three or more free ends are within join of each other.
func (c *chainer) branchNotes(join float64) []string {
	const most = 10
	drawers := c.drawers(join)
	var notes []string
	var told []r3.Vector
	branches := 0
	for end := range c.partner {
		if !c.free(end) || len(c.nearEnds(end, join, drawers)) < 2 {
			continue
		}
		place := c.place(end)
		if slices.ContainsFunc(told, func(p r3.Vector) bool { return within(p, place, 2*join) }) {
			continue
		}
		branches++
		if len(told) < most {
			told = append(told, place)
			notes = append(notes, fmt.Sprintf("chain: three or more ends meet at (%.3f, %.3f, %.3f) on layer %s: left unjoined", place.X, place.Y,
				place.Z, c.piece(end).Layer))
		}
	}
	if branches > most {
		notes = append(notes, "chain: more such places are not listed")
	}
	return notes
}
