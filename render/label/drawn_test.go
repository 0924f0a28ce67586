package label_test

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/render/label"
	"seamwright/render/paper"
)

var _ = flag.Bool("update", false, "write the record of labels anew")

// Labels among marks, lines and reserved boxes drawn at random, some with room and some without, stand where they did.
func TestLabelsAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 60 {
		rng := rand.New(rand.NewPCG(uint64(i), 61))
		q := label.New(paper.Box{X0: 10, Y0: 10, X1: 130, Y1: 100})
		q.Reserve(paper.Box{X0: 20, Y0: 85, X1: 80, Y1: 98})
		place := func() paper.Point { return paper.Point{X: 15 + 110*rng.Float64(), Y: 15 + 65*rng.Float64()} }
		var numbers, callouts []*label.Label
		last := place()
		for k := range 1 + rng.IntN(40) {
			at := place()
			if k%4 > 0 { // in rows, as welds are
				at = paper.Point{X: min(125, last.X+5+3*rng.Float64()), Y: min(80, max(15, last.Y+2*rng.Float64()-1))}
			}
			last = at
			m := label.Mark{At: at, R: []float64{.9, 1.5, 2}[rng.IntN(3)], Weld: true}
			q.Weld(m.At, m.R)
			if k%5 == 0 {
				callouts = append(callouts, &label.Label{W: 16 + 12*rng.Float64(), H: 11.4, Line: 5.2, Ends: true, Must: true, Reach: label.Farthest,
					Targets: []label.Mark{m}})
			} else {
				numbers = append(numbers, &label.Label{W: 4, H: 3, Number: true, Keen: k%2 == 0, Reach: 16, Targets: []label.Mark{m}})
			}
		}
		q.InkLine([]paper.Point{place(), place(), place()}, 2)
		q.PlaceAll(numbers)
		q.PlaceAll(callouts)
		q.Improve(callouts)
		sum := sha256.New()
		fmt.Fprintf(&b, "%d:", i)
		for k, l := range append(numbers, callouts...) {
			if fmt.Fprintf(sum, "%d %+.4v\n", k, l.Place); l.Done {
				fmt.Fprintf(&b, " %d at %.1f, %.1f", k, l.Place.Box.X0, l.Place.Box.Y0)
			}
		}
		fmt.Fprintf(&b, "; %x\n", sum.Sum(nil)[:5])
	}
	record.Hold(t, "testdata/labels.txt", b.String())
}
