package outline

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
)

// Join is the distance in mm between two loose ends up to which Chain joins them; what is joined over more than
// toldGap is said. A gap that wide lies within the tolerance of a sheared or plasma-cut blank (common practice, no
// source).
const Join = 0.5

// toldGap is the gap in mm up to which two ends count as drawn together: coordinates are written with three decimals
// or more.
const toldGap = 1e-3

// Stub is the length in mm below which a piece that ends beside others is dropped, with a note: what a slip of the
// hand or a trimmed corner leaves, no longer than the chords of a curve leave it (drawing.DefaultChord).
const Stub = 0.02

// Chain joins loose entities into polylines, layer by layer.
//
// Two ends are joined when each is the only one near the other. Near is tried at a thousandth of Join first,
// then at a hundredth, a tenth and the whole of it, so that ends that really coincide are not disturbed by a
// stray end close by. Where three or more ends meet, none is joined. Two ends that are joined move to the corner where
// their lines meet or, failing that, to the middle between them. A chain runs in the direction of the piece that comes
// first in paths, takes that piece's place in the result, and closes when its two ends meet. Pieces of no length, pieces
// drawn twice and stubs are left out. The length of a chain is the sum of its pieces' lengths.
//
// The notes say what was left out, where a gap was joined and how wide it was, and which ends were left loose.
// The result depends on nothing but paths, which is not changed.
func Chain(paths []drawing.Path) (chained []drawing.Path, notes []string) { return chain(paths, Join) }

func chain(paths []drawing.Path, join float64) (chained []drawing.Path, notes []string) {
	kept, notes := distinctPieces(paths, join)
	c := newChainer(paths, kept)
	for _, share := range []float64{1e-3, 1e-2, 1e-1, 1} {
		const rounding = 1e-6 // mm, of the coordinates
		c.joinWithin(join*share + rounding)
	}
	notes = append(append(notes, c.gapNotes()...), c.branchNotes(join)...)
	return c.chains(), append(notes, c.looseNotes(join)...)
}

// distinctPieces returns the indices of the paths to chain: those with a length, each drawn once, without stubs.
func distinctPieces(paths []drawing.Path, join float64) (kept []int, notes []string) {
	tiny, twice := 0, 0
	same := join * 1e-3
	alike := newGrid(len(paths), 4*same) // two ends that each move by same move the signature by 3.5 times as much at most
	for i := range paths {
		p := &paths[i]
		if len(p.Points) < 2 || p.Length <= 0 {
			tiny++
			continue
		}
		at, known := signature(p.Points[0], p.Points[len(p.Points)-1]), false
		alike.near(at, 0, 4*same, func(n int) bool {
			known = drawnAlike(&paths[kept[n]], p, same)
			return !known
		})
		if known {
			twice++
			continue
		}
		alike.add(at, 0)
		kept = append(kept, i)
	}
	if tiny > 0 {
		notes = append(notes, fmt.Sprintf("chain: %d of no length left out", tiny))
	}
	if twice > 0 {
		notes = append(notes, fmt.Sprintf("chain: %d drawn twice left out", twice))
	}
	kept, said := withoutStubs(paths, kept)
	return kept, append(notes, said...)
}

// signature is a place that two ends have whichever comes first, and that other pairs of ends hardly share, though they
// have an end, the middle or the direction in common: two sums and a difference along directions that nothing is drawn along.
func signature(a, b r3.Vector) r3.Vector {
	u, v, w := r3.Vector{X: 0.36, Y: 0.48, Z: 0.8}, r3.Vector{X: 0.48, Y: -0.8, Z: 0.36}, r3.Vector{X: 0.8, Y: 0.36, Z: 0.48}
	return r3.Vector{X: a.Add(b).Dot(u), Y: a.Add(b).Dot(v), Z: math.Abs(a.Sub(b).Dot(w))}
}

