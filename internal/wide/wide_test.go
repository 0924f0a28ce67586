package wide_test

import (
	"context"
	"flag"
	"hash"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/internal/wide"
	"seamwright/layout/engine"
	"seamwright/seams/shellfile"
)

var (
	_     = flag.Bool("update", false, "write the records of the shells anew")
	write = flag.String("write", "", "folder to write the shells into, each with all that is made of it")
)

// Of each shell the plan, by figures and by a sum of each of its sections, and all that is drawn and written of it, by sums, are as they
// were. Where one moved, the line says what; -write shows it whole, so that two states can be laid beside each other.
func TestShellsAsBefore(t *testing.T) {
	for _, s := range wide.Shells() {
		t.Run(s.Name, func(t *testing.T) {
			dir := t.TempDir()
			if *write != "" {
				dir = filepath.Join(*write, s.Name)
			}
			if err := s.Write(dir); err != nil {
				t.Fatal(err)
			}
			defer func() {
				if t.Failed() {
					t.Logf("go test ./internal/wide -run %s -write FOLDER, here and in an older state, and compare the two", t.Name())
				}
			}()
			record.Hold(t, filepath.Join("testdata", s.Name+".txt"), recordOf(t, dir))
		})
	}
}

// recordOf is all that is held of a shell.
func recordOf(t *testing.T, dir string) string {
	t.Helper()
	ctx := context.Background()
	sh, notes, err := shellfile.Read(filepath.Join(dir, "shell.json"), nil)
	if err != nil {
		return "refused: " + strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), "") + "\n"
	}
	e := &engine.Engine{Workers: 1}
	done, err := e.Plan(ctx, engine.Input{Shell: sh, Notes: notes, Digest: func(string) string { return "input" }})
	if err != nil {
		return "not planned: " + strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), "") + "\n"
	}
	var b strings.Builder
	b.WriteString(figures(done.Plan))
	m := made{sums: map[string]hash.Hash{}}
	if *write != "" {
		m.dir = dir
	}
	m.sections(t, done.Text)
	m.all(t, done, sh)
	return b.String() + m.String()
}
