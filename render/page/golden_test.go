package page

import (
	"flag"
	"path/filepath"
	"testing"

	"seamwright/internal/record"
)

var _ = flag.Bool("update", false, "write golden files anew")

// The graph and the parts as the page is sent them, whole: look at the graph before committing another.
func TestGolden(t *testing.T) {
	graph, err := Graph(sample(), "f1", 0, Marks{})
	if err != nil {
		t.Fatal(err)
	}
	full, err := Graph(sample(), "f1", 0, Marks{Edge: 5, End: 6, LeastPitch: 22, GreatestPitch: 60, Gap: 0.5,
		KeepOuts: []KeepOut{{At: sample().Flanges[0].Line[1].At.R3(), Radius: 15, Why: "hinge <1>"}}})
	if err != nil {
		t.Fatal(err)
	}
	narrow, err := Graph(sample(), "f1", 320, Marks{Edge: 5, End: 6, LeastPitch: 22, GreatestPitch: 60, Gap: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	parts, err := PartsOf(sample())
	if err != nil {
		t.Fatal(err)
	}
	all, err := parts.Since(nil, "engineer")
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string][]byte{"graph.svg": graph, "graph_marks.svg": full, "graph_narrow.svg": narrow, "parts.json": all} {
		record.Hold(t, filepath.Join("testdata", name), string(got))
	}
}