// drawnAlike reports whether two paths of one layer run through the same places, in either direction.
func drawnAlike(a, b *drawing.Path, same float64) bool {
	n := len(a.Points)
	if len(b.Points) != n || a.Layer != b.Layer || a.Closed != b.Closed {
		return false
	}
	forward, back := true, true
	for i := 0; i < n && (forward || back); i++ {
		forward = forward && within(a.Points[i], b.Points[i], same)
		back = back && within(a.Points[i], b.Points[n-1-i], same)
	}
	return forward || back
}

// withoutStubs drops open pieces shorter than Stub, save where one of them goes on from another: a curve drawn in
// tiny pieces is a curve.
func withoutStubs(paths []drawing.Path, pieces []int) (kept []int, notes []string) {
	ends, owner := newGrid(2*len(pieces), Stub), make([]int, 0, 2*len(pieces))
	isStub := func(i int) bool { return !paths[i].Closed && paths[i].Length < Stub }
	if !slices.ContainsFunc(pieces, isStub) {
		return pieces, nil
	}
	for _, i := range pieces {
		for _, end := range endsOf(&paths[i]) {
			ends.add(end, 0)
			owner = append(owner, i)
		}
	}
	goesOn := func(i int) bool {
		return slices.ContainsFunc(endsOf(&paths[i]), func(end r3.Vector) bool {
			stubs, others := 0, 0
			ends.near(end, 0, Stub, func(n int) bool {
				switch o := owner[n]; {
				case o == i || paths[o].Layer != paths[i].Layer:
				case isStub(o):
					stubs++
				default:
					others++
				}
				return others == 0
			})
			return stubs > 0 && others == 0
		})
	}
	var dropped list
	for _, i := range pieces {
		if isStub(i) && !goesOn(i) {
			dropped.add(func() string {
				return fmt.Sprintf("layer %s: a stub of %.3g mm at %s is dropped", paths[i].Layer, paths[i].Length, place(paths[i].Points[0]))
			})
			continue
		}
		kept = append(kept, i)
	}
	return kept, dropped.notes("stubs dropped likewise")
}

func endsOf(p *drawing.Path) []r3.Vector { return []r3.Vector{p.Points[0], p.Points[len(p.Points)-1]} }

// place writes a point for a note, with its height where it has one.
func place(v r3.Vector) string {
	if math.Abs(v.Z) < 5e-4 {
		return fmt.Sprintf("(%.3f, %.3f)", v.X, v.Y)
	}
	return fmt.Sprintf("(%.3f, %.3f, %.3f)", v.X, v.Y, v.Z)
}

// list is notes of one kind: no more than somebody may read are worded, the others counted.
type list struct {
	first []string
	more  int
}

func (l *list) add(note func() string) {
	const most = 10
	if len(l.first) == most {
		l.more++
		return
	}
	l.first = append(l.first, note())
}

// notes are the list with the count of those that are not in it.
func (l *list) notes(of string) []string {
	if l.more == 0 {
		return l.first
	}
	return append(l.first, fmt.Sprintf("and %d more %s", l.more, of))
}

// chainer joins ends. End 2i is the start of piece i, end 2i+1 its end.
type chainer struct {
	paths   []drawing.Path
	pieces  []int // indices into paths
	partner []int // the end that an end is joined to, or -1
	far     []int // the other end of the chain that a free end belongs to
	length  []float64
	layer   []int // of each piece, a number for each name
}

func newChainer(paths []drawing.Path, pieces []int) *chainer {
	c := &chainer{paths: paths, pieces: pieces}
	numbers := map[string]int{}
	for i, piece := range pieces {
		number, known := numbers[paths[piece].Layer]
		if !known {
			number = len(numbers)
			numbers[paths[piece].Layer] = number
		}
		c.layer = append(c.layer, number)
		c.partner = append(c.partner, -1, -1)
		c.far = append(c.far, 2*i+1, 2*i)
		c.length = append(c.length, paths[piece].Length, paths[piece].Length)
	}
	return c
}

func (c *chainer) piece(end int) *drawing.Path { return &c.paths[c.pieces[end/2]] }

func (c *chainer) place(end int) r3.Vector {
	points := c.piece(end).Points
	if end%2 == 0 {
		return points[0]
	}
	return points[len(points)-1]
}

