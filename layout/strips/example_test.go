package strips_test

import (
	"context"
	"fmt"

	"seamwright/internal/strap"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
)

func ExampleGather() {
	plan, sh := strap.Whole() // two sheets along 300 mm, ten welds
	in, err := inforce.For(sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	all, err := strips.Gather(context.Background(), plan, sh, in)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := all.Strips[0]
	left, right := s.Sides(150)
	fmt.Printf("flange %s: stack %s, %d welds, %s on the left, %s on the right\n", s.Flange.ID, s.Stack, len(s.Welds), left, right)
	g := s.Gaps(s.Welds)[0]
	fmt.Printf("weld %d to %d: %.1f mm\n", g.A.Number, g.B.Number, g.Length())
	first := s.Spot(0)
	fmt.Printf("weld %d: %.0f mm from the end of the sheets, %.0f mm from their edge\n", first.Weld.Number, first.End(), first.Across())
	// Output:
	// flange strap/1: stack 0.9 + 1.2, 10 welds, free edge on the left, bend on the right
	// weld 1 to 2: 30.7 mm
	// weld 1: 12 mm from the end of the sheets, 9 mm from their edge
}
