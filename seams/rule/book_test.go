package rule

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"seamwright/internal/record"
)

func write(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestWorksBookLiesOverTheDefault(t *testing.T) {
	for name, text := range map[string]string{
		"works.yaml": "rules:\n  - {id: pitch.wanted, value: 32}\n  - {id: weld.diameter.least, use: iso-14373}\n  - {id: gap.greatest, " +
			"severity: broken}\n  - id: edge.least\n    use: trial\n    sources:\n      - {id: trial, how: diameter, factor: 1.5, source: works " +
			"trial 7}\n",
		"works.json": `{"rules": [{"id": "pitch.wanted", "value": 32}, {"id": "weld.diameter.least", "use": "iso-14373"}, {"id": ` +
			`"gap.greatest", "severity": "broken"}, {"id": "edge.least", "use": "trial", "sources": [{"id": "trial", "how": "diameter", ` +
			`"factor": 1.5, "source": "works trial 7"}]}]}`,
		"works.toml": "[[rules]]\nid = \"pitch.wanted\"\nvalue = 32.0\n[[rules]]\nid = \"weld.diameter.least\"\nuse = " +
			"\"iso-14373\"\n[[rules]]\nid = \"gap.greatest\"\nseverity = \"broken\"\n[[rules]]\nid = \"edge.least\"\nuse = " +
			"\"trial\"\n[[rules.sources]]\nid = \"trial\"\nhow = \"diameter\"\nfactor = 1.5\nsource = \"works trial 7\"\n",
	} {
		book, _, err := ReadBook(write(t, name, text), 0)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		l := For(sheets(1, 1), Options{Book: book})
		if l.GreatestPitch.Value != 32 || l.GreatestPitch.From != FromWorks || l.GreatestPitch.Certainty != Stated ||
			l.GreatestPitch.Source != "works' rule book" {
			t.Errorf("%s: pitch %+v", name, l.GreatestPitch)
		}
		if l.LeastWeldDiameter.Value != 3.5 || l.LeastWeldDiameter.From != FromWorks || l.LeastWeldDiameter.Certainty != Memory {
			t.Errorf("%s: weld %+v", name, l.LeastWeldDiameter)
		}
		if l.EdgeDistance.Value != 7.5 || l.EdgeDistance.Source != "works trial 7" {
			t.Errorf("%s: edge %+v", name, l.EdgeDistance)
		}
		if p, ok := book.Judge("gap.greatest", sheets(1, 1), 0.6); ok || p.Severity != Broken {
			t.Errorf("%s: gap %+v", name, p)
		}
		if l.TackEvery.From != FromDefault {
			t.Errorf("%s: an untouched rule says %q", name, l.TackEvery.From)
		}
		if shell := For(sheets(1, 1), Options{Book: book, EdgeDistance: 9}).EdgeDistance; shell.Value != 9 || shell.From != FromShell {
			t.Errorf("%s: the shell file stands above the works: %+v", name, shell)
		}
	}
	if For(sheets(1, 1), Options{}).GreatestPitch.Value != 40 {
		t.Error("a works' book changed the default one")
	}
}

func TestBooksThatAreRefused(t *testing.T) {
	said := record.Errors(t)
	for _, c := range []struct{ name, text, want string }{
		{"a.yaml", "", "no rules"},
		{"a.yaml", "rules: [", "yaml"},
		{"a.txt", "rules: []", "name it .yaml"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: 3}\n  - {value: 3}", "line 3: rule 2: missing: id"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: 3}\n  - ten", "line 3: rule 2 is no rule"},
		{"a.yaml", "rules:\n  - {id: pitch.lest, value: 3}", "line 2: rule 1: no rule \"pitch.lest\"; the nearest is pitch.least"},
		{"a.yaml", "rules:\n  - {id: pitch.least, valu: 3}", "valu"},
		{"a.yaml", "# mine\nrule:\n  - {id: pitch.least, value: 3}", "line 2: no key \"rule\" here"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: \"3\"}", "line 2: rule pitch.least: value is \"3\": write a number"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: -3}", "line 2: rule pitch.least, source works: -3 is not a usable number"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: .nan}", "not a usable number"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: .inf}", "not a usable number"},
		{"a.yaml", "rules:\n  - {id: pitch.least, unit: inch, value: 3}", "line 2: rule pitch.least: unit is mm"},
		{"a.yaml", "rules:\n  - {id: pitch.least, value: 3}\n  - {id: pitch.least, value: 4}", "line 3: rule pitch.least stands twice"},
		{"a.yaml", "rules:\n  - {id: pitch.least, use: folklore}", "line 2: rule pitch.least: no source \"folklore\""},
		{"a.yaml", "rules:\n  - {id: pitch.least, severity: fatal}",
			"line 2: rule pitch.least: severity \"fatal\" is not known; choose from broken"},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{id: x, how: guess}]}", "how \"guess\""},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{id: x, how: root, factor: 2}]}",
			"line 2: rule pitch.least, source 1: how root: missing: of"},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{id: x, how: diameter}]}",
			"line 2: rule pitch.least, source 1: how diameter: missing: factor"},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{id: x, how: table, of: outside, table: class-z, column: spacing}]}",
			"no such table"},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{id: x, how: table, of: outside, table: class-a, column: hold}]}",
			"no column \"hold\""},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{id: x, how: constant, value: 2, certainty: sure}]}", "certainty \"sure\""},
		{"a.yaml", "rules:\n  - {id: weld.diameter, use: x, sources: [{id: x, how: diameter, factor: 2}]}",
			"line 2: rule weld.diameter, source x: a weld diameter cannot follow from itself"},
		{"a.yaml", "rules:\n  - {id: tack.every, value: 90}\n  - id: pitch.wanted\n    sources:\n      - {id: practice, how: constant, " +
			"factor: 32}",
			"line 5: rule pitch.wanted, source 1: how constant: no key \"factor\" here"},
		{"a.yaml", "rules:\n  - {id: pitch.wanted, factor: 32}", "line 2: rule pitch.wanted: no key \"factor\" here"},
		{"a.yaml", "rules:\n  - {id: pitch.wanted, value: 0}", "line 2: rule pitch.wanted: a value of 0 would switch the rule off"},
		{"a.yaml", "rules:\n  - {id: pitch.wanted, value: 0.0}", "line 2: rule pitch.wanted: a value of 0"},
		{"a.yaml", "rules:\n  - {id: pitch.wanted, sources: [{id: practice, how: constant, value: 0}]}", "value is 0: write one above zero"},
		{"a.yaml", "rules:\n  - {value: 4}", "line 2: rule 1: missing: id"},
		{"a.yaml", "rules:\n  - {id: reach.tack, value: 4}", "line 2: rule reach.tack has no limit of its own"},
		{"a.json", "{\"rules\": [\n{\"id\": \"pitch.wanted\",\n\"sources\": [{\"id\": \"x\", \"how\": \"root\", \"of\": \"thinnest\", " +
			"\"value\": 3}]}]}",
			"line 3: rule pitch.wanted, source 1: how root: no key \"value\" here"},
		{"a.toml", "[[rules]]\nid = \"tack.every\"\nvalue = 90.0\n[[rules]]\nid = \"pitch.wanted\"\n[[rules.sources]]\nid = \"x\"\nhow = " +
			"\"constant\"\n",
			"line 6: rule pitch.wanted, source 1: how constant: missing: value"},
		{"a.yaml", "rules:\n  - {id: pitch.least, sources: [{how: constant, value: 2}]}", "line 2: rule pitch.least, source : name"},
		{"a.yaml", "rules:\n  - id: pitch.least\n    use: 3", "line 2: rule pitch.least: use is 3: write text"},
		{"a.yaml", "rules:\n  - id: pitch.least\n    sources: ten", "line 2: rule pitch.least: sources is \"ten\": write a list"},
		{"a.yaml", "rules:\n  - id: pitch.least\n    sources:\n      - ten", "line 4: rule pitch.least, source 1 is no source"},
		{"a.yaml", "rules:\n  - id: pitch.least\n    value: [3]", "line 2: rule pitch.least: value is a list: write one value"},
		{"a.yaml", "rules:\n  - id: pitch.least\n    value: true", "line 2: rule pitch.least: value is true: write a number"},
		{"a.yaml", "rules:\n  - id: pitch.least\n    sources:\n      - {id: ten-t, how: constant, value: 2}\n" +
			"      - {id: x, how: table, of: outside, table: class-a, column: hold}",
			"line 5: rule pitch.least, source x: table class-a has no column"},
		{"a.json", "{\n\"rules\": [\n{\"id\": \"pitch.wanted\", \"value\": \"3\"}]}", "line 3: rule pitch.wanted: value is \"3\""},
		{"a.toml", "[[rules]]\nid = \"tack.every\"\n[[rules]]\nid = \"pitch.wanted\"\nvalue = \"3\"\n", "line 3: rule pitch.wanted: value"},
		{"a.toml", "[[rules]]\nid = \"tack.every\"\n[other]\nx = 1\n", "line 3: no key \"other\" here"},
	} {
		path := write(t, c.name, c.text)
		_, _, err := ReadBook(path, 0)
		if err == nil || !said.Has(err, c.want) || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(),
			c.name) {
			t.Errorf("%q: %v, want %q", c.text, err, c.want)
		}
	}
	if _, _, err := ReadBook("testdata/none.yaml", 0); err == nil {
		t.Error("a missing file was read")
	}
}

