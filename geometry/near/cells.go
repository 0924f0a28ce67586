package near

import "sync/atomic"

// A cell holds the first and the last panel that come to it, the first above the last, or zero.
func firstOf(cell uint64) uint32 { return uint32(cell >> 32) }
func lastOf(cell uint64) uint32  { return uint32(cell) }

// several reports whether more than one panel comes to a cell.
func several(cell uint64) bool { return firstOf(cell) != lastOf(cell) }

// isNew reports whether a cell is to note that a panel comes there: it is free, or the panel comes before its first or behind
// its last.
func isNew(cell *uint64, id uint32) bool {
	was := atomic.LoadUint64(cell)
	return id < firstOf(was) || id > lastOf(was)
}

// mark notes in a cell that a panel comes there. Whatever the order of the panels, the cell ends the same.
func mark(cell *uint64, id uint32) {
	for {
		was := atomic.LoadUint64(cell)
		first, last := id, id
		if was != 0 {
			first, last = min(id, firstOf(was)), max(id, lastOf(was))
		}
		if atomic.CompareAndSwapUint64(cell, was, uint64(first)<<32|uint64(last)) {
			return
		}
	}
}

// markCoarse notes the panel in the coarse cells of a block.
func (c *cull) markCoarse(b *block, id uint32) {
	for z := b.low[2] >> brickShift; z <= b.high[2]>>brickShift; z++ {
		for y := b.low[1] >> brickShift; y <= b.high[1]>>brickShift; y++ {
			row := int(z*c.count[1]+y) * int(c.count[0])
			cells := c.coarse[row+int(b.low[0]>>brickShift) : row+int(b.high[0]>>brickShift)+1]
			for i := range cells {
				if isNew(&cells[i], id) {
					mark(&cells[i], id)
				}
			}
		}
	}
}

// divide gives every coarse cell to which several panels come a brick of fine ones, and frees the others.
func (c *cull) divide() {
	bricks := uint64(0)
	for i, cell := range c.coarse {
		c.coarse[i] = 0
		if several(cell) {
			bricks++
			c.coarse[i] = bricks
		}
	}
	c.fine = newCells(int(bricks) * brickCells)
}

// newCells makes free cells. They are written once before they are read: the system gives a page that is read first
// only for reading, and changing that at its first mark stops all workers, which takes as long as all the marking.
func newCells(n int) []uint64 {
	cells := make([]uint64, n)
	clear(cells)
	return cells
}

// hasBrick is both when a block comes to a brick.
func (c *cull) hasBrick(b *block) need {
	for z := b.low[2] >> brickShift; z <= b.high[2]>>brickShift; z++ {
		for y := b.low[1] >> brickShift; y <= b.high[1]>>brickShift; y++ {
			row := int(z*c.count[1]+y) * int(c.count[0])
			for _, brick := range c.coarse[row+int(b.low[0]>>brickShift) : row+int(b.high[0]>>brickShift)+1] {
				if brick != 0 {
					return both
				}
			}
		}
	}
	return 0
}

// markFine notes the panel in the fine cells of a block, and is both when there are any.
func (c *cull) markFine(b *block, id uint32) need {
	found := need(0)
	for z := b.low[2] >> brickShift; z <= b.high[2]>>brickShift; z++ {
		for y := b.low[1] >> brickShift; y <= b.high[1]>>brickShift; y++ {
			row := int(z*c.count[1]+y) * int(c.count[0])
			for x := b.low[0] >> brickShift; x <= b.high[0]>>brickShift; x++ {
				if brick := c.coarse[row+int(x)]; brick != 0 {
					found = both
					part := b.within(x, y, z)
					part.mark((*[brickCells]uint64)(c.fine[int(brick-1)*brickCells:]), id)
				}
			}
		}
	}
	return found
}

// meets is what a block of a panel is kept for, as other panels come to its fine cells.
func (c *cull) meets(b *block, p *panel) need {
	found := need(0)
	for z := b.low[2] >> brickShift; z <= b.high[2]>>brickShift; z++ {
		for y := b.low[1] >> brickShift; y <= b.high[1]>>brickShift; y++ {
			row := int(z*c.count[1]+y) * int(c.count[0])
			for x := b.low[0] >> brickShift; x <= b.high[0]>>brickShift; x++ {
				if brick := c.coarse[row+int(x)]; brick != 0 {
					part := b.within(x, y, z)
					if found |= part.meets((*[brickCells]uint64)(c.fine[int(brick-1)*brickCells:]), p.id); found == p.may {
						return found
					}
				}
			}
		}
	}
	return found
}

// within is the part of a block in the brick at a coarse cell, counted from the brick's corner.
func (b *block) within(x, y, z int32) block {
	at := [3]int32{x << brickShift, y << brickShift, z << brickShift}
	var part block
	for k := range 3 {
		part.low[k], part.high[k] = max(0, b.low[k]-at[k]), min(brickSide-1, b.high[k]-at[k])
	}
	return part
}

func (b *block) mark(cells *[brickCells]uint64, id uint32) {
	for z := b.low[2]; z <= b.high[2]; z++ {
		for y := b.low[1]; y <= b.high[1]; y++ {
			for x := b.low[0]; x <= b.high[0]; x++ {
				if cell := &cells[((z<<brickShift+y)<<brickShift+x)&(brickCells-1)]; isNew(cell, id) {
					mark(cell, id)
				}
			}
		}
	}
}

func (b *block) meets(cells *[brickCells]uint64, id uint32) need {
	found := need(0)
	for z := b.low[2]; z <= b.high[2]; z++ {
		for y := b.low[1]; y <= b.high[1]; y++ {
			for x := b.low[0]; x <= b.high[0]; x++ {
				cell := cells[((z<<brickShift+y)<<brickShift+x)&(brickCells-1)]
				if lastOf(cell) > id {
					found |= asks
				}
				if firstOf(cell) < id {
					found |= isAsked
				}
			}
		}
	}
	return found
}
