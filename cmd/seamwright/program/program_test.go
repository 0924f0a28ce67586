package program

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"seamwright/internal/work"
	"seamwright/layout"
)

// Each kind of failure has its exit code, however deep it is wrapped; a panic in a piece of work is a fault of the program.
func TestCodeOf(t *testing.T) {
	fault := work.Each(context.Background(), 2, 3, func(int) error { panic("no normal") })
	for _, test := range []struct {
		err  error
		code int
		says string
	}{
		{nil, ExitDone, ""},
		{fmt.Errorf("plan tarn: %w", ErrBroken), ExitBroken, "seamwright: plan tarn: a rule is broken\n"},
		{BadInput(errors.New("no such file")), ExitInput, "seamwright: no such file\n"},
		{errors.New("disk full"), ExitFailed, "seamwright: disk full\n"},
		{BadInput(fmt.Errorf("map: %w", context.Canceled)), ExitFailed, "seamwright: stopped\n"},
		{BadInput(fmt.Errorf("map of station a: %w", fault)), exitPanic, "seamwright: a fault of the program: no normal\n"},
	} {
		var out strings.Builder
		if code := codeOf(test.err, []string{"plan"}, &out); code != test.code || !strings.HasPrefix(out.String(), test.says) {
			t.Errorf("%v: exit code %d, want %d; %q", test.err, code, test.code, out.String())
		}
	}
}

// A fault of the program is no fault of the caller: its exit code is of its own, and what to report is printed.
func TestFault(t *testing.T) {
	var said bytes.Buffer
	code := guarded(&said, []string{"faulty", "x y"}, func() int {
		var none []int
		return none[len(said.String())+3]
	})
	if code != exitPanic {
		t.Errorf("exit code %d", code)
	}
	for _, want := range []string{"seamwright: a fault of the program: runtime error: index out of range [3]", "seamwright " + release,
		`call: ["faulty" "x y"]`, "program_test.go:"} {
		if !strings.Contains(said.String(), want) {
			t.Errorf("%q is missing in\n%s", want, said.String())
		}
	}
}

func TestKnownStation(t *testing.T) {
	if err := knownStation(&layout.Plan{Stations: []layout.Station{{ID: "jig"}, {ID: "other"}}}, "", "s.yaml"); err != nil {
		t.Error(err)
	}
	if err := knownStation(&layout.Plan{Stations: []layout.Station{{ID: "jig"}, {ID: "other"}}}, "rig", "s.yaml"); err == nil ||
		!strings.Contains(err.Error(), "it has jig, other") {
		t.Errorf("error %v", err)
	}
}

func TestSettings(t *testing.T) {
	for text, want := range map[string]string{
		"batch=12":                        "batch=12",
		"batch=12,crew.main-jig=3":        "batch=12 stations.main-jig.crew=3",
		"owner=Kell, Rudd and Co,batch=3": "owner=Kell, Rudd and Co batch=3",
		"stations.a.b.crew=2, batch=4":    "stations.a.b.crew=2 batch=4",
		"batch":                           "batch",
	} {
		if got := strings.Join(Settings([]string{text}), " "); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}
