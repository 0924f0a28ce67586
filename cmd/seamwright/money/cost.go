// Package money is the commands about time and money: cost, the quote, many variants.
//
//	program.Run(ctx, []string{"cost", "shell.yaml"}, os.Stdout, os.Stderr, []program.Maker{money.Cost})
package money

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/fileset"
	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/price"
	"seamwright/layout/quote"
	"seamwright/layout/whatif"
	"seamwright/render/offer"
	"seamwright/render/paper"
	"seamwright/render/sheet"
	"seamwright/render/table"
)

// costOptions are the flags of cost.
type costOptions struct {
	batch    int
	variants []string
	actuals  string
	xlsx     string
	seed     uint64
	lines    bool
	asJSON   bool
	steel    string
	pictures string
}

// costResult is what cost --json prints.
type costResult struct {
	Currency             string        `json:"currency" about:"ISO 4217 code"`
	Batch                int           `json:"batch" about:"shells in the batch"`
	MinutesPerShell      float64       `json:"minutes_per_shell" about:"man-minutes a shell, jig preparation shared over the batch" unit:"min"`
	CostPerShell         float64       `json:"cost_per_shell" about:"money a shell" unit:"money"`
	CostPerBatch         float64       `json:"cost_per_batch" about:"money for the batch" unit:"money"`
	RollerMetresPerShell float64       `json:"roller_metres_per_shell" about:"roller seams on one shell" unit:"m"`
	WeldsPerShell        int           `json:"welds_per_shell" about:"spots on one shell"`
	Lines                []layout.Line `json:"lines" about:"money a shell, piece by piece"`

	Stations      []layout.StationLabour `json:"stations" about:"work by station"`
	Subassemblies []layout.PartLabour    `json:"subassemblies" about:"with those that they are made of"`
	Joints        []layout.PartLabour    `json:"joints" about:"work by joint"`

	Steel []layout.Sheet `json:"steel" about:"sheet steel to buy for the batch, which the cost does not hold"`
	Paid  layout.Paid    `json:"paid" about:"what is paid for beside what is worked"`

	Quote    quote.Quote      `json:"quote" about:"how far the estimate may be off"`
	Variants []whatif.Variant `json:"variants,omitempty" about:"the first is the shell as stated and set"`
	Actuals  *actualsResult   `json:"actuals,omitempty" about:"what measured times make of the estimate"`
}

// actualsResult is what measured times make of the estimate.
type actualsResult struct {
	quote.Fit
	StatedMinutes float64 `json:"stated_minutes_per_shell" about:"with the element times as stated; the figures above go by the fitted ones"`
	StatedCost    float64 `json:"stated_cost_per_shell" about:"money a shell with the element times as stated" unit:"money"`
}

// Cost makes the command cost.
func Cost(p *program.Call) *cobra.Command {
	var o costOptions
	c := &cobra.Command{
		Use:   "cost SHELL",
		Short: "Estimate labour and money for a shell and for a batch",
		Long: `cost plans the shell and estimates time and money with their range. It compares up to 8 variants, fits the element
times to measured ones, and writes the quote as a workbook whose totals follow its inputs.`,
		Example: `  seamwright cost shell.yaml --set batch=12,crew.main-jig=3
  seamwright cost shell.yaml --variant batch=12 --variant batch=48,crew.main-jig=3 --xlsx quote.xlsx
  seamwright cost shell.yaml --actuals times.csv`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			p.Set = program.Settings(p.Set)
			if c.Flags().Changed("batch") {
				p.Set = append(p.Set, "batch="+strconv.Itoa(o.batch))
			}
			if len(o.variants) > mostVariants {
				return program.Wrong("%d variants: at most %d can be compared", len(o.variants), mostVariants)
			}
			return showCost(c.Context(), p, args[0], o)
		},
	}
	f := c.Flags()
	f.IntVar(&o.batch, "batch", 0, "shells in the batch, instead of the shell file's")
	f.StringArrayVar(&o.variants, "variant", nil, "compare with these values of the shell file, such as batch=12,crew.main-jig=3; up to 8 "+
		"times")
	f.StringVar(&o.actuals, "actuals", "", "measured times (CSV: station, shell, minutes): fit the element times and learning to them and "+
		"reckon with those")
	f.StringVar(&o.xlsx, "xlsx", "", "write the quote as a workbook with live formulas")
	f.StringVar(&o.steel, "steel", "", "write the sheet steel to buy for the batch as CSV or PDF: blanks, kilograms, tolerance, price")
	f.StringVar(&o.pictures, "pictures", "", "folder: write the estimate's pictures as SVG, each a file of its own")
	f.Uint64Var(&o.seed, "seed", 1, "of the drawn range")
	f.BoolVar(&o.lines, "lines", false, "print every line of money, not only their sums")
	program.JSONFlags[costResult](p, c, &o.asJSON, "print JSON")
	p.Overrides(c)
	return c
}

