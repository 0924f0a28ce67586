package flange

import (
	"math"
	"math/bits"

	"github.com/golang/geo/r3"
)

// edgeTable holds a number for each edge that it knows. It is a hash table with open addressing: half of a
// refinement's time would go into a map.
type edgeTable struct {
	keys  []uint64 // 0 where there is none: no edge joins point 0 with itself
	vals  []int32
	count int
}

// edgeKey names the edge between two points, whichever comes first.
func edgeKey(a, b int32) uint64 { return wayKey(min(a, b), max(a, b)) }

// wayKey names the way from one point to another.
func wayKey(from, to int32) uint64 { return uint64(from)<<32 | uint64(to) }

const leastTable = 1 << 6

// spread turns a key into a place in a table: the golden ratio sends neighbours far apart (Knuth, The Art of Computer
// Programming, vol. 3, 6.4; from memory).
func spread(key uint64, mask int) int {
	return int(key * 0x9E3779B97F4A7C15 >> (64 - bits.Len(uint(mask))))
}

// find returns where the key is or would be.
func (t *edgeTable) find(key uint64) int {
	mask := len(t.keys) - 1
	i := spread(key, mask)
	for t.keys[i] != 0 && t.keys[i] != key {
		i = (i + 1) & mask
	}
	return i
}

func (t *edgeTable) get(key uint64) (val int32, known bool) {
	if t.count == 0 {
		return 0, false
	}
	i := t.find(key)
	return t.vals[i], t.keys[i] == key
}

// at returns the key's number, which the caller sets when it was not known. It holds until the next call.
func (t *edgeTable) at(key uint64) (val *int32, known bool) {
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

func (t *edgeTable) set(key uint64, val int32) {
	at, _ := t.at(key)
	*at = val
}

// reset forgets all edges.
func (t *edgeTable) reset() {
	clear(t.keys)
	t.count = 0
}

func (t *edgeTable) grow() {
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

// placeTable numbers places in the order in which they are first met.
type placeTable struct {
	places []r3.Vector
	slots  []int32 // number + 1, 0 where there is none
}

// reset forgets all places.
func (t *placeTable) reset() {
	clear(t.slots)
	t.places = t.places[:0]
}

func (t *placeTable) number(p r3.Vector) (i int32, known bool) {
	if 2*len(t.places) >= len(t.slots) {
		t.slots = make([]int32, max(leastTable, 4*len(t.slots)))
		for k, q := range t.places {
			t.slots[t.find(q)] = int32(k) + 1
		}
	}
	at := t.find(p)
	if n := t.slots[at]; n > 0 {
		return n - 1, true
	}
	t.places = append(t.places, p)
	t.slots[at] = int32(len(t.places))
	return int32(len(t.places)) - 1, false
}

// find returns the slot where p is or would be.
func (t *placeTable) find(p r3.Vector) int {
	mask := len(t.slots) - 1
	bit := func(x float64) uint64 { return math.Float64bits(x + 0) } // minus zero is zero
	i := spread(bit(p.X)^bits.RotateLeft64(bit(p.Y), 21)^bits.RotateLeft64(bit(p.Z), 42), mask)
	for t.slots[i] > 0 && t.places[t.slots[i]-1] != p {
		i = (i + 1) & mask
	}
	return i
}
