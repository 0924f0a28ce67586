package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamwright/layout"
)

// blocks are all tables of the station, in the order in which they are wanted at the jig.
func (j *job) blocks() []*block {
	all := []*block{
		j.thumbsBlock(), j.stepsBlock(), j.holdBlock(), j.runsBlock(), j.tiltBlock(), j.seamsBlock(), j.settingsBlock(), j.tipsBlock(),
		j.inspectionBlock(), j.cautionsBlock(), j.waitsBlock(), j.findingsBlock(), j.partsBlock(), j.hiddenBlock(), j.unseenBlock(),
		j.signBlock(),
	}
	var out []*block
	for _, b := range all {
		if b != nil && len(b.rows) > 0 {
			out = append(out, b)
		}
	}
	return out
}

// number writes a value with at most places decimals and no trailing zeros.
func number(v float64, places int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "?"
	}
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// span writes a range of weld numbers.
func span(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d–%d", from, to)
}

// pitchText writes a pitch, with its spread where that is more than a millimetre.
func pitchText(p layout.Range) string {
	switch {
	case p.Greatest == 0:
		return "–"
	case p.Greatest-p.Least > 1:
		return fmt.Sprintf("%s (%s–%s)", number(p.Mean, 0), number(p.Least, 0), number(p.Greatest, 0))
	}
	return number(p.Mean, 0)
}

// goodFrom says from which diameter a weld that is peeled or chiselled is good: more than 4 root t where the strength of a
// loaded joint counts on it.
func (j *job) goodFrom() string {
	var order []string
	welds := map[string][]string{}
	for _, r := range j.runs {
		good := 0.0
		for _, w := range j.index.Run(r.ID) {
			good = max(good, w.Accepted)
		}
		if good == 0 {
			continue
		}
		text := number(good, 1)
		if welds[text] == nil {
			order = append(order, text)
		}
		welds[text] = append(welds[text], span(r.From, r.To))
	}
	if len(order) == 0 {
		return ""
	}
	parts := make([]string, len(order))
	for i, text := range order {
		parts[i] = fmt.Sprintf("%s mm (welds %s)", text, strings.Join(welds[text], ", "))
	}
	return "Peeled or chiselled welds are good from " + strings.Join(parts, ", ") + "."
}

// diameter is the weld diameter of a run.
func (j *job) diameter(r layout.Run) float64 {
	if welds := j.index.Run(r.ID); len(welds) > 0 {
		return welds[0].WeldDiameter
	}
	return 0
}

// sheets writes the panels of a run's welds; those that only some of the welds join stand in brackets.
func (j *job) sheets(r layout.Run) string {
	var order []string
	count := map[string]int{}
	welds := 0
	for _, w := range j.index.Run(r.ID) {
		welds++
		for _, s := range w.Sheets {
			if count[s]++; count[s] == 1 {
				order = append(order, s)
			}
		}
	}
	text := ""
	for _, s := range order {
		switch {
		case count[s] < welds:
			text += " (+ " + s + ")"
		case text == "":
			text = s
		default:
			text += " + " + s
		}
	}
	return strings.TrimSpace(text)
}

func (j *job) runsBlock() *block {
	b := &block{title: "Runs", note: j.goodFrom(), head: []string{"Welds", "Joint", "Panels", "n", "Pitch", "Dia", "Gun", "Tip", "Set",
		"Step"},
		share: []float64{0, 1, 1.4, 0, 0, 0, 0, 0, 0, 0}}
	for _, r := range j.runs {
		b.rows = append(b.rows, []string{
			span(r.From, r.To), r.Joint, j.sheets(r), fmt.Sprint(r.Count), pitchText(r.Pitch),
			number(j.diameter(r), 1), j.letter(r.Gun), r.Tip, r.Setting, string(r.Step),
		})
	}
	return b
}

func (j *job) seamsBlock() *block {
	b := &block{title: "Roller seams", head: []string{"Id", "Joint", "Roller", "Length mm", "Speed m/min", "Rolling s", "Set", "After weld"},
		share: []float64{0, 1, 1, 0, 0, 0, 0, 0}}
	for _, r := range j.seams {
		after := "–"
		if r.After > 0 {
			after = fmt.Sprint(r.After)
		}
		b.rows = append(b.rows, []string{r.ID, r.Joint, j.roller(r.Roller), number(r.Length, 0), number(r.Speed*60/1000, 2),
			number(r.Time, 0), r.Setting,
			after})
	}
	return b
}

