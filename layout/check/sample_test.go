package check

import (
	"context"

	"seamwright/internal/strap"
	"seamwright/layout/ledger"
)

func (s *sample) evaluate() *ledger.Report {
	s.Helper()
	r, err := Evaluate(context.Background(), s.Plan, s.Shell, s.Rules())
	if err != nil {
		s.Fatal(err)
	}
	return r
}

// sample is a strap that can be judged.
type sample struct{ *strap.Sample }

func on(s *strap.Sample) *sample { return &sample{s} }
