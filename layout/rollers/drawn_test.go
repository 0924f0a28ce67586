package rollers

import (
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
)

// Paths on strips drawn at random, with keep-outs, wheels and bounds of many sizes, are as they were.
func TestPathsAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 70 {
		rng := rand.New(rand.NewPCG(uint64(i), 41))
		lines := []Line{straight(30 + 500*rng.Float64()), ring(15 + 100*rng.Float64()), gutter(50+100*rng.Float64(), 20+80*rng.Float64())}
		r := request(lines[i%3])
		left, right := 4.0, 4.0
		for k := range r.Line.Stations {
			if rng.IntN(20) == 0 {
				left, right = 2+8*rng.Float64(), 2+8*rng.Float64()
			}
			r.Line.Stations[k].Left, r.Line.Stations[k].Right = left, right
		}
		for k := range rng.IntN(3) {
			at := r.Line.Stations[rng.IntN(len(r.Line.Stations))].Point
			r.KeepOuts = append(r.KeepOuts, KeepOut{ID: fmt.Sprint("K", k), At: at, Radius: 2 + 9*rng.Float64()})
		}
		r.Wheel, r.Diameter, r.LeastRadius = 3+4*rng.Float64(), 200*rng.Float64(), 150*rng.Float64()
		r.Overlap, r.Speed, r.LeastRun = 20*rng.Float64(), 30*rng.Float64(), 60*rng.Float64()
		p, err := Lay(r)
		sum := sha256.New()
		fmt.Fprintf(sum, "%.4f %.4f %.4f", p.Points, p.S, p.Offset)
		fmt.Fprintf(&b, "%d: %.3f mm, %.3f rolled, %.3f s, in plane %.3f, total %.3f, whole %t, %x, %v\n", i, p.Length, p.Rolled, p.Seconds,
			p.InPlane.Radius, p.Total.Radius, p.Whole, sum.Sum(nil)[:4], err)
		for _, s := range p.Rollable {
			fmt.Fprintf(&b, "  rolled %+.3v\n", s)
		}
		for _, of := range p.Problems {
			fmt.Fprintf(&b, "  %s\n", of)
		}
	}
	record.Hold(t, "testdata/paths.txt", b.String())
}
