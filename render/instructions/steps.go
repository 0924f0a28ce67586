package instructions

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/figure"
	"seamwright/render/flow"
)

// steps is the order of work.
func (in *Tables) steps() *flow.Table {
	t := in.stepsTable("Order of work", func(layout.Step) bool { return true })
	if len(in.station.Crewing.Shares) > 0 {
		t.Note = fmt.Sprintf("%s min with a crew of %d, %s.", words.Number(in.station.Crewing.Minutes, 0), in.station.Crew,
			in.station.Crewing.Sure())
	}
	if in.station.Crew > 1 {
		t.Note += " Who: by number; the labour sheet has a line of steps for each."
	}
	for _, u := range in.station.Unreached {
		row := []string{"-", "not made", fmt.Sprintf("No gun at hand reaches welds %d to %d: %s. What would do: %s.", u.From, u.To,
			u.Why, u.Would), "", "", ""}
		if in.station.Crew > 1 {
			row = append(row, "")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Steps is the part of the order of work that is welded in some figures.
func (in *Tables) Steps(figures []*figure.Figure) *flow.Table {
	var names []string
	for _, f := range figures {
		names = append(names, f.Letter)
	}
	here := func(s layout.Step) bool {
		return slices.ContainsFunc(in.set.ViewsOf(s), func(letter string) bool { return slices.Contains(names, letter) })
	}
	t := in.stepsTable("Order of work here", here)
	t.Note = "All steps, those of other views too, stand under Order of work."
	return t
}

// stepsTable lists steps: for welds the joints, numbers, gun, tip and setting; in words for all else.
func (in *Tables) stepsTable(title string, wanted func(layout.Step) bool) *flow.Table {
	heads, shares := []string{"", "Do", "What", "Welds", "Gun, tip, setting", "View"}, []float64{0, 0, 1, 0, 0, 0}
	if in.station.Crew > 1 {
		heads, shares = append(heads, "Who"), append(shares, 0)
	}
	t := in.table(title, heads, shares)
	t.Spill = true
	at := map[string]string{} // the setting that a gun is at
	for i, s := range in.station.Steps {
		row := []string{fmt.Sprint(i + 1), string(s.Do), s.Text, words.Welds(in.index, s.Runs), in.toolOf(s, at),
			strings.Join(in.set.ViewsOf(s), " ")}
		if len(s.Runs) > 0 {
			row[2] = in.jointsOf(s)
		}
		if in.station.Crew > 1 {
			row = append(row, words.Listed(s.Persons))
		}
		if wanted(s) {
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// runsOf are a step's runs.
func (in *Tables) runsOf(s layout.Step) []layout.Run {
	return slices.DeleteFunc(slices.Clone(in.here.Runs), func(r layout.Run) bool { return !slices.Contains(s.Runs, r.ID) })
}

// jointsOf names the joints that a step welds, and says where its welds are by what stood there.
func (in *Tables) jointsOf(s layout.Step) string {
	var joints, clamps, rules []string
	lead, released := "", true
	for _, r := range in.runsOf(s) {
		released = released && r.Step == layout.Released
		if said := r.Tacks.Said(r.Count); said != "" && !slices.Contains(rules, said) {
			rules = append(rules, said)
		}
		if !slices.Contains(joints, r.Joint) {
			joints = append(joints, r.Joint)
		}
		for _, c := range r.Clamps {
			if !slices.Contains(clamps, c) {
				clamps = append(clamps, c)
			}
		}
		if r.Gun == "" {
			lead = "gun not known: "
		}
	}
	switch {
	case lead != "" || !released:
	case len(clamps) == 1:
		lead = "where " + clamps[0] + " was: "
	case len(clamps) > 1:
		lead = "where " + strings.Join(clamps, ", ") + " were: "
	default:
		lead = "where the clamps were: "
	}
	text := lead + strings.Join(joints, ", ")
	if len(rules) > 0 {
		text += "; " + strings.Join(rules, ", ")
	}
	return text
}

// change stands before a setting that the gun is to be changed to.
const change = "→ "

// toolOf is the gun, tip and setting of a step, with a mark where the gun's setting changes.
func (in *Tables) toolOf(s layout.Step, at map[string]string) string {
	if s.Seam != "" {
		i := slices.IndexFunc(in.here.Seams, func(r layout.Seam) bool { return r.ID == s.Seam })
		if i < 0 {
			return ""
		}
		return strings.TrimSpace(in.index.Roller(in.here.Seams[i].Roller).Letter + " " + in.here.Seams[i].Setting)
	}
	var tools []string
	var last layout.Run
	for _, r := range in.runsOf(s) { // the planner's steps hold one gun, tip and setting; a plan by another hand may have steps with more
		if r.Gun == "" || r.Gun == last.Gun && r.Tip == last.Tip && r.Setting == last.Setting {
			continue
		}
		last = r
		setting := r.Setting
		if was := at[r.Gun]; was != "" && was != setting {
			setting = change + setting
		}
		at[r.Gun] = r.Setting
		parts := slices.DeleteFunc([]string{words.Gun(in.index, r.Gun), r.Tip, setting}, func(t string) bool { return t == "" })
		tools = append(tools, strings.Join(parts, " "))
	}
	return strings.Join(tools, ", ")
}
