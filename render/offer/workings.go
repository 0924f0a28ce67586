package offer

import (
	"fmt"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/price"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Workings are what stands behind a quote, for the works alone: costs and margin, people paid, steel to buy, and the pictures.
func Workings(plan *layout.Plan, o price.Offer, hash string) []*paper.Page {
	d := document(plan, "Quote workings", "for the works alone", hash)
	box(d, "For the works alone: not to be sent with the quote.")
	if len(o.Notes) > 0 {
		t := flow.Table{Title: "To look at before it is sent", Columns: flow.Heads("=")}
		for _, n := range o.Notes {
			t.Rows = append(t.Rows, []string{n})
		}
		d.Table(t)
	}
	d.Table(buildUp(o))
	d.Note("Every line is whole cents: what is for one shell is rounded once and taken times the shells. So is the price of one shell; " +
		"\"rounding\" is what that makes of the whole.")
	paid(d, plan)
	steelTable(d, plan)
	for _, pic := range Pictures(plan) {
		pic.onto(d)
	}
	return d.Pages()
}

// buildUp is what each quantity costs and is sold for.
func buildUp(o price.Offer) flow.Table {
	all := append([]price.Priced{o.Batch}, o.Breaks...)
	t := flow.Table{Title: "From cost to price, " + o.Currency}
	heads := []string{"=Shells"}
	for i, p := range all {
		head := ">" + strconv.Itoa(p.Shells)
		if i == 0 {
			head += "\nthe batch"
		}
		heads = append(heads, head)
	}
	t.Columns = flow.Heads(heads...)
	row := func(name string, of func(p price.Priced) float64) {
		cells := []string{name}
		for _, p := range all {
			cells = append(cells, layout.Money(of(p)))
		}
		t.Rows = append(t.Rows, cells)
	}
	for i, l := range o.Batch.Lines {
		if l.Each > 0 {
			row(l.What+", a shell", func(p price.Priced) float64 { return p.Lines[i].Each })
		}
		row(l.What, func(p price.Priced) float64 { return p.Lines[i].Total })
	}
	row("cost", func(p price.Priced) float64 { return p.Cost })
	row("margin, "+words.Exact(o.Terms.Margin)+" %", func(p price.Priced) float64 { return p.Margin })
	row("discount", func(p price.Priced) float64 { return -p.Discount })
	row("rounding", func(p price.Priced) float64 { return p.Net - (p.Cost + p.Margin - p.Discount) })
	row("net price", func(p price.Priced) float64 { return p.Net })
	row("one shell", func(p price.Priced) float64 { return p.Each })
	row("value-added tax, "+words.Exact(o.Terms.VAT)+" %", func(p price.Priced) float64 { return p.VAT })
	row("with tax", func(p price.Priced) float64 { return p.Gross })
	return t
}

// paid is what is paid for beside what is worked.
func paid(d *flow.Document, plan *layout.Plan) {
	p := plan.Cost.Paid
	if p.Places == 0 {
		return
	}
	t := flow.Table{Title: "Paid and worked, the batch", Columns: flow.Heads("=", ">")}
	for _, r := range plan.PaidRows() {
		t.Rows = append(t.Rows, r[:])
	}
	d.Table(t)
	use := flow.Table{Title: "Jigs and guns in use", Columns: flow.Heads("Station", "=What", ">How many", ">h in use", ">Share %")}
	for _, j := range p.Jigs {
		use.Rows = append(use.Rows, []string{j.Station, "jig", "1", words.Fixed(j.Minutes/60, 1), words.Fixed(100*j.Share, 1)})
		for _, g := range p.Guns {
			if g.Station == j.Station {
				use.Rows = append(use.Rows, []string{"", g.ID, strconv.Itoa(g.Count), words.Fixed(g.Minutes/60, 1), words.Fixed(100*g.Share, 1)})
			}
		}
	}
	d.Table(use)
}

// Steel is the list that goes to the steel merchant.
func Steel(plan *layout.Plan, hash string) []*paper.Page {
	d := document(plan, "Steel to buy", "sheet steel for the batch", hash)
	if standing := plan.Standing(); standing != layout.ForProduction {
		box(d, "Not to be ordered from: "+standing+".")
	}
	steelTable(d, plan)
	return d.Pages()
}

func steelTable(d *flow.Document, plan *layout.Plan) {
	currency := plan.Cost.Currency
	t := flow.Table{Title: fmt.Sprintf("Sheet steel to buy for %d shells", plan.Cost.Batch), Total: true, Columns: flow.Heads("Grade", ">mm",
		"Coating",
		">Blank, mm", ">Pieces", ">kg", ">"+currency+"\na kg", ">"+currency, "=For")}
	mass, cost, unpriced := 0.0, 0.0, 0
	for _, s := range plan.Cost.Steel {
		for _, c := range s.Cuts {
			t.Rows = append(t.Rows, []string{s.Grade, words.Exact(s.Thickness), s.Coating,
				words.Exact(c.Length) + " x " + words.Exact(c.Width),
				strconv.Itoa(c.Pieces), words.Fixed(c.Mass*float64(c.Pieces), 1), "", "", strings.Join(c.Panels, ", ")})
		}
		each, sum := "–", "–"
		if s.PerKilo > 0 {
			each, sum = words.Exact(s.PerKilo), layout.Money(s.Cost)
		} else {
			unpriced++
		}
		t.Rows = append(t.Rows, []string{s.Grade, words.Exact(s.Thickness), s.Coating, "all",
			strconv.Itoa(s.Pieces), words.Fixed(s.Mass, 1), each, sum,
			"thickness " + s.Tolerance})
		mass, cost = mass+s.Mass, cost+s.Cost
	}
	if len(t.Rows) == 0 {
		return
	}
	t.Rows = append(t.Rows, []string{"All", "", "", "", "", words.Fixed(mass, 1), "", layout.Money(cost), ""})
	d.Table(t)
	if unpriced > 0 {
		d.Note(fmt.Sprintf("No price is stated for %d of %d kinds of sheet: they are not in the sum.", unpriced, len(plan.Cost.Steel)))
	}
	d.Note(AllowanceWords(plan) + " What is left between blanks when they are cut from coil or plate is not in the kilograms.")
	d.Note("How sure: " + buy.Certainty + ".")
}

// AllowanceWords say what is laid on a panel's own size.
func AllowanceWords(plan *layout.Plan) string {
	return fmt.Sprintf("Blanks are the least rectangle that holds a panel laid flat, with %s mm on every side to trim away and %s mm for "+
		"the blank "+
		"holder of the press, in whole millimetres.", words.Exact(plan.Cost.TrimAllowance), words.Exact(plan.Cost.PressAllowance))
}
