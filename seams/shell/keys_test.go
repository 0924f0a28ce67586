package shell

import (
	"flag"
	"fmt"
	"io"
	"math"
	"reflect"
	"strings"
	"testing"

	"seamwright/internal/record"
)

// leafKeys lists every key of the Shell type that holds a value, with its type.
func leafKeys(t reflect.Type, key string, out map[string]reflect.Type) {
	for _, f := range Fields(t) {
		name := Join(key, f.Name)
		switch {
		case f.Type.Kind() == reflect.Struct:
			leafKeys(f.Type, name, out)
		case f.Type.Kind() == reflect.Slice && f.Type.Elem().Kind() == reflect.Struct:
			leafKeys(f.Type.Elem(), name+"[]", out)
		default:
			out[name] = f.Type
		}
	}
}

// The table and the Shell type hold the same keys; each number has bounds that its default keeps; each default has
// a source.
func TestKeysMatchTheType(t *testing.T) {
	typed := map[string]reflect.Type{}
	leafKeys(reflect.TypeFor[Shell](), "", typed)
	seen := map[string]bool{}
	for _, k := range Keys() {
		typ, ok := typed[k.Name]
		if !ok || seen[k.Name] {
			t.Errorf("%s: no key of the Shell type, or twice in the table", k.Name)
			continue
		}
		seen[k.Name] = true
		if k.Meaning == "" || strings.Contains(k.Meaning, "|") {
			t.Errorf("%s: meaning %q", k.Name, k.Meaning)
		}
		checkKey(t, k, typ)
	}
	for name := range typed {
		if !seen[name] {
			t.Errorf("%s: no row in the table of keys: add its meaning, unit, bounds and default", name)
		}
	}
}

func checkKey(t *testing.T, k Key, typ reflect.Type) {
	t.Helper()
	for typ.Kind() == reflect.Slice || typ.Kind() == reflect.Array {
		typ = typ.Elem()
	}
	numeric := typ.Kind() == reflect.Int || typ.Kind() == reflect.Float64
	if numeric != (k.Least < k.Greatest) {
		t.Errorf("%s: bounds %g to %g", k.Name, k.Least, k.Greatest)
	}
	suffixes := map[string]string{"_mm": "mm", "_mpa": "MPa", "_kg": "kg", "_deg": "degrees", "_min": "min", "_n": "N", "_n_per_mm": "N/mm",
		"_kva": "kVA",
		"_m":   "m", "_m_per_min": "m/min", "_l_per_min": "l/min", "_hz": "Hz", "_pct": "%", "_s": "s", "_mm_per_s": "mm/s",
		"_per_kg_s": "s/kg", "_per_kg": "money",
		"_s_per_m": "s/m"}
	longest, unit := "", ""
	for suffix, u := range suffixes {
		if strings.HasSuffix(k.Name, suffix) && len(suffix) > len(longest) {
			longest, unit = suffix, u
		}
	}
	if numeric && unit != "" && k.Unit != unit {
		t.Errorf("%s: the unit is %q", k.Name, k.Unit)
	}
	if k.Default == nil {
		return
	}
	if k.Source == "" || k.Required {
		t.Errorf("%s: a default of %v, source %q, required %v", k.Name, k.Default, k.Source, k.Required)
	}
	if reflect.TypeOf(k.Default) != typ {
		t.Errorf("%s: a default of type %T for %s", k.Name, k.Default, typ)
	}
	if numeric {
		n := reflect.ValueOf(k.Default).Convert(reflect.TypeFor[float64]()).Float()
		if n < k.Least || n > k.Greatest || math.IsNaN(n) {
			t.Errorf("%s: the default %g is out of its own bounds", k.Name, n)
		}
	}
}

var _ = flag.Bool("update", false, "write KEYS.md anew")

func TestWriteKeys(t *testing.T) {
	var b strings.Builder
	if err := writeKeys(&b); err != nil {
		t.Fatal(err)
	}
	record.Hold(t, "KEYS.md", b.String())
	if n := strings.Count(b.String(), "\n| `"); n != len(Keys()) {
		t.Errorf("%d rows for %d keys", n, len(Keys()))
	}
}

// writeKeys prints the table as a page of Markdown.
func writeKeys(w io.Writer) error {
	var b strings.Builder
	b.WriteString("# Keys of the shell file\n\nMade from the table that the program reads by; `seamwright keys` prints it, " +
		"`seamwright keys --schema` writes\na JSON Schema for editors. `[]` stands behind a list: `steels[].id` is the id of each entry " +
		"of `steels`.\n\n")
	b.WriteString("| key | meaning | may be | left out | source of the default | example |\n|---|---|---|---|---|---|\n")
	for _, k := range Keys() {
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s | `%s` |\n", k.Name, k.Meaning, k.MayBe(), k.LeftOut(), k.Source, k.Example())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// What a spread is stated for has a name of its own, short enough to stand before a bar.
func TestSpreadNames(t *testing.T) {
	seen := map[string]string{}
	for _, id := range SpreadIDs() {
		name := SpreadName(id)
		if name == id || len(name) > 44 || seen[name] != "" {
			t.Errorf("%s is called %q, as is %q", id, name, seen[name])
		}
		seen[name] = id
	}
	if name := SpreadName("none"); name != "none" {
		t.Errorf("what is unknown is called %q", name)
	}
}
