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
