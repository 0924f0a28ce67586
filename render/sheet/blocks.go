package sheet

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// table starts one that is read at the jig.
func table(title string, heads []string, shares []float64) *flow.Table {
	return &flow.Table{Title: title, Columns: flow.Columns(heads, shares), Letters: paper.AtJig}
}

// filled keeps the tables that have rows.
func filled(all ...*flow.Table) []*flow.Table {
	return slices.DeleteFunc(all, func(t *flow.Table) bool { return t == nil || len(t.Rows) == 0 })
}

// blocks are the tables of the station, in the order in which they are wanted at the jig.
func (j *job) blocks() []*flow.Table {
	return j.known(j.stepsBlock(), j.thumbsBlock(), j.holdBlock(), j.jointsBlock(), j.tiltBlock(), j.seamsBlock(), j.settingsBlock(),
		j.tipsBlock(), j.cautionsBlock(), j.inspectionBlock(), j.hiddenBlock(), j.unseenBlock(), j.signBlock())
}

// known keeps the tables that have rows; their texts are broken into lines once for all of the station's sheets.
func (j *job) known(all ...*flow.Table) []*flow.Table {
	out := filled(all...)
	for _, t := range out {
		t.Lines = j.lines
	}
	return out
}

// officeBlocks are what the engineer wants to know and nobody at the jig can act on.
func (j *job) officeBlocks() []*flow.Table {
	all := j.known(j.findingsBlock(), j.runsBlock(), j.sourcesBlock(), j.waitsBlock(), j.partsBlock())
	for i, t := range all {
		if t.Letters, t.Tight = paper.TextHeight, true; i == 0 {
			t.Note = strings.TrimSpace("For the engineer: nothing on this sheet is needed at the jig. " + t.Note)
		}
	}
	return all
}

// runsBlock lists the runs in full.
func (j *job) runsBlock() *flow.Table {
	t := table("Runs", []string{"Welds", "Joint", "Panels", "n", "Pitch", "Dia", "Good from", "Gun", "Tip", "Set", "Step"},
		[]float64{0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0})
	for _, r := range j.runs {
		t.Rows = append(t.Rows, []string{
			words.Span(r.From, r.To), r.Joint, j.sheets(r), fmt.Sprint(r.Count), words.Pitch(r.Pitch), words.Diameter(j.index, r),
			words.Accepted(j.index, r), j.letter(r.Gun), r.Tip, r.Setting, string(r.Step),
		})
	}
	return t
}

// sheets writes the panels of a run's welds where they are not those of the joint; those that only some of the welds join stand
// in brackets.
func (j *job) sheets(r layout.Run) string {
	var order []string
	count := map[string]int{}
	welds := j.index.Run(r.ID)
	for _, w := range welds {
		for _, s := range w.Sheets {
			if count[s]++; count[s] == 1 {
				order = append(order, s)
			}
		}
	}
	joint, known := j.index.Joint(r.Joint)
	if all := func(s string) bool { return count[s] < len(welds) }; known && len(order) == len(joint.Panels) &&
		!slices.ContainsFunc(order, all) {
		return "the joint's"
	}
	text := ""
	for _, s := range order {
		switch {
		case count[s] < len(welds):
			text += " (+ " + s + ")"
		case text == "":
			text = s
		default:
			text += " + " + s
		}
	}
	return strings.TrimSpace(text)
}

// jointsBlock says what the short names of joints stand for.
func (j *job) jointsBlock() *flow.Table {
	t := table("Joints", []string{"Joint", "In words", "Panels"}, []float64{0, 1, 1})
	for _, x := range j.plan.Joints {
		if x.Station != j.station.ID {
			continue
		}
		name := x.Name
		if name == x.ID {
			name = ""
		}
		t.Rows = append(t.Rows, []string{x.ID, name, strings.Join(x.Panels, " + ")})
	}
	return t
}

func (j *job) seamsBlock() *flow.Table {
	t := table("Roller seams", []string{"Id", "Joint", "Roller", "Length\nmm", "Speed\nm/min", "Rolling\ns", "Set", "After\nweld"},
		[]float64{0, 1, 1, 0, 0, 0, 0, 0})
	for _, r := range j.seams {
		after := "–"
		if r.After > 0 {
			after = fmt.Sprint(r.After)
		}
		t.Rows = append(t.Rows, []string{r.ID, r.Joint, j.roller(r.Roller), words.Number(r.Length, 0), words.Speed(r.Speed),
			words.Number(r.Time, 0), r.Setting, after})
	}
	return t
}

// settingsBlock lists the settings in use here. They are where proving starts, not where it ends.
func (j *job) settingsBlock() *flow.Table {
	t := table("Settings to start from", []string{"Set", "Stack", "Force\nkN", "Current\nkA", "Squeeze / weld\n/ hold s", "Nugget\nmm",
		"Proved by,\ndate"}, []float64{0, 1, 0, 0, 0, 0, 0.8})
	t.Note = "CAUTION: prove each by peel or chisel test (ISO 10447) before use."
	t.Boxes, t.High = true, 9
	for _, s := range j.here.Settings {
		// The tips' faces stand with the tips: a setting's own would be a second face for one cap.
		t.Rows = append(t.Rows, []string{s.ID, s.Stack, words.Force(s), words.Current(s), words.Times(s), words.Nugget(s), ""})
	}
	return t
}

// sourcesBlock names where each setting comes from, those of one source together.
func (j *job) sourcesBlock() *flow.Table {
	t := table("Where the settings come from", []string{"Set", "Source"}, []float64{0.3, 1})
	for _, s := range j.here.Settings {
		if s.Source == "" {
			continue
		}
		i := slices.IndexFunc(t.Rows, func(row []string) bool { return row[1] == s.Source })
		if i >= 0 {
			t.Rows[i][0] += ", " + s.ID
			continue
		}
		t.Rows = append(t.Rows, []string{s.ID, s.Source})
	}
	return t
}

func (j *job) holdBlock() *flow.Table {
	t := table("Hold points: measure, and go on only when right", []string{"Id", "What", "Before", "mm", "", "View", "Measured", "By"},
		[]float64{0, 1.5, 0.9, 0, 0, 0, 0.7, 0.5})
	t.Boxes, t.High = true, 9
	for i, h := range j.station.HoldPoints {
		value, tolerance := words.Hold(h)
		letter := "–"
		if f, _ := j.belongs(j.holdFixture(i)); f != nil {
			letter = f.letter
		}
		t.Rows = append(t.Rows, []string{h.ID, h.Text, h.BeforeWords(), value, tolerance, letter, "", ""})
	}
	return t
}

// waitsBlock lists the welds that have to wait, and why.
func (j *job) waitsBlock() *flow.Table {
	t := table("Welds that wait", []string{"Welds", "Why"}, []float64{1, 1})
	var reasons []string
	numbers := map[string][]int{}
	for _, w := range j.welds {
		if w.Waits == "" {
			continue
		}
		if numbers[w.Waits] == nil {
			reasons = append(reasons, w.Waits)
		}
		numbers[w.Waits] = append(numbers[w.Waits], w.Number)
	}
	for _, why := range reasons {
		t.Rows = append(t.Rows, []string{words.List(numbers[why]), why})
	}
	return t
}
