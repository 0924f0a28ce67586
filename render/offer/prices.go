package offer

import (
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/price"
)

// steel writes what sheet is bought: panel by panel, then kind by kind with the money for each quantity.
func (b *book) steel(o price.Offer) {
	c := b.plan.Cost
	names := []string{"kind of sheet", "panel", "mm", "developed length, mm", "developed width, mm", "blank's length, mm",
		"blank's width, mm",
		"kg a shell"}
	widths := []float64{24, 24, 8, 12, 12, 12, 12, 12}
	for i, q := range b.of {
		name := fmt.Sprintf("%s, batch of %d as planned", c.Currency, q.shells)
		if i == 0 {
			name = c.Currency + ", the batch"
		}
		names, widths = append(names, name), append(widths, 12)
	}
	b.heads(steelSheet, 1, names, widths)
	row := 2
	side := func(column string) string {
		return fmt.Sprintf("ROUNDUP(%s+2*(%s+%s)-0.000001,0)", cell(column, row), b.ref("trim_mm"), b.ref("press_mm"))
	}
	first := row
	for _, s := range c.Steel {
		for _, cut := range s.Cuts {
			for _, id := range cut.Panels {
				if !b.index.HasPanel(id) {
					continue
				}
				p := b.index.Panel(id)
				b.text(steelSheet, cell("A", row), labour.SheetKey(s), plain)
				b.text(steelSheet, cell("B", row), id, plain)
				b.number(steelSheet, cell("C", row), s.Thickness, "0.##", plain)
				b.number(steelSheet, cell("D", row), p.Blank[0], "0.0", plain)
				b.number(steelSheet, cell("E", row), p.Blank[1], "0.0", plain)
				b.formula(steelSheet, cell("F", row), side("D"), cut.Length, "0", plain)
				b.formula(steelSheet, cell("G", row), side("E"), cut.Width, "0", plain)
				b.formula(steelSheet, cell("H", row), fmt.Sprintf("F%[1]d*G%[1]d*C%[1]d*0.00000785", row), cut.Mass, "0.000", plain)
				row++
			}
		}
	}
	last, from := row-1, row
	for _, s := range c.Steel {
		b.text(steelSheet, cell("A", row), "all "+labour.SheetKey(s), plain)
		b.text(steelSheet, cell("B", row), "thickness "+s.Tolerance, plain)
		mass := s.Mass / float64(max(1, c.Batch))
		b.formula(steelSheet, cell("H", row), fmt.Sprintf(`SUMIF($A$%[1]d:$A$%[2]d,"%[3]s",$H$%[1]d:$H$%[2]d)`, first, last,
			tidy(labour.SheetKey(s))),
			mass, "0.000", plain)
		for i, q := range b.of {
			b.formula(steelSheet, cell(columnName(9+i), row), cents(fmt.Sprintf("$H%d*%s*%s", row, q.n, b.ref(labour.SheetKey(s)))),
				layout.Cents(mass*float64(q.shells)*s.PerKilo), "0.00", plain)
		}
		row++
	}
	b.boughtRow = row
	b.text(steelSheet, cell("A", row), "together", sum)
	for i, q := range b.of {
		total := 0.0
		for _, s := range c.Steel {
			total += layout.Cents(s.Mass / float64(max(1, c.Batch)) * float64(q.shells) * s.PerKilo)
		}
		formula := "0"
		if row > from {
			formula = fmt.Sprintf("ROUND(SUM(%s),2)", span(columnName(9+i), from, row-1))
		}
		b.formula(steelSheet, cell(columnName(9+i), row), formula, layout.Cents(total), "0.00", sum)
	}
}

// prices writes the way from cost to price for every quantity.
func (b *book) prices(o price.Offer) {
	all := append([]price.Priced{o.Batch}, o.Breaks...)
	b.keep(b.file.SetColWidth(priceSheet, "A", "A", 52))
	b.keep(b.file.SetColWidth(priceSheet, "B", columnName(1+len(all)), 14))
	b.page(priceSheet, "landscape")
	b.text(priceSheet, "A1", "From cost to price: "+b.plan.Shell.Name+", "+o.Currency, title)
	b.text(priceSheet, "A2", "Status: "+b.plan.Standing()+". What is for one shell is rounded to cents once and taken times the shells. The "+
		"other quantities may be changed here. Minutes stood by stay those of the plan, as who waits for whom is played through: only a "+
		"new plan has others.", plain)
	b.text(priceSheet, "A3", "", head)
	for i := range all {
		name := "other"
		if i == 0 {
			name = "the batch"
		}
		b.text(priceSheet, cell(columnName(2+i), 3), name, head)
	}
	w := priceRows{book: b, all: all, row: 4}
	w.write(o)
}

// priceRows writes a row after the other; each has a cell for every quantity.
type priceRows struct {
	*book
	all []price.Priced
	row int
}

// add writes a row of formulas and returns its number.
func (w *priceRows) add(name string, formula func(i int, column string) string, value func(p price.Priced) float64, format string,
	u use) int {
	w.text(priceSheet, cell("A", w.row), name, u)
	for i, p := range w.all {
		column := columnName(2 + i)
		w.formula(priceSheet, cell(column, w.row), formula(i, column), value(p), format, u)
	}
	w.row++
	return w.row - 1
}

