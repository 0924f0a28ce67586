// Package instructions writes what a station's sheets say beside its views, as tables: for the jig the order of work, hold points,
// joints, settings, tips, cautions, inspection and sign-off; for the engineer findings, runs and where figures come from.
//
//	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
//	for _, t := range instructions.New(set).AtJig(nil) {
//		fmt.Println(t.Title, len(t.Rows))
//	}
package instructions

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/figure"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Tables are those of one station.
type Tables struct {
	set     *figure.Set
	index   *layout.Index
	here    *layout.AtStation
	station layout.Station
	lines   flow.Lines // texts are broken into lines once for all of the station's sheets
}

// New is for a station whose views are chosen. What tables say of views holds for the figures as they are drawn when a table is asked for.
func New(set *figure.Set) *Tables {
	return &Tables{set: set, index: set.Index, here: set.Here, station: set.Here.Station, lines: flow.Lines{}}
}

// table starts one that is read at the jig.
func (in *Tables) table(title string, heads []string, shares []float64) *flow.Table {
	return &flow.Table{Title: title, Columns: flow.Columns(heads, shares), Letters: paper.AtJig, Lines: in.lines}
}

// AtJig are the tables of the station, in the order in which they are wanted at the jig, without those that have no rows; pictures
// of what arrives and what leaves, nil where there are none, stand after the order of work.
func (in *Tables) AtJig(pictures *flow.Table) []*flow.Table {
	return flow.WithRows(in.steps(), pictures, in.hold(), in.joints(), in.tilt(), in.seams(), in.settings(), in.tips(), in.cautions(),
		in.inspection(), in.hidden(), in.unseen(), in.signOff())
}

// Engineer are the tables of what the engineer wants to know and nobody at the jig can act on.
func (in *Tables) Engineer() []*flow.Table {
	all := flow.WithRows(in.findings(), in.runs(), in.sources(), in.waits(), in.parts())
	for i, t := range all {
		if t.Letters, t.Tight = paper.TextHeight, true; i == 0 {
			t.Note = strings.TrimSpace("For the engineer: nothing on this sheet is needed at the jig. " + t.Note)
		}
	}
	return all
}

// runs lists the runs in full.
func (in *Tables) runs() *flow.Table {
	t := in.table("Runs", []string{"Welds", "Joint", "Panels", "n", "Pitch", "Dia", "Good from", "Gun", "Tip", "Set", "Step"},
		[]float64{0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0})
	for _, r := range in.here.Runs {
		t.Rows = append(t.Rows, []string{
			words.Span(r.From, r.To), r.Joint, in.sheets(r), fmt.Sprint(r.Count), words.Pitch(r.Pitch), words.Diameter(in.index, r),
			words.Accepted(in.index, r), words.Gun(in.index, r.Gun), r.Tip, r.Setting, string(r.Step),
		})
	}
	return t
}

// sheets writes the panels of a run's welds where they are not those of the joint; those that only some of the welds join stand
// in brackets.
func (in *Tables) sheets(r layout.Run) string {
	var order []string
	count := map[string]int{}
	welds := in.index.Run(r.ID)
	for _, w := range welds {
		for _, s := range w.Sheets {
			if count[s]++; count[s] == 1 {
				order = append(order, s)
			}
		}
	}
	joint, known := in.index.Joint(r.Joint)
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

// joints says what the short names of joints stand for.
func (in *Tables) joints() *flow.Table {
	t := in.table("Joints", []string{"Joint", "In words", "Panels"}, []float64{0, 1, 1})
	for _, x := range in.set.Plan.Joints {
		if x.Station != in.station.ID {
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

func (in *Tables) seams() *flow.Table {
	t := in.table("Roller seams", []string{"Id", "Joint", "Roller", "Length\nmm", "Speed\nm/min", "Rolling\ns", "Set", "After\nweld"},
		[]float64{0, 1, 1, 0, 0, 0, 0, 0})
	for _, r := range in.here.Seams {
		after := "–"
		if r.After > 0 {
			after = fmt.Sprint(r.After)
		}
		t.Rows = append(t.Rows, []string{r.ID, r.Joint, in.roller(r.Roller), words.Number(r.Length, 0), words.Speed(r.Speed),
			words.Number(r.Time, 0), r.Setting, after})
	}
	return t
}

// settings lists the settings in use here. They are where proving starts, not where it ends.
func (in *Tables) settings() *flow.Table {
	t := in.table("Settings to start from", []string{"Set", "Stack", "Force\nkN", "Current\nkA", "Squeeze / weld\n/ hold s", "Nugget\nmm",
		"Proved by,\ndate"}, []float64{0, 1, 0, 0, 0, 0, 0.8})
	t.Note = "CAUTION: prove each by peel or chisel test (ISO 10447) before use."
	t.Boxes, t.High = true, 9
	for _, s := range in.here.Settings {
		// The tips' faces stand with the tips: a setting's own would be a second face for one cap.
		t.Rows = append(t.Rows, []string{s.ID, s.Stack, words.Force(s), words.Current(s), words.Times(s), words.Nugget(s), ""})
	}
	return t
}

// sources names where each setting comes from, those of one source together.
func (in *Tables) sources() *flow.Table {
	t := in.table("Where the settings come from", []string{"Set", "Source"}, []float64{0.3, 1})
	for _, s := range in.here.Settings {
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

func (in *Tables) hold() *flow.Table {
	t := in.table("Hold points: measure, and go on only when right", []string{"Id", "What", "Before", "mm", "", "View", "Measured", "By"},
		[]float64{0, 1.5, 0.9, 0, 0, 0, 0.7, 0.5})
	t.Boxes, t.High = true, 9
	for i, h := range in.station.HoldPoints {
		value, tolerance := words.Hold(h)
		letter := "–"
		if f, _ := in.set.Belongs(in.set.HoldFixture(i)); f != nil {
			letter = f.Letter
		}
		t.Rows = append(t.Rows, []string{h.ID, h.Text, h.BeforeWords(), value, tolerance, letter, "", ""})
	}
	return t
}

// waits lists the welds that have to wait, and why.
func (in *Tables) waits() *flow.Table {
	t := in.table("Welds that wait", []string{"Welds", "Why"}, []float64{1, 1})
	reasons, numbers := in.numbersBy(func(_ int, w layout.Weld) string { return w.Waits })
	for _, why := range reasons {
		t.Rows = append(t.Rows, []string{words.List(numbers[why]), why})
	}
	return t
}

// numbersBy are the numbers of the welds here by what is said of each, in the order in which that is said first; welds of which nothing is
// said are left out.
func (in *Tables) numbersBy(said func(i int, w layout.Weld) string) (all []string, numbers map[string][]int) {
	numbers = map[string][]int{}
	for i, w := range in.here.Welds {
		what := said(i, w)
		if what == "" {
			continue
		}
		if numbers[what] == nil {
			all = append(all, what)
		}
		numbers[what] = append(numbers[what], w.Number)
	}
	return all, numbers
}

// roller is a roller head's letter and name.
func (in *Tables) roller(id string) string {
	r := in.index.Roller(id)
	if r.Letter == r.Name {
		return r.Name
	}
	return r.Letter + " " + r.Name
}
