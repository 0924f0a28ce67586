package pitch

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/internal/record"
)

// The densest packing is as dense as the best of all placements on whole millimetres, which for the distances here, sides of
// right-angled triangles in whole numbers, is the best of all.
func TestDensestIsTheOptimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, whole := drawPacking(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5)))
		got := 0
		s := k.densest()
		if s != nil {
			got = s.count
			validPacking(t, k, s.list())
		}
		want := exhaustive(k)
		if got < want || whole && got != want {
			t.Fatalf("%d welds packed, %d fit: %+v", got, want, k)
		}
		if s == nil {
			return
		}
		even := k.relaxed(s.list())
		before, after := squares(places(s)), squares(even.At)
		if after > before+1e-6 {
			t.Fatalf("evened out from %g to %g", before, after)
		}
	})
}

func places(s *packed) []float64 {
	var out []float64
	for _, w := range s.list() {
		out = append(out, w.u)
	}
	return out
}

func drawPacking(rng *rand.Rand) (k packing, whole bool) {
	least := []float64{5, 10, 13}[rng.IntN(3)]
	across := map[float64][]float64{5: {3, 4, 5}, 10: {6, 8, 10}, 13: {5, 12, 13}}[least][rng.IntN(3)]
	length := float64(20 + rng.IntN(40))
	p := &Rows{Apart: across, Aside: across / 2, Cross: least, Pitch: Bounds{Least: least, Most: 1e9}, Whole: true, Zones: []Span{{0, length}}}
	if whole = rng.IntN(2) == 0; !whole {
		p.Whole = false
		from := float64(rng.IntN(int(length / 2)))
		p.Zones = []Span{{from, from + float64(rng.IntN(int(length-from)))}}
	}
	k = packing{rows: p, least: least, from: 0, to: length}
	for lane := range k.free {
		var blocked []Span
		for range rng.IntN(3) {
			from := float64(1 + rng.IntN(int(length)-1))
			blocked = append(blocked, Span{From: from, To: math.Min(length-1, from+float64(rng.IntN(12)))})
		}
		blocked = Merge(blocked)
		zones := []Span{{0, length}}
		if lane == 1 {
			zones = p.Zones
		}
		for _, z := range zones {
			for _, f := range Left(blocked, z) {
				if f.From <= f.To {
					k.free[lane] = append(k.free[lane], f)
				}
			}
		}
	}
	return k, whole
}

// exhaustive is the most welds on whole millimetres between the first and the last, by trying all places one after the other.
func exhaustive(k packing) int {
	length := int(k.to)
	type state struct{ u, a, b int }
	seen := map[state]int{}
	free := func(lane, u int) bool {
		for _, f := range k.free[lane] {
			if float64(u) >= f.From && float64(u) <= f.To {
				return true
			}
		}
		return false
	}
	fits := func(lane, u, own, other int) bool {
		if !free(lane, u) || own >= 0 && u-own < int(k.least) {
			return false
		}
		right := u
		if lane == 1 {
			right = other
		}
		if other < 0 {
			return true
		}
		across := k.rows.Aside
		if k.rows.Wide(float64(right)) {
			across = k.rows.Apart
		}
		return float64(u-other) >= k.rows.along(across)-1e-9
	}
	var most func(u, a, b int) int
	most = func(u, a, b int) int {
		if u > length {
			if a != length && b != length {
				return -1000
			}
			return 0
		}
		s := state{u, max(a, u-20), max(b, u-20)}
		if a < 0 {
			s.a = -1
		}
		if b < 0 {
			s.b = -1
		}
		if v, ok := seen[s]; ok {
			return v
		}
		best := -1000
		if u > 0 || free(0, 0) == false && free(1, 0) == false {
			best = most(u+1, a, b)
		}
		if fits(0, u, a, b) {
			best = max(best, 1+most(u+1, u, b))
			if fits(1, u, b, u) {
				best = max(best, 2+most(u+1, u, u))
			}
		}
		if fits(1, u, b, a) {
			best = max(best, 1+most(u+1, a, u))
		}
		seen[s] = best
		return best
	}
	return max(0, most(0, -1, -1))
}

func validPacking(t *rapid.T, k packing, all []*packed) {
	for i, a := range all {
		in := false
		for _, f := range k.free[a.lane] {
			in = in || a.u >= f.From-1e-6 && a.u <= f.To+1e-6
		}
		if !in {
			t.Fatalf("weld at %g of row %d is in no free Span of %v", a.u, a.lane, k.free[a.lane])
		}
		for _, b := range all[i+1:] {
			need := k.least
			if a.lane != b.lane {
				right := a
				if a.lane == 1 {
					right = b
				}
				across := k.rows.Aside
				if k.rows.Wide(right.u) {
					across = k.rows.Apart
				}
				need = k.rows.along(across)
			}
			if math.Abs(a.u-b.u) < need-1e-6 {
				t.Fatalf("welds at %g of row %d and %g of row %d, %g wanted", a.u, a.lane, b.u, b.lane, need)
			}
		}
	}
}

func TestPackingsAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 120 {
		k, whole := drawPacking(rand.New(rand.NewPCG(uint64(i), 23)))
		s := k.densest()
		fmt.Fprintf(&b, "%d: whole %t:", i, whole)
		if s != nil {
			fmt.Fprintf(&b, " %.3f, even %.3f in %v", places(s), k.relaxed(s.list()).At, k.relaxed(s.list()).Lane)
		}
		b.WriteString("\n")
	}
	record.Hold(t, "testdata/packings.txt", b.String())
}
