package labour_test

import (
	"context"
	"errors"
	"testing"

	"seamwright/internal/looks"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
)

// An estimate looks at its context at every station.
func TestCancelled(t *testing.T) {
	sh := sample.Works()
	p := sample.Cab(sh)
	for at := 1; at <= len(p.Stations); at++ {
		c := looks.CancelledAt(at)
		if _, _, err := labour.Estimate(c, p, sh); !errors.Is(err, context.Canceled) || c.Count() != at {
			t.Errorf("cancelled at station %d: %v after %d looks", at, err, c.Count())
		}
	}
}
