package review

import (
	"os"
	"testing"

	"seamwright/cmd/seamwright/prints"
	"seamwright/internal/calls"
)

// seamwright is the program as these tests need it.
var seamwright = calls.Program{Stations, Reach, Order, Rules, Check, Survey, Compare, prints.Plan}

func TestMain(m *testing.M) { os.Exit(calls.WithCache{M: m}.Run()) }