// showCost plans, reckons and prints.
func showCost(ctx context.Context, p *program.Call, path string, o costOptions) error {
	var rows []quote.Actual
	if o.actuals != "" {
		var err error
		if rows, err = quote.ReadActuals(o.actuals); err != nil {
			return program.BadInput(err)
		}
	}
	book, err := p.Destination(o.xlsx, "the quote", ".xlsx")
	if err != nil {
		return err
	}
	list, err := p.Destination(o.steel, "the steel to buy", ".csv", ".pdf")
	if err != nil {
		return err
	}
	if o.pictures != "" {
		if err := program.TryFolder(o.pictures); err != nil {
			return err
		}
	}
	done, err := p.Build(ctx, path)
	if err != nil {
		return err
	}
	for _, n := range done.Plan.Notes {
		p.Warn("note: %s", n)
	}
	r := costResult{}
	if rows != nil {
		if done, r.Actuals, err = fitted(ctx, done, rows); err != nil {
			return program.BadInput(fmt.Errorf("%s: %w", filepath.Base(o.actuals), err))
		}
	}
	if r.Quote, err = quote.Of(ctx, done.Plan, done.Shell, quote.Options{Seed: o.seed}); err != nil {
		return program.BadInput(err)
	}
	if r.Variants, err = compareVariants(ctx, p, path, done, r.Actuals, o); err != nil {
		return err
	}
	if o.xlsx != "" {
		if err := writeOffer(ctx, p, done, r.Quote, book); err != nil {
			return err
		}
	}
	if o.steel != "" {
		if err := writeSteel(p, done, list); err != nil {
			return err
		}
	}
	if o.pictures != "" {
		if err := writePictures(ctx, p, done.Plan, o.pictures); err != nil {
			return err
		}
	}
	r.fill(done.Plan)
	if o.asJSON {
		err = p.PrintJSON(r)
	} else {
		costText(p, done.Plan, r, o.lines)
	}
	if err != nil {
		return err
	}
	return program.Verdict(done.Plan)
}

// fitted reckons with the element times that measured ones lead to.
func fitted(ctx context.Context, done program.Planned, rows []quote.Actual) (program.Planned, *actualsResult, error) {
	if err := quote.Plausible(done.Plan, rows); err != nil {
		return done, nil, program.BadInput(err)
	}
	fit, err := quote.Recalibrate(ctx, done.Plan, done.Shell, rows)
	if err != nil {
		return done, nil, err
	}
	out := &actualsResult{Fit: fit, StatedMinutes: done.Plan.Cost.MinutesPerShell, StatedCost: done.Plan.Cost.CostPerShell}
	sh := *done.Shell
	fit.Apply(&sh)
	plan, err := whatif.Again(ctx, done.Plan, &sh)
	done.Plan, done.Shell = plan, &sh
	return done, out, err
}

// writeSteel lists the sheet steel of the batch, as CSV or PDF, and says for which kinds no price is stated.
func writeSteel(p *program.Call, done program.Planned, d program.Destination) error {
	text, err := table.Steel(done.Plan.Cost.Steel, done.Plan.Cost.Currency)
	if strings.EqualFold(filepath.Ext(d.Name), ".pdf") {
		text, err = paged(p, done.Plan, "Steel to buy", offer.Steel)
	}
	if err != nil {
		return err
	}
	for _, s := range done.Plan.Cost.Steel {
		if s.PerKilo == 0 {
			p.Warn("note: no price is stated for %s: add it to material", price.SheetName(s))
		}
	}
	if err := p.Put(d, text); err != nil {
		return err
	}
	mass, cost := steelSums(done.Plan)
	p.Warn("%s: %.0f kg of sheet, %s %s for the batch as far as prices are stated; the cost does not hold it", d.Name, mass,
		layout.Money(cost), done.Plan.Cost.Currency)
	return nil
}

// writePictures writes each picture of the estimate into a file of the folder.
func writePictures(ctx context.Context, p *program.Call, plan *layout.Plan, dir string) error {
	files := program.Output{}
	for _, pic := range offer.Pictures(plan) {
		var svg bytes.Buffer
		if err := pic.Page().SVG(&svg); err != nil {
			return err
		}
		files[pic.Name+".svg"] = svg.Bytes()
	}
	return program.Unwritten(fileset.WriteInto(ctx, dir, files))
}

// steelSums are kilograms and money of all sheet steel for the batch.
func steelSums(plan *layout.Plan) (mass, cost float64) {
	for _, s := range plan.Cost.Steel {
		mass, cost = mass+s.Mass, cost+s.Cost
	}
	return mass, layout.Cents(cost)
}

