package flange

import "math/bits"

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

// find returns where the key is or would be.
func (t *edgeTable) find(key uint64) int {
	mask := len(t.keys) - 1
	i := int(key * 0x9E3779B97F4A7C15 >> (64 - bits.Len(uint(mask)))) // the golden ratio spreads neighbours (Knuth, vol. 3, 6.4)
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

func (t *edgeTable) set(key uint64, val int32) {
	if 2*t.count >= len(t.keys) {
		t.grow()
	}
	i := t.find(key)
	if t.keys[i] == 0 {
		t.keys[i] = key
		t.count++
	}
	t.vals[i] = val
}

func (t *edgeTable) grow() {
	old := *t
	size := max(leastTable, 2*len(old.keys))
	t.keys, t.vals = make([]uint64, size), make([]int32, size)
	for k, key := range old.keys {
		if key != 0 {
			i := t.find(key)
			t.keys[i], t.vals[i] = key, old.vals[k]
		}
	}
}
