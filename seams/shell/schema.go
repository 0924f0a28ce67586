package shell

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
)

// Schema is a JSON Schema (draft 2020-12) of the shell file, for editors: the same keys, units, bounds and words that Read
// goes by. What Read checks across keys, such as ids that refer to each other, is not in it.
func Schema() ([]byte, error) {
	keys := KeysByName()
	root := objectSchema(reflect.TypeFor[Shell](), "", keys)
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = "Shell file of seamwright"
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(root)
	return b.Bytes(), err
}

// objectSchema is the schema of one table of the file.
func objectSchema(t reflect.Type, at string, keys map[string]Key) map[string]any {
	properties, required := map[string]any{}, []string{}
	for _, f := range Fields(t) {
		name := Join(at, f.Name)
		properties[f.Name] = valueSchema(f.Type, name, keys)
		if keys[name].Required {
			required = append(required, f.Name)
		}
	}
	out := map[string]any{"type": "object", "additionalProperties": false, "properties": properties}
	if len(required) > 0 {
		out["required"] = required
	}
	return out
}

func valueSchema(t reflect.Type, name string, keys map[string]Key) map[string]any {
	switch {
	case t.Kind() == reflect.Struct:
		return objectSchema(t, name, keys)
	case t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.Struct:
		items := objectSchema(t.Elem(), name+"[]", keys)
		if BareID(t.Elem()) {
			items["type"] = []string{"string", "object"}
		}
		return map[string]any{"type": "array", "items": items}
	}
	k := keys[name]
	out := map[string]any{"description": inWords(k)}
	if k.Default != nil {
		out["default"] = k.Default
	}
	switch t.Kind() {
	case reflect.Slice:
		out["type"], out["items"] = "array", scalarSchema(t.Elem(), k)
		if t == reflect.TypeFor[IDList]() {
			out["type"] = []string{"string", "array"}
		}
	case reflect.Array:
		out["type"], out["items"] = "array", scalarSchema(t.Elem(), k)
		out["minItems"], out["maxItems"] = t.Len(), t.Len()
	default:
		for what, v := range scalarSchema(t, k) {
			out[what] = v
		}
	}
	return out
}

// scalarSchema is the schema of one value. The program takes an empty text for one that is left out.
func scalarSchema(t reflect.Type, k Key) map[string]any {
	switch t.Kind() {
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Int:
		return bounded("integer", k)
	case reflect.Float64:
		return bounded("number", k)
	}
	if len(k.Words) > 0 {
		return map[string]any{"type": "string", "enum": k.Words}
	}
	return map[string]any{"type": "string"}
}

func bounded(kind string, k Key) map[string]any {
	within := map[string]any{"type": kind, "minimum": k.Least, "maximum": k.Greatest}
	if k.OrZero && k.Least > 0 {
		return map[string]any{"anyOf": []any{map[string]any{"const": 0}, within}}
	}
	return within
}

// inWords is the meaning with the unit and where the default comes from.
func inWords(k Key) string {
	parts := []string{k.Meaning}
	if k.Unit != "" {
		parts = append(parts, k.Unit)
	}
	if k.Source != "" {
		parts = append(parts, "default: "+k.Source)
	}
	return strings.Join(parts, "; ")
}
