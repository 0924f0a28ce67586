package outline

import (
	"fmt"
	"math"
)

// gapNotes says where ends that did not coincide were joined, and how far apart they were.
func (c *chainer) gapNotes() []string {
	var notes list
	widest := 0.0
	for end, other := range c.partner {
		if other < end { // told from its other side, or not joined
			continue
		}
		gap := c.place(end).Distance(c.place(other))
		if gap <= toldGap {
			continue
		}
		widest = max(widest, gap)
		notes.add(func() string {
			return fmt.Sprintf("layer %s: ends %.3g mm apart at %s are joined", c.piece(end).Layer, gap, place(c.joint(end)))
		})
	}
	return notes.notes(fmt.Sprintf("joined likewise, none more than %.3g mm apart", widest))
}

// branchNotes tells where three or more free ends are within join of each other.
func (c *chainer) branchNotes(join float64) []string {
	free := c.freeEnds(join)
	var notes list
	told := newGrid(len(free.ends), 2*join)
	for _, end := range free.ends {
		if len(c.nearEnds(end, join, free)) < 2 {
			continue
		}
		at, known := c.place(end), false
		told.near(at, 0, 2*join, func(int) bool {
			known = true
			return false
		})
		if !known {
			told.add(at, 0)
			notes.add(func() string {
				return fmt.Sprintf("chain: three or more ends meet at %s on layer %s: left unjoined", place(at), c.piece(end).Layer)
			})
		}
	}
	return notes.notes("such places")
}

// looseReach is how many times Join a loose end looks for another that may have been meant to meet it.
const looseReach = 10

// Beyond so many loose ends a drawing is no outline with gaps, and beyond so many around one nobody can say which was meant.
const (
	mostLoose  = 20_000
	mostAround = 64
)

// looseNotes tells of free ends that have another one not far off, and how wide the gap is.
func (c *chainer) looseNotes(join float64) []string {
	free := c.freeEnds(looseReach * join)
	if len(free.ends) > mostLoose {
		return []string{fmt.Sprintf("chain: %d loose ends: the gaps between them are not looked for", len(free.ends))}
	}
	var notes list
	for _, end := range free.ends {
		at := c.place(end)
		nearest, gap, around := -1, math.Inf(1), 0
		free.near(at, c.layer[end/2], looseReach*join, func(n int) bool {
			other := free.ends[n]
			d := free.at[n].Distance(at)
			ownEnd := c.far[end] == other && c.length[end] <= looseReach*join
			if other != end && !ownEnd && (d < gap || d == gap && other < nearest) {
				nearest, gap = other, d
			}
			around++
			return around < mostAround
		})
		if gap > join && nearest > end {
			notes.add(func() string {
				return fmt.Sprintf("layer %s: the loose ends at %s and %s are %.3g mm apart: left open; up to %g mm would be joined",
					c.piece(end).Layer, place(at), place(c.place(nearest)), gap, join)
			})
		}
	}
	return notes.notes("pairs of loose ends")
}
