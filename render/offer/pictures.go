package offer

import (
	"fmt"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/chart"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Picture is one picture of the estimate.
type Picture struct {
	Name  string // of a file
	Title string
	Note  string
	High  float64 // mm
	Draw  func(p *paper.Page, box paper.Box)
}

const plotHigh = 62.0

// Pictures are those of the plan's estimate: where minutes and money go, what moves the cost, how far it may be off, how practice shortens
// the work, and what each of the crew does. What the plan does not know is left out.
func Pictures(plan *layout.Plan) []Picture {
	out := []Picture{
		barPicture("minutes", "Where the minutes go: man-minutes a shell", chart.Shares(plan.Labour.Lines, 1./60, 1)),
		barPicture("money", "Where the money goes: "+plan.Cost.Currency+" a shell", chart.Shares(plan.Cost.Lines, 1, 2)),
	}
	out = append(out, movers(plan)...)
	out = append(out, learning(plan)...)
	return append(out, crew(plan)...)
}

func barPicture(name, title string, bars []chart.Bar) Picture {
	return Picture{Name: name, Title: title, High: chart.BarsHigh(bars), Draw: func(p *paper.Page, box paper.Box) { chart.Bars(p, box, bars) }}
}

// movers are what moves the cost, and how far it may be off.
func movers(plan *layout.Plan) []Picture {
	s, c := plan.Cost.Spread, plan.Cost
	var out []Picture
	if len(s.Movers) > 0 {
		var list []chart.Mover
		places := 0
		if c.CostPerShell < 100 {
			places = 2
		}
		for _, m := range s.Movers[:min(12, len(s.Movers))] {
			list = append(list, chart.Mover{Name: words.Mover(m.ID), Low: m.Low, High: m.High,
				Text: words.Fixed(m.Low, places) + " to " + words.Fixed(m.High, places)})
		}
		out = append(out, Picture{Name: "movers", Title: "What moves it: " + c.Currency + " a shell",
			Note: "Each input alone at its 10th and its 90th percentile; the line is the plan. The works' own pace is a factor on all times: how " +
				"well it is known.",
			High: chart.MoversHigh(list), Draw: func(p *paper.Page, box paper.Box) { chart.Movers(p, box, c.CostPerShell, list) }})
	}
	if len(s.Curve) > 1 {
		plot := chart.Plot{XName: c.Currency + " a shell", YName: "% of drawings that come to less", Dots: true}
		for i, v := range s.Curve {
			plot.Line = append(plot.Line, paper.Point{X: v, Y: 100 * float64(i+1) / float64(len(s.Curve)+1)})
		}
		plot.Marks = []chart.Mark{{At: paper.Point{X: s.ShellP50, Y: 50}, Text: "P50 " + layout.Money(s.ShellP50)},
			{At: paper.Point{X: s.ShellP80, Y: 80}, Text: "P80 " + layout.Money(s.ShellP80)}}
		out = append(out, Picture{Name: "range", Title: "How far it may be off: P10 to P90",
			Note: fmt.Sprintf("%d drawings of all inputs from their spreads, seed %d. The plan says %s.", s.Trials, s.Seed,
				layout.Money(c.CostPerShell)),
			High: plotHigh, Draw: plot.Draw})
	}
	return out
}

// learning is the work of each shell of the batch.
func learning(plan *layout.Plan) []Picture {
	n := plan.Cost.Batch
	if plan.Labour.Practice.None() || n < 2 || len(plan.Labour.Stations) == 0 {
		return nil
	}
	plot := chart.Plot{XName: "shell of the batch", YName: "man-minutes", FromZero: true, Level: plan.Labour.ManMinutesPerShell,
		LevelText: "average " + words.Fixed(plan.Labour.ManMinutesPerShell, 1), Dots: n <= 60}
	step := max(1, n/60)
	for k := 1; k <= n; k += step {
		plot.Line = append(plot.Line, paper.Point{X: float64(k), Y: plan.ShellWork(k)})
	}
	if last := plot.Line[len(plot.Line)-1].X; int(last) != n {
		plot.Line = append(plot.Line, paper.Point{X: float64(n), Y: plan.ShellWork(n)})
	}
	first := plan.ShellWork(1)
	plot.Marks = []chart.Mark{{At: plot.Line[0], Text: "first " + words.Fixed(first, 1)}}
	note := fmt.Sprintf("Practice shortens hand work to %s of its time at each doubling of the count (cumulative average, Wright 1936); "+
		"what runs "+
		"at the machine's pace stays.", words.Exact(plan.Labour.Practice.Rate))
	if b := plan.Labour.Practice.Before; b > 0 {
		note += fmt.Sprintf(" %d shells were made before this batch.", b)
	}
	return []Picture{{Name: "learning", Title: "Practice over the batch: work on each shell", Note: note, High: plotHigh, Draw: plot.Draw}}
}

// crew is each person's part in a takt.
func crew(plan *layout.Plan) []Picture {
	takt := plan.Flow.BottleneckMinutes
	var list []chart.Person
	for _, s := range plan.Stations {
		for k, own := range s.Persons() {
			one := chart.Person{Name: s.ID}
			if s.Crew > 1 {
				one.Name = fmt.Sprintf("%s, person %d", s.ID, k+1)
			}
			for _, v := range own {
				if v.Step > 0 {
					one.Works += v.To - v.From
				} else {
					one.Awaits += v.To - v.From
				}
			}
			list = append(list, one)
		}
	}
	if len(list) == 0 || !(takt > 0) {
		return nil
	}
	return []Picture{{Name: "crew", Title: "The crew by person: minutes of a takt", High: chart.CrewHigh(list),
		Note: fmt.Sprintf("With a crew at every jig a shell leaves each %s min, the time of %s. Bars are a shell of the batch's average.",
			words.Fixed(takt, 1), plan.Flow.Bottleneck),
		Draw: func(p *paper.Page, box paper.Box) { chart.Crew(p, box, takt, list) }}}
}

// Page is the picture alone on a sheet of its own size, with its title.
func (pic Picture) Page() *paper.Page {
	d := &flow.Document{Size: paper.Size{Name: pic.Name, Width: 190, Height: pic.High + 34}, Name: pic.Title,
		Box: paper.Box{X0: 5, Y0: 5, X1: 185, Y1: pic.High + 32}}
	pic.onto(d)
	return d.Pages()[0]
}

func (pic Picture) onto(d *flow.Document) {
	const air = 1.0 // about the note
	high := pic.High + 2*air
	if pic.Note != "" {
		high += d.NoteHigh(pic.Note)
	}
	d.Title(pic.Title, high)
	d.Skip(air)
	if pic.Note != "" {
		d.Note(pic.Note)
	}
	d.Skip(air)
	d.Draw(pic.High, func(pen flow.Pen, box paper.Box) { pic.Draw(pen.Page, box) })
}

// PicturePages are the pictures of the estimate on pages of A4 but for where minutes and money go, which labour and cost sheets show.
func PicturePages(plan *layout.Plan, hash string) []*paper.Page {
	d := document(plan, "Estimate", "the estimate in pictures", hash)
	d.Letters = 3.5 // as in the pictures
	for _, pic := range Pictures(plan)[2:] {
		pic.onto(d)
	}
	return d.Pages()
}
