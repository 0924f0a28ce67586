package swage_test

import (
	"fmt"

	"seamwright/internal/tarn/swage"
)

func Example() {
	beads := []swage.Swage{swage.Straight(0, 0, 300, 0, 12, 25, 6)}
	for _, y := range []float64{0, 12, 18.5, 25} {
		fmt.Printf("%.1f mm aside: %.1f mm high\n", y, swage.Pressed(beads, 150, y))
	}
	fmt.Println(len(swage.Contours(beads, 10)), "places for the mesh to pass")
	// Output:
	// 0.0 mm aside: 6.0 mm high
	// 12.0 mm aside: 6.0 mm high
	// 18.5 mm aside: 3.0 mm high
	// 25.0 mm aside: 0.0 mm high
	// 148 places for the mesh to pass
}
