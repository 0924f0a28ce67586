package layout_test

import (
	"slices"
	"testing"

	"seamwright/layout"
)

func TestPanelsOf(t *testing.T) {
	p := &layout.Plan{Subassemblies: []layout.Subassembly{
		{ID: "body", Parts: []string{"front", "roof"}},
		{ID: "front", Parts: []string{"nose", "bulkhead"}},
		{ID: "snake", Parts: []string{"snake"}},
	}}
	for part, want := range map[string][]string{"body": {"nose", "bulkhead", "roof"}, "roof": {"roof"}, "snake": nil} {
		if got := p.PanelsOf(part); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", part, got, want)
		}
	}
}