// The template is a book that changes nothing, and each line that it offers can be taken.
func TestTemplate(t *testing.T) {
	text := string(Template())
	book, err := laidOver([]byte(text), "works.yaml")
	if err != nil || !reflect.DeepEqual(book, Book()) {
		t.Fatalf("%v: the template changes the book", err)
	}
	for _, r := range Book() {
		if !strings.Contains(text, "\n  - id: "+r.ID+"\n") || !strings.Contains(text, r.Sentence) {
			t.Errorf("%s is not offered", r.ID)
		}
	}
	taken := strings.NewReplacer("    # value: \n", "    value: 7\n", "    # severity", "    severity", "    # remedy",
		"    remedy").Replace(text)
	book, err = laidOver([]byte(taken), "works.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range book {
		if r.Limited() && (r.InForce().Value != 7 || r.From != FromWorks) {
			t.Errorf("%+v", r)
		}
	}
}

// What rules prints for two rows is what check holds them to: the width for one, and the rows' distance.
func TestWidthForTwoRows(t *testing.T) {
	s := sheets(0.9, 0.9)
	value := func(id string) float64 {
		l, err := Book().EvaluateGiven(id, s, Given{Face: 5})
		if err != nil {
			t.Fatal(err)
		}
		return l.Value
	}
	if got, want := value("row.width.least"), value("flange.width.least")+value("row.staggered.least"); !(math.Abs(got-want) <= 1e-12) {
		t.Errorf("%g, want %g", got, want)
	}
}

