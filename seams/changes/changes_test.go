package changes

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"seamwright/internal/record"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func ExamplePath() {
	fmt.Println(Path("tarn/shell.yaml"), Path("cab.v2.toml"))
	// Output: tarn/shell.changes.yaml cab.v2.changes.yaml
}

func TestRead(t *testing.T) {
	shell := filepath.Join(t.TempDir(), "shell.yaml")
	if c, err := Read(shell); err != nil || len(c.Set) != 0 || c.Version != "" {
		t.Fatalf("no file: %+v, %v", c, err)
	}
	text := "set:\n  - {key: batch, to: \"12\", was: \"24\"}\n"
	if err := os.WriteFile(Path(shell), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	c, err := Read(shell)
	if err != nil || !reflect.DeepEqual(c.Set, []Change{{"batch", "12", "24"}}) || len(c.Version) != 64 || c.Overrides()["batch"] != "12" {
		t.Errorf("%+v, %v", c, err)
	}
}

func TestBroken(t *testing.T) {
	said := record.Errors(t)
	for text, want := range map[string]string{
		"set: [{key: a, to: b}, {key: a, to: c}]": "set[1]: a is set twice",
		"set: [{to: b}]":                  "set[0] has no key",
		"sets: []":                        "is no file of changes (yaml: unmarshal errors:   line 1: field sets not found",
		"set: [{key: a, to: b, then: c}]": "field then not found",
		"\x00":                            "is no file of changes",
		strings.Repeat("#", mostBytes+1):  "is larger than",
	} {
		if _, err := Parse([]byte(text)); err == nil || !said.Has(err, want) {
			t.Errorf("%.40q: %v, want %s", text, err, want)
		}
	}
}

// What is written is read back the same.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOfDistinct(rapid.StringMatching(`[a-z][a-z0-9._-]{0,20}`), func(s string) string { return s }).Draw(t, "keys")
		c := Changes{}
		for _, k := range keys {
			c.Set = append(c.Set, Change{k, rapid.StringMatching(`[ -~äöüß]{0,20}`).Draw(t, "to"), rapid.StringMatching(`[ -~]{0,9}`).Draw(t,
				"was")})
		}
		text, err := c.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		got, err := Parse(text)
		if err != nil || len(got.Set) != len(c.Set) || len(c.Set) > 0 && !reflect.DeepEqual(got.Set, c.Set) {
			t.Fatalf("%v\n%s\n%+v", err, text, got)
		}
	})
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("set:\n  - {key: batch, to: \"12\", was: \"24\"}\n"))
	f.Add([]byte("set: [{key: &a b, to: *a}]"))
	f.Add([]byte(""))
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := Parse(text)
		if err != nil {
			return
		}
		again, err := c.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Parse(again); err != nil || len(back.Set) != len(c.Set) {
			t.Fatalf("%v: %s", err, again)
		}
	})
}
