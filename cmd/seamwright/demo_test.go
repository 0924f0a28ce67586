package main

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"seamwright/layout"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

var update = flag.Bool("update", false, "write the README's pictures anew")

// pictures are the sheets of the demo that the README shows.
const pictures = "../../testdata/pictures"

func TestDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("the demo takes its time")
	}
	dir := filepath.Join(t.TempDir(), "tarn")
	must(t, exitDone, "demo", dir, "--quiet")
	for _, name := range []string{"shell.yaml", "plan/plan.json", "plan/plan.schema.json", "plan/welds.csv", "plan/cost.csv",
		"plan/report.txt"} {
		if len(read(t, filepath.Join(dir, name))) == 0 {
			t.Errorf("%s is empty", name)
		}
	}
	checkSchema(t, filepath.Join(dir, "plan"))
	t.Run("pictures", func(t *testing.T) { readmePictures(t, filepath.Join(dir, "plan", "maps")) })
	t.Run("all that is said of it", func(t *testing.T) { demoAsRecorded(t, dir) })
	t.Run("new finds the joints", func(t *testing.T) { newFindsTheJoints(t, dir) })
	t.Run("a map for every station", func(t *testing.T) { mapForEveryStation(t, filepath.Join(dir, "plan")) })
}

// readmePictures holds the README's pictures against the demo's sheets, and writes them anew where asked. They carry the
// plan's and the input's hashes, as text and as a code, which change with every figure of the plan; all else must be equal.
func readmePictures(t *testing.T, maps string) {
	for _, name := range []string{"main-jig-1.svg", "roof-jig-1.svg"} {
		now := read(t, filepath.Join(maps, name))
		if *update {
			if err := os.WriteFile(filepath.Join(pictures, name), now, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if old := read(t, filepath.Join(pictures, name)); withoutHashes(old) != withoutHashes(now) {
			t.Errorf("%s is not the demo's sheet: run go test ./cmd/seamwright -run TestDemo -update, and look at it", name)
		}
	}
}

var hashes = regexp.MustCompile(`(?s)[0-9a-f]{64}|<g id="l-code".*?</g>`)

func withoutHashes(svg []byte) string { return hashes.ReplaceAllString(string(svg), "#") }

// newFindsTheJoints: a shell file written for nothing but the demo's panels has at least 95 % of its joints, told
// by the set of panels that they join.
func newFindsTheJoints(t *testing.T, dir string) {
	stated, _, err := shellfile.Read(filepath.Join(dir, "shell.yaml"), nil)
	if err != nil {
		t.Fatal(err)
	}
	bare := filepath.Join(t.TempDir(), "panels")
	if err := os.CopyFS(bare, os.DirFS(filepath.Join(dir, "panels"))); err != nil {
		t.Fatal(err)
	}
	must(t, exitDone, "new", bare, "--quiet")
	found, _, err := shellfile.Read(filepath.Join(bare, "shell.yaml"), nil)
	if err != nil {
		t.Fatal(err)
	}
	have := 0
	for _, j := range stated.Joints {
		if slices.ContainsFunc(found.Joints, func(f shell.Joint) bool { return sameSet(f.Panels, j.Panels) }) {
			have++
		} else {
			t.Logf("joint %s of %v is not found", j.ID, j.Panels)
		}
	}
	if 100*have < 95*len(stated.Joints) {
		t.Errorf("%d of %d joints found", have, len(stated.Joints))
	}
}

func sameSet(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}

func mapForEveryStation(t *testing.T, dir string) {
	file, err := os.Open(filepath.Join(dir, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	plan, err := layout.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range plan.Stations {
		if sheets, err := filepath.Glob(filepath.Join(dir, "maps", s.ID+"-*.svg")); err != nil || len(sheets) == 0 {
			t.Errorf("station %s has no map", s.ID)
		}
	}
}
