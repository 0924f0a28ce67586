package shell

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamwright/seams/spelling"
)

// checkValues holds every value against its row of the table: given where required, finite, within bounds, one of
// the known words, printable.
func (r *reading) checkValues() {
	r.requireLists()
	r.walk(func(l leaf) {
		k := r.keys[l.key]
		if k.Required && !r.present(l, k) {
			return
		}
		switch l.value.Kind() {
		case reflect.String:
			r.checkText(l.place, l.value.String(), k)
		case reflect.Int:
			r.checkNumber(l.place, float64(l.value.Int()), k)
		case reflect.Float64:
			r.checkNumber(l.place, l.value.Float(), k)
		case reflect.Array, reflect.Slice:
			r.checkList(l, k)
		}
	})
}

// requireLists asks for what no shell can be planned without.
func (r *reading) requireLists() {
	if len(r.sh.Steels) == 0 {
		r.at("steels", "missing: the sheets' grades and thicknesses", "give at least one with id, grade and thickness_mm")
	}
	if len(r.sh.Panels) == 0 {
		r.at("panels", "missing: the pressed parts", "give at least one with id and mesh or outline")
	}
}

// present reports a required value that is missing or empty.
func (r *reading) present(l leaf, k Key) bool {
	empty := l.value.IsZero()
	if l.value.Kind() == reflect.Slice {
		empty = l.value.Len() == 0
	}
	if l.value.Kind() == reflect.String {
		empty = strings.TrimSpace(l.value.String()) == ""
	}
	switch {
	case !empty:
		return true
	case !r.stated(l.place):
		r.at(l.place, "missing: "+k.Meaning, "add it")
		return false
	case l.value.Kind() == reflect.String, l.value.Kind() == reflect.Slice:
		r.at(l.place, "empty: "+k.Meaning, "fill it in")
		return false
	}
	return true
}

// longestName and longestText bound what is printed on sheets, in letters; common practice, no source. Letters without end
// would take drawing without end.
const (
	longestName = 200
	longestText = 1000
)

func (r *reading) checkText(place, s string, k Key) {
	most := longestText
	if k.Name == "name" || strings.HasSuffix(k.Name, ".name") {
		most = longestName
	}
	if n := utf8.RuneCountInString(s); n > most {
		r.at(place, fmt.Sprintf("the text %s has %d letters", quote(s), n), fmt.Sprintf("write at most %d", most))
		return
	}
	if i := strings.IndexFunc(s, unprintable); i >= 0 {
		r.at(place, fmt.Sprintf("the text %s holds a sign that cannot be printed", quote(s)), "keep it on one line, without control characters")
		return
	}
	if len(k.Words) == 0 || s == "" || slices.Contains(k.Words, s) {
		return
	}
	remedy := "write one of them"
	if near := spelling.Nearest(s, k.Words); 2*spelling.Distance(s, near) <= utf8.RuneCountInString(s) {
		remedy = "the nearest is " + near // further off, a guess would mislead: metres is not mm
	}
	r.at(place, fmt.Sprintf("%s is not one of %s", quote(s), strings.Join(k.Words, ", ")), remedy)
}

func unprintable(r rune) bool {
	return unicode.IsControl(r) || r == unicode.ReplacementChar || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029'
}

func (r *reading) checkNumber(place string, n float64, k Key) {
	switch {
	case math.IsNaN(n) || math.IsInf(n, 0):
		r.at(place, fmt.Sprintf("%g is not a finite number", n), "write a number")
	case k.OrZero && n == 0, k.Least == k.Greatest:
	case n < k.Least || n > k.Greatest:
		r.at(place, fmt.Sprintf("%g is out of range", n), "it may be "+k.MayBe())
	}
}

func (r *reading) checkList(l leaf, k Key) {
	seen := map[string]bool{}
	for i := range l.value.Len() {
		place, v := fmt.Sprintf("%s[%d]", l.place, i), l.value.Index(i)
		if v.Kind() == reflect.Float64 {
			r.checkNumber(place, v.Float(), k)
			continue
		}
		switch s := v.String(); {
		case strings.TrimSpace(s) == "":
			r.at(place, "this entry is empty", "fill it in or take it out")
		case seen[s]:
			r.at(place, quote(s)+" stands in this list twice", "keep one of the two")
		default:
			seen[s] = true
			r.checkText(place, s, k)
		}
	}
}

func placeOf(list string, i int, key string) string {
	return fmt.Sprintf("%s[%d].%s", list, i, key)
}
