package resistance_test

import (
	"context"
	"fmt"

	"seamwright/internal/strap"
	"seamwright/layout/resistance"
	"seamwright/seams/inforce"
)

func ExampleStrengths() {
	plan, sh := strap.Whole() // two sheets along 300 mm, ten welds
	in, err := inforce.For(sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	sh.Joints[0].Load.Shear = 12000 // N
	if err := resistance.Strengths(context.Background(), plan, sh, in); err != nil {
		fmt.Println(err)
		return
	}
	w := plan.Welds[0]
	fmt.Printf("weld %d: %.0f N in shear, %.0f N in tension, %.0f %% used\n", w.Number, w.Shear, w.Tension, 100*w.Utilisation)
	// Output:
	// weld 1: 2396 N in shear, 793 N in tension, 50 % used
}
