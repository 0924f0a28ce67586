package table

import (
	"fmt"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
)

// flanges lists the strips that carry no weld: found, but in no joint, or too broad to be one.
func (r *report) flanges() {
	var rows [][]string
	for _, f := range r.plan.Flanges {
		if f.Joint != "" {
			continue
		}
		kind := "strip"
		if f.Patch {
			kind = "broad contact"
		}
		rows = append(rows, []string{f.ID, kind, strings.Join(f.Panels, " + "), number(f.Length, 0), joined([]layout.Range{f.Width},
			[]float64{1}, 1), joined([]layout.Range{f.Air}, []float64{1}, 2)})
	}
	if len(rows) > 0 {
		r.head("Flanges in no joint")
		r.rows([]string{"Flange", "Kind", "Panels", ">Length mm", "Width mm", "Gap mm"}, rows)
	}
}

func (r *report) stations() {
	r.head("Stations, in the order of work")
	var rows [][]string
	for _, s := range r.plan.Stations {
		rows = append(rows, []string{s.ID, s.Name, s.Jig, fmt.Sprint(s.Crew), s.Makes, strings.Join(s.Arrives, ", "), fmt.Sprint(s.Welds),
			fmt.Sprint(len(s.HoldPoints)), number(s.Minutes, 1)})
	}
	r.rows([]string{"Station", "Name", "Jig", ">Crew", "Makes", "Arrives", ">Welds", ">Hold points", ">Minutes"}, rows)
}

func (r *report) settings() {
	r.head("Settings to start from")
	r.wrap("", "CAUTION: these are starting values. Prove each by peel or chisel test (ISO 10447) before use, and again after every change "+
		"of cap, gun, cable or coil of steel.")
	r.line("")
	var spots, rollers [][]string
	for _, s := range r.plan.Settings {
		if s.Kind == layout.RollerSetting {
			rollers = append(rollers, []string{s.ID, s.Stack, number(s.Force/1000, 2), number(s.Current/1000, 1), number(s.Weld, 3),
				number(s.Hold, 3), number(s.Wheel, 1), number(s.Speed*0.06, 2), number(s.Pitch, 1)})
			continue
		}
		spots = append(spots, []string{s.ID, s.Stack, number(s.Force/1000, 2), number(s.Current/1000, 1), number(s.Squeeze, 2),
			number(s.Weld, 2), number(s.Hold, 2), faces(r.index.TipsWith(s.ID))})
	}
	if len(spots) > 0 {
		r.rows([]string{"Spot", "Stack", ">Force kN", ">Current kA", ">Squeeze s", ">Weld s", ">Hold s", "Tips, faces mm"}, spots)
	}
	if len(rollers) > 0 {
		r.line("")
		r.rows([]string{"Roller", "Stack", ">Force kN", ">Current kA", ">On s", ">Off s", ">Wheel mm", ">Speed m/min", ">Nugget pitch mm"},
			rollers)
	}
	r.line("")
	for _, s := range r.plan.Settings {
		var parts []string
		for _, part := range []string{s.Source, s.Note} {
			if part != "" {
				parts = append(parts, part)
			}
		}
		if len(parts) > 0 {
			r.wrap("", s.ID+": "+strings.Join(parts, "; "))
		}
	}
}

func (r *report) labour() {
	l := r.plan.Labour
	r.head("Labour")
	var rows [][]string
	for _, s := range l.Stations {
		rows = append(rows, []string{s.Station, s.Name, fmt.Sprint(s.Crew), fmt.Sprint(s.Welds), number(s.RollerMetre, 2), number(s.Weld, 1),
			number(s.Roll, 1), number(s.Handling, 1),
			number(s.ManMinutes, 1), number(s.Minutes, 1), number(s.Prepare, 0)})
	}
	rows = append(rows, []string{"all", "", "", fmt.Sprint(l.Welds), number(l.RollerMetres, 2), "", "", "", number(l.ManMinutesPerShell, 1),
		"", number(l.PrepareMinutes, 0)})
	r.rows([]string{"Station", "Name", ">Crew", ">Welds", ">Roller m", ">Weld min", ">Roll min", ">Handling min", ">Man-minutes", ">Minutes",
		">Prepare min"}, rows)
	r.labourParts()
	r.line("")
	r.wrap("", "Minutes are for one shell of the batch's average, allowances and learning included; preparation is for the batch.")
	for _, f := range l.Factors {
		r.wrap("", fmt.Sprintf("%s: %s (%s)", f.Name, number(f.Value, 4), f.Source))
	}
}

// labourParts lists what each sub-assembly takes, with those that it is made of.
func (r *report) labourParts() {
	var rows [][]string
	for _, p := range r.plan.Labour.Subassemblies {
		rows = append(rows, []string{p.ID, fmt.Sprint(p.Welds), number(p.RollerMetre, 2), number(p.ManMinutes, 1), layout.Money(p.Cost)})
	}
	if len(rows) > 0 {
		r.line("")
		r.rows([]string{"Sub-assembly, with what is in it", ">Welds", ">Roller m", ">Man-minutes", ">" + orDash(r.plan.Cost.Currency)}, rows)
	}
}

