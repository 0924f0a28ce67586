package main

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func TestSurvivorsAreFoundAgain(t *testing.T) {
	dir := t.TempDir()
	source := filepath.Join(dir, "p.go")
	log := filepath.Join(dir, "earlier.log")
	text := "package p\n\nvar one = 2 * a\n\n\n\nvar two = 2 * a\nvar three = b < c\n"
	lines := "noticed   " + source + ":8: flip: < -> >\n" +
		"SURVIVED  " + source + ":6: scale: 2 -> 3\n" + // nearer to line 7 than to line 3
		"SURVIVED  " + source + ":8: flip: > -> <\n" // no longer there
	for name, text := range map[string]string{source: text, log: lines} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := survivorsOf(log)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 || got[0].Line != 7 || got[0].Kind != "scale" || got[0].Text != "var two = 2 * a" {
		t.Fatalf("%+v, want the scaled constant of line 7 alone", got)
	}
}

func TestReadHarmless(t *testing.T) {
	got, err := readHarmless("# comment\n\na.go\tflip: < -> >\tif a < b {\tboth ways give the same\n")
	if err != nil || !got["a.go\tflip: < -> >\tif a < b {"] || len(got) != 1 {
		t.Errorf("%v, %v", got, err)
	}
	if _, err := readHarmless("a.go\tflip: < -> >\tif a < b {\t \n"); err == nil || !strings.Contains(err.Error(), "harmless.txt:1") {
		t.Errorf("without a reason: %v", err)
	}
}

func TestSecondTests(t *testing.T) {
	for text, want := range map[string]second{
		"geometry/=./geometry/flange":           {"geometry/", []string{"./geometry/flange"}, nil, 0},
		"./layout ./cmd/seamwright":             {"", []string{"./layout", "./cmd/seamwright"}, nil, 0},
		"./cmd/seamwright -run TestDemo$":       {"", []string{"./cmd/seamwright"}, []string{"-run", "TestDemo$"}, 0},
		"./cmd/seamwright -run=TestDemo$":       {"", []string{"./cmd/seamwright"}, []string{"-run=TestDemo$"}, 0},
		"seams/=./cmd/seamwright -run TestDemo": {"seams/", []string{"./cmd/seamwright"}, []string{"-run", "TestDemo"}, 0},
	} {
		if got := secondOf(text); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", text, got, want)
		}
	}
}

// What tests print tells which of them was running at a time.
func TestBegun(t *testing.T) {
	g := &begun{}
	for _, text := range []string{"=== RUN   TestA\n=== RU", "N   TestA/sub\n--- PASS: TestA\n"} {
		if n, err := g.Write([]byte(text)); n != len(text) || err != nil {
			t.Fatal(n, err)
		}
	}
	g.times = []int64{1e9, 2e9}
	for when, want := range map[int64]string{0: "", 999e6: "TestA", 3e9: "TestA"} {
		if got := g.at(when); got != want {
			t.Errorf("at %d: %q, want %q", when, got, want)
		}
	}
}
