package along

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
	"seamwright/internal/record"
)

var _ = flag.Bool("update", false, "write the record of ways anew")

// Ways along sheets with slots and holes, flat, folded and rolled, are as long as they were, with limits that reach and others that do not
// quite: a way that is longer than twice the limit is not looked for, and the straight distance stands for it.
func TestWaysAsBefore(t *testing.T) {
	rolled := func(u, v float64) r3.Vector {
		sin, cos := math.Sincos(u / 14)
		return r3.Vector{X: 14 * sin, Y: v, Z: 14 * (1 - cos)}
	}
	domed := func(u, v float64) r3.Vector { return r3.Vector{X: u, Y: v, Z: 9 * math.Exp(-(u*u+v*v)/200)} }
	holes := map[string]func(u, v float64) bool{
		"slot":  func(u, v float64) bool { return math.Abs(u-6) < 3 && v > -22 },
		"holes": func(u, v float64) bool { return math.Hypot(u-10, v) < 7 || math.Hypot(u+12, v-9) < 6 },
		"parts": func(u, _ float64) bool { return math.Abs(u) < 3 },
	}
	var b strings.Builder
	for i, form := range []func(u, v float64) r3.Vector{flatForm, fold, rolled, domed} {
		for _, name := range []string{"slot", "holes", "parts"} {
			rng := rand.New(rand.NewPCG(17, uint64(i)))
			sheet := New(near.NewShape(bentSheet(rng, []float64{3, 5, 8}[i%3], holes[name], form)), float64(i/3))
			for range 4 {
				from := form(56*(rng.Float64()-.5), 56*(rng.Float64()-.5))
				to := form(56*(rng.Float64()-.5), 56*(rng.Float64()-.5))
				straight := from.Distance(to)
				fmt.Fprintf(&b, "%d, %s, %.3f straight:", i, name, straight)
				for _, share := range []float64{.3, .5, .55, .6, .7, .8, .9, 1, 1.2, 1.5, 2} {
					fmt.Fprintf(&b, " %.3f", sheet.From(from, share*straight).To(to))
				}
				b.WriteString("\n")
			}
		}
	}
	record.Hold(t, "testdata/ways.txt", b.String())
}