func (r *report) cost() {
	c := r.plan.Cost
	r.head("Cost")
	var rows [][]string
	for _, l := range c.Lines {
		rows = append(rows, []string{l.What, l.Station, l.Joint, number(l.Quantity, 2), l.Unit, number(l.Each, 4), layout.Money(l.Total),
			l.From})
	}
	rows = append(rows, []string{"a shell", "", "", "", "", "", layout.Money(c.CostPerShell),
		fmt.Sprintf("%s man-minutes, jig preparation shared over %d", number(c.MinutesPerShell, 1), c.Batch)})
	r.rows([]string{"What", "Station", "Joint", ">Quantity", "Unit", ">Each", ">" + orDash(c.Currency), "From"}, rows)
	r.spread(c)
	r.steel(c)
	if c.Paid.Places > 0 {
		r.line("")
		var rows [][]string
		for _, v := range r.plan.PaidRows() {
			rows = append(rows, v[:])
		}
		r.rows([]string{"Paid and worked, the batch", ""}, rows)
	}
}

// steel is what sheet is bought for the batch, kind by kind.
func (r *report) steel(c layout.Cost) {
	var rows [][]string
	mass, cost := 0.0, 0.0
	for _, s := range c.Steel {
		price := "no price is stated"
		if s.PerKilo > 0 {
			price = layout.Money(s.Cost)
		}
		rows = append(rows, []string{s.Grade, number(s.Thickness, 2), orDash(s.Coating), fmt.Sprint(s.Pieces), number(s.Mass, 1), price,
			s.Tolerance})
		mass, cost = mass+s.Mass, cost+s.Cost
	}
	if len(rows) == 0 {
		return
	}
	rows = append(rows, []string{"all", "", "", "", number(mass, 1), layout.Money(cost), ""})
	r.line("")
	r.wrap("", "Sheet steel to buy for the batch, which the cost above does not hold; cost --steel lists the blanks.")
	r.rows([]string{"Grade", ">mm", "Coating", ">Blanks", ">kg", ">" + orDash(c.Currency), "Thickness"}, rows)
}

// most movers are listed.
const mostMovers = 10

// spread says how far the cost may be off and what moves it most.
func (r *report) spread(c layout.Cost) {
	s := c.Spread
	if s.Trials == 0 {
		return
	}
	r.line("")
	r.wrap("", fmt.Sprintf("How far this may be off, drawn %d times from the spreads of the inputs with seed %d: half of the drawings stay "+
		"below P50, four in five below P80.", s.Trials, s.Seed))
	r.rows([]string{"Range", ">Planned", ">P50", ">P80"}, [][]string{
		{"man-minutes a shell", number(c.MinutesPerShell, 1), number(s.MinutesP50, 1), number(s.MinutesP80, 1)},
		{c.Currency + " a shell", layout.Money(c.CostPerShell), layout.Money(s.ShellP50), layout.Money(s.ShellP80)},
		{fmt.Sprintf("%s a batch of %d", c.Currency, c.Batch), layout.Money(c.CostPerBatch), layout.Money(s.BatchP50),
			layout.Money(s.BatchP80)},
	})
	if len(s.Movers) == 0 {
		return
	}
	r.line("")
	r.wrap("", "What moves it most: the cost of a shell with one input alone at its 10th and at its 90th percentile.")
	var rows [][]string
	for _, m := range s.Movers[:min(mostMovers, len(s.Movers))] {
		rows = append(rows, []string{words.Mover(m.ID), number(m.Off, 1) + " %", fmt.Sprintf("%.2f", m.Low), fmt.Sprintf("%.2f", m.High),
			m.Source})
	}
	r.rows([]string{"Input", ">Spread", ">From", ">To", "Source of the spread"}, rows)
}

// cautions say what a plan is not.
func (r *report) cautions() {
	r.head("Cautions")
	for _, text := range []string{
		"Settings are where proving starts. Nothing is welded for use before peel or chisel tests (ISO 10447) on the same stack-up, gun and " +
			"tips have passed.",
		"Strengths hold for welds of the stated diameter and the steels stated in the shell file. They do not cover fatigue, crash or corrosion.",
		"Eyes: clear impact-rated protection for all near the gun. Hands: electrodes crush. Zinc fume: extraction. Magnetic field: people " +
			"with implants stay away. Lifting: see the maps.",
		"Local rules, the vehicle maker's instructions and the judgement of licensed people come before this plan. It replaces none of them.",
	} {
		r.wrap("- ", text)
	}
}

// notes list what was read, mended, skipped or assumed.
func (r *report) notes() {
	if len(r.plan.Notes) == 0 {
		return
	}
	r.head("Notes")
	for _, n := range r.plan.Notes {
		r.wrap("- ", n)
	}
}
