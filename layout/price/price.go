// Package price makes a price of what a batch costs: welding, sheet steel, further lines, margin, discount and tax, for the batch and for
// other quantities.
//
//	offer, err := price.Of(ctx, plan, sh)
//	fmt.Println(offer.Batch.Each, offer.Batch.Net)
//
// Money is rounded by one rule, layout.Cents: a line for one shell is whole cents and so the batch's is that times the batch; the price
// of one shell is rounded once, and the net price is that times the batch. So every figure adds up as it is printed.
package price

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/seams/shell"
)

// Offer is the price of a batch, and of other quantities of the same shell.
type Offer struct {
	Currency string   `json:"currency" about:"ISO 4217 code"`
	Terms    Terms    `json:"terms" about:"as the shell file states them"`
	Batch    Priced   `json:"batch" about:"for the shell file's batch"`
	Breaks   []Priced `json:"breaks" about:"for other quantities, the fewest first"`
	Notes    []string `json:"notes" about:"what the estimator must know before it is sent"`
}

// Terms are what the shell file says of the quote.
type Terms struct {
	Number      string   `json:"number" about:"of the quote"`
	Date        string   `json:"date" about:"of the quote"`
	Customer    string   `json:"customer" about:"name and address, parted by commas"`
	Valid       int      `json:"valid_days" about:"how long it holds from its date"`
	Weeks       float64  `json:"delivery_weeks" about:"from order to delivery; 0: not said" unit:"ratio"`
	Margin      float64  `json:"margin_pct" about:"on all costs" unit:"per cent"`
	Subcontract float64  `json:"subcontract_pct" about:"on what is subcontracted" unit:"per cent"`
	VAT         float64  `json:"vat_pct" about:"value-added tax; 0: prices are without" unit:"per cent"`
	WorksBuys   bool     `json:"works_buys_steel" about:"the works buys the sheet steel, else the customer sends it"`
	Terms       string   `json:"terms" about:"printed as it stands"`
	Stated      []Stated `json:"lines" about:"lines of the shell file"`
}

// Stated is a line of the shell file.
type Stated struct {
	ID          string  `json:"id" about:"id"`
	What        string  `json:"what" about:"what is sold"`
	Subcontract bool    `json:"subcontract" about:"somebody else does it"`
	PerBatch    bool    `json:"per_batch" about:"its quantity is for the whole batch, else for a shell"`
	Quantity    float64 `json:"quantity" about:"how many" unit:"ratio"`
	Price       float64 `json:"price" about:"of one, what it costs the works" unit:"money"`
}

// termsOf are those of a shell file.
func termsOf(o shell.Offer) Terms {
	out := Terms{Number: o.Number, Date: o.Date, Customer: o.Customer, Valid: o.Valid, Weeks: o.Weeks, Margin: o.Margin,
		Subcontract: o.Subcontract, VAT: o.VAT, WorksBuys: o.Steel != shell.CustomerBuys, Terms: o.Terms, Stated: []Stated{}}
	for _, l := range o.Lines {
		out.Stated = append(out.Stated, Stated{l.ID, l.What, l.By == shell.Subcontract, l.Per == shell.PerBatch, l.Quantity, l.Price})
	}
	return out
}

// Priced is the price of some number of shells and what it is made of.
type Priced struct {
	Shells   int     `json:"shells" about:"how many"`
	Lines    []Line  `json:"lines" about:"costs"`
	Cost     float64 `json:"cost" about:"the sum of the lines" unit:"money"`
	Margin   float64 `json:"margin" about:"on the cost" unit:"money"`
	Discount float64 `json:"discount" about:"of cost and margin" unit:"money"`
	Each     float64 `json:"each" about:"price of one shell in whole cents" unit:"money"`
	Net      float64 `json:"net" about:"price of one times the shells" unit:"money"`
	VAT      float64 `json:"vat" about:"value-added tax on it" unit:"money"`
	Gross    float64 `json:"gross" about:"with tax" unit:"money"`
	Work     float64 `json:"work_minutes" about:"man-minutes a shell, preparation shared" unit:"min"`

	Off     float64 `json:"discount_pct" about:"of the price" unit:"per cent"`
	Further float64 `json:"further_discount_pct" about:"of it, what this quantity has on top of the offer's" unit:"per cent"`
	StoodBy float64 `json:"stood_by_minutes" about:"man-minutes a shell that are paid and not worked; 0 where no people are stated" unit:"min"`
}

