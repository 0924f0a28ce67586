package shell

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
)

func compiledSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	read, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("shell.json", read); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("shell.json")
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

// asJSON turns YAML into what a JSON reader would have read.
func asJSON(t *testing.T, text string) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	out, err := jsonschema.UnmarshalJSON(bytes.NewReader(again))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The demo's shell file keeps the schema; mistakes that Read finds do not.
func TestSchema(t *testing.T) {
	compiled := compiledSchema(t)
	demo, err := os.ReadFile("../../internal/tarn/shell.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled.Validate(asJSON(t, string(demo))); err != nil {
		t.Errorf("the demo's shell file: %v", err)
	}
	for what, change := range map[string][2]string{
		"a misspelt key":   {"\nbatch: 24", "\nbach: 24"},
		"out of bounds":    {"\nbatch: 24", "\nbatch: 0"},
		"text as a number": {"\nbatch: 24", "\nbatch: many"},
		"no such word":     {"\nunit: mm", "\nunit: ell"},
	} {
		text := strings.Replace(string(demo), change[0], change[1], 1)
		if text == string(demo) {
			t.Errorf("%s: the demo has no %q", what, change[0])
		}
		if err := compiled.Validate(asJSON(t, text)); err == nil {
			t.Errorf("%s passes", what)
		}
	}
	if err := compiled.Validate(asJSON(t, "batch: 3\npanels: []\n")); err == nil {
		t.Error("a shell without a name passes")
	}
}

// Each key's example is YAML that the schema takes for that key.
func TestExamples(t *testing.T) {
	compiled := compiledSchema(t)
	for _, k := range Keys() {
		var v map[string]any
		if err := yaml.Unmarshal([]byte(k.Example()), &v); err != nil || len(v) != 1 {
			t.Errorf("%s: %q: %v", k.Name, k.Example(), err)
			continue
		}
		for _, value := range v {
			if n, ok := value.(float64); ok && k.Default == nil && (n < k.Least || n > k.Greatest || math.IsNaN(n)) {
				t.Errorf("%s: the example %g is out of bounds", k.Name, n)
			}
			if err := compiled.Validate(asJSON(t, nested(t, k.Name, value))); err != nil && !onlyMissing(err) {
				t.Errorf("%s: %s: %v", k.Name, k.Example(), err)
			}
		}
	}
}

// nested is a shell file with nothing but a value at its place.
func nested(t *testing.T, name string, value any) string {
	t.Helper()
	parts := strings.Split(name, ".")
	for i := len(parts) - 1; i >= 0; i-- {
		key, list := strings.CutSuffix(parts[i], "[]")
		if list {
			value = []any{value}
		}
		value = map[string]any{key: value}
	}
	text, err := yaml.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// onlyMissing tells an error that names nothing but keys that are required and not there.
func onlyMissing(err error) bool {
	for line := range strings.Lines(err.Error()) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "- ") && !strings.Contains(line, "missing propert") && !strings.HasSuffix(line, "validation failed") {
			return false
		}
	}
	return true
}
