package kit

import (
	"math"
	"math/bits"

	"github.com/golang/geo/r3"
)

// EdgeTable holds a number for each edge that it knows. It is a hash table with open addressing: half of a
// refinement's time would go into a map.
type EdgeTable struct {
	keys  []uint64 // 0 where there is none: no edge joins point 0 with itself
	vals  []int32
	count int
}

// EdgeKey names the edge between two points, whichever comes first.
func EdgeKey(a, b int32) uint64 { return WayKey(min(a, b), max(a, b)) }

// WayKey names the way from one point to another.
func WayKey(from, to int32) uint64 { return uint64(from)<<32 | uint64(to) }

const leastTable = 1 << 6

// spread turns a key into a place in a table: the golden ratio sends neighbours far apart (Knuth, The Art of Computer
// Programming, vol. 3, 6.4; from memory).
func spread(key uint64, mask int) int {
	return int(key * 0x9E3779B97F4A7C15 >> (64 - bits.Len(uint(mask))))
}

// find returns where the key is or would be.
func (t *EdgeTable) find(key uint64) int {
	mask := len(t.keys) - 1
	i := spread(key, mask)
	for t.keys[i] != 0 && t.keys[i] != key {
		i = (i + 1) & mask
	}
	return i
}

// Get is an edge's number.
func (t *EdgeTable) Get(key uint64) (val int32, known bool) {
	if t.count == 0 {
		return 0, false
	}
	i := t.find(key)
	return t.vals[i], t.keys[i] == key
}

// At returns the key's number, which the caller sets when it was not known. It holds until the next call.
func (t *EdgeTable) At(key uint64) (val *int32, known bool) {
	if 2*t.count >= len(t.keys) {
		t.grow()
	}
	i := t.find(key)
	if t.keys[i] == key {
		return &t.vals[i], true
	}
	t.keys[i] = key
	t.count++
	return &t.vals[i], false
}

// Set gives an edge a number.
func (t *EdgeTable) Set(key uint64, val int32) {
	at, _ := t.At(key)
	*at = val
}

// Each calls do with every edge and its number, in no order; do may set the number.
func (t *EdgeTable) Each(do func(key uint64, val *int32)) {
	for i, key := range t.keys {
		if key != 0 {
			do(key, &t.vals[i])
		}
	}
}

// Reset forgets all edges.
func (t *EdgeTable) Reset() {
	clear(t.keys)
	t.count = 0
}

func (t *EdgeTable) grow() {
	old := *t
	size := max(leastTable, 4*len(old.keys))
	t.keys, t.vals = make([]uint64, size), make([]int32, size)
	for k, key := range old.keys {
		if key != 0 {
			i := t.find(key)
			t.keys[i], t.vals[i] = key, old.vals[k]
		}
	}
}

// PlaceTable numbers places in the order in which they are first met.
type PlaceTable struct {
	Places []r3.Vector
	slots  []int32 // number + 1, 0 where there is none
}

// Reset forgets all places.
func (t *PlaceTable) Reset() {
	clear(t.slots)
	t.Places = t.Places[:0]
}

// Number is the number of a place, and whether it was met before.
func (t *PlaceTable) Number(p r3.Vector) (i int32, known bool) {
	if 2*len(t.Places) >= len(t.slots) {
		t.slots = make([]int32, max(leastTable, 4*len(t.slots)))
		for k, q := range t.Places {
			t.slots[t.find(q)] = int32(k) + 1
		}
	}
	at := t.find(p)
	if n := t.slots[at]; n > 0 {
		return n - 1, true
	}
	t.Places = append(t.Places, p)
	t.slots[at] = int32(len(t.Places))
	return int32(len(t.Places)) - 1, false
}

// find returns the slot where p is or would be.
func (t *PlaceTable) find(p r3.Vector) int {
	mask := len(t.slots) - 1
	bit := func(x float64) uint64 { return math.Float64bits(x + 0) } // minus zero is zero
	i := spread(bit(p.X)^bits.RotateLeft64(bit(p.Y), 21)^bits.RotateLeft64(bit(p.Z), 42), mask)
	for t.slots[i] > 0 && t.Places[t.slots[i]-1] != p {
		i = (i + 1) & mask
	}
	return i
}
