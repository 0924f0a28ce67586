package engine_test

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"seamwright/internal/cache"
	"seamwright/layout/engine"
)

// With a cache a panel's file is read to know whether it is known, and then not again: it may be gone by then.
func TestPanelFilesAreReadOnce(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	m := randomModel(rand.New(rand.NewPCG(5, 5)))
	want := planned(engine.Engine{Workers: 1}, m.write(t, other))
	gone := 0
	e := engine.Engine{Cache: cache.New(), Workers: 1, Stage: func(name string) func() {
		return func() {
			if name != "hash files" {
				return
			}
			for _, file := range []string{"a.stl", "b.stl", "c.stl"} {
				if err := os.Remove(filepath.Join(dir, file)); err != nil {
					t.Fatal(err)
				}
				gone++
			}
		}
	}}
	if got := planned(e, m.write(t, dir)); got != want {
		t.Error(firstDifference(got, want))
	}
	if gone != 3 {
		t.Errorf("%d files taken away", gone)
	}
}

// A plan that was known as a whole leaves all its stages to the first change; once it is rehearsed, that change does no more than where
// everything was planned in this run.
func TestRehearsed(t *testing.T) {
	kept, dir := t.TempDir(), t.TempDir()
	first := randomModel(rand.New(rand.NewPCG(7, 7)))
	changed := first
	changed.pitch += 5
	made := func(e engine.Engine, rehearsed bool) (text string, n int64) {
		out, err := e.Plan(t.Context(), first.write(t, dir))
		if err != nil {
			t.Fatal(err)
		}
		if rehearsed {
			if err := out.Rehearse(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		_, before := e.Cache.Counts()
		text = planned(e, changed.write(t, dir))
		_, after := e.Cache.Counts()
		return text, after - before
	}
	once := engine.Engine{Cache: onDisk(t, kept), Workers: 1}
	if _, err := once.Plan(t.Context(), first.write(t, dir)); err != nil {
		t.Fatal(err)
	}
	known := func() engine.Engine {
		e := engine.Engine{Cache: onDisk(t, kept), Workers: 1}
		e.Cache.StopWriting()
		return e
	}
	want, least := made(engine.Engine{Cache: cache.New(), Workers: 1}, true) // nothing to rehearse
	if text, n := made(known(), false); text != want || n <= least {
		t.Errorf("not rehearsed, %d results were made, %d where all was planned: this tells nothing", n, least)
	}
	if text, n := made(known(), true); text != want || n != least {
		t.Errorf("rehearsed, %d results were made, %d where all was planned; the same plan: %v", n, least, text == want)
	}
}
