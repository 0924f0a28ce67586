package shell

import "reflect"

// Field is one key of a table and the type that it is read into.
type Field struct {
	Name  string
	Index int
	Type  reflect.Type
}

// Fields lists the keys of a struct in the order of its declaration.
func Fields(t reflect.Type) []Field {
	var out []Field
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("mapstructure"); name != "" && name != "-" {
			out = append(out, Field{name, i, t.Field(i).Type})
		}
	}
	return out
}

// Join is the place of a key within a table.
func Join(place, key string) string {
	if place == "" {
		return key
	}
	return place + "." + key
}
