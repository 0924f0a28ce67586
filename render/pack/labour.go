package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/chart"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// labour is the sheet of the whole shell's work.
func (b *binder) labour() []*paper.Page { return flow.Fewest(b.labourSet) }

func (b *binder) labourSet(dense bool) []*paper.Page {
	p := b.plan
	w := b.work("Labour sheet", p.Shell.Name, p.Shell.Number)
	w.Letters, w.Dense = paper.AtJig, dense
	w.Table(flow.Table{Title: "Work on one shell of the batch", Columns: []flow.Column{{Share: 1}, {Right: true}}, Rows: b.workFigures()})
	w.Title("Where the minutes go: man-minutes a shell", 40)
	w.bars(chart.Shares(p.Labour.Lines, 1./60, 1))
	from, _ := b.index.FirstShells(1)
	var rows []row
	for i := range p.Stations {
		rows = append(rows, crewRows(b.index.Station(p.Stations[i].ID), from[i][0])...)
	}
	w.chart("One shell through the line: the crew's minutes, phase by phase",
		"A station starts when all that arrives there is made. Its crew works by the station's schedule; where a row is blank they wait. "+
			"Practice and allowances are laid on all phases in proportion.", rows)
	w.legend(b.usedPhases(""))
	if len(p.Stations) > 1 {
		b.line(w)
	}
	b.stationTable(w)
	b.factors(w)
	return w.Pages()
}

// workFigures are the work in numbers.
func (b *binder) workFigures() [][]string {
	p := b.plan
	rows := [][]string{
		{"Work a shell", number(p.Labour.ManMinutesPerShell, 1) + " man-min"},
		{"Jig preparation for the batch of " + strconv.Itoa(p.Shell.Batch), number(p.Labour.PrepareMinutes/60, 1) + " h"},
		{"Work a shell, preparation shared", number(p.Cost.MinutesPerShell, 1) + " man-min"},
		{"Spot welds, roller seam", fmt.Sprintf("%d, %s m", p.Labour.Welds, number(p.Labour.RollerMetres, 2))},
	}
	if p.Flow.Bottleneck != "" {
		rows = append(rows,
			[]string{"Slowest station: " + p.Flow.Bottleneck, number(p.Flow.BottleneckMinutes, 1) + " min a shell"},
			[]string{"First shell out after", number(p.Flow.FirstShell/60, 1) + " h"},
			[]string{"Batch out after, jigs ready", number(p.Flow.Makespan/60, 1) + " h"},
			[]string{"Batch out after, each crew preparing its jig first", number(p.Flow.MakespanPrepared/60, 1) + " h"})
		if p.Flow.ShellsPerWeek > 0 {
			rows = append(rows, []string{"Shells a week at that pace", number(p.Flow.ShellsPerWeek, 1)})
		}
	}
	return rows
}

// usedPhases says which phases a station has; no station means all.
func (b *binder) usedPhases(station string) []bool {
	used := make([]bool, len(phases))
	for _, st := range b.plan.Stations {
		if station != "" && st.ID != station {
			continue
		}
		for _, s := range st.Crewing.Shares {
			if s.To > s.From && s.Step >= 1 && s.Step <= len(st.Steps) {
				used[phaseOfStep(st.Steps[s.Step-1].Do)] = true
			}
		}
	}
	return used
}

// line draws the first shells of the batch behind each other.
func (b *binder) line(w *work) {
	shells := min(4, max(1, b.plan.Shell.Batch))
	if shells < 2 {
		return
	}
	from, to := b.index.FirstShells(shells)
	tints := []paper.Ink{"#ffffff", "#c4c4c4", "#e4e4e4", "#a8a8a8"}
	var rows []row
	for i, st := range b.plan.Stations {
		r := row{name: fmt.Sprintf("%s, crew %d", st.ID, st.Crew)}
		for k := range shells {
			r.slots = append(r.slots, slot{from[i][k], to[i][k], strconv.Itoa(k + 1), tints[k]})
		}
		rows = append(rows, r)
	}
	w.chart(fmt.Sprintf("The first %d shells of the batch, jigs ready: which shell is where", shells), "", rows)
}

func (b *binder) stationTable(w *work) {
	t := flow.Table{Total: true, Columns: flow.Heads("=Station", ">Crew", ">Welds", ">Rolled\nm", ">Spots", ">Rollers", ">Hand-\nling", ">All",
		">At the\njig", ">Jig\nready")}
	var sum layout.StationLabour
	for _, s := range b.plan.Labour.Stations {
		name := s.Station
		if s.Name != "" && s.Name != s.Station {
			name += ", " + s.Name
		}
		t.Rows = append(t.Rows, labourRow(name, s))
		sum.Crew, sum.Welds, sum.RollerMetre = sum.Crew+s.Crew, sum.Welds+s.Welds, sum.RollerMetre+s.RollerMetre
		sum.Weld, sum.Roll, sum.Handling, sum.ManMinutes, sum.Prepare = sum.Weld+s.Weld, sum.Roll+s.Roll, sum.Handling+s.Handling,
			sum.ManMinutes+s.ManMinutes, sum.Prepare+s.Prepare
	}
	if len(t.Rows) == 0 {
		return
	}
	last := labourRow("All", sum)
	last[8] = ""
	t.Rows = append(t.Rows, last)
	t.Title = "Stations"
	t.Note = "Spots, rollers, handling and all: man-minutes a shell. At the jig: minutes a shell. Jig ready: minutes for the batch."
	w.Table(t)
}