// Line is one cost of the whole quantity.
type Line struct {
	ID    LineID  `json:"id" about:"welding, standing-by, steel, or the id of a line of the shell file"`
	What  string  `json:"what" about:"in words"`
	Each  float64 `json:"each" about:"a shell in whole cents; 0: it is for the whole quantity" unit:"money"`
	Total float64 `json:"total" about:"for the whole quantity" unit:"money"`
	Added float64 `json:"added" about:"of it, what is laid on a subcontractor's price" unit:"money"`
}

// LineID says what a line is.
type LineID string

// The lines that every offer may have.
const (
	Welding    LineID = "welding"
	StandingBy LineID = "standing-by"
	Steel      LineID = "steel"
)

// Usual are the quantities that are priced where none are stated.
func Usual() []int { return []int{1, 6, 12, 24, 48} }

// Of prices the plan's batch and the shell file's other quantities. The plan is that of the shell file.
//
// Errors are those of labour.Estimate and crews.Paid.
func Of(ctx context.Context, p *layout.Plan, sh *shell.Shell) (Offer, error) {
	out := Offer{Currency: sh.Rates.Currency, Terms: termsOf(sh.Offer), Breaks: []Priced{}, Notes: notes(p, sh)}
	out.Batch = priced(p, sh, sh.Offer.Discount)
	breaks := slices.Clone(sh.Offer.Breaks)
	if len(breaks) == 0 {
		for _, n := range Usual() {
			breaks = append(breaks, shell.Break{Shells: n})
		}
	}
	slices.SortStableFunc(breaks, func(a, b shell.Break) int { return cmp.Compare(a.Shells, b.Shells) })
	for _, b := range breaks {
		other := *sh
		other.Batch = b.Shells
		plan, err := forBatch(ctx, p, &other)
		if err != nil {
			return Offer{}, fmt.Errorf("price of %d shells: %w", b.Shells, err)
		}
		one := priced(plan, &other, sh.Offer.Discount+b.Discount)
		one.Further = b.Discount
		out.Breaks = append(out.Breaks, one)
	}
	return out, nil
}

// forBatch is the plan with the work, money, flow, people and steel of another batch. Stations take as long as their schedules say,
// in proportion to their man-minutes.
func forBatch(ctx context.Context, p *layout.Plan, sh *shell.Shell) (*layout.Plan, error) {
	out := *p
	out.Shell.Batch = sh.Batch
	out.Stations, out.Joints, out.Runs = slices.Clone(p.Stations), slices.Clone(p.Joints), slices.Clone(p.Runs)
	var err error
	if out.Labour, out.Cost, err = labour.Estimate(ctx, &out, sh); err != nil {
		return nil, err
	}
	for i, was := range p.Labour.Stations {
		if s := &out.Labour.Stations[i]; was.ManMinutes > 0 {
			s.Minutes = was.Minutes * s.ManMinutes / was.ManMinutes
		}
	}
	if out.Flow, err = crews.Flow(&out, sh.Batch, sh.WeekHours()); err != nil {
		return nil, err
	}
	if out.Cost.Paid, err = crews.Paid(ctx, &out, sh); err != nil {
		return nil, err
	}
	out.Cost.Steel, _, err = buy.Of(&out, sh)
	return &out, err
}

