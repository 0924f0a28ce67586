package engine_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"

	"seamwright/layout/engine"
)

// counting is a context that is cancelled as it is asked for the at-th time, and goes on counting.
type counting struct {
	context.Context
	asked atomic.Int64
	at    int64
	once  sync.Once
	done  chan struct{}
}

func newCounting(at int64) *counting {
	return &counting{Context: context.Background(), at: at, done: make(chan struct{})}
}

func (c *counting) Done() <-chan struct{} { return c.done }

func (c *counting) Err() error {
	if c.asked.Add(1) < c.at {
		return nil
	}
	c.once.Do(func() { close(c.done) })
	return context.Canceled
}

// afterwards is how often a stage may look at its context once that is cancelled: each loop that it is in looks once more.
const afterwards = 24

// A plan that is cancelled at any moment ends with that error, and soon: no stage goes on asking.
func TestCancelledAtAnyMoment(t *testing.T) {
	in := randomModel(rand.New(rand.NewPCG(3, 3))).write(t, t.TempDir())
	stages := map[string]int64{}
	whole := newCounting(math.MaxInt64)
	e := engine.Engine{Workers: 1, Stage: func(name string) func() {
		from := whole.asked.Load()
		return func() { stages[name] += whole.asked.Load() - from }
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
	n := whole.asked.Load()
	rng := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		c := newCounting(1 + rng.Int64N(n))
		last := ""
		e := engine.Engine{Workers: 1, Stage: func(name string) func() { last = name; return func() {} }}
		_, err := e.Plan(c, in)
		if more := c.asked.Load() - c.at; !errors.Is(err, context.Canceled) || more > afterwards {
			t.Errorf("cancelled at look %d of %d, in %s: %v; %d looks more", c.at, n, last, err, more)
		}
	}
}
