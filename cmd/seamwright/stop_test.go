//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"seamwright/internal/calls"
)

// A signal ends any command with the code that shells give for it, wherever the command is. The time that it may take is
// looked at by .ci/run, not here: a test on a busy machine tells nothing about it.
func TestSignals(t *testing.T) {
	dir := t.TempDir()
	for _, test := range []struct {
		signal syscall.Signal
		want   int
		args   []string
	}{
		{syscall.SIGINT, 130, []string{"demo", filepath.Join(dir, "demo")}},
		{syscall.SIGTERM, 143, []string{"demo", filepath.Join(dir, "demo")}},
		{syscall.SIGHUP, 129, []string{"pack", calls.Lap(t, ""), "-o", fifo(t, dir)}}, // nobody reads from the pipe: writing hangs
	} {
		c := command(t, test.args...)
		var said bytes.Buffer
		c.Stderr = &said
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		if test.args[0] == "demo" {
			_, _ = out.Read(make([]byte, 1)) // the panels are written and planning begins
		} else {
			time.Sleep(2 * time.Second)
		}
		_ = c.Process.Signal(test.signal)
		_, _ = io.Copy(io.Discard, out)
		_ = c.Wait()
		if code := c.ProcessState.ExitCode(); code != test.want || !strings.HasSuffix(said.String(), "seamwright: stopped\n") {
			t.Errorf("%v: exit code %d, want %d: %s", test.signal, code, test.want, said.String())
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "demo", "plan")); err == nil {
		t.Error("a stopped plan leaves a folder")
	}
}

func fifo(t *testing.T, dir string) string {
	t.Helper()
	at := filepath.Join(dir, "pipe")
	if err := syscall.Mkfifo(at, 0o600); err != nil {
		t.Fatal(err)
	}
	return at
}
