package setup_test

import (
	"fmt"

	"seamwright/internal/strap"
	"seamwright/layout/setup"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
)

func ExampleOfStack() {
	_, sh := strap.Whole()
	in, err := inforce.For(sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	asked, err := setup.OfStack(rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 3.2, Tensile: 270}}, nil, sh, in)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range asked.Findings {
		fmt.Printf("%s %s: %.2f, limit %.2f\n", f.Severity, f.Rule, f.Value, f.Limit)
	}
	for _, c := range asked.Cases[:2] {
		fmt.Printf("%s, %s: %.1f %s\n", c.Rule, c.What, c.Value, c.Unit)
	}
	// Output:
	// broken stack.pileup.greatest: 4.10, limit 3.60
	// broken stack.ratio.greatest: 3.56, limit 3.00
	// doubt stack.sheet.greatest: 3.20, limit 3.00
	// tip.weld.least, by this stack's setting: 3.8 mm
	// tip.nugget.least, by this stack's setting: 4.3 mm
}
