package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A program within its limits passes, one beyond either does not, nor one that fails.
func TestHold(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir, second := t.TempDir(), func() float64 { return 1 }
	if err := os.WriteFile(filepath.Join(dir, "panel"), make([]byte, 1<<20), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		time, memory float64
		args         []string
		want         string
	}{
		{100, 1000, []string{self, "-test.list", "^$"}, ""},
		{1e-9, 1000, []string{self, "-test.list", "^$"}, "more than that"},
		{100, 1e-6, []string{self, "-test.list", "^$"}, "more than that"},
		{100, 1000, []string{self, "-no-such-flag"}, "exit status 2"},
	} {
		err := hold(test.time, test.memory, dir, test.args, second)
		if (err == nil) != (test.want == "") || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%+v: %v", test, err)
		}
	}
	if err := hold(1, 1, t.TempDir(), []string{self}, second); err == nil {
		t.Error("no error without files")
	}
}
