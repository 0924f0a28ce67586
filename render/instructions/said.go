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

// cautions holds what everybody at the jig must know. Figures and duties differ from place to place,
// and the sheet says so. Common practice unless a source stands beside it.
func (in *Tables) cautions() *flow.Table {
	t := in.table("Cautions", []string{""}, []float64{1})
	t.Framed, t.Whole = true, true
	texts := []string{
		"EYES: hot metal flies from spots and rollers. Wear clear impact-rated eye protection with side shields, all who stand near.",
		"HANDS: electrodes close with a force that crushes. Keep fingers out of the gun; never hold sheets beside the tips while they close.",
		"HOT METAL: welds, tips and rollers stay hot. Wear dry gloves and sleeves; keep paper, rags and sealant off.",
		"MAGNETIC FIELD: strong near gun and cables. People with a pacemaker or other implant stay away; no watches or magnetic cards.",
		"LIFTING: sheet edges cut. Two people or a hoist for what one cannot hold safely; nobody under a raised shell.",
		"ELECTRICITY AND WATER: stop work when cables, hoses or the earth lead are damaged or wet.",
	}
	if in.coated() {
		texts = append(texts, "ZINC FUME: coated sheets give off zinc oxide. Extraction on; leave the place when a metallic taste or "+
			"shivering comes up.")
	}
	texts = append(texts,
		"SETTINGS are proved by peel or chisel test (ISO 10447) at the start of a shift, after each change of cap and whenever a weld looks "+
			"different.",
		"Local rules, the vehicle maker's instructions and the judgement of licensed people come before this sheet. It replaces none of them.")
	for _, text := range texts {
		t.Rows = append(t.Rows, []string{text})
	}
	return t
}

// coated reports whether any panel here has a coating.
func (in *Tables) coated() bool {
	for _, id := range in.station.Present {
		if c := in.index.Panel(id).Coating; c != "" && c != "none" {
			return true
		}
	}
	return false
}

func (in *Tables) findings() *flow.Table {
	t := in.table("Findings: rules in doubt or broken here", []string{"", "Rule", "Where", "Is", "Limit", "Remedy"},
		[]float64{0, 0, 1, 0, 0, 1.2})
	for _, f := range in.here.Findings {
		remedy := f.Remedy
		if f.Severity == layout.Waived {
			remedy = fmt.Sprintf("let stand by %s: %s", words.OrDash(f.Name), words.OrDash(f.Reason))
		}
		is, limit := "", ""
		if !f.Plain() {
			is = strings.TrimSpace(words.Number(f.Value, 2) + " " + f.Unit)
		}
		if f.Limited() {
			is, limit = words.Number(f.Value, 2), strings.TrimSpace(words.Number(f.Limit, 2)+" "+f.Unit)
		}
		t.Rows = append(t.Rows, []string{string(f.Severity), f.Rule, f.Where, is, limit, remedy})
	}
	return t
}

func (in *Tables) parts() *flow.Table {
	t := in.table("Panels that arrive or are welded here", []string{"Id", "Name", "Steel", "mm", "Coating", "Comes"},
		[]float64{0, 1, 0, 0, 0, 0})
	welded := map[string]bool{}
	for _, w := range in.here.Welds {
		for _, s := range w.Sheets {
			welded[s] = true
		}
	}
	for _, r := range in.here.Seams {
		for _, s := range in.set.Flange(r.Flange).Panels {
			welded[s] = true
		}
	}
	for _, id := range in.station.Present {
		p := in.index.Panel(id)
		if p.Station != in.station.ID && !welded[id] {
			continue
		}
		comes := "in " + p.Station
		if p.Station == in.station.ID {
			comes = "here"
		} else if p.Station == "" {
			comes = "–"
		}
		t.Rows = append(t.Rows, []string{p.ID, p.Name, words.OrDash(p.Grade), words.Number(p.Thickness, 2), words.OrDash(p.Coating), comes})
	}
	return t
}

