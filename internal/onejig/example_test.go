package onejig_test

import (
	"fmt"

	"seamwright/internal/onejig"
)

func ExamplePlan() {
	p := onejig.Plan()
	fmt.Println(len(p.Stations), "jig,", len(p.Joints), "joints,", len(p.Runs), "runs,", len(p.Seams), "roller seam")
	// Output: 1 jig, 2 joints, 5 runs, 1 roller seam
}
