package offer

import (
	"cmp"
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/quote"
)

// stations writes one row for each station.
func (b *book) stations() {
	b.heads(stationSheet, 1, []string{"station", "name", "crew", "man-min a shell", "min a shell", "welds", "roller m", "prepare min a batch",
		"changeover min a batch", b.plan.Cost.Currency + " a shell", "waiting: min x crew / man-min, by the schedule"},
		[]float64{18, 26, 8, 12, 12, 8, 10, 12, 12, 14, 16})
	for i, s := range b.plan.Labour.Stations {
		row := i + 2
		b.text(stationSheet, cell("A", row), s.Station, plain)
		b.text(stationSheet, cell("B", row), s.Name, plain)
		b.entered(cell("C", row), "stations."+s.Station+".crew", float64(s.Crew))
		b.formula(stationSheet, cell("D", row), sumIf(workSheet, colStation, s.Station, colTotal)+"/60", s.ManMinutes, "0.0", plain)
		b.formula(stationSheet, cell("E", row), fmt.Sprintf("D%[1]d/C%[1]d*K%[1]d", row), s.Minutes, "0.0", plain)
		b.number(stationSheet, cell("F", row), float64(s.Welds), "0", plain)
		b.number(stationSheet, cell("G", row), s.RollerMetre, "0.00", plain)
		b.entered(cell("H", row), "stations."+s.Station+".prepare_min", s.Prepare)
		b.entered(cell("I", row), "stations."+s.Station+".changeover_min", s.Change)
		b.number(stationSheet, cell("K", row), waiting(s), "0.000", plain)
		b.formula(stationSheet, cell("J", row), sumIf(moneySheet, colStation, s.Station, colHand), s.Cost, "0.00", plain)
	}
}

// waiting is how much longer a station's crew takes than if nobody waited for another.
func waiting(s layout.StationLabour) float64 {
	if s.ManMinutes > 0 {
		return s.Minutes * float64(s.Crew) / s.ManMinutes
	}
	return 1
}

// entered shows an input again, or its value where it has no cell: the one station of a shell without stations.
func (b *book) entered(at, key string, value float64) {
	if b.known(key) {
		b.formula(stationSheet, at, b.ref(key), value, "0.###", plain)
		return
	}
	b.number(stationSheet, at, value, "0.###", plain)
}

func sumIf(sheet, where, is, sum string) string {
	return fmt.Sprintf(`SUMIF(%[1]s!$%[2]s:$%[2]s,"%[3]s",%[1]s!$%[4]s:$%[4]s)`, sheet, where, tidy(is), sum)
}

// joints writes one row for each joint.
func (b *book) joints() {
	b.heads(jointSheet, 1, []string{"joint", "man-min a shell", "welds", "roller m", b.plan.Cost.Currency + " a shell"},
		[]float64{26, 14, 8, 10, 14})
	for i, j := range b.plan.Labour.Joints {
		row := i + 2
		b.text(jointSheet, cell("A", row), j.ID, plain)
		b.formula(jointSheet, cell("B", row), sumIf(workSheet, colJoint, j.ID, colTotal)+"/60", j.ManMinutes, "0.0", plain)
		b.number(jointSheet, cell("C", row), float64(j.Welds), "0", plain)
		b.number(jointSheet, cell("D", row), j.RollerMetre, "0.00", plain)
		b.formula(jointSheet, cell("E", row), sumIf(moneySheet, colJoint, j.ID, colHand), j.Cost, "0.00", plain)
	}
}

// cents is a formula rounded as layout.Cents rounds.
func cents(formula string) string {
	return "ROUND(ROUND(" + formula + "+0.00000000001,4)+0.000000001,2)"
}

// totals writes the first sheet.
func (b *book) totals(q quote.Quote) {
	c, last := b.plan.Cost, len(b.plan.Labour.Stations)+1
	b.keep(b.file.SetColWidth(quoteSheet, "A", "A", 64))
	b.keep(b.file.SetColWidth(quoteSheet, "B", "D", 16))
	b.keep(b.file.SetColWidth(quoteSheet, "E", "E", 28))
	b.page(quoteSheet, "portrait")
	b.text(quoteSheet, "A1", "Quote: "+b.plan.Shell.Name, title)
	b.text(quoteSheet, "A2", fmt.Sprintf("Number %s, revision %s. Change the shaded cells of the sheet Inputs; everything follows. Counts "+
		"of welds and metres are the plan's.", dash(b.plan.Shell.Number), dash(b.plan.Shell.Revision)), plain)
	row := 4
	add := func(name, formula string, value float64, format string, u use) int {
		b.text(quoteSheet, cell("A", row), name, u)
		b.formula(quoteSheet, cell("B", row), formula, value, format, u)
		row++
		return row - 1
	}
	stations := func(column string) string { return stationSheet + "!" + span(column, 2, last) }
	batch := add("Shells in the batch", b.ref("batch"), float64(c.Batch), "0", plain)
	work := add("Man-minutes a shell", "SUM("+workSheet+"!$H:$H)/60", b.plan.Labour.ManMinutesPerShell, "0.0", plain)
	add("Man-minutes a shell, preparation and changeover shared", fmt.Sprintf("B%d+(SUM(%s)+SUM(%s))/B%d", work, stations("H"), stations("I"),
		batch), c.MinutesPerShell, "0.0", plain)
	shell := add(c.Currency+" a shell", cents("SUM("+moneySheet+"!$I:$I)"), layout.Cents(c.CostPerShell), "0.00", sum)
	add(c.Currency+" for the batch", fmt.Sprintf("ROUND(B%d*B%d,2)", shell, batch), c.CostPerBatch, "0.00", sum)
	b.text(quoteSheet, cell("A", row), "Metres of roller seam a shell", plain)
	b.number(quoteSheet, cell("B", row), c.RollerMetresPerShell, "0.00", plain)
	row++
	slowest := add("Minutes of the longest station", "MAX("+stations("E")+")", b.plan.Flow.BottleneckMinutes, "0.0", plain)
	add("Shells a week", fmt.Sprintf("IF(B%[1]d=0,0,%[2]s*%[3]s*60/B%[1]d)", slowest, b.ref("hours_per_week"), b.ref("shifts")),
		b.plan.Flow.ShellsPerWeek, "0.0",
		plain)
	row++
	b.byWhat(&row, shell)
	row++
	b.ranges(&row, q, shell, batch)
}

