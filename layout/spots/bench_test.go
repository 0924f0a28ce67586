package spots

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

func BenchmarkLay(b *testing.B) {
	for _, welds := range []int{10, 50, 250} {
		for _, keep := range []int{0, 8} {
			b.Run(fmt.Sprintf("welds=%d/keep-outs=%d", welds, keep), func(b *testing.B) {
				rng := rand.New(rand.NewPCG(1, 1))
				r := Request{Line: straight(float64(welds) * 40), Limits: limits()}
				for range keep {
					r.KeepOuts = append(r.KeepOuts, KeepOut{ID: "D", At: vec(float64(welds)*40*rng.Float64(), 0, 0), Radius: 6})
				}
				b.ReportAllocs()
				for b.Loop() {
					lay(b, r)
				}
			})
		}
	}
}

func BenchmarkSeparate(b *testing.B) {
	for _, lines := range []int{10, 100} {
		b.Run(fmt.Sprintf("lines=%d", lines), func(b *testing.B) {
			requests := randomLines(rand.New(rand.NewPCG(2, 2)), lines)
			var layouts []Layout
			for _, r := range requests {
				layouts = append(layouts, lay(b, r))
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Separate(requests, layouts, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
