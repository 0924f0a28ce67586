package finding_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

var dotted = regexp.MustCompile(`^[a-z]+(\.[a-z0-9-]+)+$`)

// ids lists every text of the program that has the form of a rule's id and the first word of one, by where it stands.
func ids(t *testing.T, book rule.Rules) map[string]string {
	t.Helper()
	first := map[string]bool{"panel": true, "solid": true, "mesh": true}
	for _, r := range book {
		word, _, _ := strings.Cut(r.ID, ".")
		first[word] = true
	}
	known := map[string]bool{}
	for _, k := range shell.Keys() {
		known[k.Name] = true
	}
	out := map[string]string{}
	for _, room := range []string{"seams", "layout", "render", "cmd"} {
		err := filepath.WalkDir(filepath.Join("..", "..", room), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files := token.NewFileSet()
			file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				lit, ok := n.(*ast.BasicLit)
				if !ok || lit.Kind != token.STRING {
					return true
				}
				text, err := strconv.Unquote(lit.Value)
				word, _, _ := strings.Cut(text, ".")
				if err == nil && dotted.MatchString(text) && first[word] && !known[text] &&
					!slices.Contains([]string{".yaml", ".json", ".toml", ".csv", ".txt", ".html", ".svg", ".js", ".css"}, filepath.Ext(text)) {
					out[text] = files.Position(lit.Pos()).String()
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// Whatever id a command can print stands in the rule book with sentence, source and remedy, and the book has none that
// the program does not use.
func TestEveryIdIsInTheBook(t *testing.T) {
	book := rule.Book()
	used := ids(t, book)
	if len(used) < 80 {
		t.Fatalf("only %d ids were found in the code", len(used))
	}
	for id, at := range used {
		if _, ok := book.Find(id); !ok {
			t.Errorf("%s: %s is not in the rule book (seams/rule/book.yaml)", at, id)
		}
	}
	for _, r := range book {
		if used[r.ID] == "" {
			t.Errorf("%s is in the rule book, and nothing uses it", r.ID)
		}
		if !dotted.MatchString(r.ID) || r.Title == "" || r.Sentence == "" || r.InForce().Source == "" {
			t.Errorf("%+v is not whole", r)
		}
	}
}
