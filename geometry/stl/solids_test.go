package stl

import (
	"strings"
	"testing"
)

const triangle = "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"

// A text of several solids is read to its end, and what is wrong with it is said with its line.
func TestSolidsOfAText(t *testing.T) {
	for name, c := range map[string]struct {
		text      string
		triangles int
		note, err string
	}{
		"one":            {"solid a\n" + triangle + triangle + "endsolid a\n", 2, "", ""},
		"no name":        {"solid\n" + triangle + "endsolid", 1, "", ""},
		"two":            {"solid a\n" + triangle + "endsolid a\nsolid b\n" + triangle + triangle + "endsolid b\n", 3, "2 solids in", ""},
		"one is empty":   {"solid a\nendsolid a\nsolid b\n" + triangle + "endsolid b\n", 1, "2 solids in the file", ""},
		"cut off":        {"solid a\n" + triangle, 0, "", "the file ends after triangle 1 without \"endsolid\""},
		"cut in a facet": {"solid a\n" + triangle + "facet normal 0 0 1\nouter loop\nvertex 0 0", 0, "", "triangle 2"},
		"another word":   {"solid a\n" + triangle + "panel\nendsolid\n", 0, "", "\"facet\" or \"endsolid\" expected, found \"panel\""},
		"after it":       {"solid a\n" + triangle + "endsolid a\nand more\n", 0, "", "\"solid\" expected, found \"and\""},
	} {
		s, notes, err := Read(strings.NewReader(c.text), int64(len(c.text)), "part.stl", Options{})
		if c.err != "" {
			if err == nil || !strings.Contains(err.Error(), c.err) || !strings.HasPrefix(err.Error(), "part.stl: ") {
				t.Errorf("%s: error %v, want %q", name, err, c.err)
			}
			continue
		}
		if err != nil || s.Len() != c.triangles || !strings.HasPrefix(strings.Join(notes, "; "), c.note) || (c.note == "") != (len(notes) == 0) {
			t.Errorf("%s: %+v, %q, %v, want %d triangles, %q", name, s, notes, err, c.triangles, c.note)
		}
	}
}
