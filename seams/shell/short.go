package shell

import "reflect"

// Some values may be written short: a bare id for a list of one, or for the table that has it, with everything else left out.

// BareID says whether a text may stand for a table of this type.
func BareID(t reflect.Type) bool { return t == reflect.TypeFor[AtHand]() }

// Lengthen turns what is written short into what it stands for, for the decoder.
func Lengthen(from, to reflect.Type, data any) (any, error) {
	if from.Kind() == reflect.String && to == reflect.TypeFor[IDList]() {
		return []any{data}, nil
	}
	if from.Kind() == reflect.String && BareID(to) {
		return map[string]any{"id": data}, nil
	}
	return data, nil
}