// free reports whether an end may still be joined.
func (c *chainer) free(end int) bool { return !c.piece(end).Closed && c.partner[end] < 0 }

// freeEnds are the ends that may still be joined, sorted by place.
type freeEnds struct {
	*grid
	ends []int // by number in the grid
}

func (c *chainer) freeEnds(reach float64) freeEnds {
	f := freeEnds{}
	for end := range c.partner {
		if c.free(end) {
			f.ends = append(f.ends, end)
		}
	}
	f.grid = newGrid(len(f.ends), reach)
	for _, end := range f.ends {
		f.add(c.place(end), c.layer[end/2])
	}
	return f
}

// joinWithin joins the free ends of which each has only the other within the distance.
func (c *chainer) joinWithin(distance float64) {
	free := c.freeEnds(distance)
	only := make([]int, len(c.partner))
	for end := range only {
		only[end] = -1
	}
	for _, end := range free.ends {
		if near := c.nearEnds(end, distance, free); len(near) == 1 {
			only[end] = near[0]
		}
	}
	for end, other := range only {
		if other > end && only[other] == end {
			c.join(end, other)
		}
	}
}

// nearEnds returns up to two other free ends of the layer within the distance. The far end of the same chain counts
// only when the chain is long enough to close on itself.
func (c *chainer) nearEnds(end int, distance float64, free freeEnds) []int {
	var near []int
	free.near(c.place(end), c.layer[end/2], distance, func(n int) bool {
		const leastLoop = 4 // times the distance
		other := free.ends[n]
		short := c.far[end] == other && c.length[end] <= leastLoop*distance
		if other != end && !short {
			near = append(near, other)
		}
		return len(near) < 2
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
func (c *chainer) chains() []drawing.Path {
	done := make([]bool, len(c.pieces))
	var out []drawing.Path
	for i := range c.pieces {
		if done[i] {
			continue
		}
		p := c.piece(2 * i)
		if c.partner[2*i] < 0 && c.partner[2*i+1] < 0 {
			lone := *p
			lone.Points = slices.Clone(p.Points)
			out = append(out, lone)
			done[i] = true
			continue
		}
		out = append(out, c.chainFrom(2*i, done))
	}
	return out
}

// chainFrom follows the chain that the end belongs to, which is the start of the chain's first piece.
func (c *chainer) chainFrom(start int, done []bool) drawing.Path {
	closed := false
	first := start
	for c.partner[first] >= 0 {
		first = c.partner[first] ^ 1 // the other end of the piece before
		if first == start {
			closed = true
			break
		}
	}
	out := drawing.Path{Layer: c.piece(start).Layer, Kind: "CHAIN", Closed: closed}
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
	other := c.partner[end]
	there := c.place(other)
	if here == there {
		return here
	}
	if corner, ok := cornerOf(here, there, c.heading(end), c.heading(other)); ok {
		return corner
	}
	return scaled(here.Add(there), 0.5)
}

// heading is the direction in which a piece arrives at its end.
func (c *chainer) heading(end int) r3.Vector {
	points := c.piece(end).Points
	if end%2 == 0 {
		return unit(points[0].Sub(points[1]))
	}
	return unit(points[len(points)-1].Sub(points[len(points)-2]))
}

// cornerOf is where two lines meet that end a gap apart, when they are led on, or cut back, by no more than the gap: a
// square corner drawn with a gap stays square.
func cornerOf(a, b, headingA, headingB r3.Vector) (r3.Vector, bool) {
	normal := headingA.Cross(headingB)
	const leastSine = 0.1 // below it, the place where the lines meet is a matter of their last digits
	if normal.Norm() < leastSine {
		return r3.Vector{}, false
	}
	gap := b.Sub(a)
	along := gap.Cross(headingB).Dot(normal) / normal.Norm2()
	corner := a.Add(scaled(headingA, along))
	beside := math.Abs(gap.Dot(normal)) / normal.Norm() // lines that pass above each other
	reach := gap.Norm() + toldGap
	return corner, beside <= toldGap && within(corner, a, reach) && within(corner, b, reach)
}
