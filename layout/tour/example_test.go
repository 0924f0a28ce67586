package tour_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/layout/tour"
)

// Three flanges in a row, the middle one with another gun: it is left for last, though that is the longer way.
func ExampleFind() {
	flange := func(from, to float64, gun string) tour.Group {
		a, b := tour.End{At: r3.Vector{X: from}}, tour.End{At: r3.Vector{X: to}}
		return tour.Group{Gun: gun, Ways: []tour.Way{{Entry: a, Exit: b}, {Entry: b, Exit: a}}}
	}
	groups := []tour.Group{flange(0, 400, "A"), flange(500, 900, "B"), flange(1000, 1400, "A")}
	turns, proven := tour.Find(context.Background(), groups, tour.Prices{Speed: 500, Gun: 20}, 14)
	for _, t := range turns {
		fmt.Println("flange", t.Group+1, "way", t.Way+1)
	}
	fmt.Println(proven)
	// Output:
	// flange 3 way 2
	// flange 1 way 1
	// flange 2 way 1
	// true
}
