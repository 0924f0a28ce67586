package shell

import (
	"fmt"
	"reflect"
)

// Leaf is one value of a shell with its place in the file and its key in the table.
type Leaf struct {
	Place string // panels[3].place.move_mm
	Key   string // panels[].place.move_mm
	Value reflect.Value
}

// Walk visits every value of a shell in the order of its types: single values, and lists of them as one.
func Walk(v reflect.Value, place, key string, visit func(Leaf)) {
	switch {
	case v.Kind() == reflect.Struct:
		for _, f := range Fields(v.Type()) {
			Walk(v.Field(f.Index), Join(place, f.Name), Join(key, f.Name), visit)
		}
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
		for i := range v.Len() {
			Walk(v.Index(i), fmt.Sprintf("%s[%d]", place, i), key+"[]", visit)
		}
	default:
		visit(Leaf{place, key, v})
	}
}
