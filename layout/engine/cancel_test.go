package engine_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"

	"seamwright/internal/looks"
	"seamwright/layout/engine"
)

// afterwards is how often a stage may look at its context once that is cancelled: each loop that it is in looks once more.
const afterwards = 24

// A plan that is cancelled at any moment ends with that error, and soon: no stage goes on asking.
func TestCancelledAtAnyMoment(t *testing.T) {
	in := randomModel(rand.New(rand.NewPCG(3, 3))).write(t, t.TempDir())
	stages := map[string]int{}
	whole := looks.Never()
	e := engine.Engine{Workers: 1, Stage: func(name string) func() {
		from := whole.Count()
		return func() { stages[name] += whole.Count() - from }
	}}
	if _, err := e.Plan(whole, in); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"read panels", "find flanges", "joints", "spots", "reach", "order", "strength and rules",
		"steps, time, money"} {
		if stages[name] == 0 {
			t.Errorf("%s never looks at its context: %v", name, stages)
		}
	}
	n := whole.Count()
	rng := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		at := 1 + int(rng.Int64N(int64(n)))
		c := looks.CancelledAt(at)
		last := ""
		e := engine.Engine{Workers: 1, Stage: func(name string) func() { last = name; return func() {} }}
		_, err := e.Plan(c, in)
		if more := c.Count() - at; !errors.Is(err, context.Canceled) || more > afterwards {
			t.Errorf("cancelled at look %d of %d, in %s: %v; %d looks more", at, n, last, err, more)
		}
	}
}
