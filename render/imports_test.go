// Package render_test holds the rooms right of layout to showing what the plan says.
package render_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Nothing in render works out again what is decided: it imports no shell file, no strength and no check.
func TestRenderDecidesNothing(t *testing.T) {
	decides := []string{"seamwright/seams/shell", "seamwright/seams/strength", "seamwright/layout/check", "seamwright/layout/planner",
		"seamwright/layout/strips", "seamwright/layout/ledger", "seamwright/layout/supply", "seamwright/layout/resistance",
		"seamwright/layout/setup",
		"seamwright/layout/joining", "seamwright/layout/laying", "seamwright/layout/arming"}
	files := 0
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files++
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, im := range f.Imports {
			if name := strings.Trim(im.Path.Value, `"`); slices.Contains(decides, name) {
				t.Errorf("%s imports %s: put what it needs into the plan or the index", path, name)
			}
		}
		return nil
	})
	if err != nil || files < 20 {
		t.Fatalf("%d files, %v", files, err)
	}
}
