package pack

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/layout"
)

// Charts of few and many rows, begun at every height of a page, break where they did.
func TestChartsBreakAsBefore(t *testing.T) {
	var b strings.Builder
	note := strings.Repeat("A note of some length stands between the title and the chart. ", 3)
	for _, n := range []int{1, 3, 8, 21, 26, 29, 31, 34, 45, 80} {
		rows := make([]row, n)
		for i := range rows {
			rows[i] = row{name: fmt.Sprintf("Station %d", i+1), slots: []slot{{from: float64(i), to: float64(i) + 2.5, letter: "A"}}}
		}
		for _, said := range []string{"", note} {
			fmt.Fprintf(&b, "%d rows, note %t:", n, said != "")
			sum := sha256.New()
			for down := 0.; down < 260; down += 6.5 {
				binder := binder{plan: &layout.Plan{Shell: layout.Shell{Name: "Shell"}}}
				w := binder.work("Labour", "Labour", "1")
				w.Skip(down)
				w.chart("A chart", said, rows)
				pages := w.Pages()
				fmt.Fprintf(&b, " %d", len(pages))
				for _, p := range pages {
					var svg bytes.Buffer
					if err := p.SVG(&svg); err != nil {
						t.Fatal(err)
					}
					sum.Write(svg.Bytes())
				}
			}
			fmt.Fprintf(&b, ", %x\n", sum.Sum(nil)[:5])
		}
	}
	record.Hold(t, "testdata/charts.txt", b.String())
}