func FuzzBook(f *testing.F) {
	f.Add([]byte("rules:\n  - {id: pitch.wanted, value: 32}\n"), "yaml")
	f.Add([]byte(`{"rules": [{"id": "edge.least", "use": "clear-3"}]}`), "json")
	f.Add([]byte("[[rules]]\nid = \"tack.every\"\nvalue = 1\n"), "toml")
	f.Add(bookText, "yaml")
	f.Fuzz(func(t *testing.T, text []byte, format string) {
		over, err := parseBook(text, format, true)
		if err != nil {
			return
		}
		book, err := Book().With(over)
		if err != nil {
			return
		}
		// Whatever book is taken, every rule of it can be worked out.
		if _, err := Explain(sheets(0.9, 1.2, 0.8), Options{Book: book}); err != nil {
			t.Fatal(err)
		}
	})
}

// A works' book is read within a bound, which the caller may set.
func TestReadBookWithin(t *testing.T) {
	file := filepath.Join(t.TempDir(), "works.yaml")
	text := "rules: [{id: tack.every, value: 120}]\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, most := range []int64{0, int64(len(text))} {
		if _, sum, err := ReadBook(file, most); err != nil || sum.Size != int64(len(text)) {
			t.Errorf("most %d: %v, %d bytes", most, err, sum.Size)
		}
	}
	if _, _, err := ReadBook(file, int64(len(text))-1); err == nil || !strings.Contains(err.Error(), "allow more") {
		t.Errorf("one byte too many: %v", err)
	}
}