// priced is the price of the plan's batch at a discount in per cent.
func priced(p *layout.Plan, sh *shell.Shell, off float64) Priced {
	n := sh.Batch
	out := Priced{Shells: n, Work: layout.Whole(p.Cost.MinutesPerShell*1e4) / 1e4, Off: min(off, 100), Lines: []Line{perShell(Welding,
		"welding and assembly in the jigs",
		p.Cost.CostPerShell, n)}}
	if paid := p.Cost.Paid; paid.People > 0 {
		out.StoodBy = max(0, paid.Paid-paid.Worked) / float64(n)
		out.Lines = append(out.Lines, perShell(StandingBy, "people who stand by", paid.StandBy, n))
	}
	if sh.Offer.Steel != shell.CustomerBuys {
		total := 0.0
		for _, s := range p.Cost.Steel {
			total += s.Cost
		}
		out.Lines = append(out.Lines, Line{ID: Steel, What: "sheet steel for the panels", Total: layout.Cents(total)})
	}
	for _, l := range sh.Offer.Lines {
		out.Lines = append(out.Lines, stated(l, sh.Offer.Subcontract, n))
	}
	return Sum(out, sh.Offer)
}

// Sum makes the price of its lines.
func Sum(out Priced, o shell.Offer) Priced {
	n := out.Shells
	out.Cost = 0
	for _, l := range out.Lines {
		out.Cost = layout.Cents(out.Cost + l.Total)
	}
	out.Margin = layout.Cents(out.Cost * o.Margin / 100)
	out.Discount = layout.Cents((out.Cost + out.Margin) * out.Off / 100)
	out.Each = layout.Cents((out.Cost + out.Margin - out.Discount) / float64(n))
	out.Net = layout.Times(out.Each, n)
	out.VAT = layout.Cents(out.Net * o.VAT / 100)
	out.Gross = layout.Cents(out.Net + out.VAT)
	return out
}

func perShell(id LineID, what string, each float64, n int) Line {
	return Line{ID: id, What: what, Each: layout.Cents(each), Total: layout.Times(each, n)}
}

// stated is a line of the shell file; on a subcontractor's price so many per cent are laid.
func stated(l shell.OfferLine, pct float64, n int) Line {
	bare := l.Quantity * l.Price
	if l.By != shell.Subcontract {
		pct = 0
	}
	each := bare * (1 + pct/100)
	out := Line{ID: LineID(l.ID), What: l.What, Total: layout.Cents(each), Added: layout.Cents(each) - layout.Cents(bare)}
	if l.Per == shell.PerShell {
		out.Each, out.Total, out.Added = layout.Cents(each), layout.Times(each, n), layout.Cents(layout.Times(each, n)-layout.Times(bare, n))
	}
	return out
}

// notes are what the estimator must know before the quote goes out.
func notes(p *layout.Plan, sh *shell.Shell) []string {
	out := append([]string{}, p.Notes...) // rates, guns and tips that nobody stated
	note := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if sh.Offer.Margin == 0 {
		note("offer.margin_pct is 0: the price is what it costs")
	}
	if sh.Offer.VAT == 0 {
		note("offer.vat_pct is 0: prices are without value-added tax")
	}
	if sh.Offer.Date == "" {
		note("offer.date is not stated: the quote has no date to be valid from")
	}
	if sh.Offer.Customer == "" {
		note("offer.customer is not stated: the quote is addressed to nobody")
	}
	if sh.Offer.Steel != shell.CustomerBuys {
		for _, s := range p.Cost.Steel {
			if s.PerKilo == 0 {
				note("no price is stated for %s: it is in the quote at nothing; add it to material", SheetName(s))
			}
		}
		for _, v := range p.Panels {
			if !buy.Listed(v) {
				note("the steel of panel %s is not in the price, as no blank could be measured: look at its mesh", v.ID)
			}
		}
	}
	if p.Cost.Paid.People == 0 {
		note("people is not stated: nothing is counted for crews that stand by")
	}
	if len(sh.Offer.Lines) == 0 {
		note("offer.lines has none: pressing the panels, paint, trim and freight are not in the price")
	}
	return out
}

// SheetName is a kind of sheet in words.
func SheetName(s layout.Sheet) string {
	return fmt.Sprintf("%s of %g mm %s", s.Grade, s.Thickness, cmp.Or(s.Coating, "without coating"))
}
