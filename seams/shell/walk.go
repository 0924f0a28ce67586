package shell

import (
	"fmt"
	"reflect"
)

// leaf is one value of a shell with its place in the file and its key in the table.
type leaf struct {
	place string // panels[3].place.move_mm
	key   string // panels[].place.move_mm
	value reflect.Value
}

// walk visits every value of a shell in the order of its types: single values, and lists of them as one.
func walk(v reflect.Value, place, key string, visit func(leaf)) {
	switch {
	case v.Kind() == reflect.Struct:
		for _, f := range fields(v.Type()) {
			walk(v.Field(f.index), join(place, f.name), join(key, f.name), visit)
		}
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
		for i := range v.Len() {
			walk(v.Index(i), fmt.Sprintf("%s[%d]", place, i), key+"[]", visit)
		}
	default:
		visit(leaf{place, key, v})
	}
}

func (r *reading) walk(visit func(leaf)) { walk(reflect.ValueOf(r.sh).Elem(), "", "", visit) }
