package order

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// cab is a station of many flanges: tacks, fill and a released weld on each, some with a roller seam.
func cab(flanges, welds int) []Stop {
	rng := rand.New(rand.NewPCG(4, 4))
	var stops []Stop
	for f := range flanges {
		id := fmt.Sprint("f", f)
		gun := []string{"A", "B", "C"}[rng.IntN(3)]
		tip := []string{"t", "u"}[rng.IntN(2)]
		at, way := vec(2000*rng.Float64(), 1500*rng.Float64(), 1700*rng.Float64()), vec(rng.Float64()-0.5, rng.Float64()-0.5,
			rng.Float64()-0.5).Normalize()
		for w := range welds {
			s := Stop{ID: fmt.Sprint(id, "/", w), Step: Fill, Position: at.Add(way.Mul(float64(w) * 40)), Along: float64(w) * 40, Joint: id,
				Flange: id, Gun: gun, Tip: tip}
			switch {
			case w%3 == 0:
				s.Step = Tack
			case w == 1 && f%4 == 0:
				s.Step, s.Clamps = Released, []string{"clamp C1"}
			}
			stops = append(stops, s)
		}
		if f%10 == 0 {
			stops = append(stops, Stop{ID: id + "/roll", Step: Roll, Position: at, End: at.Add(way.Mul(float64(welds) * 40)), Joint: id, Flange: id,
				Gun: "R"})
		}
	}
	return stops
}

func BenchmarkSequence(b *testing.B) {
	for _, size := range []struct{ flanges, welds int }{{10, 10}, {20, 15}, {50, 20}, {130, 16}, {300, 16}, {620, 16}} {
		stops := cab(size.flanges, size.welds)
		b.Run(fmt.Sprintf("stops=%d", len(stops)), func(b *testing.B) { benchmark(b, stops) })
	}
}

// Every stop on a flange of its own: as many groups as stops.
func BenchmarkSequenceOfSingleWelds(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000} {
		stops := cab(n, 1)
		b.Run(fmt.Sprintf("stops=%d", len(stops)), func(b *testing.B) { benchmark(b, stops) })
	}
}

func benchmark(b *testing.B, stops []Stop) {
	b.ReportAllocs()
	var plan Plan
	for b.Loop() {
		var err error
		if plan, err = Sequence(context.Background(), stops, Options{GunChange: 20, TipChange: 60}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(plan.Runs)), "runs")
	b.ReportMetric(plan.Seconds, "s-of-order")
}
