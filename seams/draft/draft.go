// Package draft writes a first shell file for a folder of panels, and adds panels and joints to one that somebody has edited without
// touching a line of what stands there. Lengths are millimetres.
//
//	text, err := draft.Of(draft.Sketch{Name: "cab", Panels: panels, Joints: joints})
//	text, err = draft.Extend(was, draft.Addition{Panels: more})
package draft

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"
	"text/template"
	"unicode"
	"unicode/utf8"

	"seamwright/geometry/space"
	"seamwright/seams/shell"
)

// Sketch is what is known of a shell when its file is first written.
type Sketch struct {
	Name   string // of the shell
	Unit   string // of the panels' files, as space.ParseUnit reads it; empty: as the files say
	Panels []Panel
	Joints []Joint
}

// Panel is a panel's file, seen from the folder that the shell file goes to.
type Panel struct {
	ID        string     // as IDs gives it
	File      string     // STL, DXF or CSV, with forward slashes
	Triangles int        // of a mesh
	Size      [3]float64 // mm, of its box
	Layers    []string   // of a drawing
	Surface   string     // mid, skin or solid; empty: not known
	Thickness float64    // mm; 0: not known
	How       string     // where Thickness comes from, such as measured
	Unit      string     // for Extend: of its file; empty: as the shell file says
	Steel     string     // for Extend: id of its steel
}

// Joint is a joint found between panels.
type Joint struct {
	Panels  []string // ids
	Flanges int
	Length  float64 // mm, of all flanges
	Width   float64 // mm, mean
	Closed  bool    // at least one flange closes on itself
}

//go:embed draft.yaml.tmpl
var draftText string

