package mesh

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"github.com/golang/geo/r3"
)

// hashKey makes a hash that whoever writes a file cannot work out beforehand and crowd. No result depends on it.
type hashKey [2]uint64

func newHashKey() hashKey { return hashKey{rand.Uint64(), rand.Uint64()} }

func (k hashKey) mix(a, b uint64) uint64 {
	high, low := bits.Mul64(a^k[0], b^k[1])
	return high ^ low
}

// cell is a cube of a grid. In a grid of several sizes, level tells them apart.
type cell struct {
	x, y, z int64
	level   int
}

func cellAt(p r3.Vector, width float64, level int) cell {
	return cell{int64(math.Floor(p.X / width)), int64(math.Floor(p.Y / width)), int64(math.Floor(p.Z / width)), level}
}

// cells runs over the cells from one corner to the other.
func cells(low, high cell) func(yield func(cell) bool) {
	return func(yield func(cell) bool) {
		for x := low.x; x <= high.x; x++ {
			for y := low.y; y <= high.y; y++ {
				for z := low.z; z <= high.z; z++ {
					if !yield(cell{x, y, z, low.level}) {
						return
					}
				}
			}
		}
	}
}

// cellIndex files items by cell. Cells can share a place in it, so what it gives out must be looked at, and an item
// filed in several cells can come more than once.
type cellIndex struct {
	key     hashKey
	heads   []int32 // number of an entry, 0 for none
	entries []cellEntry
}

type cellEntry struct {
	item int32
	next int32 // number of the next entry at this place, 0 for none
}

// newCellIndex makes room for about n entries.
func newCellIndex(n int) *cellIndex {
	return &cellIndex{newHashKey(), make([]int32, 1<<bits.Len(uint(n))), make([]cellEntry, 1, n+1)}
}

func (x *cellIndex) place(c cell) uint64 {
	return x.key.mix(x.key.mix(uint64(c.x), uint64(c.y)), uint64(c.z)^uint64(c.level)<<56) & uint64(len(x.heads)-1)
}

func (x *cellIndex) add(c cell, item int32) {
	at := x.place(c)
	x.entries = append(x.entries, cellEntry{item, x.heads[at]})
	x.heads[at] = int32(len(x.entries) - 1)
}

// at gives out the items filed in a cell, among others.
func (x *cellIndex) at(c cell) func(yield func(item int32) bool) {
	return func(yield func(item int32) bool) {
		for e := x.heads[x.place(c)]; e != 0; e = x.entries[e].next {
			if !yield(x.entries[e].item) {
				return
			}
		}
	}
}
