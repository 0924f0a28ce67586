package shellfile

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"seamwright/seams/shell"
	"seamwright/seams/spelling"
)

// checkValues holds every value against its row of the table: given where required, finite, within bounds, one of
// the known words, printable.
func (r *reading) checkValues() {
	r.requireLists()
	r.walk(func(l shell.Leaf) {
		k := r.keys[l.Key]
		if k.Required && !r.present(l, k) {
			return
		}
		switch l.Value.Kind() {
		case reflect.String:
			r.checkText(l.Place, l.Value.String(), k)
		case reflect.Int:
			r.checkNumber(l.Place, float64(l.Value.Int()), k)
		case reflect.Float64:
			r.checkNumber(l.Place, l.Value.Float(), k)
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
func (r *reading) present(l shell.Leaf, k shell.Key) bool {
	empty := l.Value.IsZero()
	if l.Value.Kind() == reflect.Slice {
		empty = l.Value.Len() == 0
	}
	if l.Value.Kind() == reflect.String {
		empty = strings.TrimSpace(l.Value.String()) == ""
	}
	switch {
	case !empty:
		return true
	case !r.stated(l.Place):
		r.at(l.Place, "missing: "+k.Meaning, "add it")
		return false
	case l.Value.Kind() == reflect.String, l.Value.Kind() == reflect.Slice:
		r.at(l.Place, "empty: "+k.Meaning, "fill it in")
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

func (r *reading) checkText(place, s string, k shell.Key) {
	most := longestText
	if k.Name == "name" || strings.HasSuffix(k.Name, ".name") {
		most = longestName
	}
	if n := utf8.RuneCountInString(s); n > most {
		r.at(place, fmt.Sprintf("the text %s has %d letters", quote(s), n), fmt.Sprintf("write at most %d", most))
		return
	}
	if i := strings.IndexFunc(s, shell.Unprintable); i >= 0 {
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

func (r *reading) checkNumber(place string, n float64, k shell.Key) {
	switch {
	case math.IsNaN(n) || math.IsInf(n, 0):
		r.at(place, fmt.Sprintf("%g is not a finite number", n), "write a number")
	case k.OrZero && n == 0, k.Least == k.Greatest:
	case n < k.Least || n > k.Greatest:
		r.at(place, fmt.Sprintf("%g is out of range", n), "it may be "+k.MayBe())
	}
}

func (r *reading) checkList(l shell.Leaf, k shell.Key) {
	seen := map[string]bool{}
	for i := range l.Value.Len() {
		place, v := fmt.Sprintf("%s[%d]", l.Place, i), l.Value.Index(i)
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
