package seamwright_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright"
)

var update = flag.Bool("update", false, "write NOTICE anew")

// part is something of others that is in the program, with the files that say under which licence.
type part struct {
	name  string
	files []string
}

// linked are the modules of all packages that the program is built from, for the systems that it is built for, beside the Go
// library and the font that is drawn into PDFs.
func linked(t *testing.T) []part {
	t.Helper()
	modules := map[string]string{}
	for _, system := range []string{"linux", "darwin", "windows"} {
		c := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}\t{{.Dir}}{{end}}{{end}}",
			"./cmd/seamwright")
		c.Env = append(os.Environ(), "GOOS="+system, "GOARCH=amd64")
		out, err := c.Output()
		if err != nil {
			t.Fatalf("go list for %s: %v", system, err)
		}
		for line := range strings.Lines(string(out)) {
			if name, dir, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok {
				modules[name] = dir
			}
		}
	}
	parts := []part{{"the Go library and runtime", []string{filepath.Join(goRoot(t), "LICENSE")}}}
	for name, dir := range modules {
		parts = append(parts, part{name, licences(t, name, dir)})
		if strings.HasPrefix(name, "golang.org/x/image ") {
			parts = append(parts, part{"the Go fonts (Go-Regular, in PDFs), of " + name, []string{filepath.Join(dir, "font/gofont/ttfs/README")}})
		}
	}
	slices.SortFunc(parts, func(a, b part) int { return strings.Compare(a.name, b.name) })
	return parts
}

func goRoot(t *testing.T) string {
	t.Helper()
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(out))
}

// licences are the files of a module that state its terms.
func licences(t *testing.T, name, dir string) (files []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		upper := strings.ToUpper(e.Name())
		for _, begin := range []string{"LICENSE", "LICENCE", "COPYING", "NOTICE", "PATENTS"} {
			if strings.HasPrefix(upper, begin) && !e.IsDir() {
				files = append(files, filepath.Join(dir, e.Name()))
			}
		}
	}
	if len(files) == 0 {
		t.Errorf("%s states no licence", name)
	}
	return files
}

// TestNotice makes NOTICE from the licences of all that is linked in and holds the file against it.
func TestNotice(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("seamwright\nCopyright 2026 The seamwright authors\n\nLicensed under the Apache License, Version 2.0 (see LICENSE). The " +
		"program " +
		"is linked from the following, whose licences\nfollow in full. SVGo (github.com/ajstarks/svgo) is by Anthony Starks, used unchanged " +
		"under the Creative Commons\nAttribution 4.0 International licence, https://creativecommons.org/licenses/by/4.0/.\n\n")
	parts := linked(t)
	texts, heads := []string{}, map[string][]string{}
	for _, p := range parts {
		fmt.Fprintf(&b, "  %s\n", p.name)
		for _, file := range p.files {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text := strings.TrimSpace(strings.ReplaceAll(string(data), "\r\n", "\n"))
			if heads[text] == nil {
				texts = append(texts, text)
			}
			heads[text] = append(heads[text], p.name+", "+filepath.Base(file))
		}
	}
	for _, text := range texts {
		fmt.Fprintf(&b, "\n%s\n%s\n%s\n\n%s\n", strings.Repeat("-", 80), strings.Join(heads[text], "\n"), strings.Repeat("-", 80), text)
	}
	if *update {
		if err := os.WriteFile("NOTICE", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if seamwright.Notice != b.String() {
		t.Error("NOTICE is not of what is linked in: run go test . -update, and look whether each licence may be used so")
	}
	if len(parts) < 20 {
		t.Errorf("only %d parts found", len(parts))
	}
}

// The licence's own blank is filled in.
func TestLicence(t *testing.T) {
	text, err := os.ReadFile("LICENSE")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "Copyright 2026 The seamwright authors") || strings.Contains(string(text), "[yyyy]") {
		t.Error("LICENSE has no copyright line")
	}
}
