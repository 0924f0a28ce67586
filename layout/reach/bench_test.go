package reach

import (
	"context"
	"fmt"
	"testing"
)

// The goal: 2,000 welds, 5 guns and 72 angles against a million triangles within 20 s on two cores.
func BenchmarkFind(b *testing.B) {
	for _, off := range []bool{false, true} {
		for _, test := range []struct{ triangles, welds int }{{100_000, 1000}, {1_000_000, 100}, {1_000_000, 500}, {1_000_000, 2000},
			{1_000_000, 10_000}} {
			b.Run(fmt.Sprintf("off=%v/triangles=%d/welds=%d", off, test.triangles, test.welds), func(b *testing.B) {
				scene, welds, tools := cab(test.triangles, test.welds)
				b.ReportAllocs()
				reached := 0
				for b.Loop() {
					opt := Options{WayOff: off}
					results := find(b, scene, welds, opt, tools...)
					if _, err := Turns(context.Background(), scene, stretches(welds, results, tools), tools, opt); err != nil {
						b.Fatal(err)
					}
					reached = 0
					for _, r := range results {
						if r.Reached() {
							reached++
						}
					}
				}
				b.ReportMetric(float64(triangles(scene)), "triangles")
				b.ReportMetric(float64(reached), "reached")
			})
		}
	}
}
