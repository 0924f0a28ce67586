package sample_test

import (
	"fmt"

	"seamwright/internal/sample"
)

func ExamplePlan() {
	plan, panels := sample.Plan()
	fmt.Println(len(plan.Welds), "welds in", len(plan.Runs), "runs on", len(panels), "panels")
	// Output: 48 welds in 6 runs on 7 panels
}
