package rule

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"seamwright/seams/spelling"
)

// keysOf are the keys that a source needs and may have beside those that all may have, by how it gives its value.
var keysOf = map[How]struct{ needs, may []string }{
	Constant:  {[]string{"value"}, nil},
	Root:      {[]string{"factor", "of"}, nil},
	Multiple:  {[]string{"factor", "of"}, nil},
	Diameters: {[]string{"factor"}, nil},
	FromTable: {[]string{"table", "column", "of"}, nil},
	Buckling:  {[]string{"factor", "value", "of"}, []string{"inelastic"}},
	Across:    {nil, nil},
	AcrossTwo: {nil, nil},
	Seen:      {nil, []string{"note"}},
}

var (
	ruleKeys   = []string{"id", "title", "unit", "sentence", "severity", "remedy", "use", "sources", "value"}
	sourceKeys = []string{"id", "how", "plus", "three_sheets", "least", "greatest", "source", "certainty"}
)

// strict checks the keys of a works' book as they stand in the file: each known, each that its place needs, and none that
// would do nothing there. An error names the line.
func strict(rules []any, lines lines) error {
	for n, one := range rules {
		r, ok := one.(map[string]any)
		if !ok {
			return fmt.Errorf("%srule %d is no rule: write its id and what changes", lines.rule(n), n+1)
		}
		id, _ := r["id"].(string)
		if id == "" {
			return fmt.Errorf("%srule %d: missing: id; name the rule that changes", lines.rule(n), n+1)
		}
		if err := known(r, ruleKeys); err != nil {
			return fmt.Errorf("%srule %s: %w", lines.rule(n), id, err)
		}
		if err := typed(r); err != nil {
			return fmt.Errorf("%srule %s: %w", lines.rule(n), id, err)
		}
		if v, stands := r["value"]; stands && isZero(v) {
			return fmt.Errorf("%srule %s: a value of 0 would switch the rule off: write one above zero, or change its severity", lines.rule(n), id)
		}
		sources, _ := r["sources"].([]any)
		for k, x := range sources {
			s, ok := x.(map[string]any)
			if !ok {
				return fmt.Errorf("%srule %s, source %d is no source: write its id, how and figures", lines.source(n, k), id, k+1)
			}
			err := typed(s)
			if err == nil {
				err = strictSource(s)
			}
			if err != nil {
				return fmt.Errorf("%srule %s, source %d: %w", lines.source(n, k), id, k+1, err)
			}
		}
	}
	return nil
}

func strictSource(s map[string]any) error {
	how, _ := s["how"].(string)
	keys, ok := keysOf[How(how)]
	if !ok {
		return nil // validate says so
	}
	if err := known(s, slices.Concat(sourceKeys, keys.needs, keys.may)); err != nil {
		return fmt.Errorf("how %s: %w", how, err)
	}
	for _, key := range keys.needs {
		v, stands := s[key]
		if !stands {
			return fmt.Errorf("how %s: missing: %s", how, key)
		}
		if isZero(v) {
			return fmt.Errorf("how %s: %s is 0: write one above zero", how, key)
		}
	}
	return nil
}

func known(m map[string]any, keys []string) error {
	for _, key := range slices.Sorted(maps.Keys(m)) {
		if !slices.Contains(keys, key) {
			return fmt.Errorf("no key %q here; the nearest is %s", key, spelling.Nearest(key, keys))
		}
	}
	return nil
}

// numberKeys are the keys that hold a number; sources hold a list, all others text.
var numberKeys = []string{"value", "factor", "plus", "three_sheets", "least", "greatest"}

// typed checks that each key holds what it is for: a number, text, or a list.
func typed(m map[string]any) error {
	for _, key := range slices.Sorted(maps.Keys(m)) {
		switch v := m[key].(type) {
		case string:
			if slices.Contains(numberKeys, key) {
				return fmt.Errorf("%s is %q: write a number, without quotes", key, v)
			}
			if key == "sources" {
				return fmt.Errorf("sources is %q: write a list", v)
			}
		case int, int64, float64:
			if !slices.Contains(numberKeys, key) {
				return fmt.Errorf("%s is %v: write text, in quotes where it looks like a number", key, v)
			}
		case []any:
			if key != "sources" {
				return fmt.Errorf("%s is a list: write one value", key)
			}
		case nil: // left empty
		default:
			return fmt.Errorf("%s is %v: write a number or text", key, v)
		}
	}
	return nil
}

// fault is what is wrong with one rule of a book, or with one of its sources; a source of -1: with the rule itself.
type fault struct {
	rule, source int
	err          error
}

func (f fault) Error() string { return f.err.Error() }
func (f fault) Unwrap() error { return f.err }

// of is the line of what an error is about, where that is known.
func (l lines) of(err error) string {
	var f fault
	if !errors.As(err, &f) {
		return ""
	}
	return l.source(f.rule, f.source)
}

// onlyRules refuses keys beside rules.
func onlyRules(keys []string, text []byte, format string) error {
	for _, key := range slices.Sorted(slices.Values(keys)) {
		if key, _, _ = strings.Cut(key, "."); key != "rules" {
			return fmt.Errorf("%sno key %q here; a book has rules and no more", lineOfKey(key, text, format), key)
		}
	}
	return nil
}

