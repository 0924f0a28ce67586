package shellfile

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// base is a good file; the broken ones are made from it by one edit each. Its lines are numbered from 1.
const base = `name: base
unit: mm
steels:
  - {id: s, grade: DC04, thickness_mm: 0.9}
  - {id: z, grade: DX54D+Z, thickness_mm: 1.2, coating: Z100}
panels:
  - {id: a, mesh: a.stl, steel: s}
  - {id: b, mesh: b.stl, steel: z}
  - id: c
    mesh: c.stl
    steel: z
subassemblies:
  - {id: sub, parts: [a, b]}
stations:
  - {id: first, makes: sub, arrives: [a, b]}
  - {id: main, arrives: [sub, c], hold_points: [{text: gauge, before: j, at_mm: [0, 0, 0]}]}
joints:
  - {id: j, panels: [a, b]}
guns:
  - {id: g, throat_depth_mm: 200, throat_gap_mm: 100, tips: [t]}
tips:
  - {id: t, face_mm: 6}
rollers:
  - {id: r}
`

type broken struct {
	name     string
	old, new string // the edit; old empty: new is appended
	want     string // the whole message, without the folder
}

// check makes each edit to a good text and compares the whole error, line by line.
func check(t *testing.T, good, file string, cases []broken) {
	t.Helper()
	if _, _, err := Read(put(t, file, good), nil); err != nil {
		t.Fatalf("the file to be broken is not good: %v", err)
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			content := good + c.new
			if c.old != "" {
				if strings.Count(good, c.old) != 1 {
					t.Fatalf("%q stands in the file %d times", c.old, strings.Count(good, c.old))
				}
				content = strings.Replace(good, c.old, c.new, 1)
			}
			path := put(t, file, content)
			sh, notes, err := Read(path, nil)
			if err == nil {
				t.Fatal("accepted")
			}
			if sh != nil || notes != nil {
				t.Error("something is returned beside the error")
			}
			var all *Problems
			if !errors.As(err, &all) {
				t.Errorf("the error is a %T", err)
			}
			got := strings.ReplaceAll(err.Error(), filepath.Dir(path)+string(filepath.Separator), "")
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestBrokenStructure(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"unknown key at the top", "unit: mm", "unti: mm",
			`b.yaml:2: unti: unknown key "unti"; the nearest known key is unit`},
		{"unknown key in a list", "mesh: b.stl, steel: z", "mesh: b.stl, steal: z",
			`b.yaml:8: panels[1].steal: unknown key "steal"; the nearest known key is steel`},
		{"unknown key in a table in a list", "    mesh: c.stl", "    mesh: c.stl\n    place: {\n      move: [0, 0, 1]}",
			`b.yaml:12: panels[2].place.move: unknown key "move"; the nearest known key is move_mm`},
		{"key in capitals", "name: base", "Name: base",
			`b.yaml:1: Name: unknown key "Name"; the nearest known key is name`},
		{"key with dots", "", "rates.labour_per_hour: 5\n",
			`b.yaml:25: rates.labour_per_hour: unknown key "rates.labour_per_hour"; the nearest known key is rates`},
		{"key twice", "", "name: other\n",
			`b.yaml:25: name: this key is given twice, first in line 1; keep one of the two`},
		{"key twice in an entry", "    steel: z", "    steel: z\n    mesh: b.stl",
			`b.yaml:12: panels[2].mesh: this key is given twice, first in line 10; keep one of the two`},
		{"text for a number", "throat_depth_mm: 200", "throat_depth_mm: long",
			`b.yaml:20: guns[0].throat_depth_mm: a number is wanted here, not the text "long"; write a number`},
		{"number in quotes", "throat_depth_mm: 200", `throat_depth_mm: "200"`,
			`b.yaml:20: guns[0].throat_depth_mm: a number is wanted here, not the text "200"; write it without quotes: 200`},
		{"number with a comma", "", "gap_limit_mm: 0,5\n",
			`b.yaml:25: gap_limit_mm: a number is wanted here, not the text "0,5"; write it with a point: 0.5`},
		{"number with its unit", "", "gap_limit_mm: 0.5 mm\n",
			`b.yaml:25: gap_limit_mm: a number is wanted here, not the text "0.5 mm"; the key names the unit: write 0.5`},
		{"number with a leading zero", "", "batch: 012\n",
			`b.yaml:25: batch: the number 012 begins with 0 and could be meant in base eight; write it without the leading 0`},
		{"count with a fraction", "", "batch: 2.5\n",
			`b.yaml:25: batch: a whole number is wanted here, not a number (2.5); write it without a point or exponent`},
		{"count too large", "", "batch: 99999999999\n",
			`b.yaml:25: batch: a whole number (99999999999) is too large; write the number that is meant`},
		{"number for text", "name: base", "name: 12",
			`b.yaml:1: name: text is wanted here, not a whole number (12); write it in quotes: "12"`},
		{"date for text", "", "issued: 2026-03-01\n",
			`b.yaml:25: issued: text is wanted here, not a date (2026-03-01); write it in quotes: "2026-03-01"`},
		{"word for true or false", "mesh: b.stl, steel: z", "mesh: b.stl, steel: z, place: {mirror_y: yes}",
			`b.yaml:8: panels[1].place.mirror_y: true or false is wanted here, not the text "yes"; write true or false`},
		{"table for a list", "tips:\n  - {id: t, face_mm: 6}", "tips:\n  {id: t, face_mm: 6}",
			`b.yaml:22: tips: a list is wanted here, not a table; write a list, each entry with its own keys`},
		{"text for a list", "parts: [a, b]", "parts: a",
			`b.yaml:13: subassemblies[0].parts: a list is wanted here, not the text "a"; write [a]`},
		{"list for a table", "", "rates: [1]\n",
			`b.yaml:25: rates: a table is wanted here, not a list; write keys and values below it`},
		{"a list among keys", "name: base\n", "- 1\n",
			`b.yaml:2: this is not YAML: did not find expected '-' indicator; mend that line or one next to it`},
		{"two numbers for three", "at_mm: [0, 0, 0]", "at_mm: [0, 0]",
			`b.yaml:16: stations[1].hold_points[0].at_mm: 3 numbers are wanted, not 2; write them as [x, y, z]`},
		{"empty entry", "  - {id: t, face_mm: 6}", "  - {id: t, face_mm: 6}\n  -",
			`b.yaml:23: tips[1]: this entry is empty; fill it in or take it out`},
		{"tab", "    mesh: c.stl", "\tmesh: c.stl",
			`b.yaml:9: this is not YAML: found a tab character that violates indentation; indent with spaces, not tabs`},
		{"open bracket", "parts: [a, b]}", "parts: [a, b}",
			`b.yaml:13: this is not YAML: did not find expected ',' or ']'; mend that line or one next to it`},
		{"second document", "", "---\nname: second\n",
			`b.yaml:25: a second document begins here; keep one shell in one file`},
		{"merge key", "{id: b, mesh: b.stl, steel: z}", "{<<: {steel: z}, id: b, mesh: b.stl}",
			`b.yaml:8: merge keys (<<) are not read; write the values out`},
		{"alias within itself", "name: base", "name: base\njoints: &j [*j]",
			`b.yaml:2: the alias *j stands within what it stands for; write the value out`},
		{"not UTF-8", "name: base", "name: base\nowner: M\xfcller",
			`b.yaml:2: the text is not UTF-8; save the file as UTF-8`},
		{"control character", "name: base", "name: base\nowner: \x07",
			`b.yaml:2: there is a control character (U+0007); take it out`},
		{"a list as key", "unit: mm", "? [unit]\n: mm",
			`b.yaml:2: a key is not a plain word; write key: value`},
		{"tagged value", "unit: mm", "unit: !!binary bW0=",
			`b.yaml:2: unit: text is wanted here, not a tagged value (bW0=); write text`},
		{"several at once, in the order of lines", "throat_gap_mm: 100", "throat_gap_mm: wide, thraot: 3",
			`b.yaml:20: guns[0].throat_gap_mm: a number is wanted here, not the text "wide"; write a number` + "\n" +
				`b.yaml:20: guns[0].thraot: unknown key "thraot"; the nearest known key is throat_gap_mm`},
	})
}

