package shellfile

import (
	"fmt"
	"maps"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"seamwright/seams/document"
	"seamwright/seams/shell"
	"seamwright/seams/spelling"

	"github.com/go-viper/mapstructure/v2"
	"go.yaml.in/yaml/v3"
)

// variablePrefix begins the name of every environment variable that stands above the shell file.
const variablePrefix = "SEAMWRIGHT_"

// scalarKeys lists the keys outside lists: those that an environment variable can set.
func scalarKeys() []string {
	var out []string
	for _, k := range shell.Keys() {
		if !strings.Contains(k.Name, "[]") {
			out = append(out, k.Name)
		}
	}
	return out
}

// variable is the environment variable of a key: SEAMWRIGHT_RATES_LABOUR_PER_HOUR for rates.labour_per_hour.
func variable(key string) string {
	return variablePrefix + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
}

// checkEnvironment looks for variables of ours that no key answers to, or whose text does not fit their key. An
// empty variable counts as unset.
func (r *reading) checkEnvironment() {
	keyOf := map[string]string{}
	for _, key := range scalarKeys() {
		keyOf[variable(key)] = key
	}
	for _, entry := range slices.Sorted(slices.Values(os.Environ())) {
		name, value, _ := strings.Cut(entry, "=")
		if !strings.HasPrefix(name, variablePrefix) || value == "" {
			continue
		}
		key, ok := keyOf[name]
		if !ok {
			near := spelling.Nearest(name, slices.Sorted(maps.Keys(keyOf)))
			r.list = append(r.list, Problem{File: "environment", Place: name, What: "no key of the shell file has this name",
				Remedy: "unset it, or write " + near})
			continue
		}
		if _, err := typed(at(reflect.ValueOf(r.sh).Elem(), key).Type(), value); err != nil {
			r.list = append(r.list, Problem{File: "environment", Place: name, What: err.Error(), Remedy: "set it anew or unset it"})
			continue
		}
		r.from[key] = source{"environment", name}
		if _, again := r.overrides[key]; !again {
			r.note("%s: %s by the environment variable %s", key, value, name)
		}
	}
}

// at finds the value under a dotted key outside lists; the key is one of ours.
func at(v reflect.Value, key string) reflect.Value {
	for _, name := range strings.Split(key, ".") {
		v = v.Field(indexOf(v.Type(), name))
	}
	return v
}

func indexOf(t reflect.Type, name string) int {
	for _, f := range shell.Fields(t) {
		if f.Name == name {
			return f.Index
		}
	}
	return -1
}

// typed reads text as a value of type t: a whole number, a number, true or false, or the text itself.
func typed(t reflect.Type, s string) (any, error) {
	if t == reflect.TypeFor[shell.IDList]() {
		return shell.IDList(strings.FieldsFunc(s, func(c rune) bool { return c == ',' || c == ' ' })), nil
	}
	switch t.Kind() {
	case reflect.Int:
		n, err := strconv.ParseInt(strings.TrimSpace(s), 10, 32)
		if err != nil {
			return nil, fmt.Errorf("%s is not a whole number", quote(s))
		}
		return int(n), nil
	case reflect.Float64:
		n, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil {
			return nil, fmt.Errorf("%s is not a number", quote(s))
		}
		return n, nil
	case reflect.Bool:
		switch strings.TrimSpace(s) {
		case "true":
			return true, nil
		case "false":
			return false, nil
		}
		return nil, fmt.Errorf("%s is neither true nor false", quote(s))
	}
	return s, nil
}

// override lays the overrides over file and environment, in the order of their keys.
func (r *reading) override() {
	for _, key := range slices.Sorted(maps.Keys(r.overrides)) {
		target, place, err := reach(reflect.ValueOf(r.sh).Elem(), key)
		if err == nil {
			var value reflect.Value
			var list any
			if value, list, err = stated(target.Type(), r.overrides[key]); err == nil {
				target.Set(value)
				maps.DeleteFunc(r.lines, func(p string, _ int) bool { return strings.HasPrefix(p, place+"[") }) // of the list that was there
				r.states(place, key, list)
				r.note("%s: %s by an override", key, shorten(r.overrides[key]))
				continue
			}
		}
		what, remedy, _ := strings.Cut(err.Error(), "; ")
		if remedy == "" {
			remedy = "write " + wanted(target.Type()).String()
		}
		r.list = append(r.list, Problem{File: "override", Place: shorten(key), What: what, Remedy: remedy})
	}
}

// states notes that a place, and what a list holds below it, has its value from an override.
func (r *reading) states(place, key string, list any) {
	r.from[place] = source{"override", key}
	switch list := list.(type) {
	case []any:
		for i, entry := range list {
			at := fmt.Sprintf("[%d]", i)
			r.states(place+at, key+at, entry)
		}
	case map[string]any:
		for name, entry := range list {
			r.states(place+"."+name, key+"."+name, entry)
		}
	}
}