// Of writes a commented shell file in YAML for a folder of panels, ready to plan and for a person to correct.
// What nobody could know, such as the sheets' thickness, is marked CHECK. Read accepts the result where the
// panels' files lie as named.
func Of(s Sketch) (string, error) {
	unit, err := space.ParseUnit(s.Unit)
	if err != nil {
		return "", fmt.Errorf("draft of a shell file: %w", err)
	}
	s.Unit = string(unit)
	if err := s.check(); err != nil {
		return "", err
	}
	t, err := template.New("draft").Funcs(template.FuncMap{
		"q":       strconv.Quote, // Go's double-quoted text without bytes that are not UTF-8 is YAML's as well
		"list":    quotedList,
		"outline": isDrawing,
		"role":    LayerRole,
		"joint":   s.jointIDs(),
		"steel":   steelID,
		"key":     keyNote,
		"size":    func(v [3]float64) string { return fmt.Sprintf("%.0f x %.0f x %.0f mm", v[0], v[1], v[2]) },
	}).Parse(draftText)
	if err != nil {
		return "", fmt.Errorf("draft of a shell file: %w", err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, s); err != nil {
		return "", fmt.Errorf("draft of a shell file: %w", err)
	}
	return b.String(), nil
}

// Steel is sheet of one thickness that panels are of.
type Steel struct {
	ID        string
	Thickness float64 // mm
	How       string  // where it comes from; empty: assumed
}

// steelID names sheet by its thickness; that of panels whose thickness is not known is just sheet.
func steelID(thickness float64) string {
	if thickness == 0 {
		return "sheet"
	}
	return "sheet-" + strconv.FormatFloat(thickness, 'f', -1, 64)
}

// Steels lists the sheet that the panels are of, by thickness; sheet whose thickness is not known comes first.
func (s Sketch) Steels() []Steel {
	var out []Steel
	for _, p := range s.Panels {
		steel := Steel{steelID(p.Thickness), p.Thickness, p.How}
		if !slices.ContainsFunc(out, func(o Steel) bool { return o.ID == steel.ID }) {
			out = append(out, steel)
		}
	}
	slices.SortFunc(out, func(a, b Steel) int { return cmp.Compare(a.Thickness, b.Thickness) })
	return out
}

func (s Sketch) check() error {
	if len(s.Panels) == 0 {
		return fmt.Errorf("draft of a shell file: there are no panels; name a folder of STL or DXF files")
	}
	for _, p := range s.Panels {
		if !utf8.ValidString(p.File) || strings.IndexFunc(p.File, shell.Unprintable) >= 0 {
			return fmt.Errorf("draft of a shell file: the file name %q holds signs that cannot be printed; rename the file", p.File)
		}
		if !shell.IDForm.MatchString(p.ID) {
			return fmt.Errorf("draft of a shell file: %q does not do as the id of %s; take ids from IDs", p.ID, p.File)
		}
	}
	if !utf8.ValidString(s.Name) || strings.IndexFunc(s.Name, shell.Unprintable) >= 0 || strings.TrimSpace(s.Name) == "" {
		return fmt.Errorf("draft of a shell file: the name %q is empty or holds signs that cannot be printed; give another", s.Name)
	}
	return nil
}

// jointIDs numbers the joints by their panels: roof+rail, and roof+rail-2 where the same panels have a second one.
func (s Sketch) jointIDs() func(i int) string {
	taken := map[string]bool{}
	var ids []string
	for _, j := range s.Joints {
		ids = append(ids, free(cut(strings.Join(j.Panels, "+")), taken))
	}
	return func(i int) string { return ids[i] }
}

// IDs makes ids from panels' file names, in their order: small letters and digits with dashes between, each
// different from all others.
func IDs(files []string) []string {
	taken := map[string]bool{}
	out := make([]string, len(files))
	for i, f := range files {
		out[i] = free(idOf(f), taken)
	}
	return out
}

func idOf(file string) string {
	base := path.Base(strings.ReplaceAll(file, `\`, "/"))
	base = strings.TrimSuffix(base, path.Ext(base))
	var b strings.Builder
	for _, r := range strings.ToLower(base) {
		switch {
		case r == utf8.RuneError || !(unicode.IsLetter(r) || unicode.IsNumber(r) || unicode.IsMark(r) && b.Len() > 0):
			r = '-'
		}
		if r == '-' && (b.Len() == 0 || strings.HasSuffix(b.String(), "-")) {
			continue
		}
		b.WriteRune(r)
	}
	id := cut(strings.TrimSuffix(b.String(), "-"))
	if !shell.IDForm.MatchString(id) {
		return "panel"
	}
	return id
}

// cut leaves room for a number behind a long id.
func cut(id string) string {
	if r := []rune(id); len(r) > shell.LongestID-6 {
		return strings.TrimRight(string(r[:shell.LongestID-6]), "-+.")
	}
	return id
}

// free returns id, or id-2, id-3 … when that is taken, letter case folded.
func free(id string, taken map[string]bool) string {
	try := id
	for n := 2; taken[strings.ToLower(try)]; n++ {
		try = fmt.Sprintf("%s-%d", id, n)
	}
	taken[strings.ToLower(try)] = true
	return try
}

func isDrawing(file string) bool { return !strings.EqualFold(path.Ext(file), ".stl") }

// LayerRole guesses what a drawing's layer holds by its name: outline unless a word in it says otherwise.
func LayerRole(layer string) string {
	name := strings.ToLower(layer)
	for _, guess := range []struct{ word, role string }{
		{"weld", "weld-line"}, {"hole", "hole"}, {"keep", "keep-out"}, {"dim", "ignore"}, {"text", "ignore"}, {"note", "ignore"},
	} {
		if strings.Contains(name, guess.word) {
			return guess.role
		}
	}
	return "outline"
}

func quotedList(items []string) string {
	q := make([]string, len(items))
	for i, s := range items {
		q[i] = strconv.Quote(s)
	}
	return "[" + strings.Join(q, ", ") + "]"
}

// keyNote writes one key with its default, commented out, and its meaning behind it.
func keyNote(name string) (string, error) {
	k, ok := shell.KeysByName()[name]
	if !ok {
		return "", fmt.Errorf("no key %s", name)
	}
	last := name[strings.LastIndexAny(name, ".]")+1:]
	value := fmt.Sprint(k.Default)
	switch k.Default.(type) {
	case nil:
		value = "0"
	case string:
		value = strconv.Quote(value)
	}
	return fmt.Sprintf("# %-28s # %s", last+": "+value, strings.TrimSpace(k.Meaning)), nil
}
