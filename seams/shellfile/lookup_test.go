package shellfile

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
	"seamwright/seams/document"
	"seamwright/seams/shell"
)

func TestLookups(t *testing.T) {
	sh, _ := mustRead(t, "testdata/good.yaml", nil)
	found := func(id string) []bool {
		_, panel := sh.Panel(id)
		_, steel := sh.Steel(id)
		_, sub := sh.Subassembly(id)
		_, station := sh.Station(id)
		_, joint := sh.Joint(id)
		_, gun := sh.Gun(id)
		_, tip := sh.Tip(id)
		_, roller := sh.Roller(id)
		return []bool{panel, steel, sub, station, joint, gun, tip, roller}
	}
	for i, id := range []string{"Rail.L", "z12", "front-end", "main-jig", "rails", "c2", "slim", "r1"} {
		for j, ok := range found(id) {
			if ok != (i == j) {
				t.Errorf("%s: lookup %d says %v", id, j, ok)
			}
		}
	}
	for _, id := range []string{"", "rail.l", "none"} { // ids keep their case
		if slices.Contains(found(id), true) {
			t.Errorf("%q is found", id)
		}
	}
	p, _ := sh.Panel("roof")
	p.Mass = 3
	if sh.Panels[0].Mass != 3 {
		t.Error("a lookup leads to a copy")
	}
}

func TestPanelsOf(t *testing.T) {
	sh := &shell.Shell{
		Panels: []shell.Panel{{ID: "a"}, {ID: "b"}, {ID: "c"}},
		Subassemblies: []shell.Subassembly{
			{ID: "x", Parts: []string{"c", "y"}}, {ID: "y", Parts: []string{"b", "a"}},
			{ID: "round", Parts: []string{"a", "about"}}, {ID: "about", Parts: []string{"round", "b"}},
		},
	}
	for id, want := range map[string]string{"a": "a", "y": "b a", "x": "c b a", "round": "a b", "none": ""} {
		if got := strings.Join(sh.PanelsOf(id), " "); got != want {
			t.Errorf("%s holds %q, want %q", id, got, want)
		}
	}
}

func TestPath(t *testing.T) {
	sh := &shell.Shell{Dir: "some/folder"}
	if got := sh.Path("panels/../roof.stl"); got != filepath.Join("some", "folder", "roof.stl") {
		t.Errorf("%q", got)
	}
	absolute, err := filepath.Abs("x.stl")
	if err != nil {
		t.Fatal(err)
	}
	if got := sh.Path(filepath.ToSlash(absolute)); got != absolute {
		t.Errorf("%q", got)
	}
}

func TestPlacementAndUnit(t *testing.T) {
	got := shell.Place{Mirror: true, Turn: [3]float64{1, 2, 3}, Move: [3]float64{4, 5, 6}}.Placement()
	if got != (space.Place{Mirror: true, Turn: r3.Vector{X: 1, Y: 2, Z: 3}, Move: r3.Vector{X: 4, Y: 5, Z: 6}}) {
		t.Errorf("%+v", got)
	}
	for _, c := range []struct {
		shell, own string
		want       space.Unit
	}{{"", "", space.Unstated}, {"mm", "", space.Millimetre}, {"mm", "inch", space.Inch}, {"", "in", space.Inch}, {"ft", "", space.Foot}} {
		if got := (&shell.Shell{Unit: c.shell}).UnitOf(c.own); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// Files beyond every measure end in a message, not in a full memory or an endless wait.
func TestBounds(t *testing.T) {
	aliases := "name: x\na: &a [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]\n"
	for c := 'b'; c < 'j'; c++ {
		aliases += fmt.Sprintf("%c: &%c [%s]\n", c, c, strings.TrimSuffix(strings.Repeat("*"+string(c-1)+", ", 10), ", "))
	}
	for file, content := range map[string]string{
		"deep.yaml":      "name: " + strings.Repeat("[", 300) + strings.Repeat("]", 300),
		"deep.json":      `{"name": ` + strings.Repeat("[", 300) + strings.Repeat("]", 300) + "}",
		"deep.toml":      "name = " + strings.Repeat("[", 300) + strings.Repeat("]", 300),
		"dotted.toml":    strings.Repeat("a.", 300) + "a = 1",
		"header.toml":    "[" + strings.Repeat("a.", 300) + "a]",
		"aliases.yaml":   aliases,
		"long list.json": `{"name": [` + strings.Repeat("1,", document.MostValues) + "1]}",
		"long list.toml": "name = [" + strings.Repeat("1,", document.MostValues) + "1]",
	} {
		_, _, err := Read(put(t, file, content), nil)
		if err == nil || !strings.Contains(err.Error(), "values or nests deeper than") || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", file, err)
		}
	}
}

// Sub-assemblies and arrivals stand in for each other; an only station takes what is left.
func TestStationsFillUp(t *testing.T) {
	tail := func(old, new string) *shell.Shell {
		t.Helper()
		if !strings.Contains(base, old) {
			t.Fatalf("no %q in the base file", old)
		}
		sh, _ := mustRead(t, put(t, "s.yaml", strings.Replace(base, old, new, 1)), nil)
		return sh
	}
	if sh := tail("parts: [a, b]", "name: front"); strings.Join(sh.Subassemblies[0].Parts, " ") != "a b" {
		t.Errorf("parts: %q", sh.Subassemblies[0].Parts)
	}
	if sh := tail("makes: sub, arrives: [a, b]", "makes: sub"); strings.Join(sh.Stations[0].Arrives, " ") != "a b" {
		t.Errorf("arrives: %q", sh.Stations[0].Arrives)
	}
	if sh := tail("  - {id: first, makes: sub, arrives: [a, b]}\n", ""); strings.Join(sh.Stations[0].Arrives, " ") != "sub c" {
		t.Errorf("a bought sub-assembly: %q", sh.Stations[0].Arrives)
	}
}

// A hold point that waits for a joint which is still to be found is noted, not refused.
func TestHoldPointBeforeFoundJoint(t *testing.T) {
	_, notes := mustRead(t, put(t, "h.yaml", strings.Replace(base, "joints:\n  - {id: j, panels: [a, b]}\n", "", 1)), nil)
	if !slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, "waits for joint j; the file lists no joints") }) {
		t.Errorf("notes: %q", notes)
	}
}

// What leaves the works is noted when it is more than one thing; a last station may name what it makes or not.
func TestNoteOnWhatLeaves(t *testing.T) {
	leaving := func(content string) bool {
		_, notes := mustRead(t, put(t, "l.yaml", content), nil)
		return slices.Contains(notes, "stations: sub, what main welds arrive at no other station and leave as they are")
	}
	if leaving(base) {
		t.Error("noted for one shell")
	}
	if leaving(strings.Replace(strings.Replace(base, "{id: main, arrives", "{id: main, makes: whole, arrives", 1), "parts: [a, b]}",
		"parts: [a, b]}\n  - {id: whole}", 1)) {
		t.Error("noted for one shell that is a sub-assembly")
	}
	if !leaving(strings.Replace(base, "arrives: [sub, c]", "arrives: [c]", 1)) {
		t.Error("not noted for a forgotten sub-assembly")
	}
}