var tomlKey = regexp.MustCompile(`^\s*\[{0,2}\s*([A-Za-z_-]+)`)

// lineOfKey is the line of a key at the top of a file that parses. Keys are read without regard to capitals.
func lineOfKey(key string, text []byte, format string) string {
	if format == "toml" {
		for i, line := range strings.Split(string(text), "\n") {
			if m := tomlKey.FindStringSubmatch(line); m != nil && strings.EqualFold(m[1], key) {
				return fmt.Sprintf("line %d: ", i+1)
			}
		}
		return ""
	}
	var file yaml.Node
	if err := yaml.Unmarshal(text, &file); err != nil || len(file.Content) == 0 {
		return ""
	}
	for k := 0; k+1 < len(file.Content[0].Content); k += 2 {
		if at := file.Content[0].Content[k]; strings.EqualFold(at.Value, key) {
			return fmt.Sprintf("line %d: ", at.Line)
		}
	}
	return ""
}

func isZero(v any) bool {
	switch x := v.(type) {
	case int:
		return x == 0
	case float64:
		return x == 0
	}
	return false
}

// lines says where the rules of a file stand, and their sources; nothing where that is not known.
type lines [][]int // of each rule its line, then those of its sources

func (l lines) rule(n int) string { return l.source(n, -1) }

func (l lines) source(n, k int) string {
	if n >= len(l) || len(l[n]) == 0 {
		return ""
	}
	return fmt.Sprintf("line %d: ", l[n][min(k+1, len(l[n])-1)])
}

var tomlRule = regexp.MustCompile(`^\s*\[\[\s*rules(\.sources)?\s*\]\]`)

// linesOf finds the lines of rules in a file that parses.
func linesOf(text []byte, format string) lines {
	if format == "toml" {
		var out lines
		for i, line := range strings.Split(string(text), "\n") {
			switch m := tomlRule.FindStringSubmatch(line); {
			case m == nil:
			case m[1] == "":
				out = append(out, []int{i + 1})
			case len(out) > 0:
				out[len(out)-1] = append(out[len(out)-1], i+1)
			}
		}
		return out
	}
	var file struct {
		Rules []yaml.Node `yaml:"rules"`
	}
	if err := yaml.Unmarshal(text, &file); err != nil {
		return nil
	}
	out := make(lines, len(file.Rules))
	for n, r := range file.Rules {
		out[n] = []int{r.Line}
		for k := 0; k+1 < len(r.Content); k += 2 {
			if r.Content[k].Value == "sources" {
				for _, s := range r.Content[k+1].Content {
					out[n] = append(out[n], s.Line)
				}
			}
		}
	}
	return out
}

// switchedOff refuses limits of zero that the default book does not have.
func (r Rules) switchedOff(over Rules) error {
	for n, o := range over {
		rule, _ := r.Find(o.ID)
		was, _ := defaultBook().Find(o.ID)
		if !was.Limited() && (o.Value != 0 || len(o.Sources) > 0) {
			return fault{n, -1, fmt.Errorf("rule %s has no limit of its own: change its severity or remedy", o.ID)}
		}
		if s := rule.InForce(); s.How == Constant && !(s.Value > 0) && was.InForce().Value > 0 {
			return fault{n, -1, fmt.Errorf("rule %s: a limit of %g would switch it off: write one above zero", o.ID, s.Value)}
		}
	}
	return nil
}

// Template is a works' book that changes nothing yet: every rule of the default book with its sentence, its sources, and
// what may be changed behind a #.
func Template() []byte {
	var b strings.Builder
	b.WriteString("# Rule book of the works. It lies over the program's own: what is left out stays as it is. Take the # off a line that\n" +
		"# is to change, and name the file in the shell file:  rules: {book: works.yaml}\n" +
		"# value: a figure of the works' own, in the rule's unit.  use: another of the sources listed.  severity: broken, doubt or\n" +
		"# note.  remedy: what to do about it. A formula of the works' own goes under sources:\n" +
		"#   sources: [{id: trial, how: diameter, factor: 1.5, source: works' trial 7, certainty: stated}]\n" +
		"rules:\n")
	for _, r := range Book() {
		fmt.Fprintf(&b, "\n  # %s%s. %s\n", r.Title, bracketed(r.Unit), r.Sentence)
		for _, s := range r.Sources {
			fmt.Fprintf(&b, "  #   %s: %s (%s, %s)\n", s.ID, s.Formula(r.Unit), s.Source, s.Certainty)
		}
		fmt.Fprintf(&b, "  - id: %s\n", r.ID)
		if r.Limited() {
			fmt.Fprintf(&b, "    # value: \n    # use: %s\n", r.Use)
		}
		if r.Severity != "" {
			fmt.Fprintf(&b, "    # severity: %s\n", r.Severity)
		}
		if r.Remedy != "" {
			fmt.Fprintf(&b, "    # remedy: %q\n", r.Remedy)
		}
	}
	return []byte(b.String())
}

func bracketed(unit string) string {
	if unit == "" {
		return ""
	}
	return " (" + unit + ")"
}
