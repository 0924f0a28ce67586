package parting

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/internal/record"
	"seamwright/layout/spots"
)

func TestSeparatedAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 24 {
		requests := randomLines(rand.New(rand.NewPCG(uint64(i), 22)), 2+i%6)
		layouts := make([]spots.Layout, len(requests))
		for k, r := range requests {
			var err error
			if layouts[k], err = spots.Lay(r); err != nil {
				t.Fatal(err)
			}
		}
		way := Way(nil)
		if i%3 == 0 { // a tenth farther than straight on one sheet
			way = func(sheet string, from r3.Vector, _ float64) func(r3.Vector) float64 {
				longer := 1.
				if sheet == "s1" {
					longer = 1.1
				}
				return func(to r3.Vector) float64 { return longer * from.Distance(to) }
			}
		}
		out, err := Separate(context.Background(), requests, layouts, way)
		if err != nil {
			t.Fatal(err)
		}
		for k, l := range out {
			fmt.Fprintf(&b, "%d line %d:%s\n", i, k, toldLayout(l))
		}
	}
	record.Hold(t, "testdata/separated.txt", b.String())
}

func toldLayout(l spots.Layout) string {
	var b strings.Builder
	fmt.Fprintf(&b, " %d by pitch, wanted %.3f, pitch %.3f", l.ByPitch, l.Wanted, l.Pitch)
	for _, w := range l.Welds {
		fmt.Fprintf(&b, " %.2f", w.S)
		if w.Row > 0 {
			fmt.Fprintf(&b, "/%d%+.2f", w.Row, w.Offset)
		}
		if w.Tack {
			b.WriteString("t")
		}
		b.WriteString(strings.Join(w.Clamps, ""))
	}
	for _, p := range l.Problems {
		fmt.Fprintf(&b, "\n  %v from %.3f to %.3f, %.4g of %.4g at %.2f, keep-outs %v, %d welds, %d rows, other %s at %.3f", p.Kind,
			p.From, p.To, p.Value, p.Limit, [3]float64{p.At.X, p.At.Y, p.At.Z}, p.KeepOuts, p.Welds, p.Rows, p.Other, p.OtherS)
	}
	return b.String()
}
