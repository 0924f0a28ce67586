package spots_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
)

// A flange of 200 mm with a peg in the middle: one weld on either side of it, and no pitch above 45 mm.
func ExampleLay() {
	var line []flange.LinePoint
	for s := 0.0; s <= 200; s += 2 {
		line = append(line, flange.LinePoint{S: s, Point: r3.Vector{X: s}, Along: r3.Vector{X: 1}, Across: r3.Vector{Y: 1}, Axis: r3.Vector{Z: 1},
			Left: 8, Right: 8, LeftEdge: flange.FreeEdge, RightEdge: flange.Bend})
	}
	mm := func(v float64) rule.Limit { return rule.Limit{Value: v, Unit: "mm"} }
	out, err := spots.Lay(spots.Request{
		Line: spots.Line{ID: "f1", Sheets: []string{"roof", "rail"}, Points: line},
		Limits: rule.Limits{WeldDiameter: mm(5), LeastPitch: mm(18), GreatestPitch: mm(45), EdgeDistance: mm(6.5), EndDistance: mm(10),
			BendClearance: mm(1), TipFace: mm(6), TackEvery: mm(100)},
		KeepOuts: []spots.KeepOut{{ID: "dowel D1", At: r3.Vector{X: 100}, Radius: 8}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range out.Welds {
		fmt.Printf("%.1f %v\n", w.S, w.Tack)
	}
	fmt.Println(out.Problems)
	// Output:
	// 10.0 true
	// 46.0 false
	// 82.0 true
	// 118.0 true
	// 154.0 false
	// 190.0 true
	// []
}
