package annotate_test

import (
	"context"
	"fmt"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/annotate"
	"seamwright/render/figure"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

func Example() {
	plan, panels := sample.Plan()
	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	page := paper.New(paper.A3, "Station st10")
	f := set.Figures[0]
	f.Settle(paper.A3.Frame(), 5)
	if err := set.Draw(context.Background(), set.Figures[:1], nil); err != nil {
		fmt.Println(err)
		return
	}
	drawn := annotate.Draw(page, set, f, sign.Used{})
	fmt.Println(f.Caption(), "names panels", drawn.Named)
	// Output: View A, from above (+Z), 1:5 names panels [rail-top strap nose lamp-ring gutter sill]
}
