package planfile_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"seamwright/layout"
	"seamwright/layout/planfile"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(planfile.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.DefaultDraft(jsonschema.Draft2020)
	compiler.AssertVocabs()
	if err := compiler.AddResource("plan.schema.json", document); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func validate(t *testing.T, schema *jsonschema.Schema, text string) error {
	t.Helper()
	instance, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return schema.Validate(instance)
}

func TestSchemaAcceptsPlans(t *testing.T) {
	schema := compiled(t)
	for name, p := range map[string]*layout.Plan{"sample": samplePlan(), "empty": {Format: layout.Format}} {
		if err := validate(t, schema, string(written(t, p))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaRefusesBrokenPlans(t *testing.T) {
	schema := compiled(t)
	good := string(written(t, samplePlan()))
	tests := []struct{ name, old, with string }{
		{"unknown member at the top", `"format": 2,`, `"format": 2, "colour": "red",`},
		{"unknown member within", `"gun": "a",`, `"gun": "a", "amps": 9000,`},
		{"missing member", `"format": 2,`, ``},
		{"other format", `"format": 2,`, `"format": 3,`},
		{"point with two numbers", `[180, 0, 0]`, `[180, 0]`},
		{"point with four numbers", `[180, 0, 0]`, `[180, 0, 0, 0]`},
		{"word that is not allowed", `"severity": "broken"`, `"severity": "fatal"`},
		{"null list", `"notes": []`, `"notes": null`},
		{"text for a number", `"triangles": 2,`, `"triangles": "2",`},
		{"part of a triangle", `"triangles": 2,`, `"triangles": 2.5,`},
		{"negative count", `"triangles": 2,`, `"triangles": -2,`},
	}
	for _, test := range tests {
		broken := strings.Replace(good, test.old, test.with, 1)
		if broken == good {
			t.Errorf("%s: the sample has no %s", test.name, test.old)
			continue
		}
		if validate(t, schema, broken) == nil {
			t.Errorf("%s: accepted", test.name)
		}
	}
}

// Every object of the schema is closed: a misspelt member cannot slip through anywhere.
func TestSchemaIsClosedEverywhere(t *testing.T) {
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(planfile.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	objects := 0
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, item := range v {
				walk(item)
			}
		case map[string]any:
			if v["type"] == "object" {
				objects++
				if v["additionalProperties"] != false {
					t.Errorf("open object: %v", v)
				}
			}
			for _, item := range v {
				walk(item)
			}
		}
	}
	walk(document)
	if types := len(planTypes()); objects != types {
		t.Errorf("%d objects in the schema, %d structs in the plan", objects, types)
	}
}

// Every member of the plan has its meaning in the schema, and every number its unit.
func TestSchemaDescribesEveryMember(t *testing.T) {
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(planfile.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	root := document.(map[string]any)
	definitions := root["$defs"].(map[string]any)
	for _, kind := range planTypes() {
		object := root
		if kind.Name() != "Plan" {
			object = definitions[kind.Name()].(map[string]any)
		}
		properties := object["properties"].(map[string]any)
		if len(properties) != kind.NumField() {
			t.Errorf("%s: %d properties for %d fields", kind.Name(), len(properties), kind.NumField())
		}
		for i := range kind.NumField() {
			name, _, _ := strings.Cut(kind.Field(i).Tag.Get("json"), ",")
			property := properties[name].(map[string]any)
			text, _ := property["description"].(string)
			if text == "" {
				t.Errorf("%s.%s has no description: add a tag about", kind.Name(), kind.Field(i).Name)
			}
			if kind.Field(i).Type.Kind() == reflect.Float64 && !strings.Contains(text, "(") {
				t.Errorf("%s.%s has no unit: %q", kind.Name(), kind.Field(i).Name, text)
			}
		}
	}
}

// planTypes are the structs that a plan is made of.
func planTypes() []reflect.Type {
	var found []reflect.Type
	seen := map[reflect.Type]bool{}
	var walk func(reflect.Type)
	walk = func(t reflect.Type) {
		switch {
		case t.Kind() == reflect.Slice || t.Kind() == reflect.Array:
			walk(t.Elem())
		case t.Kind() == reflect.Struct && !seen[t]:
			seen[t] = true
			found = append(found, t)
			for i := range t.NumField() {
				walk(t.Field(i).Type)
			}
		}
	}
	walk(reflect.TypeFor[layout.Plan]())
	return found
}
