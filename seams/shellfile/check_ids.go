package shellfile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/spelling"

	"golang.org/x/text/unicode/norm"
)

// checkIDs wants each id well-formed and of its own within its list; panels and sub-assemblies share one set,
// since either may arrive at a station.
func (r *reading) checkIDs() {
	panels := r.uniqueIDs("panels", map[string]string{})
	r.uniqueIDs("subassemblies", panels)
	for _, list := range []string{"steels", "stations", "joints", "guns", "tips", "rollers", "spreads"} {
		r.uniqueIDs(list, map[string]string{})
	}
	r.uniqueIDs("offer.lines", map[string]string{"welding": "the welding itself", "steel": "the steel itself",
		"standing-by": "the standing by itself"})
	for i := range r.sh.Stations {
		for _, list := range []string{"clamps", "dowels", "hold_points", "work"} {
			r.uniqueIDs(fmt.Sprintf("stations[%d].%s", i, list), map[string]string{})
		}
	}
}

// uniqueIDs checks one list; taken maps ids, letter case folded, to the place that has them.
func (r *reading) uniqueIDs(list string, taken map[string]string) map[string]string {
	for i, id := range r.ids(list) {
		place := shell.PlaceOf(list, i, "id")
		if id == "" {
			continue // missing: reported already
		}
		if !shell.IDForm.MatchString(id) || len([]rune(id)) > shell.LongestID {
			r.at(place, quote(id)+" does not do as an id", fmt.Sprintf("use at most %d letters, digits, - _ + and ., beginning with a letter or "+
				"digit", shell.LongestID))
			continue
		}
		folded := strings.ToLower(norm.NFKC.String(id)) // as file systems that fold names do
		if other, again := taken[folded]; again {
			r.at(place, "the id "+quote(id)+" is already that of "+other, "give each an id that differs in more than letter case")
			continue
		}
		taken[folded] = fmt.Sprintf("%s[%d]", list, i)
	}
	return taken
}

// ids lists the ids of a list of the shell, by the list's place.
func (r *reading) ids(list string) []string {
	v := reflect.ValueOf(r.sh).Elem()
	if station, inner, nested := strings.Cut(list, "]."); nested {
		var i int
		if _, err := fmt.Sscanf(station, "stations[%d", &i); err != nil {
			return nil
		}
		v, list = reflect.ValueOf(r.sh.Stations[i]), inner
	}
	if table, inner, nested := strings.Cut(list, "."); nested {
		v, list = v.Field(indexOf(v.Type(), table)), inner
	}
	v = v.Field(indexOf(v.Type(), list))
	out := make([]string, v.Len())
	for i := range out {
		out[i] = v.Index(i).Field(indexOf(v.Index(i).Type(), "id")).String()
	}
	return out
}

// some names at most six of several ids.
func (r *reading) some(ids []string) string {
	const most = 6
	if len(ids) > most {
		return strings.Join(ids[:most], ", ") + " …"
	}
	return strings.Join(ids, ", ")
}

// refer checks that an id is one of the known ones; what names their kind, "panel" for instance.
func (r *reading) refer(place, id, what string, known []string) bool {
	for _, k := range known {
		if k == id {
			return true
		}
	}
	if near := spelling.Nearest(id, known); near != "" {
		r.at(place, fmt.Sprintf("there is no %s %s", what, quote(id)), "the nearest is "+near)
	} else {
		r.at(place, fmt.Sprintf("there is no %s %s, the file has none", what, quote(id)), "add it, or take the name out")
	}
	return false
}

