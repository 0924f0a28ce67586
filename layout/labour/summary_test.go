package labour_test

import (
	"fmt"
	"math"
	"testing"

	"seamwright/layout"
	"seamwright/layout/labour"
)

func TestSummaryKeepsTheTotal(t *testing.T) {
	work, cost := estimated(t, tray(), bench())
	for _, lines := range [][]layout.Line{work.Lines, cost.Lines} {
		short := labour.Summary(lines)
		var want, got float64
		for _, l := range lines {
			want += l.Total
		}
		for i, l := range short {
			got += l.Total
			if !(math.Abs(l.Quantity*l.Each-l.Total) <= 1e-9) || (i > 0 && !(math.Abs(l.Total) <= math.Abs(short[i-1].Total))) {
				t.Errorf("line %d: %s", i, show(l))
			}
		}
		if !(math.Abs(got-want) <= 1e-9) || len(short) >= len(lines) {
			t.Errorf("%d lines of %v became %d of %v", len(lines), want, len(short), got)
		}
	}
}

func ExampleSummary() {
	for _, l := range labour.Summary([]layout.Line{
		{What: "clamp", Station: "front", Quantity: 4, Unit: "clamp", Each: 5, Total: 20},
		{What: "gauge", Station: "front", Quantity: 1, Unit: "hold point", Each: 60, Total: 60},
		{What: "clamp", Station: "main", Quantity: 10, Unit: "clamp", Each: 5, Total: 50},
	}) {
		fmt.Println(l.What, l.Quantity, l.Unit, l.Total, "s from", l.From)
	}
	// Output:
	// clamp 14 clamp 70 s from 2 lines
	// gauge 1 hold point 60 s from 1 line
}
