package pack

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// contents lists what is in the pack, with the pages when the list itself takes own pages.
func (b *binder) contents(title string, own int) []*paper.Page {
	return flow.Fewest(func(dense bool) []*paper.Page { return b.contentsSet(title, own, dense) })
}

func (b *binder) contentsSet(title string, own int, dense bool) []*paper.Page {
	w := b.work("Print set", b.plan.Shell.Name, b.plan.Shell.Number)
	w.Dense = dense
	w.Table(flow.Table{Title: title, Columns: []flow.Column{{Share: 1}, {Share: 1, Right: true}}, Rows: b.figures()})
	if b.broken() > 0 {
		w.Caution("CAUTION: rules are broken. Do not weld from this set before they are settled: the maps list them.")
	}
	t := flow.Table{Title: "Contents", Columns: []flow.Column{{Head: "Document", Share: 1}, {Head: "Paper"}, {Head: "Sheets", Right: true},
		{Head: "Page", Right: true}}}
	page := own + 1
	for i, p := range b.parts {
		if p.level < 2 {
			t.Rows = append(t.Rows, b.entry(i, page))
		}
		page += len(p.pages)
	}
	w.Table(t)
	w.Passage("Before use", "Print every sheet at 100 % on the paper named. Maps, strips and this set belong to one plan: the number after "+
		"Plan is the same on every sheet. A set of an earlier plan is destroyed.",
		"Settings are starting values and are proved by test before the first weld. Local rules, the maker's instructions and the "+
			"judgement of licensed people come before this set.")
	return w.Pages()
}

// entry is a line of the list: a document with all that is below it, which begins at a page. Stations are headings.
func (b *binder) entry(i, page int) []string {
	p := b.parts[i]
	if p.level == 0 && len(p.pages) == 0 {
		return []string{p.title, "", "", ""}
	}
	title, sheets, on := p.title, len(p.pages), ""
	if p.level > 0 {
		title = "– " + title
	}
	if sheets > 0 {
		on = p.pages[0].SizeName()
	}
	for _, below := range b.parts[i+1:] {
		if below.level <= p.level {
			break
		}
		if sheets += len(below.pages); on == "" && len(below.pages) > 0 {
			on = below.pages[0].SizeName()
		}
	}
	return []string{title, on, strconv.Itoa(sheets), strconv.Itoa(page)}
}

// broken counts the findings that must be settled first.
func (b *binder) broken() int {
	n := 0
	for _, f := range b.plan.Findings {
		if f.Severity == layout.Broken && b.concerns(f) {
			n++
		}
	}
	return n
}

// concerns reports whether a finding is of what the pack is of; one that names no station is of all.
func (b *binder) concerns(f layout.Finding) bool {
	return b.only == nil || f.Station == "" || f.Station == b.only.ID
}

// figures are the shell in numbers, or the station that the pack is of.
func (b *binder) figures() [][]string {
	p := b.plan
	count := map[layout.Severity]int{}
	for _, f := range p.Findings {
		if b.concerns(f) {
			count[f.Severity]++
		}
	}
	findings := []string{"Findings: broken, let stand, in doubt", fmt.Sprintf("%d, %d, %d", count[layout.Broken], count[layout.Waived],
		count[layout.Doubt])}
	if b.only != nil {
		seams := b.index.Station(b.only.ID).Rolled / 1000
		return [][]string{
			{"Jig", words.OrDash(b.only.Jig)}, {"Crew", strconv.Itoa(b.only.Crew)}, {"Arrives", strings.Join(b.only.Arrives, ", ")},
			{"Leaves", cmp.Or(b.only.Makes, "the shell")},
			{"Spot welds a shell", strconv.Itoa(b.only.Welds)}, {"Roller seam a shell", number(seams, 2) + " m"},
			{"At the jig, a shell", number(b.only.Minutes, 1) + " min"}, findings,
		}
	}
	return [][]string{
		{"Panels, joints, stations", fmt.Sprintf("%d, %d, %d", len(p.Panels), len(p.Joints), len(p.Stations))},
		{"Spot welds a shell", strconv.Itoa(len(p.Welds))},
		{"Roller seam a shell", number(p.Labour.RollerMetres, 2) + " m"},
		{"Work a shell, jig preparation shared", number(p.Cost.MinutesPerShell/60, 1) + " man-hours"},
		{"Cost a shell", layout.Money(p.Cost.CostPerShell) + " " + p.Cost.Currency},
		findings,
	}
}
