package dip_test

import (
	"fmt"

	"seamwright/geometry/dip"
)

// A side 12 mm from the line of a strip 24 mm wide, every 4 mm: a notch 4 mm deep is passed by, a lasting step of 2 mm is not, and
// is come to gently.
func ExampleSide_Level() {
	side := dip.Side{Width: 24, Step: 4}
	is := []float64{12, 12, 8, 8, 12, 12, 12, 12, 12, 12, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10}
	fmt.Println(side.Level(is, nil))
	// Output: [12 12 12 12 12 12 12 12 12 11.8 10 10 10 10 10 10 10 10 10 10]
}
