package stations

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/seams/shell"
)

// tree is the panels and the sub-assemblies made of them.
type tree struct {
	panel map[string]bool
	parts map[string][]string // of each sub-assembly; never nil for one that exists
}

// newTree checks that every part exists, that ids differ and that no sub-assembly lies within itself.
func newTree(sh *shell.Shell) (*tree, error) {
	t := &tree{panel: map[string]bool{}, parts: map[string][]string{}}
	for _, p := range sh.Panels {
		if t.panel[p.ID] {
			return nil, fmt.Errorf("panels: two panels have the id %q: rename one", p.ID)
		}
		t.panel[p.ID] = true
	}
	for _, s := range sh.Subassemblies {
		if t.known(s.ID) {
			return nil, fmt.Errorf("subassemblies: %q is already the id of a panel or sub-assembly: rename one", s.ID)
		}
		t.parts[s.ID] = append([]string{}, s.Parts...)
	}
	above := map[string]string{}
	for _, s := range sh.Subassemblies {
		for _, part := range s.Parts {
			if !t.known(part) {
				return nil, fmt.Errorf("sub-assembly %s: part %q is no panel and no sub-assembly", s.ID, part)
			}
			if other, ok := above[part]; ok {
				return nil, fmt.Errorf("sub-assembly %s: part %s is a part of %s already: a part goes into one sub-assembly, once", s.ID, part, other)
			}
			above[part] = s.ID
		}
	}
	for _, s := range sh.Subassemblies {
		if circle := t.circle(s.ID, nil); circle != nil {
			return nil, fmt.Errorf("sub-assembly %s: lies within itself (%s): take one of them out of parts", s.ID, strings.Join(circle, " > "))
		}
	}
	return t, nil
}

func (t *tree) known(id string) bool { return t.panel[id] || t.parts[id] != nil }

// circle is the way from a sub-assembly down to itself, or nil.
func (t *tree) circle(id string, above []string) []string {
	if i := slices.Index(above, id); i >= 0 {
		return append(slices.Clone(above[i:]), id)
	}
	above = append(slices.Clone(above), id)
	for _, part := range t.parts[id] {
		if c := t.circle(part, above); c != nil {
			return c
		}
	}
	return nil
}

// panels are those of a part, in the order in which it names them, each once.
func (t *tree) panels(part string) []string {
	var list []string
	seen := map[string]bool{}
	var down func(string)
	down = func(id string) {
		if t.panel[id] && !seen[id] {
			seen[id] = true
			list = append(list, id)
		}
		for _, p := range t.parts[id] {
			down(p)
		}
	}
	down(part)
	return list
}