func labourRow(name string, s layout.StationLabour) []string {
	return []string{name, strconv.Itoa(s.Crew), strconv.Itoa(s.Welds), number(s.RollerMetre, 2), number(s.Weld, 1), number(s.Roll, 1),
		number(s.Handling, 1), number(s.ManMinutes, 1), number(s.Minutes, 1), number(s.Prepare, 0)}
}

func (b *binder) factors(w *work) {
	t := flow.Table{Columns: []flow.Column{{Head: "Factor", Share: 1}, {Head: "Value", Right: true}, {Head: "Source", Share: 2}}}
	for _, f := range b.plan.Labour.Factors {
		value := "–"
		if f.Value != 0 && !math.IsNaN(f.Value) {
			value = number(f.Value, 4)
		}
		t.Rows = append(t.Rows, []string{f.Name, value, f.Source})
	}
	if len(t.Rows) > 0 {
		t.Title = "What is laid on the work"
		w.Table(t)
	}
}

// stationLabour is the sheet of one station's work.
func (b *binder) stationLabour(st layout.Station) []*paper.Page {
	return flow.Fewest(func(dense bool) []*paper.Page { return b.stationLabourSet(st, dense) })
}

func (b *binder) stationLabourSet(st layout.Station, dense bool) []*paper.Page {
	p := b.plan
	w := b.work("Work at the jig", p.Shell.Name+" · "+stationName(st), words.Identification(p.Shell, st.ID))
	w.Letters, w.Dense = paper.AtJig, dense
	here := b.index.Station(st.ID)
	w.chart("The crew at this jig, one shell",
		fmt.Sprintf("Crew of %d, %s min at the jig, %s; %d welds. Where a row is blank, that person waits. Minutes are those of a shell of the "+
			"batch's average, practice and allowances laid on all phases in proportion.", st.Crew, number(here.Minutes(), 1), st.Crewing.Sure(),
			st.Welds), crewRows(here, 0))
	w.legend(b.usedPhases(st.ID))
	w.Title("Where the minutes go: man-minutes a shell", 40)
	w.bars(chart.Shares(here.Lines, 1./60, 1))
	t := flow.Table{Columns: []flow.Column{{Right: true}, {Head: "Do"}, {Head: "How", Share: 1}, {Head: "Who"},
		{Head: "From\nmin", Right: true},
		{Head: "To\nmin", Right: true}}}
	for n, s := range st.Steps {
		t.Rows = append(t.Rows, []string{strconv.Itoa(n + 1), string(s.Do), s.Text, words.Listed(s.Persons), number(s.From, 1), number(s.To, 1)})
	}
	if len(t.Rows) > 0 {
		t.Title = "Order of work"
		w.Table(t)
	}
	b.persons(w, st)
	return w.Pages()
}

// persons writes a line of steps for each person of a crew of several.
func (b *binder) persons(w *work, st layout.Station) {
	if st.Crew < 2 {
		return
	}
	for k, own := range st.Persons() {
		t := flow.Table{Columns: []flow.Column{{Head: "From\nmin", Right: true}, {Head: "To\nmin", Right: true}, {Head: "Step", Right: true},
			{Head: "Do"},
			{Head: "What", Share: 1}}}
		for _, v := range own {
			row := []string{number(v.From, 1), number(v.To, 1), "", "wait", ""}
			if v.Step > 0 {
				row[2], row[3] = strconv.Itoa(v.Step), string(v.Do)
				row[4] = b.share(st.ID, st.Steps[v.Step-1], v)
			}
			t.Rows = append(t.Rows, row)
		}
		t.Title = fmt.Sprintf("Person %d", k+1)
		w.Table(t)
	}
}

// share is a person's part of a step: their welds with gun and setting, or joints; where all of it is theirs, the step in its own words.
func (b *binder) share(station string, step layout.Step, v layout.Stretch) string {
	if len(v.Runs) == 0 {
		return cmp.Or(strings.Join(v.Joints, ", "), step.Text)
	}
	var joints, tools []string
	for _, r := range b.index.Station(station).Runs {
		if slices.Contains(v.Runs, r.ID) {
			joints, tools = append(joints, r.Joint), append(tools, fmt.Sprintf("gun %s, tip %s, setting %s",
				cmp.Or(b.index.Gun(r.Gun).Letter, r.Gun), words.OrDash(r.Tip), words.OrDash(r.Setting)))
		}
	}
	return fmt.Sprintf("%s on %s: %s", words.Welds(b.index, v.Runs), strings.Join(distinct(joints), ", "),
		strings.Join(distinct(tools), "; "))
}

// distinct keeps the first of each text.
func distinct(all []string) []string {
	var out []string
	for _, s := range all {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