func TestBrokenSyntaxOfOtherFormats(t *testing.T) {
	const good = "name = \"x\"\nsteels = [{id = \"s\", grade = \"DC04\", thickness_mm = 1}]\n\n[[panels]]\nid = \"a\"\nmesh = " +
		"\"a.stl\"\n\n[[panels]]\nid = \"b\"\nmesh = \"b.stl\"\n"
	check(t, good, "b.toml", []broken{
		{"unknown key", "", "steal = \"s\"\n",
			`b.toml:11: panels[1].steal: unknown key "steal"; the nearest known key is steel`},
		{"unknown key in an inline table", "thickness_mm = 1", "thicknes_mm = 1",
			`b.toml:2: steels[0].thicknes_mm: unknown key "thicknes_mm"; the nearest known key is thickness_mm`},
		{"unknown table", "", "\n[rate]\nlabour_per_hour = 3\n",
			`b.toml:12: rate: unknown key "rate"; the nearest known key is rates`},
		{"dotted key", "id = \"a\"", "id = \"a\"\nplace.move_m = [1, 2, 3]",
			`b.toml:6: panels[0].place.move_m: unknown key "move_m"; the nearest known key is move_mm`},
		{"key twice", "id = \"a\"", "id = \"a\"\nid = \"c\"",
			`b.toml:6: this is not TOML: key id is already defined; mend that line or one next to it`},
		{"no value", "mesh = \"b.stl\"", "mesh = ",
			`b.toml:10: this is not TOML: unexpected character U+000A at start of value; mend that line or one next to it`},
		{"wrong type in a list over lines", "", "\n[panels.place]\nmove_mm = [\n  1,\n  \"2\",\n  3,\n]\n",
			`b.toml:15: panels[1].place.move_mm[1]: a number is wanted here, not the text "2"; write it without quotes: 2`},
		{"local date", "name = \"x\"", "name = 2026-03-01",
			`b.toml:1: name: text is wanted here, not a date (2026-03-01); write it in quotes: "2026-03-01"`},
		{"not a number", "thickness_mm = 1", "thickness_mm = nan",
			`b.toml:2: steels[0].thickness_mm: NaN is not a finite number; write a number`},
	})
	const json = "{\n \"name\": \"x\",\n \"steels\": [{\"id\": \"s\", \"grade\": \"DC04\", \"thickness_mm\": 1}],\n \"panels\": [\n  " +
		"{\"id\": \"a\",\n   \"mesh\": \"a.stl\"},\n  {\"id\": \"b\", \"mesh\": \"b.stl\"}\n ]\n}\n"
	check(t, json, "b.json", []broken{
		{"unknown key", "\"mesh\": \"a.stl\"", "\"mehs\": \"a.stl\"",
			`b.json:6: panels[0].mehs: unknown key "mehs"; the nearest known key is mesh`},
		{"key twice", "\"mesh\": \"a.stl\"", "\"id\": \"a\"",
			`b.json:6: panels[0].id: this key is given twice, first in line 5; keep one of the two`},
		{"fraction for a count", " \"name\": \"x\",", " \"name\": \"x\", \"batch\": 1e3,",
			`b.json:2: batch: a whole number is wanted here, not a number (1e3); write it without a point or exponent`},
		{"comma too many", "\"mesh\": \"b.stl\"}", "\"mesh\": \"b.stl\",}",
			`b.json:7: this is not JSON: invalid character '}' looking for beginning of object key string; mend that line or one next to it`},
		{"cut off", "\n ]\n}\n", "",
			`b.json:7: this is not JSON: the file ends too early; close every brace and bracket`},
		{"two values", "", "{}",
			`b.json:10: something follows the closing brace; keep one shell in one file`},
		{"beyond what a number holds", "\"thickness_mm\": 1", "\"thickness_mm\": 1e999",
			`b.json:3: steels[0].thickness_mm: a number (1e999) is too large; write the number that is meant`},
	})
}

