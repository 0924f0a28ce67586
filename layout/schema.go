package layout

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
)

// Schema is the JSON Schema (draft 2020-12) of plan.json: every member with its meaning and unit, and no member
// besides. It is made from the Go types and the table of fields, so it cannot fall behind them.
func Schema() []byte {
	b := schemaBuilder{fields: fields(), defs: members{}, done: map[reflect.Type]bool{}}
	root := b.object(reflect.TypeFor[Plan]())
	schema := members{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"$id", "urn:seamwright:plan:2"},
		{"title", "seamwright plan"},
		{"description", "Everything decided about one body shell. Lengths in mm in the shell's frame, forces in N, times in s or min as the " +
			"member says, angles in degrees, money in the currency of cost.currency."},
	}
	schema = append(schema, root...)
	schema = append(schema, member{"$defs", b.defs})
	text, err := marshal(schema)
	if err != nil {
		panic("layout: schema: " + err.Error()) // only strings, numbers and lists: cannot happen
	}
	return text
}

// members is a JSON object that keeps its order.
type members []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in order.
func (m members) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	out.WriteByte('{')
	for i, e := range m {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := encoder.Encode(e.name); err != nil {
			return nil, err
		}
		out.WriteByte(':')
		if err := encoder.Encode(e.value); err != nil {
			return nil, err
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

type schemaBuilder struct {
	fields map[string]field
	defs   members
	done   map[reflect.Type]bool
}

// object describes a struct: its members in order, those that are always there, and nothing else.
func (b *schemaBuilder) object(t reflect.Type) members {
	var properties members
	var required []string
	for i := range t.NumField() {
		f := t.Field(i)
		about := b.fields[t.Name()+"."+f.Name]
		properties = append(properties, member{jsonName(f), b.property(f.Type, t.Name()+"."+f.Name, about)})
		if !strings.Contains(f.Tag.Get("json"), ",omitempty") {
			required = append(required, jsonName(f))
		}
	}
	return members{{"type", "object"}, {"additionalProperties", false}, {"required", required}, {"properties", properties}}
}

// property describes one member.
func (b *schemaBuilder) property(t reflect.Type, name string, about field) members {
	text := about.text
	if about.unit != none {
		text += " (" + string(about.unit) + ")"
	}
	p := members{{"description", text}}
	if name == "Plan.Format" {
		return append(p, member{"const", Format})
	}
	if may := words(t); may != nil {
		return append(p, member{"enum", may})
	}
	return append(p, b.kind(t)...)
}

// kind describes a type; structs and points become definitions.
func (b *schemaBuilder) kind(t reflect.Type) members {
	switch t.Kind() {
	case reflect.Bool:
		return members{{"type", "boolean"}}
	case reflect.Int:
		return members{{"type", "integer"}, {"minimum", 0}}
	case reflect.Float64:
		return members{{"type", "number"}}
	case reflect.String:
		return members{{"type", "string"}}
	case reflect.Slice:
		return members{{"type", "array"}, {"items", b.kind(t.Elem())}}
	}
	b.define(t)
	if t.Name() == "" { // an array without a name of its own
		return b.tuple(t)
	}
	return members{{"$ref", "#/$defs/" + t.Name()}}
}

// define adds a named type to the definitions, once.
func (b *schemaBuilder) define(t reflect.Type) {
	if b.done[t] || t.Name() == "" {
		return
	}
	b.done[t] = true
	at := len(b.defs)
	b.defs = append(b.defs, member{name: t.Name()}) // holds the place, so that definitions stand in the order of their first use
	if t.Kind() == reflect.Array {
		b.defs[at].value = append(members{{"description", "x, y, z"}}, b.tuple(t)...)
		return
	}
	b.defs[at].value = b.object(t)
}

// tuple describes an array of fixed length.
func (b *schemaBuilder) tuple(t reflect.Type) members {
	items := b.kind(t.Elem())
	return members{{"type", "array"}, {"items", items}, {"minItems", t.Len()}, {"maxItems", t.Len()}}
}
