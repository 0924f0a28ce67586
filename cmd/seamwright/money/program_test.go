package money

import (
	"os"
	"testing"

	"seamwright/cmd/seamwright/prints"
	"seamwright/internal/calls"
)

// seamwright is the program as these tests need it.
var seamwright = calls.Program{Cost, Quote, Variants, prints.Plan, prints.Pack}

func TestMain(m *testing.M) { os.Exit(calls.WithCache{M: m}.Run()) }
