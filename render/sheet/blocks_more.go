package sheet

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
)

// cautionsBlock holds what everybody at the jig must know. Figures and duties differ from place to place,
// and the sheet says so. Common practice unless a source stands beside it.
func (j *job) cautionsBlock() *flow.Table {
	t := table("Cautions", []string{""}, []float64{1})
	t.Framed, t.Whole = true, true
	texts := []string{
		"EYES: hot metal flies from spots and rollers. Wear clear impact-rated eye protection with side shields, all who stand near.",
		"HANDS: electrodes close with a force that crushes. Keep fingers out of the gun; never hold sheets beside the tips while they close.",
		"HOT METAL: welds, tips and rollers stay hot. Wear dry gloves and sleeves; keep paper, rags and sealant off.",
		"MAGNETIC FIELD: strong near gun and cables. People with a pacemaker or other implant stay away; no watches or magnetic cards.",
		"LIFTING: sheet edges cut. Two people or a hoist for what one cannot hold safely; nobody under a raised shell.",
		"ELECTRICITY AND WATER: stop work when cables, hoses or the earth lead are damaged or wet.",
	}
	if j.coated() {
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
func (j *job) coated() bool {
	for _, id := range j.station.Present {
		if c := j.index.Panel(id).Coating; c != "" && c != "none" {
			return true
		}
	}
	return false
}

func (j *job) findingsBlock() *flow.Table {
	t := table("Findings: rules in doubt or broken here", []string{"", "Rule", "Where", "Is", "Limit", "Remedy"},
		[]float64{0, 0, 1, 0, 0, 1.2})
	for _, f := range j.findings {
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

func (j *job) partsBlock() *flow.Table {
	t := table("Panels that arrive or are welded here", []string{"Id", "Name", "Steel", "mm", "Coating", "Comes"},
		[]float64{0, 1, 0, 0, 0, 0})
	welded := map[string]bool{}
	for _, w := range j.welds {
		for _, s := range w.Sheets {
			welded[s] = true
		}
	}
	for _, r := range j.seams {
		for _, s := range j.flange(r.Flange).Panels {
			welded[s] = true
		}
	}
	for _, id := range j.station.Present {
		p := j.index.Panel(id)
		if p.Station != j.station.ID && !welded[id] {
			continue
		}
		comes := "in " + p.Station
		if p.Station == j.station.ID {
			comes = "here"
		} else if p.Station == "" {
			comes = "–"
		}
		t.Rows = append(t.Rows, []string{p.ID, p.Name, words.OrDash(p.Grade), words.Number(p.Thickness, 2), words.OrDash(p.Coating), comes})
	}
	return t
}

// hiddenBlock names the welds that no view shows.
func (j *job) hiddenBlock() *flow.Table {
	t := table("Welds that no view shows (drawn dashed): find them by the joint", []string{"Welds", "Joint"}, []float64{1, 1})
	var joints []string
	numbers := map[string][]int{}
	for i, w := range j.welds {
		if j.seen[i] {
			continue
		}
		if numbers[w.Joint] == nil {
			joints = append(joints, w.Joint)
		}
		numbers[w.Joint] = append(numbers[w.Joint], w.Number)
	}
	for _, id := range joints {
		t.Rows = append(t.Rows, []string{words.List(numbers[id]), id})
	}
	return t
}

// unseenBlock names the fixtures that no view shows as they are.
func (j *job) unseenBlock() *flow.Table {
	t := table("Fixtures and starts outside the views", []string{"Id", "At x, y, z in mm"}, []float64{0, 1})
	for _, x := range j.fixtures() {
		if f, _ := j.belongs(x); f != nil || j.shown == nil { // before the pictures are drawn nobody knows
			continue
		}
		at := place(x.at)
		if x.to != x.at {
			at += " to " + place(x.to) + "; no view shows both ends within 20° of the paper"
		}
		t.Rows = append(t.Rows, []string{x.text, at})
	}
	for _, s := range j.starts() {
		if j.shown != nil && j.startsIn(s) == nil {
			t.Rows = append(t.Rows, []string{"start of strip " + s.flange, place(s.at)})
		}
	}
	for _, r := range j.seams {
		if j.shown != nil && len(r.Path) > 1 && !j.startSeen(r) {
			t.Rows = append(t.Rows, []string{"start of seam " + r.ID, place(r.Path[0])})
		}
	}
	return t
}

// lostBlock says what found no room in the views.
func lostBlock(pages []*page) *flow.Table {
	t := table("Not in the views, for want of room", []string{"View", "Welds, gun, setting: diameter, count (pitch); or id"}, []float64{0, 1})
	for _, p := range pages {
		t.Rows = append(t.Rows, p.lost...)
	}
	return t
}

// startSeen reports whether a view shows where a roller seam begins.
func (j *job) startSeen(r layout.Seam) bool {
	return slices.ContainsFunc(j.figures, func(f *figure) bool {
		return !f.gauge && f.picture != nil && slices.ContainsFunc(j.seam(f, r), func(s seamPart) bool { return s.first && s.seen })
	})
}

func place(v layout.Vec) string {
	return fmt.Sprintf("%s, %s, %s", words.Number(v[0], 0), words.Number(v[1], 0), words.Number(v[2], 0))
}

// signBlock is filled in by hand, one sheet for each shell.
func (j *job) signBlock() *flow.Table {
	t := table("Sign-off for shell no. ____________", []string{"What", "Name", "Date, time", "Signature"}, []float64{2, 1, 1, 1})
	t.Boxes, t.Whole, t.High = true, true, 8
	rows := []string{"Settings proved", "Parts pegged and clamped"}
	for _, h := range j.station.HoldPoints {
		rows = append(rows, "Hold point "+h.ID)
	}
	if len(j.welds) > 0 {
		rows = append(rows, fmt.Sprintf("Welds 1–%d made", len(j.welds)))
	}
	if len(j.seams) > 0 {
		rows = append(rows, fmt.Sprintf("Roller seams made: %d", len(j.seams)))
	}
	for _, r := range append(rows, "Inspected and released") {
		t.Rows = append(t.Rows, []string{r, "", "", ""})
	}
	return t
}