// checkReferences follows every id that stands for something elsewhere in the file.
func (r *reading) checkReferences() {
	sh := r.sh
	panels, steels, joints := r.ids("panels"), r.ids("steels"), r.ids("joints")
	stations, guns, tips, rollers := r.ids("stations"), r.ids("guns"), r.ids("tips"), r.ids("rollers")
	subs := r.ids("subassemblies")
	parts := append(append([]string{}, panels...), subs...)
	each := func(place string, ids []string, what string, known []string) {
		for i, id := range ids {
			r.refer(fmt.Sprintf("%s[%d]", place, i), id, what, known)
		}
	}
	for i, p := range sh.Panels {
		r.refer(shell.PlaceOf("panels", i, "steel"), p.Steel, "steel", steels)
	}
	for i, s := range sh.Subassemblies {
		each(shell.PlaceOf("subassemblies", i, "parts"), s.Parts, "panel or sub-assembly", parts)
	}
	for i, g := range sh.Guns {
		each(shell.PlaceOf("guns", i, "tips"), g.Tips, "tip", tips)
	}
	for i, j := range sh.Joints {
		each(shell.PlaceOf("joints", i, "panels"), j.Panels, "panel", panels)
		if j.Gun != "" {
			r.refer(shell.PlaceOf("joints", i, "gun"), j.Gun, "gun", guns)
		}
		if j.Tip != "" {
			r.refer(shell.PlaceOf("joints", i, "tip"), j.Tip, "tip", tips)
		}
		if len(j.Panels) == 1 {
			r.at(shell.PlaceOf("joints", i, "panels"), "a joint of one panel", "name the panels that are welded together")
		}
		for k, f := range j.Forces {
			if f.On != "" {
				r.refer(fmt.Sprintf("joints[%d].forces[%d].on", i, k), f.On, "panel of this joint", j.Panels)
			}
		}
		if j.EdgeOf != "" {
			r.refer(shell.PlaceOf("joints", i, "edge_of"), j.EdgeOf, "panel of this joint", j.Panels)
		}
		if j.Station != "" {
			r.refer(shell.PlaceOf("joints", i, "station"), j.Station, "station", stations)
		}
		if j.MirrorOf != "" && r.refer(shell.PlaceOf("joints", i, "mirror_of"), j.MirrorOf, "joint", joints) {
			r.checkMirror(i, j)
		}
	}
	for i, s := range sh.Spreads {
		r.refer(shell.PlaceOf("spreads", i, "id"), s.ID, "element", shell.SpreadIDs())
	}
	r.checkRules()
	r.checkOffer()
	r.checkPeople()
	r.checkApproval()
	for i, s := range sh.Stations {
		each(shell.PlaceOf("stations", i, "arrives"), s.Arrives, "panel or sub-assembly", parts)
		for k, g := range s.Guns {
			place := fmt.Sprintf("stations[%d].guns[%d]", i, k)
			if r.refer(place, g.ID, "gun", guns) && slices.ContainsFunc(s.Guns[:k], func(o shell.AtHand) bool { return o.ID == g.ID }) {
				r.at(place, "gun "+g.ID+" is named twice", fmt.Sprintf("name it once, with its number: {id: %s, count: 2}", g.ID))
			}
		}
		each(shell.PlaceOf("stations", i, "rollers"), s.Rollers, "roller", rollers)
		if s.Makes != "" {
			r.refer(shell.PlaceOf("stations", i, "makes"), s.Makes, "sub-assembly", subs)
		}
		r.checkHoldPoints(i, s, joints, parts)
		r.checkWork(i, s, joints, parts)
		r.checkWorkCircle(i, s)
	}
}

// checkApproval wants what an approved shell must say: who approved what.
func (r *reading) checkApproval() {
	if r.sh.Status != "approved" {
		return
	}
	if strings.TrimSpace(r.sh.Approver) == "" {
		r.at("status", "approved, and nobody is named who approved it", "name the approver, or leave it a draft")
	}
	if strings.TrimSpace(r.sh.Revision) == "" {
		r.at("status", "approved, and no revision is named", "name the revision, or leave it a draft")
	}
}

// checkRules wants the rules that are waived or changed to be in the book: a waiver of a misspelt one would cover nothing.
// A works' book changes rules and adds none.
func (r *reading) checkRules() {
	var ids []string
	for _, known := range rule.Book() {
		ids = append(ids, known.ID)
	}
	for i, u := range r.sh.Rules.Use {
		r.refer(shell.PlaceOf("rules.use", i, "rule"), u.Rule, "rule", ids)
	}
	for i, w := range r.sh.Waivers {
		r.refer(shell.PlaceOf("waivers", i, "rule"), w.Rule, "rule", ids)
	}
}

func (r *reading) checkHoldPoints(i int, s shell.Station, joints, parts []string) {
	for j := range s.HoldPoints {
		h := &r.sh.Stations[i].HoldPoints[j]
		place := fmt.Sprintf("stations[%d].hold_points[%d]", i, j)
		for k, id := range h.Before {
			switch {
			case id == shell.Tacks || slices.Contains(parts, id):
			case len(joints) == 0:
				r.note("stations: %s: hold point %s waits for joint %s; the file lists no joints, so it must be one that is found", s.ID, h.ID, id)
			default:
				at := place + ".before"
				if len(h.Before) > 1 {
					at = fmt.Sprintf("%s.before[%d]", place, k)
				}
				r.refer(at, id, "joint", joints)
			}
		}
		r.checkSymmetry(place, s, *h)
		if h.Kind == "" && h.Value != 0 {
			h.Kind = shell.Dimension
		} else if h.Kind == "" {
			h.Kind = shell.Gauge
		}
	}
}

