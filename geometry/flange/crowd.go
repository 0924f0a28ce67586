package flange

import (
	"context"
	"math"
	"slices"
)

// crowd finds the triangles of many sheets that can be near another sheet at all, by a grid of cells: of large panels
// that is a small part, and only for it are trees worth building. Each triangle comes to the cells that its box,
// grown by half the distance asked about, touches; it is kept when another sheet comes to one of them.
type crowd struct {
	cell, grown float64     // mm
	sets        []edgeTable // of each sheet: the cells that it comes to; 1 where another does too
}

const (
	leastCell     = 24. // mm: some triangles' size
	cellsPerReach = 3.
	mostCells     = 24 // of one triangle on average: of more, sorting them out takes longer than it saves
)

// crowded returns for each sheet the triangles that may come within a distance of another sheet, rising; nil for
// all sheets when the triangles are too large, or too far away, for cells.
func (f *finder) crowded(ctx context.Context, sheets []Sheet, within float64) ([][]int32, error) {
	c := &crowd{cell: math.Max(leastCell, cellsPerReach*within), grown: within/2 + rounding, sets: make([]edgeTable, len(sheets))}
	fits := make([]bool, len(sheets))
	err := f.parallel(ctx, len(sheets), func(i int) error {
		fits[i] = c.enter(i, sheets[i])
		return nil
	})
	if err != nil {
		return nil, err
	}
	out := make([][]int32, len(sheets))
	if slices.Contains(fits, false) {
		return out, nil
	}
	c.compare()
	err = f.parallel(ctx, len(sheets), func(i int) error {
		out[i] = c.kept(i, sheets[i])
		return nil
	})
	return out, err
}

// block is a block of cells, both ends counted.
type block struct{ lo, hi [3]int32 }

func (b *block) cells() int {
	return int(b.hi[0]-b.lo[0]+1) * int(b.hi[1]-b.lo[1]+1) * int(b.hi[2]-b.lo[2]+1)
}

// around is the cells that a triangle comes to; false when they are too far from the origin to be numbered.
func (c *crowd) around(s *Sheet, t int) (b block, ok bool) {
	p, q, r := s.Mesh.Corners(t)
	scale := 1 / c.cell
	ok = true
	for k, x := range [3][3]float64{{p.X, q.X, r.X}, {p.Y, q.Y, r.Y}, {p.Z, q.Z, r.Z}} {
		lo, hi := x[0], x[0]
		for _, y := range x[1:] {
			if y < lo {
				lo = y
			} else if y > hi {
				hi = y
			}
		}
		lo, hi = math.Floor((lo-c.grown)*scale), math.Floor((hi+c.grown)*scale)
		ok = ok && lo > -farthestCell && hi < farthestCell
		b.lo[k], b.hi[k] = int32(lo), int32(hi)
	}
	return b, ok
}

// each calls visit with the cells of a block until it says false.
func (b *block) each(visit func(key uint64) bool) bool {
	for x := b.lo[0]; x <= b.hi[0]; x++ {
		for y := b.lo[1]; y <= b.hi[1]; y++ {
			for z := b.lo[2]; z <= b.hi[2]; z++ {
				if !visit(cellKey(x, y, z)) {
					return false
				}
			}
		}
	}
	return true
}

// cellKey numbers a cell, never with zero.
func cellKey(x, y, z int32) uint64 {
	return 1<<63 | uint64(x+farthestCell)<<42 | uint64(y+farthestCell)<<21 | uint64(z+farthestCell)
}

// enter notes the cells that a sheet comes to.
func (c *crowd) enter(i int, s Sheet) bool {
	set := &c.sets[i]
	var last block
	allowed := mostCells * (len(s.Mesh.Triangles) + 1000)
	for t := range s.Mesh.Triangles {
		b, ok := c.around(&s, t)
		if !ok {
			return false
		}
		if b == last {
			continue
		}
		if allowed -= b.cells(); allowed < 0 {
			return false
		}
		b.each(func(key uint64) bool {
			set.at(key)
			return true
		})
		last = b
	}
	return true
}

// compare marks the cells of each sheet to which others come.
func (c *crowd) compare() {
	var all edgeTable // the first sheet + 1, or 0 when there are several
	for i := range c.sets {
		for _, key := range c.sets[i].keys {
			if key == 0 {
				continue
			}
			if first, known := all.at(key); !known {
				*first = int32(i) + 1
			} else {
				*first = 0
			}
		}
	}
	for i := range c.sets {
		for k, key := range c.sets[i].keys {
			if key == 0 {
				continue
			}
			if first, _ := all.get(key); first == 0 {
				c.sets[i].vals[k] = 1
			}
		}
	}
}

// kept lists the triangles that come to a cell with others, and lets go of the cells.
func (c *crowd) kept(i int, s Sheet) []int32 {
	out := []int32{}
	var last block
	met := false
	for t := range s.Mesh.Triangles {
		b, _ := c.around(&s, t)
		if t == 0 || b != last {
			met = !b.each(func(key uint64) bool {
				others, _ := c.sets[i].get(key)
				return others == 0
			})
		}
		if last = b; met {
			out = append(out, int32(t))
		}
	}
	c.sets[i] = edgeTable{}
	return out
}
