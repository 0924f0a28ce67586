package instructions_test

import (
	"fmt"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/instructions"
)

func Example() {
	plan, panels := sample.Plan()
	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range instructions.New(set).AtJig(nil)[:3] {
		fmt.Printf("%s: %d rows\n", t.Title, len(t.Rows))
	}
	// Output:
	// Order of work: 10 rows
	// Hold points: measure, and go on only when right: 1 rows
	// Joints: 3 rows
}