// paged is the PDF of some pages of a plan.
func paged(p *program.Call, plan *layout.Plan, title string, pages func(*layout.Plan, string) []*paper.Page) ([]byte, error) {
	hash, err := sheet.Hash(plan)
	if err != nil {
		return nil, err
	}
	return pdf(plan, title, pages(plan, hash))
}

// pdf binds pages.
func pdf(plan *layout.Plan, title string, pages []*paper.Page) ([]byte, error) {
	book := paper.Book{Title: plan.Shell.Name + ": " + title, Subject: plan.Shell.Number, Author: plan.Shell.Creator, Pages: pages}
	if t, err := time.Parse(time.DateOnly, plan.Shell.Issued); err == nil {
		book.Date = t
	}
	var out bytes.Buffer
	err := book.PDF(&out)
	return out.Bytes(), err
}

func writeOffer(ctx context.Context, p *program.Call, done program.Planned, q quote.Quote, to program.Destination) error {
	basis, err := labour.BasisOf(ctx, done.Plan, done.Shell)
	if err != nil {
		return program.BadInput(err)
	}
	priced, err := price.Of(ctx, done.Plan, done.Shell)
	if err != nil {
		return program.BadInput(err)
	}
	book, err := offer.Workbook(done.Plan, basis, q, priced)
	if err != nil {
		return err
	}
	return p.Put(to, book)
}

func (r *costResult) fill(plan *layout.Plan) {
	c := plan.Cost
	r.Currency, r.Batch, r.MinutesPerShell, r.CostPerShell, r.CostPerBatch = c.Currency, c.Batch, c.MinutesPerShell, c.CostPerShell,
		c.CostPerBatch
	r.RollerMetresPerShell, r.WeldsPerShell, r.Lines = c.RollerMetresPerShell, plan.Labour.Welds, c.Lines
	r.Steel, r.Paid = c.Steel, c.Paid
	r.Stations, r.Subassemblies, r.Joints = plan.Labour.Stations, plan.Labour.Subassemblies, plan.Labour.Joints
}

func costText(p *program.Call, plan *layout.Plan, r costResult, all bool) {
	c := plan.Cost
	fmt.Fprintf(p.Out, "%s, batch of %d\n\n", plan.Shell.Name, c.Batch)
	fmt.Fprintf(p.Out, "%-24s %6s %8s %12s %12s %10s\n", "station", "crew", "welds", "man-min", "minutes", c.Currency)
	for _, s := range plan.Labour.Stations {
		fmt.Fprintf(p.Out, "%-24s %6d %8d %12.1f %12.1f %10s\n", s.Station, s.Crew, s.Welds, s.ManMinutes, s.Minutes, layout.Money(s.Cost))
	}
	partsText(p, "sub-assembly, with what is in it", plan.Labour.Subassemblies, c.Currency)
	if all {
		partsText(p, "joint", plan.Labour.Joints, c.Currency)
	}
	fmt.Fprintf(p.Out, "\n%-40s %10s %-16s\n", "time a shell", "man-min", "from")
	for _, l := range labour.Summary(plan.Labour.Lines) {
		quantity, unit := l.Quantity, l.Unit
		switch l.Kind { // laid on the time of other work
		case layout.WorkPractice:
			quantity, unit = quantity/60, "min of hand work"
		case layout.WorkAllowances:
			quantity, unit = quantity/60, "min of work"
		}
		fmt.Fprintf(p.Out, "%-40.40s %10.1f %.1f %s\n", l.What, l.Total/60, quantity, unit)
	}
	lines := labour.Summary(c.Lines)
	if all {
		lines = c.Lines
	}
	fmt.Fprintf(p.Out, "\n%-52s %10s %-8s %10s %12s\n", "money a shell", "quantity", "unit", "each", c.Currency)
	for _, l := range lines {
		what := l.What
		if all {
			what = strings.Trim(strings.Join([]string{l.Station, l.Joint, l.What}, " "), " ")
		}
		fmt.Fprintf(p.Out, "%-52.52s %10.3f %-8s %10.4f %12s\n", what, l.Quantity, l.Unit, l.Each, layout.Money(l.Total))
	}
	fmt.Fprintf(p.Out, "\n%.1f man-minutes and %s %s a shell; %s %s for the batch; %.2f m of roller seam a shell\n",
		c.MinutesPerShell, layout.Money(c.CostPerShell), c.Currency, layout.Money(c.CostPerBatch), c.Currency, c.RollerMetresPerShell)
	steelText(p, plan)
	paidText(p, plan)
	rangeText(p, r.Quote)
	if r.Actuals != nil {
		actualsText(p, *r.Actuals, c)
	}
	if len(r.Variants) > 0 {
		variantsText(p, r.Variants, c.Currency)
	}
}

