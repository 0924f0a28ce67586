package pitch_test

import (
	"fmt"

	"seamwright/layout/pitch"
)

// An open line of 300 mm with something in the way from 95 to 140: as few places as a pitch of 40 mm at most lets be.
func ExampleOpen() {
	free := pitch.Left([]pitch.Span{{From: 95, To: 140}}, pitch.Span{From: 10, To: 290})
	row := pitch.Open(free, pitch.Bounds{Least: 20, Most: 40}, 0)
	fmt.Printf("%.1f\n", row.At)
	// Output: [10.0 38.3 66.7 95.0 140.0 177.5 215.0 252.5 290.0]
}
