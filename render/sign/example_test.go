package sign_test

import (
	"fmt"

	"seamwright/layout"
	"seamwright/render/flow"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

func Example() {
	page := paper.New(paper.A4, "Signs")
	ink, used := sign.NewInk(page, "view A"), sign.Used{}
	for i, step := range []layout.WeldStep{layout.Tack, layout.Fill} {
		w := layout.Weld{Step: step}
		ink.Weld(sign.OfWeld(w), paper.Point{X: 50 + 5*float64(i), Y: 50}, false, false)
		used[sign.OfWeld(w)] = true
	}
	_, unplaced := sign.Legend{}.Draw(flow.NewPen(page), paper.Box{X0: 25, Y0: 100, X1: 190, Y1: 160}, used)
	fmt.Println(len(used), "signs in use, of which the legend has no room for", unplaced)
	// Output: 2 signs in use, of which the legend has no room for 0
}