// steelText prints the sheet steel to buy, by kind of sheet.
func steelText(p *program.Call, plan *layout.Plan) {
	c := plan.Cost
	if len(c.Steel) == 0 {
		return
	}
	fmt.Fprintf(p.Out, "\n%-12s %6s %-10s %7s %9s %9s %12s\n", "steel to buy", "mm", "coating", "blanks", "kg", c.Currency+"/kg", c.Currency)
	for _, s := range c.Steel {
		each, cost := "–", "–"
		if s.PerKilo > 0 {
			each, cost = fmt.Sprint(s.PerKilo), layout.Money(s.Cost)
		}
		fmt.Fprintf(p.Out, "%-12s %6g %-10s %7d %9.1f %9s %12s\n", s.Grade, s.Thickness, s.Coating, s.Pieces, s.Mass, each, cost)
	}
	mass, cost := steelSums(plan)
	fmt.Fprintf(p.Out, "%.0f kg and %s %s for the batch, as far as prices are stated; the cost above does not hold it\n", mass,
		layout.Money(cost),
		c.Currency)
}

// paidText prints what is paid for beside what is worked.
func paidText(p *program.Call, plan *layout.Plan) {
	fmt.Fprintf(p.Out, "\npaid and worked, the batch\n")
	for _, r := range plan.PaidRows() {
		fmt.Fprintf(p.Out, "  %-46s %s\n", r[0], r[1])
	}
	paid := plan.Cost.Paid
	for _, j := range paid.Jigs {
		fmt.Fprintf(p.Out, "  %-24s jig in use %5.1f %%", j.Station, 100*j.Share)
		for _, g := range paid.Guns {
			if g.Station == j.Station {
				fmt.Fprintf(p.Out, ", %s in hand %.1f %%", g.ID, 100*g.Share)
			}
		}
		fmt.Fprintln(p.Out)
	}
	fmt.Fprintln(p.Out)
}

// partsText prints the time and money of sub-assemblies or joints, where there are any.
func partsText(p *program.Call, of string, parts []layout.PartLabour, currency string) {
	if len(parts) == 0 {
		return
	}
	fmt.Fprintf(p.Out, "\n%-36s %8s %10s %12s %10s\n", of, "welds", "roller m", "man-min", currency)
	for _, l := range parts {
		fmt.Fprintf(p.Out, "%-36s %8d %10.2f %12.1f %10s\n", l.ID, l.Welds, l.RollerMetre, l.ManMinutes, layout.Money(l.Cost))
	}
}

// rangeText prints how far the quote may be off and why.
func rangeText(p *program.Call, q quote.Quote) {
	fmt.Fprintf(p.Out, "range of %d drawings, seed %d: half come to less than %s %s a shell, four in five to less than %s (%s for "+
		"the batch)\n",
		q.Trials, q.Seed, layout.Money(q.CostPerShell.P50), q.Currency, layout.Money(q.CostPerShell.P80), layout.Money(q.CostPerBatch.P80))
	fmt.Fprintf(p.Out, "\n%-20s %10s %8s %10s %10s %10s\n", "what moves it most", "stated", "off by", "low", "high", "swing")
	fmt.Fprintf(p.Out, "%-20s (low and high: %s a shell with this input alone at its 10th and its 90th percentile)\n", "", q.Currency)
	for i, m := range q.Movers {
		if i == 10 {
			break
		}
		fmt.Fprintf(p.Out, "%-20s %10.6g %6.3g %% %10.2f %10.2f %10.2f  %s\n", m.ID, m.Value, m.Pct, m.Low, m.High, m.Swing, m.Name())
	}
}

// actualsText prints what the measured times say.
func actualsText(p *program.Call, a actualsResult, now layout.Cost) {
	fmt.Fprintf(p.Out, "\n%d measured times: %+.1f %% off the plan in all, %.1f %% each on the average (root mean square), %.1f %% after "+
		"fitting\n", a.Rows, a.Off, a.Before, a.After)
	fmt.Fprintf(p.Out, "%-24s %8s %10s %10s %10s %10s\n", "station", "shells", "measured", "planned", "off", "fitted")
	for _, s := range a.Stations {
		fmt.Fprintf(p.Out, "%-24s %8d %10.1f %10.1f %+8.1f %% %10.1f\n", s.Station, s.Shells, s.Measured, s.Planned, s.Off, s.Fitted)
	}
	fmt.Fprintf(p.Out, "\nelements: # fitted; stated; share of the doubt taken away\n")
	for _, e := range a.Elements {
		fmt.Fprintf(p.Out, "  %-30s # %.6g; %.0f %%\n", fmt.Sprintf("%s: %.4g", e.ID, e.Fitted), e.Stated, 100*e.Sure)
	}
	fmt.Fprintf(p.Out, "as stated %.1f man-minutes and %s %s a shell, with the fitted times %.1f and %s\n", a.StatedMinutes,
		layout.Money(a.StatedCost), now.Currency, now.MinutesPerShell, layout.Money(now.CostPerShell))
}
