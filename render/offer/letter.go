package offer

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/price"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Letter is the quote as the customer gets it: what is made, at what price, for how many, on what terms. It says nothing of costs and
// margin. A plan that is not for production says so across the letter.
func Letter(plan *layout.Plan, o price.Offer, hash string) []*paper.Page {
	d := letterPages(plan, o, hash)
	address(d, plan, o.Terms)
	if standing := plan.Standing(); standing != layout.ForProduction {
		box(d, "This is no offer and binds nobody: "+standing+".")
	}
	d.Title("What is quoted", 30)
	d.Note(fmt.Sprintf("%s, number %s, revision %s: body shells of sheet steel, welded in jigs from pressed panels, each with %d spot "+
		"welds%s.",
		plan.Shell.Name, dash(plan.Shell.Number), dash(plan.Shell.Revision), plan.Labour.Welds, rolled(plan)))
	priceTable(d, o)
	if len(o.Breaks) > 0 {
		breakTable(d, o)
	}
	terms(d, plan, o)
	signatures(d, plan)
	return d.Pages()
}

// document is pages about the shell: its name and what of it.
func document(plan *layout.Plan, kind, what, hash string) *flow.Document {
	return flow.Text(flow.Head{Plan: plan, Kind: kind, Title: plan.Shell.Name + ": " + what, ID: plan.Shell.Number, Hash: hash})
}

// Sides and foot of the letter's text, mm.
const left, right, foot = 20.0, 200.0, 286.0

// letterPages has the sender at its head.
func letterPages(plan *layout.Plan, o price.Offer, hash string) *flow.Document {
	field := paper.NewField
	return &flow.Document{
		Size: paper.A4, Name: "Quote · " + plan.Shell.Name,
		Box: paper.Box{X0: left, Y0: 48, X1: right, Y1: 279},
		Dress: func(pen flow.Pen, n, of int) {
			pen.Words.Text(paper.Point{X: left, Y: 18}, 5, paper.Start, paper.Fit(cmp.Or(plan.Shell.Owner, plan.Shell.Creator, plan.Shell.Name),
				5, 120))
			pen.Words.Text(paper.Point{X: right, Y: 18}, 5, paper.End, "Quote")
			pen.Strong.Line(paper.Point{X: left, Y: 22}, paper.Point{X: right, Y: 22})
			pen.Page.Fields(paper.Point{X: left, Y: 27}, []paper.Field{field("Number", o.Terms.Number, 26), field("Date", o.Terms.Date, 25),
				field("Valid for", fmt.Sprintf("%d days", o.Terms.Valid), 20), field("Prices in", o.Currency, 18),
				field("Shells", strconv.Itoa(o.Batch.Shells), 15), field("Status", plan.Standing(), 61).Whole(),
				field("Page", fmt.Sprintf("%d/%d", n, of), 15)})
			pen.Words.Text(paper.Point{X: left, Y: foot}, paper.TextHeight, paper.Start, paper.Fit("Plan "+hash, paper.TextHeight,
				right-left))
		},
	}
}

func dash(s string) string { return cmp.Or(strings.TrimSpace(s), "–") }

func rolled(plan *layout.Plan) string {
	if plan.Labour.RollerMetres > 0 {
		return fmt.Sprintf(" and %s m of roller seam", words.Fixed(plan.Labour.RollerMetres, 2))
	}
	return ""
}

// address is whom it goes to, line by line.
func address(d *flow.Document, plan *layout.Plan, t price.Terms) {
	lines := []string{"To:"}
	for _, part := range strings.Split(t.Customer, ",") {
		if part = strings.TrimSpace(part); part != "" {
			lines = append(lines, part)
		}
	}
	if len(lines) == 1 {
		lines = append(lines, "– (no customer is stated)")
	}
	for _, line := range lines {
		d.Note(line)
	}
	d.Skip(2)
}

// box is a sentence that nobody can miss.
func box(d *flow.Document, text string) {
	const letters, air = 3.5, 3.0
	lines := paper.Wrap(text, letters, d.Box.Width()-2*air)
	high := float64(len(lines))*flow.Pitch(letters) + air
	d.Draw(high, func(pen flow.Pen, b paper.Box) {
		pen.Strong.Rect(b)
		for i, line := range lines {
			pen.Words.Text(paper.Point{X: b.X0 + air, Y: b.Y0 + flow.Pitch(letters)*float64(i+1)}, letters, paper.Start, line)
		}
	})
	d.Skip(2)
}

