package tarn

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestFilesAreTheSameEveryTime(t *testing.T) {
	a, err := Files()
	if err != nil {
		t.Fatal(err)
	}
	b, err := Files()
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for i := range a {
		if a[i].Name != b[i].Name || !bytes.Equal(a[i].Data, b[i].Data) {
			t.Errorf("%s differs", a[i].Name)
		}
		total += len(a[i].Data)
	}
	if !slices.IsSortedFunc(a, func(x, y File) int { return strings.Compare(x.Name, y.Name) }) {
		t.Error("files are not sorted")
	}
	if total > 20<<20 {
		t.Errorf("%d bytes over all", total)
	}
}

func TestWriteNeverReplaces(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	for range 2 { // the second time every file is there already, and the same
		if err := Write(dir); err != nil {
			t.Fatal(err)
		}
	}
	mine := filepath.Join(dir, "shell.yaml")
	if err := os.WriteFile(mine, []byte("name: mine\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	gone := filepath.Join(dir, "panels", "roof.stl")
	if err := os.Remove(gone); err != nil {
		t.Fatal(err)
	}
	err := Write(dir)
	if err == nil || !strings.Contains(err.Error(), "shell.yaml") || strings.Contains(err.Error(), "\n") {
		t.Errorf("got %v", err)
	}
	if text, _ := os.ReadFile(mine); string(text) != "name: mine\n" {
		t.Error("the user's file was replaced")
	}
	if _, err := os.Stat(gone); err == nil {
		t.Error("a file was written although another stood in the way")
	}
	left, err := filepath.Glob(filepath.Join(dir, "*", ".*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func TestWriteSaysWhereItFails(t *testing.T) {
	file := filepath.Join(t.TempDir(), "taken")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Write(file); err == nil || !strings.Contains(err.Error(), "taken") {
		t.Errorf("got %v", err)
	}
}

func TestTruthFileHoldsTruth(t *testing.T) {
	files, err := Files()
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(files, func(f File) bool { return f.Name == "truth/weld-lines.json" })
	var doc struct {
		Units string
		Lines []struct {
			Joint  string
			Panels []string
			Closed bool
			Width  float64
			Points [][3]float64
		}
	}
	if err := json.Unmarshal(files[i].Data, &doc); err != nil {
		t.Fatal(err)
	}
	lines := Truth()
	if doc.Units != "mm" || len(doc.Lines) != len(lines) {
		t.Fatalf("%q, %d lines of %d", doc.Units, len(doc.Lines), len(lines))
	}
	for k, l := range lines {
		d := doc.Lines[k]
		if d.Joint != l.Joint || d.Closed != l.Closed || d.Width != l.Width || len(d.Points) != len(l.Points) ||
			!slices.Equal(d.Panels, l.Panels) {
			t.Errorf("line %d: %s differs", k, l.Joint)
		}
	}
}

func BenchmarkFiles(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Files(); err != nil {
			b.Fatal(err)
		}
	}
}
