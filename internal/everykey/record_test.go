package everykey_test

import (
	"crypto/sha256"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the records of what each key changes anew")

// result is a plan and quote: the plan's values by their places, and the sum of all.
type result struct {
	values map[string]any // a number, text, yes or no
	sum    string
}

func resultIn(plan, quote []byte) (result, error) {
	sum := sha256.Sum256(append(slices.Clone(plan), quote...))
	r := result{values: map[string]any{}, sum: fmt.Sprintf("%x", sum[:6])}
	var tree any
	if err := json.Unmarshal(plan, &tree); err != nil {
		return r, err
	}
	r.take("", tree)
	return r, nil
}

func (r result) take(at string, v any) {
	switch v := v.(type) {
	case map[string]any:
		if at != "" {
			at += "."
		}
		for name, of := range v {
			r.take(at+name, of)
		}
	case []any:
		for i, of := range v {
			r.take(at+"["+strconv.Itoa(i)+"]", of)
		}
	case nil:
		r.values[at] = "<nil>"
	default:
		r.values[at] = v
	}
}

// A record is what each value of a key changed, kept as a file: of the first kinds of values how many and one of them, and a sum of the
// whole plan, so that no number of any of these plans changes unnoticed. -update writes it anew: look at the difference.
type record struct {
	file string
	dir  string   // of the works, which is another each time
	was  []string // what is still to come
	line int
	text strings.Builder
}

func recordOf(t *testing.T, name, dir string) *record {
	r := &record{file: "testdata/" + name + "-record.txt", dir: dir}
	text, err := os.ReadFile(r.file)
	if err != nil && !*update {
		t.Fatal(err)
	}
	r.was = strings.SplitAfter(string(text), "\n")
	return r
}

// say adds a line, and fails where the file has another.
func (r *record) say(t *testing.T, format string, args ...any) {
	t.Helper()
	text := strings.ReplaceAll(fmt.Sprintf(format, args...)+"\n", r.dir+string(filepath.Separator), "")
	r.text.WriteString(text)
	if *update {
		return
	}
	for line := range strings.Lines(text) {
		if r.line == len(r.was) || r.was[r.line] != line {
			t.Fatalf("%s:%d: is\n%s\nwas\n%s\nIf that is right, run go test ./internal/everykey -update and look at the difference", r.file,
				r.line+1,
				line, strings.Join(r.was[r.line:min(r.line+1, len(r.was))], ""))
		}
		r.line++
	}
}

// end ends the record.
func (r *record) end(t *testing.T) {
	t.Helper()
	if *update {
		if err := os.WriteFile(r.file, []byte(r.text.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if r.line < len(r.was)-1 {
		t.Errorf("%s:%d: there is more than was said: %s", r.file, r.line+1, r.was[r.line])
	}
}

// kindsShown is of how many kinds of values one is written out.
const kindsShown = 8

func (r *record) add(t *testing.T, row effect, before, after result, refused error) {
	t.Helper()
	r.say(t, "%s", strings.Join(append([]string{row.at + " = " + row.value}, row.with...), " | "))
	if refused != nil {
		r.say(t, "  refused: %s", refused)
		return
	}
	r.say(t, "  plan %s", after.sum)
	changed := map[string][]string{}
	for at := range before.values {
		if was, is := before.values[at], after.values[at]; was != is && (was != "" || is != nil) { // an empty text counts as none
			kind := kindOf(at)
			changed[kind] = append(changed[kind], at)
		}
	}
	for at := range after.values {
		if _, ok := before.values[at]; !ok {
			kind := kindOf(at)
			changed[kind] = append(changed[kind], at)
		}
	}
	for i, kind := range slices.Sorted(maps.Keys(changed)) {
		if i == kindsShown {
			r.say(t, "  and %d kinds more", len(changed)-kindsShown)
			break
		}
		at := slices.Min(changed[kind])
		r.say(t, "  %d of %s: %s -> %s", len(changed[kind]), at, orNone(before.values[at]), orNone(after.values[at]))
	}
}

// kindOf is a place without its numbers.
func kindOf(at string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(at, "[")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		b.WriteByte('[')
		at = strings.TrimLeft(after, "0123456789")
	}
}

func orNone(value any) string {
	if value == nil || value == "" {
		return "none"
	}
	return fmt.Sprint(value)
}
