// Package calls is for tests of the command line: the program's commands called within the process, and small shells for them.
//
//	out := calls.Program{review.Check}.Must(t, program.ExitDone, "check", calls.Lap(t, ""))
package calls

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"seamwright/cmd/seamwright/program"
)

// Update is whether records are to be written anew.
var Update = flag.Bool("update", false, "write records and pictures anew")

// WithCache runs a package's tests with a cache folder of their own, which they share: a shell that many of them plan is planned once.
type WithCache struct{ M *testing.M }

// Run runs the tests and returns their exit code.
func (w WithCache) Run() int {
	dir, err := os.MkdirTemp("", "seamwright-test-*")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer func() { _ = os.RemoveAll(dir) }() // a temporary folder
	if err := os.Setenv("XDG_CACHE_HOME", dir); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return w.M.Run()
}

// Program is some of the program's commands.
type Program []program.Maker

// Call runs the program and returns its exit code and what it printed.
func (p Program) Call(t testing.TB, args ...string) (code int, out, errOut string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = program.Run(context.Background(), args, &stdout, &stderr, p)
	return code, stdout.String(), stderr.String()
}

// Must runs the program, fails the test unless it exits with the code wanted, and returns what it printed.
func (p Program) Must(t testing.TB, want int, args ...string) string {
	t.Helper()
	code, out, errOut := p.Call(t, args...)
	if code != want {
		t.Fatalf("seamwright %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, want, out, errOut)
	}
	return out
}

// Put writes a file into a folder, which is made where it is missing, and returns its path.
func Put(t testing.TB, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// Read is what a file holds.
func Read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Decode reads JSON.
func Decode[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return v
}

// CheckSchema holds the plan in a folder to the schema beside it.
func CheckSchema(t *testing.T, dir string) {
	t.Helper()
	schema, err := jsonschema.UnmarshalJSON(strings.NewReader(string(Read(t, filepath.Join(dir, "plan.schema.json")))))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("plan.schema.json", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := jsonschema.UnmarshalJSON(strings.NewReader(string(Read(t, filepath.Join(dir, "plan.json")))))
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled.Validate(plan); err != nil {
		t.Error(err)
	}
}
