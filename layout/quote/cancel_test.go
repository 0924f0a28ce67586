package quote_test

import (
	"context"
	"errors"
	"testing"

	"seamwright/layout/labour/sample"
	"seamwright/layout/quote"
)

// asked is a context that is cancelled as it is asked for the at-th time.
type asked struct {
	context.Context
	times, at int
}

func (c *asked) Err() error {
	if c.times++; c.times < c.at {
		return nil
	}
	return context.Canceled
}

// Wherever it is cancelled, the range of an estimate ends with that error and is not asked for again.
func TestCancelled(t *testing.T) {
	sh := sample.Works()
	whole := &asked{Context: t.Context(), at: 1 << 30}
	if _, err := quote.Of(whole, sample.Cab(sh), sh, quote.Options{Trials: 50, Seed: 1}); err != nil || whole.times < 100 {
		t.Fatalf("%d looks at the context, %v", whole.times, err)
	}
	for at := 1; at <= whole.times; at++ {
		c := &asked{Context: t.Context(), at: at}
		if _, err := quote.Of(c, sample.Cab(sh), sh, quote.Options{Trials: 50, Seed: 1}); !errors.Is(err, context.Canceled) || c.times > at {
			t.Fatalf("cancelled at look %d of %d: %v, %d looks more", at, whole.times, err, c.times-at)
		}
	}
}
