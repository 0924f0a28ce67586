package shellfile

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"seamwright/seams/document"
	"seamwright/seams/shell"
	"seamwright/seams/spelling"
)

// checkStructure compares a file's tree with the Shell type: keys that are unknown or given twice, values of the
// wrong kind. It fills in p.lines on the way.
func checkStructure(root *document.Node, p *problems) {
	if root.Kind == document.Nothing || root.Kind == document.Table && len(root.Pairs) == 0 {
		p.list = append(p.list, Problem{File: p.file, Line: 1, What: "the file is empty",
			Remedy: "write at least name, steels and panels, or let `seamwright new` write a shell file"})
		return
	}
	p.value(reflect.TypeFor[shell.Shell](), root, "")
}

// reject reports a problem at a line that is not yet in p.lines.
func (p *problems) reject(line int, place, what, remedy string) {
	p.list = append(p.list, Problem{File: p.file, Line: line, Place: place, What: what, Remedy: remedy})
}

// value checks one value against the type that it is read into.
func (p *problems) value(t reflect.Type, n *document.Node, place string) {
	if n.Kind == document.Nothing && place != "" {
		return // a key without a value counts as left out
	}
	p.lines[place] = n.Line
	if n.Kind == document.Text && (shell.BareID(t) || t == reflect.TypeFor[shell.IDList]()) {
		return
	}
	want := wanted(t)
	if n.Kind != want && !(want == document.Number && n.Kind == document.Whole) {
		p.reject(n.Line, place, fmt.Sprintf("%s is wanted here, not %s", want, described(n)), remedyFor(want, n))
		return
	}
	switch want {
	case document.Table:
		p.table(t, n, place)
	case document.List:
		p.items(t, n, place)
	case document.Whole, document.Number:
		p.digits(want, n, place)
	}
}

func (p *problems) table(t reflect.Type, n *document.Node, place string) {
	known := shell.Fields(t)
	first := map[string]int{}
	for _, pair := range n.Pairs {
		inner := shell.Join(place, shorten(pair.Key))
		if line, again := first[pair.Key]; again {
			p.reject(pair.Line, inner, fmt.Sprintf("this key is given twice, first in line %d", line), "keep one of the two")
			continue
		}
		first[pair.Key] = pair.Line
		i := slices.IndexFunc(known, func(f shell.Field) bool { return f.Name == pair.Key })
		if i < 0 {
			p.reject(pair.Line, inner, "unknown key "+quote(pair.Key), "the nearest known key is "+spelling.Nearest(pair.Key, names(known)))
			continue
		}
		p.value(known[i].Type, pair.Value, inner)
		if _, set := p.lines[inner]; set {
			p.lines[inner] = pair.Line
		}
	}
}

func (p *problems) items(t reflect.Type, n *document.Node, place string) {
	if t.Kind() == reflect.Array && len(n.Items) != t.Len() {
		p.reject(n.Line, place, fmt.Sprintf("%d numbers are wanted, not %d", t.Len(), len(n.Items)), "write them as [x, y, z]")
		return
	}
	for i, item := range n.Items {
		inner := fmt.Sprintf("%s[%d]", place, i)
		if item.Kind == document.Nothing {
			p.reject(item.Line, inner, "this entry is empty", "fill it in or take it out")
			continue
		}
		p.value(t.Elem(), item, inner)
	}
}

var leadingZero = regexp.MustCompile(`^[-+]?0[0-9_]`)

// digits refuses numbers that two people could read differently or that no machine integer holds.
func (p *problems) digits(want document.Kind, n *document.Node, place string) {
	if n.Kind == document.Whole && leadingZero.MatchString(n.Text) {
		p.reject(n.Line, place, fmt.Sprintf("the number %s begins with 0 and could be meant in base eight", n.Text),
			"write it without the leading 0")
		return
	}
	digits := strings.ReplaceAll(n.Text, "_", "")
	_, err := strconv.ParseFloat(digits, 64)
	tooLarge := errors.Is(err, strconv.ErrRange)
	if want == document.Whole {
		_, err = strconv.ParseInt(digits, 0, 32)
		tooLarge = err != nil
	}
	if tooLarge {
		p.reject(n.Line, place, described(n)+" is too large", "write the number that is meant")
	}
}

func names(fields []shell.Field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.Name
	}
	return out
}

func wanted(t reflect.Type) document.Kind {
	switch t.Kind() {
	case reflect.Struct:
		return document.Table
	case reflect.Slice, reflect.Array:
		return document.List
	case reflect.Int:
		return document.Whole
	case reflect.Float64:
		return document.Number
	case reflect.Bool:
		return document.Truth
	}
	return document.Text
}

func described(n *document.Node) string {
	switch n.Kind {
	case document.Text:
		return "the text " + quote(n.Text)
	case document.Whole, document.Number, document.Truth, document.Date, document.Strange:
		return n.Kind.String() + " (" + shorten(n.Text) + ")"
	}
	return n.Kind.String()
}

var (
	commaNumber = regexp.MustCompile(`^[-+]?\d+,\d+$`)
	unitNumber  = regexp.MustCompile(`^([-+]?\d+(?:\.\d+)?)\s*[A-Za-z°%/]+$`)
	plainNumber = regexp.MustCompile(`^[-+]?\d+(?:\.\d+)?$`)
)

// remedyFor says how to write what is wanted, for the mistakes that people make.
func remedyFor(want document.Kind, n *document.Node) string {
	switch {
	case (want == document.Number || want == document.Whole) && n.Kind == document.Text:
		if commaNumber.MatchString(n.Text) {
			return "write it with a point: " + strings.Replace(n.Text, ",", ".", 1)
		}
		if m := unitNumber.FindStringSubmatch(n.Text); m != nil {
			return "the key names the unit: write " + m[1]
		}
		if plainNumber.MatchString(n.Text) {
			return "write it without quotes: " + n.Text
		}
		return "write a number"
	case want == document.Whole && n.Kind == document.Number:
		return "write it without a point or exponent"
	case want == document.Text && n.Kind <= document.Date && n.Kind != document.Nothing:
		return "write it in quotes: " + strconv.Quote(n.Text)
	case want == document.Truth:
		return "write true or false"
	case want == document.List && n.Kind == document.Table:
		return "write a list, each entry with its own keys"
	case want == document.List && n.Kind == document.Text:
		return "write [" + shorten(n.Text) + "]"
	case want == document.Table:
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