// byWhat splits the money a shell by what it is paid for; wages and preparation with their overhead.
func (b *book) byWhat(row *int, shell int) {
	b.text(quoteSheet, cell("A", *row), "Of it, with overhead where it falls on", head)
	b.text(quoteSheet, cell("B", *row), b.plan.Cost.Currency+" a shell", head)
	b.text(quoteSheet, cell("C", *row), "share", head)
	values := map[string]float64{}
	last := ""
	var names []string
	for _, l := range b.plan.Cost.Lines {
		what := l.What
		if l.Kind == layout.PaidOverhead { // stands after the line that it falls on
			what = last
		}
		if _, ok := values[what]; !ok {
			names = append(names, what)
		}
		values[what] += l.Total
		last = what
	}
	for _, a := range b.basis.Accounts { // what costs nothing yet
		for _, p := range a.Money {
			if !slices.Contains(names, p.What) && (p.Count > 0 || p.By == labour.OverBatch) {
				names = append(names, p.What)
			}
		}
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(values[b], values[a]) })
	for _, what := range names {
		*row++
		b.text(quoteSheet, cell("A", *row), what, plain)
		b.formula(quoteSheet, cell("B", *row), sumIf(moneySheet, colWhat, what, colHand), values[what], "0.00", plain)
		share := 0.0
		if b.plan.Cost.CostPerShell > 0 {
			share = values[what] / b.plan.Cost.CostPerShell
		}
		b.formula(quoteSheet, cell("C", *row), fmt.Sprintf("IF(B%[2]d=0,0,B%[1]d/B%[2]d)", *row, shell), share, "0.0%", plain)
	}
	*row++
}

// ranges writes the quote's range. It was drawn for the inputs as planned and follows changes in proportion.
func (b *book) ranges(row *int, q quote.Quote, shell, batch int) {
	for i, s := range []string{fmt.Sprintf("Range of %d drawings, seed %d; after changes in proportion", q.Trials, q.Seed), "of planned",
		q.Currency + " a shell", q.Currency + " for the batch"} {
		b.text(quoteSheet, cell(string(rune('A'+i)), *row), s, head)
	}
	for _, p := range []struct {
		name  string
		money float64
	}{{"P50: as likely more as less", q.CostPerShell.P50}, {"P80: four times in five it comes to less", q.CostPerShell.P80}} {
		*row++
		of := 1.0
		if shown := layout.Cents(b.plan.Cost.CostPerShell); shown > 0 { // so that an unchanged workbook says the plan's cents
			of = layout.Cents(p.money) / shown
		}
		b.text(quoteSheet, cell("A", *row), p.name, plain)
		b.number(quoteSheet, cell("B", *row), of, "0.0%", plain)
		b.formula(quoteSheet, cell("C", *row), cents(fmt.Sprintf("B%d*B%d", *row, shell)), layout.Cents(p.money), "0.00", plain)
		b.formula(quoteSheet, cell("D", *row), fmt.Sprintf("ROUND(C%d*B%d,2)", *row, batch), layout.Times(p.money, q.Batch), "0.00", plain)
	}
	*row += 2
	for i, s := range []string{"What moves it most, each alone at its 10th and 90th percentile", q.Currency + " low", q.Currency + " high",
		"swing", "how far off, from"} {
		b.text(quoteSheet, cell(string(rune('A'+i)), *row), s, head)
	}
	for i, m := range q.Movers {
		if i == 12 {
			break
		}
		*row++
		b.text(quoteSheet, cell("A", *row), fmt.Sprintf("%s (%s %.6g), off by %.6g %%", m.Name(), m.ID, m.Value, m.Pct), plain)
		b.number(quoteSheet, cell("B", *row), m.Low, "0.00", plain)
		b.number(quoteSheet, cell("C", *row), m.High, "0.00", plain)
		b.number(quoteSheet, cell("D", *row), m.Swing, "0.00", plain)
		b.text(quoteSheet, cell("E", *row), m.Source, plain)
	}
}
