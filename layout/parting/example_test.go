package parting_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/layout/parting"
	"seamwright/layout/spots"
	"seamwright/layout/spots/sample"
)

// Two flanges of a roof meet at a corner, where the first weld of each would be 10 mm from it: 14 mm apart, and 15 is the least.
func ExampleSeparate() {
	rail := spots.Request{Line: spots.Line{ID: "rail", Sheets: []string{"roof", "rail"}, Points: sample.Straight(120)},
		Limits: sample.Limits()}
	bow := spots.Request{Line: spots.Line{ID: "bow", Sheets: []string{"roof", "bow"}, Points: sample.Along(120, false, 8,
		func(s float64) (p, along, axis r3.Vector) { return r3.Vector{Y: s}, r3.Vector{Y: 1}, r3.Vector{Z: 1} })},
		Limits: sample.Limits()}
	requests := []spots.Request{rail, bow}
	var layouts []spots.Layout
	for _, r := range requests {
		l, err := spots.Lay(r)
		if err != nil {
			fmt.Println(err)
			return
		}
		layouts = append(layouts, l)
	}
	layouts, err := parting.Separate(context.Background(), requests, layouts, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, l := range layouts {
		fmt.Print(requests[i].Line.ID, ":")
		for _, w := range l.Welds {
			fmt.Printf(" %.1f", w.S)
		}
		fmt.Println()
	}
	// Output:
	// rail: 11.2 44.1 77.1 110.0
	// bow: 10.0 43.3 76.7 110.0
}
