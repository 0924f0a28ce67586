package kit_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
)

func ExampleSortByKeys() {
	areas, spreads := []float64{300, 200 * (1 + 1e-9), 200}, []float64{1, 7, 8}
	order := []int{0, 1, 2}
	kit.SortByKeys(order, []func(i int) float64{
		func(i int) float64 { return areas[i] },
		func(i int) float64 { return spreads[i] },
	})
	fmt.Println(order) // the areas of 1 and 2 differ by rounding only
	// Output: [1 2 0]
}

func ExampleEdgeTable() {
	var t kit.EdgeTable
	t.Set(kit.EdgeKey(7, 3), 12)
	fmt.Println(t.Get(kit.EdgeKey(3, 7)))
	fmt.Println(t.Get(kit.EdgeKey(3, 8)))
	// Output:
	// 12 true
	// 0 false
}

func ExamplePlaceTable() {
	var t kit.PlaceTable
	for _, p := range []r3.Vector{{X: 0.25}, {Y: 1}, {X: 0.25}} {
		fmt.Println(t.Number(p))
	}
	// Output:
	// 0 false
	// 1 false
	// 0 true
}
