package labour_test

import (
	"context"
	"errors"
	"testing"

	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
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

// An estimate looks at its context at every station.
func TestCancelled(t *testing.T) {
	sh := sample.Works()
	p := sample.Cab(sh)
	for at := 1; at <= len(p.Stations); at++ {
		c := &asked{Context: t.Context(), at: at}
		if _, _, err := labour.Estimate(c, p, sh); !errors.Is(err, context.Canceled) || c.times != at {
			t.Errorf("cancelled at station %d: %v after %d looks", at, err, c.times)
		}
	}
}
