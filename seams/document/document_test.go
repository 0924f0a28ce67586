package document_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"seamwright/seams/document"
)

// written is a tree as text: of each value its line, kind and text.
func written(n *document.Node) string {
	switch n.Kind {
	case document.Table:
		var parts []string
		for _, p := range n.Pairs {
			parts = append(parts, fmt.Sprintf("%s@%d:%s", p.Key, p.Line, written(p.Value)))
		}
		return fmt.Sprintf("%d{%s}", n.Line, strings.Join(parts, " "))
	case document.List:
		var parts []string
		for _, item := range n.Items {
			parts = append(parts, written(item))
		}
		return fmt.Sprintf("%d[%s]", n.Line, strings.Join(parts, " "))
	}
	return fmt.Sprintf("%d %s %q", n.Line, n.Kind, n.Text)
}

// The same values in the three formats, each with the line in which it stands there.
func TestParse(t *testing.T) {
	for _, c := range []struct{ file, text, want string }{
		{"a.yaml", "b: 3\n\nlist:\n  - {x: 1.5, y: yes it is}\n  - {x: true}\nd: 2026-03-02\nnone:\n",
			`1{b@1:1 a whole number "3" list@3:4[4{x@4:4 a number "1.5" y@4:4 text "yes it is"} 5{x@5:5 true or false "true"}] ` +
				`d@6:6 a date "2026-03-02" none@7:7 nothing ""}`},
		{"a.toml", "b = 3\n\n[[list]]\nx = 1.5\ny = \"yes it is\"\n[[list]]\nx = true\n[d]\nd = 2026-03-02\n",
			`1{b@1:1 a whole number "3" list@3:3[3{x@4:4 a number "1.5" y@5:5 text "yes it is"} 6{x@7:7 true or false "true"}] ` +
				`d@8:8{d@9:9 a date "2026-03-02"}}`},
		{"a.json", "{\"b\": 3,\n\n\"list\": [\n{\"x\": 1.5, \"y\": \"yes it is\"},\n{\"x\": true}],\n\"none\": null}",
			`1{b@1:1 a whole number "3" list@3:3[4{x@4:4 a number "1.5" y@4:4 text "yes it is"} 5{x@5:5 true or false "true"}] ` +
				`none@6:6 nothing ""}`},
		{"twice.yml", "b: 1\nb: 2\n", `1{b@1:1 a whole number "1" b@2:2 a whole number "2"}`},
		{"alias.yaml", "a: &x [1]\nb: *x\n", `1{a@1:1[1 a whole number "1"] b@2:2[1 a whole number "1"]}`},
		{"empty.json", " \n", `1 nothing ""`},
		{"empty.yaml", "# nothing\n", `1 nothing ""`},
		{"tag.yaml", "a: !!binary aGk=\n", `1{a@1:1 a tagged value "aGk="}`},
	} {
		format, err := document.Format(c.file)
		if err != nil {
			t.Fatal(err)
		}
		root, err := document.Parse(format, []byte(c.text))
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		if got := written(root); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.file, got, c.want)
		}
	}
}

func TestFailures(t *testing.T) {
	deep := strings.Repeat("[", 102) + strings.Repeat("]", 102)
	for _, c := range []struct {
		file, text string
		line       int
		what       string
	}{
		{"a.yaml", "a: [1\nb: 2\n", 2, "this is not YAML: did not find expected ',' or ']'"},
		{"a.yaml", "a: 1\n---\nb: 2\n", 2, "a second document begins here; keep one shell in one file"},
		{"a.yaml", "a: &a [*a]\n", 1, "the alias *a stands within what it stands for; write the value out"},
		{"a.yaml", "? [a]\n: 1\n", 1, "a key is not a plain word; write key: value"},
		{"a.yaml", "a: &x {b: 1}\nc:\n  <<: *x\n", 3, "merge keys (<<) are not read; write the values out"},
		{"a.yaml", "a: 1\nb: \x01\n", 2, "there is a control character (U+0001); take it out"},
		{"a.yaml", "a: 1\n\nb: \xff\n", 3, "the text is not UTF-8; save the file as UTF-8"},
		{"a.json", "{\"a\": 1}\n{}", 2, "something follows the closing brace; keep one shell in one file"},
		{"a.json", "{\"a\":\n", 2, "this is not JSON: the file ends too early; close every brace and bracket"},
		{"a.json", "{\"a\":\n\n" + deep + "}", 3, "the file holds more than 200000 values or nests deeper than 100; shorten it"},
		{"a.toml", "a = 1\nb = \n", 2, "this is not TOML: unexpected character U+000A at start of value"},
		{"a.toml", "a = []\n[[a.b]]\n", 2, "this is not TOML:"},
	} {
		format, err := document.Format(c.file)
		if err != nil {
			t.Fatal(err)
		}
		var f *document.Failure
		if _, err := document.Parse(format, []byte(c.text)); !errors.As(err, &f) || f.Line != c.line || !strings.HasPrefix(f.What, c.what) {
			t.Errorf("%s %.30q: got %#v, want line %d: %s", c.file, c.text, err, c.line, c.what)
		}
	}
	if _, err := document.Format("a.txt"); err == nil || err.Error() != `the extension ".txt" is none of .yaml, .yml, .toml and .json` {
		t.Error(err)
	}
}

func FuzzParse(f *testing.F) {
	formats := []string{"yaml", "toml", "json"}
	f.Add([]byte("a: &a [1]\nb: &b [*a, *a]\nc: [*b, *b]\n"), uint8(0))
	f.Add([]byte("[[panels]]\n[panels.place]\nmove_mm=[1,2,\n3]\n"), uint8(1))
	f.Add([]byte(`{"name": "\ud800", "panels": [null, {"id": 1e999}]}`), uint8(2))
	f.Fuzz(func(t *testing.T, data []byte, kind uint8) {
		root, err := document.Parse(formats[int(kind)%3], data)
		lines := 1
		for _, r := range string(data) {
			if strings.ContainsRune("\n\r\u0085\u2028\u2029", r) { // YAML ends lines by each of these
				lines++
			}
		}
		if f := (*document.Failure)(nil); err != nil && (!errors.As(err, &f) || f.What == "" || f.Line < 0 || f.Line > lines+1) {
			t.Fatalf("%#v in %d lines", err, lines)
		}
		if err == nil {
			within(t, root, lines+1) // a value that is left out at the end stands behind it
		}
	})
}

// within holds a tree's lines to those of its file.
func within(t *testing.T, n *document.Node, lines int) {
	if n.Line < 1 || n.Line > lines {
		t.Fatalf("line %d of %d", n.Line, lines)
	}
	for _, p := range n.Pairs {
		within(t, p.Value, lines)
	}
	for _, item := range n.Items {
		within(t, item, lines)
	}
}

func ExampleParse() {
	root, err := document.Parse("yaml", []byte("name: Lap\nbatch: 24\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	batch := root.ByKey["batch"]
	fmt.Println("line", batch.Line, batch.Kind, batch.Text)
	// Output: line 2 a whole number 24
}