// Files that are not a table at all.
func TestBrokenRoot(t *testing.T) {
	for file, c := range map[string]struct{ content, want string }{
		"list.yaml":   {"- name: x\n", "list.yaml:1: a table is wanted here, not a list; write keys and values below it"},
		"text.yaml":   {"\njust text\n", `text.yaml:2: a table is wanted here, not the text "just text"; write keys and values below it`},
		"number.json": {"7", "number.json:1: a table is wanted here, not a whole number (7); write keys and values below it"},
		"list.json":   {"\n[]", "list.json:2: a table is wanted here, not a list; write keys and values below it"},
		"stl.yaml": {"solid roof\n facet normal 0 0 1\n  outer loop\n",
			"stl.yaml:1: a table is wanted here, not the text \"solid roof facet normal 0 0 1 outer loop\"; write keys and values below it"},
	} {
		path := put(t, file, c.content)
		_, _, err := Read(path, nil)
		if err == nil || err.Error() != filepath.Join(filepath.Dir(path), c.want) {
			t.Errorf("%s: %v, want %s", file, err, c.want)
		}
	}
}

func TestEmptyFiles(t *testing.T) {
	for _, file := range []string{"e.yaml", "e.toml", "e.json"} {
		for _, content := range []string{"", "\n\n", "{}"} {
			if file == "e.toml" && content == "{}" {
				continue
			}
			_, _, err := Read(put(t, file, content), nil)
			if err == nil || !strings.Contains(err.Error(), ":1: the file is empty; write at least name, steels and panels") {
				t.Errorf("%s holding %q: %v", file, content, err)
			}
		}
	}
}

func TestLongTexts(t *testing.T) {
	long := strings.Repeat("x", 100_000)
	check(t, base, "shell.yaml", []broken{
		{"a name without end", "name: base", "name: " + long,
			`shell.yaml:1: name: the text "` + long[:60] + `…" has 100000 letters; write at most 200`},
		{"a text without end", "text: gauge", "text: " + long,
			`shell.yaml:16: stations[1].hold_points[0].text: the text "` + long[:60] + `…" has 100000 letters; write at most 1000`},
	})
	if _, _, err := Read(put(t, "shell.yaml", strings.Replace(base, "name: base", "name: "+long[:200], 1)), nil); err != nil {
		t.Errorf("a name of 200 letters: %v", err)
	}
}
