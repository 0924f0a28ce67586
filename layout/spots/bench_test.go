package spots

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// sizes are the numbers of welds that the benchmarks go through.
var sizes = []int{100, 300, 1000, 3000, 10000}

// One line with so many welds at 40 mm, with a keep-out for every ten of them or none.
func BenchmarkLay(b *testing.B) {
	for _, welds := range sizes {
		for _, every := range []int{0, 10} {
			r := Request{Line: straight(float64(welds-1)*40 + 20), Limits: limits()}
			if every > 0 {
				rng := rand.New(rand.NewPCG(1, 1))
				for range welds / every {
					r.KeepOuts = append(r.KeepOuts, KeepOut{ID: "D", At: vec(float64(welds)*40*rng.Float64(), 0, 0), Radius: 6})
				}
			}
			b.Run(fmt.Sprintf("welds=%d/keep-outs=%d", welds, len(r.KeepOuts)), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					lay(b, r)
				}
			})
		}
	}
}

// As many rows as are asked for, on strips with so many columns.
func BenchmarkStatedRows(b *testing.B) {
	for _, rows := range []int{2, 3, 6} {
		for _, columns := range []int{30, 100, 300, 1000} {
			r := Request{Line: broad(float64(columns)*20, 50), Limits: limits(), Apart: apart(), Rows: rows}
			b.Run(fmt.Sprintf("rows=%d/columns=%d", rows, columns), func(b *testing.B) {
				b.ReportAllocs()
				welds := 0
				for b.Loop() {
					welds = len(lay(b, r).Welds)
				}
				b.ReportMetric(float64(welds), "welds")
			})
		}
	}
}

// Two rows that hold half as many welds again as one.
func BenchmarkTwoRows(b *testing.B) {
	for _, welds := range []int{100, 300, 1000} {
		r := Request{Line: broad(float64(welds)*10, 20), Limits: limits(), Apart: apart(), LoadCount: welds}
		b.Run(fmt.Sprintf("welds=%d", welds), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if out := lay(b, r); len(out.Welds) != welds {
					b.Fatalf("%d welds", len(out.Welds))
				}
			}
		})
	}
}
