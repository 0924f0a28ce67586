package wide_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"hash"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/cache"
	"seamwright/internal/record"
	"seamwright/internal/wide"
	"seamwright/layout"
	"seamwright/layout/compare"
	"seamwright/layout/engine"
	"seamwright/layout/planfile"
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
			record.Hold(t, filepath.Join("testdata", s.Name+".txt"), recordOf(t, dir, s.File))
		})
	}
}

// recordOf is all that is held of a shell.
func recordOf(t *testing.T, dir, file string) string {
	t.Helper()
	ctx := context.Background()
	sh, notes, err := shellfile.Read(filepath.Join(dir, file), nil)
	if err != nil {
		return "refused: " + strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), "") + "\n"
	}
	e := &engine.Engine{Workers: 1, Writer: new(planfile.Writer), Cache: cache.New()}
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
	m.again(t, e, dir, file, done.Plan)
	return b.String() + m.String()
}

// again plans the shell once more by the same engine, with some keys changed on the command line, and holds what that changed.
func (m *made) again(t *testing.T, e *engine.Engine, dir, file string, before *layout.Plan) {
	t.Helper()
	changed := map[string]string{"batch": "7", "rates.labour_per_hour": "51.5", "rules.end_distance_mm": "6.5"}
	if j := before.Joints[len(before.Joints)-1]; j.Kind == layout.SpotJoint {
		changed["joints."+j.ID+".tack_every_mm"] = "90"
	}
	changed["stations."+before.Stations[0].ID+".crew"] = "1"
	sh, notes, err := shellfile.Read(filepath.Join(dir, file), changed)
	m.value(t, "again: shell", "notes", notes, plainly(err, dir))
	if err != nil {
		return
	}
	done, err := e.Plan(context.Background(), engine.Input{Shell: sh, Notes: notes, Digest: func(string) string { return "input" }})
	if err != nil {
		m.value(t, "again: plan", "plan", nil, plainly(err, dir))
		return
	}
	m.add(t, "again: plan", "plan.json", done.Text, nil)
	report, err := compare.Plans(before, done.Plan, compare.Options{})
	m.value(t, "again: compare", "report", report, err)
	read, err := planfile.Read(bytes.NewReader(done.Text))
	if err != nil {
		t.Fatal(err)
	}
	text, err := new(planfile.Writer).Bytes(read)
	if err != nil || !bytes.Equal(text, done.Text) {
		t.Errorf("the plan that is read from its file is written otherwise (%v)", err)
	}
}

func plainly(err error, dir string) error {
	if err == nil {
		return nil
	}
	return errors.New(strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), ""))
}
