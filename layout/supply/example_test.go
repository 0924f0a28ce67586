package supply_test

import (
	"context"
	"fmt"

	"seamwright/internal/strap"
	"seamwright/layout/supply"
	"seamwright/seams/inforce"
)

func ExampleBudgets() {
	plan, sh := strap.Whole() // two sheets along 300 mm, ten welds
	in, err := inforce.For(sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f A through the sheets\n", supply.Of(&sh.Guns[0]).Deliverable())
	all, err := supply.Budgets(context.Background(), plan, sh, in)
	for _, b := range all {
		fmt.Printf("gun %s: %d welds, %.0f J between the tips, %.3f kWh drawn\n", b.Tool, b.Welds, b.Heat, b.Energy)
	}
	fmt.Println(err)
	// Output:
	// 11200 A through the sheets
	// gun gun: 10 welds, 10531 J between the tips, 0.017 kWh drawn
	// <nil>
}
