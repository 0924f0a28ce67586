package finding

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Waive lets findings stand that the shell file waives: a broken or doubtful finding of the waiver's rule at the waiver's
// place becomes waived, with the reason and the name beside it. Nothing is dropped. A waiver that covers no finding is said
// in a note, with the place where its rule is broken elsewhere. The findings come back sorted.
func (m Maker) Waive(findings []layout.Finding, waivers []shell.Waiver) []layout.Finding {
	out := slices.Clone(findings)
	used := make([]bool, len(waivers))
	for i := range out {
		f := &out[i]
		if !open(*f) {
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
		if !used[k] {
			out = append(out, m.unused(w, out))
		}
	}
	layout.SortFindings(out)
	return out
}

// open reports whether a waiver could let the finding stand.
func open(f layout.Finding) bool { return f.Severity == layout.Broken || f.Severity == layout.Doubt }

// unused says that a waiver covers nothing, and where its rule is broken that the waiver does not name.
func (m Maker) unused(w shell.Waiver, all []layout.Finding) layout.Finding {
	remedy := fmt.Sprintf("nothing breaks this rule there: take the waiver of %s out (%s)", w.Name, w.Reason)
	for _, f := range all {
		if f.Rule == w.Rule && open(f) {
			remedy = fmt.Sprintf("nothing breaks this rule there, but at %s: name that, or take the waiver of %s out (%s)", nameOf(f), w.Name,
				w.Reason)
			break
		}
	}
	return m.Of(rule.Problem{Rule: "waiver.unused", Remedy: remedy}, About{},
		fmt.Sprintf("waiver of %s, %s", w.Rule, cmp.Or(w.Where, "everywhere")))
}

// nameOf is what a waiver has to name to cover a finding.
func nameOf(f layout.Finding) string {
	if f.Weld > 0 {
		return f.Station + ":" + strconv.Itoa(f.Weld)
	}
	return cmp.Or(f.Flange, f.Joint, f.Seam, f.Station, strings.Join(f.Panels, " or "), f.Setting, f.Where)
}

// covers reports whether a waiver speaks of a finding: everywhere, or by a joint, flange, station, weld, seam, panel or
// setting that the finding is about.
func covers(w shell.Waiver, f layout.Finding) bool {
	if w.Rule != f.Rule {
		return false
	}
	if w.Where == "" || w.Where == f.Seam || w.Where == f.Setting || slices.Contains(f.Panels, w.Where) {
		return true
	}
	subjects := append([]layout.Subject{{Station: f.Station, Joint: f.Joint, Flange: f.Flange, Weld: f.Weld}}, f.Also...)
	return slices.ContainsFunc(subjects, func(s layout.Subject) bool { return names(w.Where, s) })
}

func names(where string, s layout.Subject) bool {
	if where == s.Joint || where == s.Flange || where == s.Station {
		return true
	}
	station, number, ok := strings.Cut(where, ":")
	n, err := strconv.Atoi(number)
	return ok && err == nil && n > 0 && station == s.Station && n == s.Weld
}
