package reach

import (
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
)

// How guns reach a weld between plates with walls, ledges and holes drawn at random, and why they do not, is as it was.
func TestReachAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 90 {
		rng := rand.New(rand.NewPCG(uint64(i), 51))
		between := func(from, to float64) float64 { return from + (to-from)*rng.Float64() }
		sheets := plates(between(5, 290))
		if rng.IntN(2) == 0 {
			sheets = append(sheets, gutter(between(6, 30), between(10, 90)))
		}
		if rng.IntN(2) == 0 {
			sheets = append(sheets, new(sheet).quad(vec(-300, 20, between(30, 200)), vec(600, 0, 0), vec(0, 150, 0), 20))
		}
		if rng.IntN(3) == 0 {
			sheets = append(sheets, new(sheet).quad(vec(between(8, 60), -90, between(-60, 10)), vec(0, 180, 0), vec(0, 0, 50), 12))
		}
		tools := []Tool{{gun(between(50, 250), between(90, 250)), round()}, {gun(between(50, 400), between(60, 250)), narrow()}}
		tools[0].Gun.Stroke, tools[1].Gun.Arm = between(10, 90), between(16, 60)
		opt := Options{WhyNot: i%2 == 0, WayOff: i%3 > 0, Tilt: float64(i % 4 * 3), Angles: []int{72, 36, 24}[i%3]}
		of := weld()
		of.Stack = between(1, 6)
		r := find(t, scene(sheets...), []Weld{of}, opt, tools...)[0]
		fmt.Fprintf(&b, "%d:", i)
		for _, p := range append(r.Poses, r.Stuck...) {
			sum := sha256.New()
			fmt.Fprintf(sum, "%.4f", p.Air)
			fmt.Fprintf(&b, " tool %d turned %.1f, %.4f mm, tilt %.2f towards %.1f, air %x", p.Tool, p.Turn, p.Clearance, p.Tilt, p.Towards,
				sum.Sum(nil)[:4])
		}
		b.WriteString("\n")
		for _, why := range r.Reasons {
			fmt.Fprintf(&b, "  tool %d: %s, limit %.3f\n", why.Tool, why, why.Limit)
		}
	}
	record.Hold(t, "testdata/reach.txt", b.String())
}
