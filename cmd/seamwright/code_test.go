package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"seamwright/internal/work"
)

// Each kind of failure has its exit code, however deep it is wrapped; a panic in a piece of work is a fault of the program.
func TestCodeOf(t *testing.T) {
	fault := work.Each(context.Background(), 2, 3, func(int) error { panic("no normal") })
	for _, test := range []struct {
		err  error
		code int
		says string
	}{
		{nil, exitDone, ""},
		{fmt.Errorf("plan tarn: %w", errBroken), exitBroken, "seamwright: plan tarn: a rule is broken\n"},
		{badInput(errors.New("no such file")), exitInput, "seamwright: no such file\n"},
		{errors.New("disk full"), exitFailed, "seamwright: disk full\n"},
		{badInput(fmt.Errorf("map: %w", context.Canceled)), exitFailed, "seamwright: stopped\n"},
		{badInput(fmt.Errorf("map of station a: %w", fault)), exitPanic, "seamwright: a fault of the program: no normal\n"},
	} {
		var out strings.Builder
		if code := codeOf(test.err, []string{"plan"}, &out); code != test.code || !strings.HasPrefix(out.String(), test.says) {
			t.Errorf("%v: exit code %d, want %d; %q", test.err, code, test.code, out.String())
		}
	}
}
