package shell

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"seamwright/seams/spelling"
)

// checkStructure compares a file's tree with the Shell type: keys that are unknown or given twice, values of the
// wrong kind. It fills in p.lines on the way.
func checkStructure(root *node, p *problems) {
	if root.kind == nothing || root.kind == table && len(root.pairs) == 0 {
		p.list = append(p.list, Problem{File: p.file, Line: 1, What: "the file is empty",
			Remedy: "write at least name, steels and panels, or let `seamwright new` write a shell file"})
		return
	}
	p.value(reflect.TypeFor[Shell](), root, "")
}

// reject reports a problem at a line that is not yet in p.lines.
func (p *problems) reject(line int, place, what, remedy string) {
	p.list = append(p.list, Problem{File: p.file, Line: line, Place: place, What: what, Remedy: remedy})
}

// value checks one value against the type that it is read into.
func (p *problems) value(t reflect.Type, n *node, place string) {
	if n.kind == nothing && place != "" {
		return // a key without a value counts as left out
	}
	p.lines[place] = n.line
	if n.kind == text && (bareID(t) || t == reflect.TypeFor[IDList]()) {
		return
	}
	want := wanted(t)
	if n.kind != want && !(want == number && n.kind == whole) {
		p.reject(n.line, place, fmt.Sprintf("%s is wanted here, not %s", want, described(n)), remedyFor(want, n))
		return
	}
	switch want {
	case table:
		p.table(t, n, place)
	case list:
		p.items(t, n, place)
	case whole, number:
		p.digits(want, n, place)
	}
}

func (p *problems) table(t reflect.Type, n *node, place string) {
	known := fields(t)
	first := map[string]int{}
	for _, pair := range n.pairs {
		inner := join(place, shorten(pair.key))
		if line, again := first[pair.key]; again {
			p.reject(pair.line, inner, fmt.Sprintf("this key is given twice, first in line %d", line), "keep one of the two")
			continue
		}
		first[pair.key] = pair.line
		i := slices.IndexFunc(known, func(f field) bool { return f.name == pair.key })
		if i < 0 {
			p.reject(pair.line, inner, "unknown key "+quote(pair.key), "the nearest known key is "+spelling.Nearest(pair.key, names(known)))
			continue
		}
		p.value(known[i].typ, pair.value, inner)
		if _, set := p.lines[inner]; set {
			p.lines[inner] = pair.line
		}
	}
}

func (p *problems) items(t reflect.Type, n *node, place string) {
	if t.Kind() == reflect.Array && len(n.items) != t.Len() {
		p.reject(n.line, place, fmt.Sprintf("%d numbers are wanted, not %d", t.Len(), len(n.items)), "write them as [x, y, z]")
		return
	}
	for i, item := range n.items {
		inner := fmt.Sprintf("%s[%d]", place, i)
		if item.kind == nothing {
			p.reject(item.line, inner, "this entry is empty", "fill it in or take it out")
			continue
		}
		p.value(t.Elem(), item, inner)
	}
}

var leadingZero = regexp.MustCompile(`^[-+]?0[0-9_]`)

// digits refuses numbers that two people could read differently or that no machine integer holds.
func (p *problems) digits(want kind, n *node, place string) {
	if n.kind == whole && leadingZero.MatchString(n.text) {
		p.reject(n.line, place, fmt.Sprintf("the number %s begins with 0 and could be meant in base eight", n.text),
			"write it without the leading 0")
		return
	}
	digits := strings.ReplaceAll(n.text, "_", "")
	_, err := strconv.ParseFloat(digits, 64)
	tooLarge := errors.Is(err, strconv.ErrRange)
	if want == whole {
		_, err = strconv.ParseInt(digits, 0, 32)
		tooLarge = err != nil
	}
	if tooLarge {
		p.reject(n.line, place, described(n)+" is too large", "write the number that is meant")
	}
}

// field is one key of a table and the type that it is read into.
type field struct {
	name  string
	index int
	typ   reflect.Type
}

// fields lists the keys of a struct in the order of its declaration.
func fields(t reflect.Type) []field {
	var out []field
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("mapstructure"); name != "" && name != "-" {
			out = append(out, field{name, i, t.Field(i).Type})
		}
	}
	return out
}

func names(fields []field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.name
	}
	return out
}

func join(place, key string) string {
	if place == "" {
		return key
	}
	return place + "." + key
}

func wanted(t reflect.Type) kind {
	switch t.Kind() {
	case reflect.Struct:
		return table
	case reflect.Slice, reflect.Array:
		return list
	case reflect.Int:
		return whole
	case reflect.Float64:
		return number
	case reflect.Bool:
		return truth
	}
	return text
}

func described(n *node) string {
	switch n.kind {
	case text:
		return "the text " + quote(n.text)
	case whole, number, truth, date, strange:
		return n.kind.String() + " (" + shorten(n.text) + ")"
	}
	return n.kind.String()
}

var (
	commaNumber = regexp.MustCompile(`^[-+]?\d+,\d+$`)
	unitNumber  = regexp.MustCompile(`^([-+]?\d+(?:\.\d+)?)\s*[A-Za-z°%/]+$`)
	plainNumber = regexp.MustCompile(`^[-+]?\d+(?:\.\d+)?$`)
)

// remedyFor says how to write what is wanted, for the mistakes that people make.
func remedyFor(want kind, n *node) string {
	switch {
	case (want == number || want == whole) && n.kind == text:
		if commaNumber.MatchString(n.text) {
			return "write it with a point: " + strings.Replace(n.text, ",", ".", 1)
		}
		if m := unitNumber.FindStringSubmatch(n.text); m != nil {
			return "the key names the unit: write " + m[1]
		}
		if plainNumber.MatchString(n.text) {
			return "write it without quotes: " + n.text
		}
		return "write a number"
	case want == whole && n.kind == number:
		return "write it without a point or exponent"
	case want == text && n.kind <= date && n.kind != nothing:
		return "write it in quotes: " + strconv.Quote(n.text)
	case want == truth:
		return "write true or false"
	case want == list && n.kind == table:
		return "write a list, each entry with its own keys"
	case want == list && n.kind == text:
		return "write [" + shorten(n.text) + "]"
	case want == table:
		return "write keys and values below it"
	}
	return "write " + want.String()
}

// quote shows text from a file, short and on one line.
func quote(s string) string { return strconv.Quote(shorten(s)) }

func shorten(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
