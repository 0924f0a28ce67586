package figure_test

import (
	"context"
	"fmt"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/paper"
)

func Example() {
	plan, panels := sample.Cabin()
	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	set.MakeDetails(10)
	for _, f := range set.All() {
		f.Settle(paper.Box{X1: 250, Y1: 180}, 10)
	}
	if err := set.Draw(context.Background(), set.All(), nil); err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range set.All() {
		fmt.Println(f.Caption())
	}
	fmt.Println("the last weld is numbered in", set.Shown(len(plan.Welds)-1).Letter)
	// Output:
	// View A, from the left (+Y), 1:10
	// View B, from the right (-Y), 1:10
	// Detail C of view A, 1:5
	// the last weld is numbered in C
}
