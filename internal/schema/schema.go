// Package schema writes a JSON Schema (draft 2020-12) of a Go value as encoding/json writes it. Meaning and unit of a
// member stand in the struct tags about and unit beside its name, so that each is said once:
//
//	Gap float64 `json:"gap" about:"between the sheets" unit:"mm"`
package schema

import (
	"bytes"
	"encoding"
	"encoding/json"
	"reflect"
	"strings"
)

// Options say what the types do not.
type Options struct {
	ID, Title, Description string

	Words  func(reflect.Type) []string // the words that a type of text may hold; nil: any
	Consts map[string]any              // by Type.Field: the only value that it may have
	Strict bool                        // lists are never null, and whole numbers never below 0
}

// Of is the schema of t, a struct or a list of structs: every member with its meaning and unit, and no member besides.
func Of(t reflect.Type, o Options) []byte {
	b := builder{Options: o, names: map[reflect.Type]string{}, taken: map[string]bool{}}
	root := b.root(t)
	schema := members{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"$id", o.ID}, {"title", o.Title}, {"description", o.Description},
	}
	schema = append(schema, root...)
	if len(b.defs) > 0 {
		schema = append(schema, member{"$defs", b.defs})
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(schema); err != nil {
		panic("schema: " + err.Error()) // only strings, numbers and lists: cannot happen
	}
	return out.Bytes()
}

// root describes the whole value.
func (b *builder) root(t reflect.Type) members {
	if t.Kind() == reflect.Struct {
		return b.object(t)
	}
	return b.kind(t)
}

// Name is the member's name in the file; empty: it is not written.
func Name(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	switch {
	case !f.IsExported() || name == "-":
		return ""
	case name == "":
		return f.Name
	}
	return name
}

// Members are the fields that are written as members of the struct's object, those of embedded structs among them.
func Members(t reflect.Type) []reflect.StructField {
	var out []reflect.StructField
	for i := range t.NumField() {
		f := t.Field(i)
		switch {
		case f.Anonymous && f.Tag.Get("json") == "" && f.Type.Kind() == reflect.Struct:
			out = append(out, Members(f.Type)...)
		case Name(f) != "":
			out = append(out, f)
		}
	}
	return out
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

type builder struct {
	Options
	defs  members
	names map[reflect.Type]string // of the definitions
	taken map[string]bool
}

// object describes a struct: its members in order, those that are always there, and nothing else.
func (b *builder) object(t reflect.Type) members {
	var properties members
	required := []string{}
	for _, f := range Members(t) {
		may := strings.Contains(f.Tag.Get("json"), ",omit")
		properties = append(properties, member{Name(f), b.property(f, t.Name()+"."+f.Name, may)})
		if !may {
			required = append(required, Name(f))
		}
	}
	return members{{"type", "object"}, {"additionalProperties", false}, {"required", required}, {"properties", properties}}
}

// property describes one member; one that may be left out is never null.
func (b *builder) property(f reflect.StructField, name string, may bool) members {
	text := f.Tag.Get("about")
	if unit := f.Tag.Get("unit"); unit != "" {
		text += " (" + unit + ")"
	}
	p := members{{"description", text}}
	if value, ok := b.Consts[name]; ok {
		return append(p, member{"const", value})
	}
	t := f.Type
	if may && t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return append(p, b.kind(t)...)
}

// kind describes a type; structs and named arrays become definitions.
func (b *builder) kind(t reflect.Type) members {
	if b.Words != nil {
		if may := b.Words(t); may != nil {
			return members{{"enum", may}}
		}
	}
	if t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) {
		return members{{"type", "string"}}
	}
	switch t.Kind() {
	case reflect.Bool:
		return members{{"type", "boolean"}}
	case reflect.Int, reflect.Int64:
		if b.Strict {
			return members{{"type", "integer"}, {"minimum", 0}}
		}
		return members{{"type", "integer"}}
	case reflect.Uint64:
		return members{{"type", "integer"}, {"minimum", 0}}
	case reflect.Float64:
		return members{{"type", "number"}}
	case reflect.String:
		return members{{"type", "string"}}
	case reflect.Interface:
		return nil
	case reflect.Pointer:
		return members{{"anyOf", []any{b.kind(t.Elem()), members{{"type", "null"}}}}}
	case reflect.Map:
		return b.table(t)
	case reflect.Slice:
		return members{{"type", b.list()}, {"items", b.kind(t.Elem())}}
	case reflect.Array:
		if t.Name() == "" {
			return b.tuple(t)
		}
	case reflect.Struct:
	default:
		panic("schema: no form for " + t.String()) // a fault of the program, seen by the tests
	}
	return members{{"$ref", "#/$defs/" + b.define(t)}}
}

// list is the type of a list: encoding/json writes one that was never made as null.
func (b *builder) list() any {
	if b.Strict {
		return "array"
	}
	return []string{"array", "null"}
}

// table describes a map from words.
func (b *builder) table(t reflect.Type) members {
	return members{{"type", "object"}, {"propertyNames", b.kind(t.Key())}, {"additionalProperties", b.kind(t.Elem())}}
}

// define adds a named type to the definitions, once, and returns its name there: with its package before it where two
// packages have one of that name.
func (b *builder) define(t reflect.Type) string {
	if name, ok := b.names[t]; ok {
		return name
	}
	name := t.Name()
	if b.taken[name] {
		name = t.String()
	}
	b.names[t], b.taken[name] = name, true
	at := len(b.defs)
	b.defs = append(b.defs, member{name: name}) // holds the place, so that definitions stand in the order of their first use
	if t.Kind() == reflect.Array {
		b.defs[at].value = append(members{{"description", "x, y, z"}}, b.tuple(t)...)
	} else {
		b.defs[at].value = b.object(t)
	}
	return name
}

// tuple describes an array of fixed length.
func (b *builder) tuple(t reflect.Type) members {
	return members{{"type", "array"}, {"items", b.kind(t.Elem())}, {"minItems", t.Len()}, {"maxItems", t.Len()}}
}