// priceTable is the price of the batch.
func priceTable(d *flow.Document, o price.Offer) {
	b := o.Batch
	t := flow.Table{Columns: flow.Heads("=", ">Shells", ">"+o.Currency+" each", ">"+o.Currency), Letters: 3.5, Rows: [][]string{
		{"Body shells", strconv.Itoa(b.Shells), layout.Money(b.Each), layout.Money(b.Net)}}}
	if b.VAT > 0 {
		t.Rows = append(t.Rows, []string{"Value-added tax, " + words.Exact(o.Terms.VAT) + " %", "", "", layout.Money(b.VAT)},
			[]string{"Total with tax", "", "", layout.Money(b.Gross)})
		t.Total = true
	}
	d.Skip(2)
	d.Table(t)
	d.Note(taxed(o))
}

// taxed says whether prices hold tax, and how they are rounded.
func taxed(o price.Offer) string {
	text := "Prices are without value-added tax. "
	if o.Terms.VAT > 0 {
		text = "Prices of one shell, and the table below, are without value-added tax. "
	}
	return text + "The price of one shell is whole cents; any number of them costs that times the number."
}

// breakTable is the price of other quantities.
func breakTable(d *flow.Document, o price.Offer) {
	t := flow.Table{Title: "Ordered in other numbers, in one batch", Columns: flow.Heads("Shells", ">"+o.Currency+" each",
		">"+o.Currency+" together",
		"="), Whole: true}
	for _, b := range o.Breaks {
		t.Rows = append(t.Rows, []string{strconv.Itoa(b.Shells), layout.Money(b.Each), layout.Money(b.Net), ""})
	}
	d.Table(t)
}

// terms are what the price holds and what it does not.
func terms(d *flow.Document, plan *layout.Plan, o price.Offer) {
	t := flow.Table{Title: "What the price holds, and on what terms", Columns: flow.Heads("", "=")}
	add := func(name, text string) { t.Rows = append(t.Rows, []string{name, text}) }
	holds := []string{"jigs made ready, once for the batch", "panels loaded, fitted, welded and looked at as the weld maps say",
		"test coupons"}
	if o.Terms.WorksBuys {
		holds = append(holds, "the sheet steel of the panels")
	}
	for _, l := range o.Terms.Stated {
		if l.Quantity > 0 {
			holds = append(holds, l.What)
		}
	}
	add("Holds", strings.Join(holds, "; ")+".")
	if !o.Terms.WorksBuys {
		add("Sent by you", "the sheet steel of the panels, by the list that goes with the order.")
	}
	add("Does not hold", "what is not named above, such as pressing tools, paint, trim, packing and freight where they do not stand there.")
	valid := fmt.Sprintf("%d days from the date of this quote", o.Terms.Valid)
	if o.Terms.Date == "" {
		valid = fmt.Sprintf("%d days from a date that is still to be set", o.Terms.Valid)
	}
	add("Valid", valid+".")
	if o.Terms.Weeks > 0 {
		add("Delivery", words.Exact(o.Terms.Weeks)+" weeks from order.")
	}
	if o.Terms.Terms != "" {
		add("Terms", o.Terms.Terms)
	}
	add("Welds", "Settings are proved by peel or chisel test (ISO 10447) before the first weld. Whether the shell carries what it must is "+
		"for "+
		"the vehicle's maker and a competent engineer to judge; local codes come first.")
	d.Table(t)
}

// signatures is room for two names.
func signatures(d *flow.Document, plan *layout.Plan) {
	const high = 20.0
	d.Skip(4)
	d.Draw(high, func(pen flow.Pen, b paper.Box) {
		half := b.Width()/2 - 5
		for i, who := range []string{"For " + cmp.Or(plan.Shell.Owner, "the works"), "Ordered: name, date"} {
			x := b.X0 + float64(i)*(half+10)
			pen.Rules.Line(paper.Point{X: x, Y: b.Y1 - 6}, paper.Point{X: x + half, Y: b.Y1 - 6})
			pen.Words.Text(paper.Point{X: x, Y: b.Y1 - 2}, paper.TextHeight, paper.Start, paper.Fit(who, paper.TextHeight, half))
		}
	})
}
