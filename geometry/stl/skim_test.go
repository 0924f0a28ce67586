package stl

import (
	"strings"
	"testing"
)

// The quick way takes facets as they are usually written, up to the next, and leaves all else to the careful one.
func TestFacetsTakenTheQuickWay(t *testing.T) {
	const facet = "facet normal 0 0.5 -1e-3\n outer loop\n  vertex 0 0 0\n  vertex 1 0 0\n\tvertex 0 1.5 0\r\n endloop\nendfacet\n"
	for name, c := range map[string]struct {
		text  string
		taken bool
	}{
		"usual":         {facet, true},
		"capitals":      {strings.ToUpper(facet), true},
		"long words":    {strings.Replace(facet, "0.5", "0.50000000000000000000", 1), true},
		"many blanks":   {strings.ReplaceAll(facet, " ", "  \t"), true},
		"no normal":     {strings.Replace(facet, "normal 0 0.5 -1e-3", "normal", 1), false},
		"two of normal": {strings.Replace(facet, " -1e-3", "", 1), false},
		"four corners":  {strings.Replace(facet, " endloop", " vertex 2 2 2\n endloop", 1), false},
		"another word":  {strings.Replace(facet, "outer", "inner", 1), false},
		"no number":     {strings.Replace(facet, "1.5", "x", 1), false},
		"run together":  {strings.Replace(facet, "facet normal", "facetnormal", 1), false},
		"a longest":     {strings.Replace(facet, "0.5", strings.Repeat("1", longestWord+1), 1), false},
	} {
		var got [9]float32
		text := c.text + facet
		at := facetAt([]byte(text), 0, &got)
		if !c.taken {
			if at != -1 {
				t.Errorf("%s: taken up to %d", name, at)
			}
			continue
		}
		if at != len(c.text) || got != [9]float32{0, 0, 0, 1, 0, 0, 0, 1.5, 0} {
			t.Errorf("%s: up to %d of %d, %v", name, at, len(c.text), got)
		}
	}
}
