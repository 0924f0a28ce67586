package check_test

import (
	"context"
	"fmt"

	"seamwright/internal/strap"
	"seamwright/layout/check"
	"seamwright/seams/inforce"
)

func ExampleEvaluate() {
	plan, sh := strap.Whole() // two sheets along 300 mm, ten welds
	in, err := inforce.For(sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan.Welds[4].Left = 4 // mm to the free edge
	report, err := check.Evaluate(context.Background(), plan, sh, in)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range report.Findings {
		fmt.Printf("%s %s: %s\n", f.Severity, f.Rule, f.Where)
	}
	// Output:
	// broken edge.least: flange strap/1: the weld centre is 4.0 mm from the free edge on the left, at weld 5
}
