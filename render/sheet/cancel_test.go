package sheet

import (
	"context"
	"errors"
	"testing"

	"seamwright/internal/looks"
	"seamwright/internal/sample"
)

// A sheet that is cancelled at any moment ends with that error, without asking on and on.
func TestCancelledAtAnyMoment(t *testing.T) {
	plan, panels := sample.Plan()
	whole := looks.Never()
	if _, err := Station(whole, plan, panels, "st10", Options{}); err != nil {
		t.Fatal(err)
	}
	if whole.Count() < 10 {
		t.Errorf("asked %d times", whole.Count())
	}
	for at := 1; at <= whole.Count(); at++ {
		c := looks.CancelledAt(at)
		if _, err := Station(c, plan, panels, "st10", Options{}); !errors.Is(err, context.Canceled) || c.Count() > at+2 {
			t.Errorf("cancelled at look %d of %d: %v; %d looks more", at, whole.Count(), err, c.Count()-at)
		}
	}
}