// settingsBlock lists the settings in use here. They are where proving starts, not where it ends.
func (j *job) settingsBlock() *block {
	b := &block{title: "Settings to start from", note: "CAUTION: starting values. Prove each by peel or chisel test (ISO 10447) before use.",
		head:  []string{"Set", "Stack", "Force kN", "Current kA", "Squeeze / weld / hold s", "Nugget mm", "Proved by, date"},
		share: []float64{0, 1, 0, 0, 0, 0, 0.8}}
	for _, s := range j.here.Settings {
		// The tips' faces stand with the tips: a setting's own would be a second face for one cap.
		nugget := "–"
		if s.Nugget > 0 {
			nugget = number(s.Nugget, 1)
		}
		times := fmt.Sprintf("%s / %s / %s", number(s.Squeeze, 2), number(s.Weld, 2), number(s.Hold, 2))
		if s.Kind == layout.RollerSetting {
			times = fmt.Sprintf("on %s, off %s", number(s.Weld, 2), number(s.Hold, 2))
		}
		b.rows = append(b.rows, []string{s.ID, s.Stack, number(s.Force/1000, 2), number(s.Current/1000, 1), times, nugget, ""})
	}
	b.note += j.settingSources()
	return b
}

// settingSources names where each setting comes from, those of one source together.
func (j *job) settingSources() string {
	var sources []string
	ids := map[string][]string{}
	for _, s := range j.here.Settings {
		if s.Source == "" {
			continue
		}
		if ids[s.Source] == nil {
			sources = append(sources, s.Source)
		}
		ids[s.Source] = append(ids[s.Source], s.ID)
	}
	var b strings.Builder
	for _, source := range sources {
		fmt.Fprintf(&b, " %s: %s.", strings.Join(ids[source], ", "), source)
	}
	return b.String()
}

func (j *job) stepsBlock() *block {
	b := &block{title: "Order of work", head: []string{"", "Do", "How", "Welds"}, share: []float64{0, 0, 1, 0}}
	if len(j.station.Crewing.Shares) > 0 {
		b.note = fmt.Sprintf("%s min with a crew of %d, %s.", number(j.station.Crewing.Minutes, 0), j.station.Crew, j.station.Crewing.Sure())
	}
	if j.station.Crew > 1 {
		b.head, b.share = append(b.head, "Who"), append(b.share, 0)
		b.note += " Who: by number; the labour sheet has a line of steps for each."
	}
	for i, s := range j.station.Steps {
		row := []string{fmt.Sprint(i + 1), string(s.Do), s.Text, j.weldsOf(s.Runs)}
		if j.station.Crew > 1 {
			row = append(row, strings.Trim(strings.ReplaceAll(fmt.Sprint(s.Persons), " ", ", "), "[]"))
		}
		b.rows = append(b.rows, row)
	}
	return b
}

// weldsOf writes the numbers of runs, neighbouring ranges joined.
func (j *job) weldsOf(runs []int) string {
	var parts []string
	from, to := 0, 0
	flush := func() {
		if from > 0 {
			parts = append(parts, span(from, to))
		}
	}
	for _, id := range runs {
		for _, r := range j.runs {
			if r.ID != id {
				continue
			}
			if from > 0 && r.From == to+1 {
				to = r.To
				continue
			}
			flush()
			from, to = r.From, r.To
		}
	}
	flush()
	return strings.Join(parts, ", ")
}

func (j *job) holdBlock() *block {
	b := &block{title: "Hold points: measure, and go on only when right", head: []string{"Id", "What", "Before", "Value mm", "Tolerance",
		"Measured", "By"}, share: []float64{0, 1.5, 0, 0, 0, 0.6, 0.4}, boxes: true, high: 7}
	for _, h := range j.station.HoldPoints {
		before := h.BeforeWords()
		value, tol := "–", "–"
		if h.Value != 0 {
			value = number(h.Value, 1)
		}
		if h.Tolerance != 0 {
			tol = "± " + number(h.Tolerance, 2)
		}
		b.rows = append(b.rows, []string{h.ID, h.Text, before, value, tol, "", ""})
	}
	return b
}

// waitsBlock lists the welds that have to wait, and why.
func (j *job) waitsBlock() *block {
	b := &block{title: "Welds that wait", head: []string{"Welds", "Why"}, share: []float64{0.5, 1}}
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
		b.rows = append(b.rows, []string{list(numbers[why]), why})
	}
	return b
}

// list writes rising numbers with stretches joined: 3, 7–9.
func list(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		parts = append(parts, span(numbers[i], numbers[k]))
		i = k + 1
	}
	return strings.Join(parts, ", ")
}
