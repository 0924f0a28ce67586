package flow

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/layout"
)

var _ = flag.Bool("update", false, "write the record of documents anew")

// Documents of titles, passages, notes, cautions and tables drawn at random break where they did, and look as they did.
func TestDocumentsAsBefore(t *testing.T) {
	var b strings.Builder
	plan := &layout.Plan{Shell: layout.Shell{Name: "Shell", Number: "N-1", Revision: "B", Input: "0123456789abcdef"}}
	for i := range 40 {
		rng := rand.New(rand.NewPCG(uint64(i), 71))
		words := func(most int) string { return strings.TrimSpace(strings.Repeat("some words, ", 1+rng.IntN(most))) }
		d := Text(Head{Plan: plan, Kind: "Labour", Title: words(4), ID: fmt.Sprint(i), Hash: "0123456789abcdef", Shell: i % 3})
		d.Dense = i%4 == 3
		table := func() Table {
			tab := Table{Title: []string{"", words(5)}[rng.IntN(2)], Whole: rng.IntN(3) == 0, Boxes: rng.IntN(4) == 0, Spill: rng.IntN(2) == 0,
				Total: rng.IntN(3) == 0, Framed: rng.IntN(5) == 0, Tight: rng.IntN(4) == 0, Cut: true, High: float64(rng.IntN(3)) * 4}
			n := 1 + rng.IntN(6)
			for range n {
				tab.Columns = append(tab.Columns, Column{Head: []string{"", "Head", "Two\nlines"}[rng.IntN(3)], Share: float64(rng.IntN(3)),
					Right: rng.IntN(3) == 0})
			}
			for range 1 + rng.IntN(30) {
				row := make([]string, n)
				for c := range row {
					row[c] = awkward[rng.IntN(len(awkward))]
				}
				tab.Rows = append(tab.Rows, row)
			}
			return tab
		}
		for range 2 + rng.IntN(9) {
			switch rng.IntN(7) {
			case 0:
				d.Title(words(6), 40*rng.Float64())
			case 1:
				d.Passage(words(5), words(60), words(9))
			case 2:
				d.Note(words(90))
			case 3:
				d.Caution(words(30))
			case 4:
				d.Skip(70 * rng.Float64())
			case 5:
				d.Together(table(), table())
			default:
				d.Table(table())
			}
		}
		sum := sha256.New()
		pages := d.Pages()
		fmt.Fprintf(&b, "%d: %d pages", i, len(pages))
		for _, p := range pages {
			var svg bytes.Buffer
			if err := p.SVG(&svg); err != nil {
				t.Fatal(err)
			}
			sum.Write(svg.Bytes())
		}
		fmt.Fprintf(&b, ", %x\n", sum.Sum(nil)[:5])
	}
	record.Hold(t, "testdata/documents.txt", b.String())
}
