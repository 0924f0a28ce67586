package order

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
)

// Orders of stations drawn at random are as they were, with their ways, changes and waits.
func TestOrdersAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 70 {
		rng := rand.New(rand.NewPCG(uint64(i), 31))
		stops, opt := drawStops(rng, 2+rng.IntN(26), i%2 == 0)
		pattern, tacks := []Pattern{Through, MiddleOut, Skips}[i%3], []Pattern{"", Through, DatumFirst, DatumLast}[i%4]
		for k := range stops {
			if stops[k].Pattern = pattern; stops[k].Step == Tack {
				stops[k].Pattern = tacks
			}
		}
		p, err := Sequence(context.Background(), stops, opt)
		fmt.Fprintf(&b, "%d: %v, %.3f mm, %.3f s, %d guns, %d tips, %d settings, %d postures, proven %t, %v\n", i, p.Order, p.Travel, p.Seconds,
			p.GunChanges, p.TipChanges, p.SetChanges, p.Postures, p.Proven, err)
		for k, why := range p.Waits {
			if why != "" {
				fmt.Fprintf(&b, "  %d: %s\n", k, why)
			}
		}
	}
	record.Hold(t, "testdata/orders.txt", b.String())
}
