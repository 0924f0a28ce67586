package parting

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"seamwright/layout/spots"
)

// A shell's flanges: lines of some five welds each, end to end and across each other, with so many welds in all.
func BenchmarkSeparate(b *testing.B) {
	for _, welds := range []int{100, 300, 1000, 3000, 10000} {
		rng := rand.New(rand.NewPCG(2, 2))
		requests := randomLines(rng, welds/5)
		var layouts []spots.Layout
		n := 0
		for _, r := range requests {
			layouts = append(layouts, lay(b, r))
			n += len(layouts[len(layouts)-1].Welds)
		}
		b.Run(fmt.Sprintf("welds=%d/lines=%d", n, len(requests)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Separate(context.Background(), requests, layouts, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
