package prints

import (
	"os"
	"testing"

	"seamwright/internal/calls"
)

// seamwright is the program as these tests need it.
var seamwright = calls.Program{Demo, Plan, Map, Strip, Export, Pack, Cards}

func TestMain(m *testing.M) { os.Exit(calls.WithCache{M: m}.Run()) }
