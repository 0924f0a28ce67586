package sheet

import (
	"context"
	"errors"
	"math"
	"testing"
)

// asking is a context that is cancelled as it is asked for the at-th time, and goes on counting.
type asking struct {
	context.Context
	asked, at int
}

func (c *asking) Err() error {
	if c.asked++; c.asked < c.at {
		return nil
	}
	return context.Canceled
}

// A sheet that is cancelled at any moment ends with that error, without asking on and on.
func TestCancelledAtAnyMoment(t *testing.T) {
	plan, panels := sample()
	whole := &asking{Context: context.Background(), at: math.MaxInt}
	if _, err := Station(whole, plan, panels, "st10", Options{}); err != nil {
		t.Fatal(err)
	}
	if whole.asked < 10 {
		t.Errorf("asked %d times", whole.asked)
	}
	for at := 1; at <= whole.asked; at++ {
		c := &asking{Context: context.Background(), at: at}
		if _, err := Station(c, plan, panels, "st10", Options{}); !errors.Is(err, context.Canceled) || c.asked > at+2 {
			t.Errorf("cancelled at look %d of %d: %v; %d looks more", at, whole.asked, err, c.asked-at)
		}
	}
}
