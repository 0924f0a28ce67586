package quote_test

import (
	"context"
	"errors"
	"testing"

	"seamwright/internal/looks"
	"seamwright/layout/labour/sample"
	"seamwright/layout/quote"
)

// Wherever it is cancelled, the range of an estimate ends with that error and is not asked for again.
func TestCancelled(t *testing.T) {
	sh := sample.Works()
	whole := looks.Never()
	if _, err := quote.Of(whole, sample.Cab(sh), sh, quote.Options{Trials: 50, Seed: 1}); err != nil || whole.Count() < 100 {
		t.Fatalf("%d looks at the context, %v", whole.Count(), err)
	}
	for at := 1; at <= whole.Count(); at++ {
		c := looks.CancelledAt(at)
		if _, err := quote.Of(c, sample.Cab(sh), sh, quote.Options{Trials: 50, Seed: 1}); !errors.Is(err, context.Canceled) || c.Count() > at {
			t.Fatalf("cancelled at look %d of %d: %v, %d looks more", at, whole.Count(), err, c.Count()-at)
		}
	}
}