// stated reads an override's text: a single value, or a list in YAML or JSON, which takes the place of the whole list and is given
// back as it was parsed.
func stated(t reflect.Type, text string) (value reflect.Value, list any, err error) {
	if t == reflect.TypeFor[shell.IDList]() || t.Kind() != reflect.Slice && t.Kind() != reflect.Array {
		single, err := typed(t, text)
		return reflect.ValueOf(single), nil, err
	}
	if err := yaml.Unmarshal([]byte(text), &list); err != nil {
		return reflect.Value{}, nil, fmt.Errorf("%s is no list in YAML or JSON", quote(shorten(text)))
	}
	entries, ok := list.([]any)
	if !ok {
		return reflect.Value{}, nil, fmt.Errorf("%s is no list in YAML or JSON", quote(shorten(text)))
	}
	if t.Kind() == reflect.Array && len(entries) != t.Len() {
		return reflect.Value{}, nil, fmt.Errorf("%s has %d entries; write %d", quote(shorten(text)), len(entries), t.Len())
	}
	out := reflect.New(t)
	d, err := mapstructure.NewDecoder(&mapstructure.DecoderConfig{Result: out.Interface(), ErrorUnused: true,
		DecodeHook: mapstructure.DecodeHookFuncType(shell.Lengthen), MatchName: func(key, field string) bool { return key == field }})
	if err == nil {
		err = d.Decode(entries)
	}
	if err != nil {
		return reflect.Value{}, nil, fmt.Errorf("the list does not fit: %s; write it as in the shell file", misfit(err))
	}
	return out.Elem(), list, nil
}

// misfit is what does not fit, without the decoder's own heading.
func misfit(err error) string {
	_, what, found := strings.Cut(document.OneLine(err.Error()), "error(s):")
	if !found {
		what = document.OneLine(err.Error())
	}
	return strings.ReplaceAll(strings.TrimSpace(what), "; ", ", ")
}

// Value is what stands at a key, as --set names it, in the plain types of JSON: a list of tables with the keys that are not empty.
func Value(sh *shell.Shell, key string) (any, error) {
	v, _, err := reach(reflect.ValueOf(sh).Elem(), key)
	if err != nil {
		return nil, err
	}
	return plain(v), nil
}

func plain(v reflect.Value) any {
	switch v.Kind() {
	case reflect.Slice, reflect.Array:
		out := make([]any, v.Len())
		for i := range out {
			out[i] = plain(v.Index(i))
		}
		return out
	case reflect.Struct:
		out := map[string]any{}
		for _, f := range shell.Fields(v.Type()) {
			if field := v.Field(f.Index); !field.IsZero() {
				out[f.Name] = plain(field)
			}
		}
		return out
	}
	return v.Interface()
}

// reach finds the value that an override's key names, and its place in the file.
func reach(v reflect.Value, key string) (target reflect.Value, place string, err error) {
	rest := key
	for {
		if v.Type() == reflect.TypeFor[shell.IDList]() && rest == "" {
			return v, place, nil
		}
		switch v.Kind() {
		case reflect.Struct:
			if rest == "" {
				return v, "", fmt.Errorf("%s is a table; name one of its keys", quote(key))
			}
			name, after, _ := strings.Cut(rest, ".")
			known := shell.Fields(v.Type())
			i := slices.IndexFunc(known, func(f shell.Field) bool { return f.Name == name })
			if i < 0 {
				return v, "", fmt.Errorf("unknown key %s; the nearest known key is %s", quote(name),
					strings.TrimSuffix(key, rest)+spelling.Nearest(name, names(known)))
			}
			v, place, rest = v.Field(known[i].Index), shell.Join(place, name), after
		case reflect.Slice:
			if rest == "" {
				return v, place, nil
			}
			i, after, err := byID(v, place, rest)
			if err != nil {
				return v, "", err
			}
			v, place, rest = v.Index(i), fmt.Sprintf("%s[%d]", place, i), after
			if rest == "id" {
				return v, "", fmt.Errorf("an id cannot be overridden; change it in the file")
			}
		case reflect.Array:
			if rest != "" {
				return v, "", fmt.Errorf("%s is a list of numbers and has no key %s; write %s", place, quote(rest), strings.TrimSuffix(key, "."+rest))
			}
			return v, place, nil
		default:
			if rest != "" {
				return v, "", fmt.Errorf("%s is a single value and has no key %s; write %s", place, quote(rest), strings.TrimSuffix(key, "."+rest))
			}
			return v, place, nil
		}
	}
}

// byID finds the entry of a list whose id begins rest. Ids may hold dots, so the longest that fits counts.
func byID(v reflect.Value, place, rest string) (index int, after string, err error) {
	id := -1
	if v.Type().Elem().Kind() == reflect.Struct {
		id = indexOf(v.Type().Elem(), "id")
	}
	if id < 0 {
		return 0, "", fmt.Errorf("%s is a list without ids; write the whole list", place)
	}
	index = -1
	var known []string
	longest := 0
	for i := range v.Len() {
		own := v.Index(i).Field(id).String()
		known = append(known, own)
		if tail, ok := strings.CutPrefix(rest, own+"."); ok && own != "" && len(own) > longest {
			index, after, longest = i, tail, len(own)
		}
	}
	if index >= 0 {
		return index, after, nil
	}
	if slices.Contains(known, rest) {
		return 0, "", fmt.Errorf("%s is a table; name one of its keys", quote(rest))
	}
	name, _, _ := strings.Cut(rest, ".")
	if near := spelling.Nearest(name, known); near != "" {
		return 0, "", fmt.Errorf("%s has no id %s followed by a key; the nearest id is %s", place, quote(name), near)
	}
	return 0, "", fmt.Errorf("%s has no entries; add one to the file first", place)
}
