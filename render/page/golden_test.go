package page

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write golden files anew")

// The graph and the list as the page shows them, whole: look at the graph before committing another.
func TestGolden(t *testing.T) {
	graph, err := Graph(sample(), "f1")
	if err != nil {
		t.Fatal(err)
	}
	list, err := List(sample())
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string][]byte{"graph.svg": graph, "list.html": list} {
		file := filepath.Join("testdata", name)
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); d != "" {
			t.Errorf("%s differs (-want +got), run with -update and look at the change:\n%s", file, d)
		}
	}
}
