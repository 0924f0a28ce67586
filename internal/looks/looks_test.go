package looks_test

import (
	"fmt"

	"seamwright/internal/looks"
)

func ExampleCancelledAt() {
	c := looks.CancelledAt(3)
	fmt.Println(c.Err(), c.Err(), c.Err(), c.Err(), c.Count())
	<-c.Done()
	// Output: <nil> <nil> context canceled context canceled 4
}