// checkWork wants work to wait for, and hold back, what is at its station, and to have the people for it.
func (r *reading) checkWork(i int, s shell.Station, joints, parts []string) {
	known := slices.Concat(joints, parts, []string{shell.Tacks})
	for _, h := range s.HoldPoints {
		known = append(known, h.ID)
	}
	for _, w := range s.Work {
		known = append(known, w.ID)
	}
	for j, w := range s.Work {
		place := fmt.Sprintf("stations[%d].work[%d]", i, j)
		for name, ids := range map[string]shell.IDList{".before": w.Before, ".after": w.After} {
			for _, id := range ids {
				switch {
				case id == w.ID: // said as a circle
				case len(joints) > 0 || slices.Contains(known, id):
					r.refer(place+name, id, "joint, part, hold point or work", known)
				}
			}
		}
		if w.Crew > max(1, s.Crew) {
			r.at(place+".crew", fmt.Sprintf("%d people, and the station's crew is %d", w.Crew, max(1, s.Crew)), "give the station a larger crew")
		}
	}
}

// checkWorkCircle refuses work that would wait for itself, by way of other work, joints and hold points.
func (r *reading) checkWorkCircle(i int, s shell.Station) {
	after := map[string][]string{} // by id: what comes right after it
	for _, w := range s.Work {
		for _, id := range w.After {
			after[id] = append(after[id], w.ID)
		}
		after[w.ID] = append(after[w.ID], w.Before...)
	}
	for _, h := range s.HoldPoints {
		after[h.ID] = append(after[h.ID], h.Before...)
	}
	for j, w := range s.Work {
		if way := wayBack(w.ID, w.ID, after, map[string]bool{}); way != nil {
			r.at(fmt.Sprintf("stations[%d].work[%d]", i, j), "it would wait for itself: "+strings.Join(append([]string{w.ID}, way...), " before "),
				"take one of these out of before or after")
			return // the others of the circle are the same mistake
		}
	}
}

// wayBack is a way from an id to a goal along what comes after; nil where there is none.
func wayBack(from, goal string, after map[string][]string, seen map[string]bool) []string {
	for _, next := range after[from] {
		if next == goal {
			return []string{goal}
		}
		if seen[next] {
			continue
		}
		seen[next] = true
		if way := wayBack(next, goal, after, seen); way != nil {
			return append([]string{next}, way...)
		}
	}
	return nil
}

// checkSymmetry wants a symmetry to say with what, and nothing else to.
func (r *reading) checkSymmetry(place string, s shell.Station, h shell.HoldPoint) {
	var others []string
	for _, o := range s.HoldPoints {
		if o.ID != h.ID {
			others = append(others, o.ID)
		}
	}
	switch {
	case h.Kind == shell.Symmetry && h.With == "":
		r.at(place+".kind", "a symmetry that is compared with nothing", "name the other hold point under with")
	case h.Kind == shell.Symmetry && h.Tolerance == 0:
		r.at(place+".kind", "a symmetry without a tolerance", "say under tolerance_mm how far the two may differ")
	case h.Kind == shell.Symmetry:
		r.refer(place+".with", h.With, "other hold point of this station", others)
	case h.With != "":
		r.at(place+".with", "it is compared with another hold point, but is no symmetry", "write kind: symmetry, or take it out")
	case h.Kind == shell.Dimension && h.Value == 0:
		r.at(place+".kind", "a dimension without a value", "state value_mm, or write kind: gauge")
	}
}

// checkOffer: quantities that are priced twice, and discounts that leave no price.
func (r *reading) checkOffer() {
	for i, b := range r.sh.Offer.Breaks {
		if slices.ContainsFunc(r.sh.Offer.Breaks[:i], func(o shell.Break) bool { return o.Shells == b.Shells }) {
			r.at(shell.PlaceOf("offer.breaks", i, "shells"), fmt.Sprintf("%d shells are priced already", b.Shells), "keep one of the two")
		}
		if off := r.sh.Offer.Discount + b.Discount; off > 99 {
			r.at(shell.PlaceOf("offer.breaks", i, "discount_pct"), fmt.Sprintf("with the offer's %g %% it is %g %%", r.sh.Offer.Discount, off),
				"keep the two together at 99 % or less")
		}
	}
}

// checkPeople: a crew that is more than all who are there.
func (r *reading) checkPeople() {
	for i, s := range r.sh.Stations {
		if r.sh.People > 0 && s.Crew > r.sh.People {
			r.at("people", fmt.Sprintf("%d, and station %s has a crew of %d", r.sh.People, s.ID, s.Crew),
				fmt.Sprintf("raise people to %d, or lower stations[%d].crew", s.Crew, i))
		}
	}
}
