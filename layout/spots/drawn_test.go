package spots

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
)

// Layouts of requests drawn at random, of lines that are kept apart, and packings in two rows are as they were: that they keep their bounds
// is other tests' to say; here a change shows that stays within them.
func TestLayoutsAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 160 {
		r := drawRequest(rand.New(rand.NewPCG(uint64(i), 21)))
		out, err := Lay(r)
		fmt.Fprintf(&b, "%d: %v%s\n", i, err, toldLayout(out))
	}
	record.Hold(t, "testdata/layouts.txt", b.String())
}

func TestRowsAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 90 {
		rng := rand.New(rand.NewPCG(uint64(i), 24))
		r, _ := drawRows(rng)
		if i%3 == 0 {
			r.Rows = 2 + rng.IntN(4)
		}
		if i%7 == 0 {
			r.RowApart = 8 + 8*rng.Float64()
		}
		if i%5 == 0 {
			r.Count = 1 + rng.IntN(30)
		}
		out, err := Lay(r)
		fmt.Fprintf(&b, "%d: %v%s\n", i, err, toldLayout(out))
	}
	record.Hold(t, "testdata/rows.txt", b.String())
}

func toldLayout(l Layout) string {
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
