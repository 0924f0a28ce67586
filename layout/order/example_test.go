package order_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/layout/order"
)

// A short flange: its two tacks, then the weld between them, then the one that a clamp hid.
func ExampleSequence() {
	weld := func(id string, step order.Step, x float64, clamps ...string) order.Stop {
		return order.Stop{ID: id, Step: step, Position: r3.Vector{X: x}, Along: x, Joint: "J1", Flange: "f1", Gun: "G1", Tip: "T1",
			Setting: "S1", Clamps: clamps}
	}
	stops := []order.Stop{
		weld("a", order.Tack, 10), weld("b", order.Fill, 50), weld("c", order.Released, 90, "clamp C4"), weld("d", order.Tack, 130),
		{ID: "hold point H1", Step: order.Hold},
	}
	start := r3.Vector{}
	plan, err := order.Sequence(context.Background(), stops, order.Options{WalkSpeed: 500, GunChange: 20, Start: &start})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, i := range plan.Order {
		fmt.Printf("%s (%s)\n", stops[i].ID, plan.Waits[i])
	}
	// Output:
	// hold point H1 ()
	// a (waits for hold point H1)
	// d ()
	// c (waits for clamp C4)
	// b (waits for the tacks)
}