// enter writes a row of figures that may be changed but for the batch's.
func (w *priceRows) enter(name string, batch func() string, value func(p price.Priced) float64, format string) int {
	w.text(priceSheet, cell("A", w.row), name, plain)
	for i, p := range w.all {
		at := cell(columnName(2+i), w.row)
		if i == 0 {
			w.formula(priceSheet, at, batch(), value(p), format, plain)
			continue
		}
		w.number(priceSheet, at, value(p), format, entry)
	}
	w.row++
	return w.row - 1
}

const money = "0.00"

func (w *priceRows) write(o price.Offer) {
	n := w.enter("shells", func() string { return w.ref("batch") }, func(p price.Priced) float64 { return float64(p.Shells) }, "0")
	w.add("factor of practice on hand work", func(_ int, c string) string { return w.practice(cell(c, n)) },
		func(p price.Priced) float64 { return w.basis.PracticeAt(p.Shells) }, "0.0000", plain)
	var totals []int
	for k, l := range o.Batch.Lines {
		totals = append(totals, w.line(o, l, k, n))
	}
	cost := w.add("cost", func(_ int, c string) string { return fmt.Sprintf("ROUND(%s,2)", sumOf(c, totals)) },
		func(p price.Priced) float64 { return p.Cost }, money, sum)
	margin := w.add("margin", func(_ int, c string) string {
		return cents(fmt.Sprintf("%s*%s/100", cell(c, cost), w.ref("offer.margin_pct")))
	},
		func(p price.Priced) float64 { return p.Margin }, money, plain)
	further := w.enter("further discount at this quantity, %", func() string { return "0" },
		func(p price.Priced) float64 { return p.Further }, "0.##")
	off := w.add("discount", func(_ int, c string) string {
		return cents(fmt.Sprintf("(%s+%s)*MIN(100,%s+%s)/100", cell(c, cost), cell(c, margin), w.ref("offer.discount_pct"), cell(c, further)))
	}, func(p price.Priced) float64 { return p.Discount }, money, plain)
	each := w.add("price of one shell", func(_ int, c string) string {
		return cents(fmt.Sprintf("(%s+%s-%s)/%s", cell(c, cost), cell(c, margin), cell(c, off), cell(c, n)))
	}, func(p price.Priced) float64 { return p.Each }, money, sum)
	net := w.add("net price", func(_ int, c string) string { return fmt.Sprintf("ROUND(%s*%s,2)", cell(c, each), cell(c, n)) },
		func(p price.Priced) float64 { return p.Net }, money, sum)
	vat := w.add("value-added tax", func(_ int, c string) string {
		return cents(fmt.Sprintf("%s*%s/100", cell(c, net), w.ref("offer.vat_pct")))
	},
		func(p price.Priced) float64 { return p.VAT }, money, plain)
	w.add("with tax", func(_ int, c string) string { return fmt.Sprintf("ROUND(%s+%s,2)", cell(c, net), cell(c, vat)) },
		func(p price.Priced) float64 { return p.Gross }, money, plain)
}

func sumOf(column string, rows []int) string {
	text := ""
	for i, r := range rows {
		if i > 0 {
			text += "+"
		}
		text += cell(column, r)
	}
	return text
}

// line writes what leads to one cost, and returns the row of its total. It is the line of index k of every quantity.
func (w *priceRows) line(o price.Offer, l price.Line, k, n int) int {
	of := func(p price.Priced) price.Line { return p.Lines[k] }
	each := func(p price.Priced) float64 { return of(p).Each }
	total := func(p price.Priced) float64 { return of(p).Total }
	times := func(row int) func(int, string) string {
		return func(_ int, c string) string { return fmt.Sprintf("ROUND(%s*%s,2)", cell(c, row), cell(c, n)) }
	}
	switch l.ID {
	case price.Welding:
		row := w.add(l.What+", a shell", func(i int, _ string) string {
			column := colHand
			if i > 0 {
				column = w.of[i].column
			}
			return cents(fmt.Sprintf("SUM(%s!$%[2]s:$%[2]s)", moneySheet, column))
		}, each, money, plain)
		return w.add(l.What, times(row), total, money, plain)
	case price.StandingBy:
		w.text(priceSheet, cell("A", w.row), "not an input, kept from the plan: man-minutes a shell paid and not worked", plain)
		minutes := w.row
		for i, p := range w.all {
			w.number(priceSheet, cell(columnName(2+i), minutes), p.StoodBy, "0.0", plain)
		}
		w.row++
		row := w.add(l.What+", a shell", func(_ int, c string) string {
			return cents(fmt.Sprintf("%s*%s/60*(1+%s/100)", cell(c, minutes), w.ref("labour_per_hour"), w.ref("overhead_pct")))
		}, each, money, plain)
		return w.add(l.What, times(row), total, money, plain)
	case price.Steel:
		return w.add(l.What, func(i int, _ string) string { return steelSheet + "!" + cell(columnName(9+i), w.boughtRow) }, total, money, plain)
	}
	at := slices.IndexFunc(o.Terms.Stated, func(s price.Stated) bool { return s.ID == string(l.ID) })
	s := o.Terms.Stated[at]
	one := w.ref("offer.lines."+s.ID+".quantity") + "*" + w.ref("offer.lines."+s.ID+".price")
	if s.Subcontract {
		one += "*(1+" + w.ref("offer.subcontract_pct") + "/100)"
	}
	if s.PerBatch {
		return w.add(l.What, func(int, string) string { return cents(one) }, total, money, plain)
	}
	row := w.add(l.What+", a shell", func(int, string) string { return cents(one) }, each, money, plain)
	return w.add(l.What, times(row), total, money, plain)
}
