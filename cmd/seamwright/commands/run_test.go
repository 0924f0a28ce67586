package commands

import (
	"bytes"
	"context"
	"os"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

// whole is the whole program.
var whole = calls.Program(All())

func TestStopped(t *testing.T) {
	dir := t.TempDir()
	a, b := calls.Plate(t, dir, "a.stl", 0, 0, 300, 20, 1), calls.Plate(t, dir, "b.stl", 0, 0, 300, 20, 0)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errOut bytes.Buffer
	if code := program.Run(ctx, []string{"flanges", a, b}, &out, &errOut, All()); code != program.ExitFailed ||
		errOut.String() != "seamwright: stopped\n" {
		t.Errorf("exit code %d, %q", code, errOut.String())
	}
}

func TestMain(m *testing.M) { os.Exit(calls.WithCache{M: m}.Run()) }
