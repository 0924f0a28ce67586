package sheet

import (
	"fmt"
	"strings"

	"seamwright/layout"
)

// cautionsBlock holds what everybody at the jig must know. Figures and duties differ from place to place,
// and the sheet says so. Common practice unless a source stands beside it.
func (j *job) cautionsBlock() *block {
	b := &block{title: "Cautions", share: []float64{1}, framed: true, whole: true}
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
	for _, t := range texts {
		b.rows = append(b.rows, []string{t})
	}
	return b
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

func (j *job) findingsBlock() *block {
	b := &block{title: "Findings: rules in doubt or broken here", head: []string{"", "Rule", "Where", "Is", "Limit", "Remedy"},
		share: []float64{0, 0, 1, 0, 0, 1.2}}
	for _, f := range j.findings {
		remedy := f.Remedy
		if f.Severity == layout.Waived {
			remedy = fmt.Sprintf("let stand by %s: %s", orDash(f.Name), orDash(f.Reason))
		}
		is, limit := "", ""
		if !f.Plain() {
			is = strings.TrimSpace(number(f.Value, 2) + " " + f.Unit)
		}
		if f.Limited() {
			is, limit = number(f.Value, 2), strings.TrimSpace(number(f.Limit, 2)+" "+f.Unit)
		}
		b.rows = append(b.rows, []string{string(f.Severity), f.Rule, f.Where, is, limit, remedy})
	}
	return b
}

func (j *job) partsBlock() *block {
	b := &block{title: "Panels that arrive or are welded here", head: []string{"Id", "Name", "Steel", "mm", "Coating", "Comes"},
		share: []float64{0, 1, 0, 0, 0, 0}}
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
		b.rows = append(b.rows, []string{p.ID, p.Name, orDash(p.Grade), number(p.Thickness, 2), orDash(p.Coating), comes})
	}
	return b
}

// hiddenBlock names the welds that no view shows.
func (j *job) hiddenBlock() *block {
	b := &block{title: "Welds that no view shows (drawn dashed): find them by the joint", head: []string{"Welds", "Joint"},
		share: []float64{1, 1}}
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
		b.rows = append(b.rows, []string{list(numbers[id]), id})
	}
	return b
}

// unseenBlock names the fixtures that lie outside what the views show.
func (j *job) unseenBlock() *block {
	b := &block{title: "Clamps, dowels and hold points outside the views", head: []string{"Id", "At x, y, z in mm"}, share: []float64{0, 1}}
	for _, x := range j.fixtures() {
		if f, _ := j.belongs(x); f == nil {
			b.rows = append(b.rows, []string{x.text, fmt.Sprintf("%s, %s, %s", number(x.at[0], 0), number(x.at[1], 0), number(x.at[2], 0))})
		}
	}
	return b
}

// signBlock is filled in by hand, one sheet for each shell.
func (j *job) signBlock() *block {
	b := &block{title: "Sign-off for shell no. ____________", head: []string{"What", "Name", "Date, time", "Signature"},
		share: []float64{1.2, 1, 1, 1}, boxes: true, whole: true, high: 7}
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
		b.rows = append(b.rows, []string{r, "", "", ""})
	}
	return b
}
