package near

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
)

var _ = flag.Bool("update", false, "write the record of trees anew")

// Trees are as they were: what is asked of them does not depend on where they are cut, but how long it takes does. The cost is how many
// nodes a random ray through the root goes through, by the surface-area heuristic.
func TestTreesAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 48 {
		rng := rand.New(rand.NewPCG(2, uint64(i)))
		n := []int{1, 3, 5, 11, 12, 13, 30, 150, 600}[rng.IntN(9)]
		leaf := 1 + rng.IntN(4)
		items := strewn(rng, n, i%6)
		tree := plant(items, leaf, 1)
		cost, leaves, most := 0., 0, int32(0)
		sum := sha256.New()
		for _, n := range tree {
			cost += n.halfArea() / math.Max(1, tree[0].halfArea())
			if n.count > 0 {
				leaves, most = leaves+1, max(most, n.count)
			}
			fmt.Fprint(sum, n)
		}
		fmt.Fprint(sum, items)
		fmt.Fprintf(&b, "%d items, %d of kind %d: %d nodes, %d leaves of up to %d, cost %.3f, %x\n", n, leaf, i%6, len(tree), leaves, most, cost,
			sum.Sum(nil)[:5])
	}
	record.Hold(t, "testdata/trees.txt", b.String())
}

// strewn are boxes in a row, on a plane, in space, in heaps, at one place, or long ones beside small.
func strewn(rng *rand.Rand, n, kind int) []node {
	items := make([]node, n)
	at := func(spread float64) int32 { return int32(spread * rng.NormFloat64()) }
	for i := range items {
		middle := [3]int32{at(1e6) + 3e6, at(1e4) - 5e6, at(1e3)}
		switch kind {
		case 1:
			middle = [3]int32{at(1e5), at(9e5), 7}
		case 2:
			middle = [3]int32{at(1e6), at(1e6), at(2e6) + 4e6}
		case 3:
			heap := int32(rng.IntN(3)) * 8e6
			middle = [3]int32{heap + at(1e4), -heap + at(2e4), at(2e4)}
		case 4:
			middle = [3]int32{5, 5, 5}
		}
		size := int32(1 + rng.IntN(20_000))
		for k := range 3 {
			grow := size
			if kind == 5 && rng.IntN(6) == 0 {
				grow *= 90
			}
			items[i].lo[k], items[i].hi[k] = middle[k]-grow, middle[k]+grow/int32(1+k)
		}
		items[i].first = int32(i)
	}
	return items
}