// hidden names the welds that no view shows.
func (in *Tables) hidden() *flow.Table {
	t := in.table("Welds that no view shows (drawn dashed): find them by the joint", []string{"Welds", "Joint"}, []float64{1, 1})
	joints, numbers := in.numbersBy(func(i int, w layout.Weld) string {
		if in.set.Seen(i) {
			return ""
		}
		return w.Joint
	})
	for _, id := range joints {
		t.Rows = append(t.Rows, []string{words.List(numbers[id]), id})
	}
	return t
}

// unseen names the fixtures that no view shows as they are. Before figures are drawn nobody knows.
func (in *Tables) unseen() *flow.Table {
	t := in.table("Fixtures and starts outside the views", []string{"Id", "At x, y, z in mm"}, []float64{0, 1})
	if !in.set.Assigned() {
		return t
	}
	for _, x := range in.set.Fixtures() {
		if f, _ := in.set.Belongs(x); f != nil {
			continue
		}
		at := place(x.At)
		if x.To != x.At {
			at += " to " + place(x.To) + "; no view shows both ends within 20° of the paper"
		}
		t.Rows = append(t.Rows, []string{x.Text, at})
	}
	for _, s := range in.set.Starts() {
		if in.set.StartIn(s) == nil {
			t.Rows = append(t.Rows, []string{"start of strip " + s.Flange, place(s.At)})
		}
	}
	for _, r := range in.here.Seams {
		if len(r.Path) > 1 && !in.set.StartSeen(r) {
			t.Rows = append(t.Rows, []string{"start of seam " + r.ID, place(r.Path[0])})
		}
	}
	return t
}

// Lost says what found no room in the figures: the figure, and what.
func (in *Tables) Lost(rows [][]string) *flow.Table {
	heads := []string{"View", "Welds, gun, setting: diameter, count (pitch); or id"}
	t := in.table("Not in the views, for want of room", heads, []float64{0, 1})
	t.Rows = rows
	return t
}

func place(v layout.Vec) string {
	return fmt.Sprintf("%s, %s, %s", words.Number(v[0], 0), words.Number(v[1], 0), words.Number(v[2], 0))
}

// signOff is filled in by hand, one sheet for each shell.
func (in *Tables) signOff() *flow.Table {
	t := in.table("Sign-off for shell no. ____________", []string{"What", "Name", "Date, time", "Signature"}, []float64{2, 1, 1, 1})
	t.Boxes, t.Whole, t.High = true, true, 8
	rows := []string{"Settings proved", "Parts pegged and clamped"}
	for _, h := range in.station.HoldPoints {
		rows = append(rows, "Hold point "+h.ID)
	}
	if len(in.here.Welds) > 0 {
		rows = append(rows, fmt.Sprintf("Welds 1–%d made", len(in.here.Welds)))
	}
	if len(in.here.Seams) > 0 {
		rows = append(rows, fmt.Sprintf("Roller seams made: %d", len(in.here.Seams)))
	}
	for _, r := range append(rows, "Inspected and released") {
		t.Rows = append(t.Rows, []string{r, "", "", ""})
	}
	return t
}

// Panels lists the panels in a sheet's views by their numbers, and those of the joints here that no balloon names there.
func (in *Tables) Panels(figures []*figure.Figure, named []string) *flow.Table {
	t := in.table("Panels in the views", []string{""}, []float64{1})
	t.Whole = true
	if !slices.ContainsFunc(figures, func(f *figure.Figure) bool { return !f.Gauge }) {
		return t
	}
	welded := map[string]bool{}
	for _, fl := range in.here.Flanges {
		for _, id := range fl.Panels {
			welded[id] = true
		}
	}
	var seen, rest []string
	for _, id := range in.station.Present {
		switch {
		case slices.Contains(named, id):
			seen = append(seen, in.set.Numbered(id))
		case welded[id]:
			rest = append(rest, id)
		}
	}
	if len(seen) > 0 {
		t.Rows = append(t.Rows, []string{strings.Join(seen, ", ")})
	}
	if len(rest) > 0 {
		t.Rows = append(t.Rows, []string{"Welded here, but not or hardly in sight in these views: " + strings.Join(rest, ", ")})
	}
	return t
}
