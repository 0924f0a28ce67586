package view

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"seamwright/geometry/curve"
)

// chain joins pieces of one kind end to end, straight on where there is a choice, into lines.
func chain(pieces []piece, join float64) []Line {
	c := newChainer(pieces, join)
	var out []Line
	for i, p := range pieces {
		if c.used[i] {
			continue
		}
		c.used[i] = true
		back := c.follow(p.kind, p.b, p.a, c.node[i][0])
		slices.Reverse(back)
		points := append(back, p.a, p.b)
		out = append(out, Line{p.kind, append(points, c.follow(p.kind, p.a, p.b, c.node[i][1])...)})
	}
	return out
}

type chainer struct {
	pieces []piece
	used   []bool
	node   [][2]int32 // where the ends of each piece meet others
	first  []int32    // by node, into at: its pieces, in order
	at     []int32
}

// newChainer takes ends as the same that lie within one square of join mm.
func newChainer(pieces []piece, join float64) *chainer {
	c := &chainer{pieces: pieces, used: make([]bool, len(pieces)), node: make([][2]int32, len(pieces))}
	known := make(map[[2]int64]int32, len(pieces))
	number := func(p r2.Point) int32 {
		k := [2]int64{int64(math.Round(p.X / join)), int64(math.Round(p.Y / join))}
		n, ok := known[k]
		if !ok {
			n = int32(len(known))
			known[k] = n
		}
		return n
	}
	for i, p := range pieces {
		c.node[i] = [2]int32{number(p.a), number(p.b)}
	}
	c.first = make([]int32, len(known)+1)
	for _, n := range c.node {
		c.first[n[0]]++
		c.first[n[1]]++
	}
	sum := int32(0)
	for i := range c.first {
		sum += c.first[i]
		c.first[i] = sum
	}
	c.at = make([]int32, sum)
	for i, n := range slices.Backward(c.node) {
		for _, k := range [2]int32{n[1], n[0]} {
			c.first[k]--
			c.at[c.first[k]] = int32(i)
		}
	}
	return c
}

// turnLimit is the sharpest turn, as a cosine, that one line takes where pieces meet: 60 degrees.
const turnLimit = 0.5

// follow goes on from to, which lies at a node, away from from, and returns the points it comes through.
func (c *chainer) follow(kind LineKind, from, to r2.Point, node int32) []r2.Point {
	var out []r2.Point
	for {
		best, bestTurn := -1, turnLimit
		var next r2.Point
		var nextNode int32
		for _, i := range c.at[c.first[node]:c.first[node+1]] {
			p := &c.pieces[i]
			if c.used[i] || p.kind != kind {
				continue
			}
			far, farNode := p.b, c.node[i][1]
			if farNode == node {
				far, farNode = p.a, c.node[i][0]
			}
			if turn := cosine(to.Sub(from), far.Sub(to)); turn > bestTurn {
				best, bestTurn, next, nextNode = int(i), turn, far, farNode
			}
		}
		if best < 0 {
			return out
		}
		c.used[best] = true
		out = append(out, next)
		from, to, node = to, next, nextNode
	}
}

func cosine(a, b r2.Point) float64 {
	d := a.Norm() * b.Norm()
	if d == 0 {
		return 1
	}
	return (float64(a.X*b.X) + float64(a.Y*b.Y)) / d
}

// Simplify leaves out points of a line that are nearer than tolerance to what remains. Ends stay.
func Simplify(points []r2.Point, tolerance float64) []r2.Point {
	return curve.Simplify(points, tolerance, distance)
}

// distance is from p to the segment ab.
func distance(p, a, b r2.Point) float64 {
	d := b.Sub(a)
	n := float64(d.X*d.X) + float64(d.Y*d.Y)
	if n == 0 {
		return p.Sub(a).Norm()
	}
	f := (float64((p.X-a.X)*d.X) + float64((p.Y-a.Y)*d.Y)) / n
	f = math.Max(0, math.Min(1, f))
	return math.Hypot(p.X-a.X-float64(f*d.X), p.Y-a.Y-float64(f*d.Y))
}
