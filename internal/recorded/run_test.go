package recorded_test

import (
	"os"
	"testing"

	"seamwright/cmd/seamwright/commands"
	"seamwright/internal/calls"
)

// whole is the whole program.
var whole = calls.Program(commands.All())

func TestMain(m *testing.M) { os.Exit(calls.WithCache{M: m}.Run()) }
