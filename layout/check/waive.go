package check

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// Waive lets findings stand that the shell file waives: a broken or doubtful finding of the waiver's rule at the waiver's
// place becomes waived, with the reason and the name beside it. Nothing is dropped. A waiver that covers no finding is said
// in a note, since what it was written for has gone or has another name. The findings come back sorted.
func Waive(findings []layout.Finding, waivers []shell.Waiver) []layout.Finding {
	out := slices.Clone(findings)
	used := make([]bool, len(waivers))
	for i := range out {
		f := &out[i]
		if f.Severity != layout.Broken && f.Severity != layout.Doubt {
			continue
		}
		for k, w := range waivers {
			if !covers(w, *f) {
				continue
			}
			used[k] = true
			f.Was, f.Severity, f.Reason, f.Name = f.Severity, layout.Waived, w.Reason, w.Name
			break
		}
	}
	for k, w := range waivers {
		if used[k] {
			continue
		}
		where := w.Where
		if where == "" {
			where = "everywhere"
		}
		out = append(out, layout.Finding{
			Rule: "waiver.unused", Severity: layout.Note, Where: fmt.Sprintf("waiver of %s, %s", w.Rule, where), Source: "the shell file (stated)",
			Remedy: fmt.Sprintf("nothing breaks this rule there: take the waiver of %s out (%s)", w.Name, w.Reason),
		})
	}
	layout.SortFindings(out)
	return out
}

// covers reports whether a waiver speaks of a finding.
func covers(w shell.Waiver, f layout.Finding) bool {
	if w.Rule != f.Rule {
		return false
	}
	if w.Where == "" || w.Where == f.Joint || w.Where == f.Flange {
		return true
	}
	if station, number, ok := strings.Cut(w.Where, ":"); ok {
		n, err := strconv.Atoi(number)
		return err == nil && n > 0 && station == f.Station && n == f.Weld
	}
	return f.Joint == "" && f.Flange == "" && named(f.Where, w.Where)
}

// named looks for an id as a word of its own in the words of a finding that carries no ids.
func named(words, id string) bool {
	apart := func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",:;()", r) }
	return slices.Contains(strings.FieldsFunc(words, apart), id)
}
