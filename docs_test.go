package seamwright_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What README and DEVELOPERS name stands where they say: files, folders, packages and functions in backquotes or links.
func TestDocumentsNameWhatIsThere(t *testing.T) {
	there := map[string]bool{}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if d != nil && d.IsDir() && d.Name() == ".git" {
			return filepath.SkipDir
		}
		there[filepath.ToSlash(name)], there[filepath.Base(name)] = true, true
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	path := regexp.MustCompile(`^(\./)?(\.ci|internal|geometry|seams|layout|render|cmd|testdata)/[\w/.-]+$`)
	file := regexp.MustCompile(`^[\w-]+\.(go|md|yml|json|sh)$`)
	quoted := regexp.MustCompile("`([^`\n]+)`|\\]\\(([^)\n]+)\\)")
	written := map[string]bool{"testdata/fuzz": true, "plan.json": true, "plan.schema.json": true} // by the program or its tests
	for _, doc := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(doc)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range quoted.FindAllStringSubmatch(string(text), -1) {
			for _, word := range strings.Fields(m[1] + m[2]) {
				word = strings.TrimSuffix(strings.TrimPrefix(strings.TrimRight(word, ".,;"), "./"), "/")
				if (path.MatchString(word) || file.MatchString(word)) && !there[word] && !written[word] {
					t.Errorf("%s names %s, which is not there", doc, word)
				}
			}
		}
	}
}

// The table of packages in DEVELOPERS names packages that are there.
func TestPackagesOfTheTableAreThere(t *testing.T) {
	text, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, ok := strings.Cut(string(text), "| package |")
	table, _, end := strings.Cut(table, "\n\n")
	if !ok || !end {
		t.Fatal("DEVELOPERS.md has no table of packages")
	}
	name := regexp.MustCompile("`([^`]+)`")
	rows := strings.Split(table, "\n")[2:]
	if len(rows) < 20 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		room := ""
		for _, m := range name.FindAllStringSubmatch(strings.Split(row, "|")[1], -1) {
			dir := m[1]
			if k := strings.LastIndex(dir, "/"); k >= 0 {
				room = dir[:k+1]
			} else if room != "" {
				dir = room + dir
			}
			if info, err := os.Stat(dir); err != nil || !info.IsDir() {
				t.Errorf("the table names package %s, which is not there", dir)
			}
		}
	}
}
