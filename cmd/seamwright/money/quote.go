package money

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
	"seamwright/layout/price"
	"seamwright/layout/quote"
	"seamwright/render/offer"
	"seamwright/render/sheet"
	"seamwright/seams/shell"
)

// quoteOptions are the flags of quote.
type quoteOptions struct {
	file       string
	quantities string
	workings   bool
	asJSON     bool
	keys       []quoteKey
}

// quoteKey is a flag that stands for a key of the shell file.
type quoteKey struct {
	flag, key, value, about string
}

// Quote makes the command quote.
func Quote(p *program.Call) *cobra.Command {
	o := quoteOptions{keys: []quoteKey{
		{flag: "batch", key: "batch", about: "shells in the batch"},
		{flag: "margin", key: "offer.margin_pct", about: "margin on all costs, per cent"},
		{flag: "discount", key: "offer.discount_pct", about: "discount of the price, per cent"},
		{flag: "vat", key: "offer.vat_pct", about: "value-added tax, per cent"},
		{flag: "valid", key: "offer.valid_days", about: "how long the quote holds, days"},
		{flag: "customer", key: "offer.customer", about: "name and address, parted by commas"},
		{flag: "number", key: "offer.number", about: "number of the quote"},
		{flag: "date", key: "offer.date", about: "date of the quote, as it is printed"},
		{flag: "steel", key: "offer.steel", about: "who buys the sheet steel: works or customer"},
	}}
	c := &cobra.Command{
		Use:   "quote SHELL -o FILE.pdf|.xlsx",
		Short: "Write a quote that can be sent, or its workbook",
		Long: `quote plans the shell and prices its batch and other quantities: welding, people who stand by, sheet steel, the shell
file's further lines, margin, discount and tax. The PDF is the customer's letter; --workings puts the costs, the steel to buy and
the estimate's pictures behind it, for the works alone. The workbook has live formulas for all of it.`,
		Example: `  seamwright quote shell.yaml -o quote.pdf --margin 12 --customer "Orchard Machines, Mill Lane 4"
  seamwright quote shell.yaml -o quote.xlsx --quantities 1,6,12,24,48
  seamwright quote shell.yaml --json`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			p.Set = program.Settings(p.Set)
			for _, k := range o.keys {
				if c.Flags().Changed(k.flag) {
					p.Set = append(p.Set, k.key+"="+c.Flags().Lookup(k.flag).Value.String())
				}
			}
			return showOffer(c.Context(), p, args[0], o)
		},
	}
	f := c.Flags()
	f.StringVarP(&o.file, "output", "o", "", "PDF or XLSX file")
	for i := range o.keys {
		k := &o.keys[i]
		f.StringVar(&k.value, k.flag, "", k.about+", instead of the shell file's "+k.key)
	}
	f.StringVar(&o.quantities, "quantities", "", "other numbers of shells to price, such as 1,6,12, instead of the shell file's offer.breaks")
	f.BoolVar(&o.workings, "workings", false, "with costs, steel and pictures behind the letter, for the works alone")
	program.JSONFlags[price.Offer](p, c, &o.asJSON, "print JSON")
	p.Overrides(c)
	return c
}

func showOffer(ctx context.Context, p *program.Call, path string, o quoteOptions) error {
	if o.file == "" && !o.asJSON {
		return program.Wrong("quote needs a file: add -o FILE.pdf or -o FILE.xlsx, or --json")
	}
	breaks, err := parseQuantities(o.quantities)
	if err != nil {
		return program.BadInput(err)
	}
	to, err := p.Destination(o.file, "a quote", ".pdf", ".xlsx")
	if err != nil {
		return err
	}
	if o.workings && strings.EqualFold(filepath.Ext(o.file), ".xlsx") {
		return program.Wrong("--workings: the workbook holds them as it is: leave the flag out, or write a PDF")
	}
	done, err := p.Build(ctx, path)
	if err != nil {
		return err
	}
	sh := *done.Shell
	if breaks != nil {
		sh.Offer.Breaks = breaks
	}
	done.Shell = &sh
	priced, err := price.Of(ctx, done.Plan, &sh)
	if err != nil {
		return program.BadInput(err)
	}
	for _, note := range priced.Notes {
		p.Warn("note: %s", note)
	}
	if o.file != "" {
		if err := putOffer(ctx, p, done, priced, to, o.workings); err != nil {
			return err
		}
	}
	if o.asJSON {
		err = p.PrintJSON(priced)
	} else {
		offerText(p, done.Plan, priced)
	}
	if err != nil {
		return err
	}
	return program.Verdict(done.Plan)
}

// parseQuantities reads numbers of shells; nothing gives none.
func parseQuantities(text string) ([]shell.Break, error) {
	if text == "" {
		return nil, nil
	}
	var out []shell.Break
	for _, word := range strings.Split(text, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 || n > 100_000 {
			return nil, fmt.Errorf("--quantities: %q is no number of shells: write whole numbers from 1 to 100000, such as 1,6,12", word)
		}
		if slices.ContainsFunc(out, func(b shell.Break) bool { return b.Shells == n }) {
			return nil, fmt.Errorf("--quantities: %d stands there twice: keep one of the two", n)
		}
		out = append(out, shell.Break{Shells: n})
	}
	return out, nil
}

// putOffer writes the workbook or the letter.
func putOffer(ctx context.Context, p *program.Call, done program.Planned, priced price.Offer, to program.Destination, workings bool) error {
	if strings.EqualFold(filepath.Ext(to.Name), ".xlsx") {
		q, err := quote.Of(ctx, done.Plan, done.Shell, quote.Options{Seed: quote.DefaultSeed})
		if err != nil {
			return program.BadInput(err)
		}
		return writeOffer(ctx, p, done, q, to)
	}
	file, err := Letter(done, priced, workings)
	if err != nil {
		return err
	}
	return p.Put(to, file)
}

// Letter is the quote as PDF.
func Letter(done program.Planned, priced price.Offer, workings bool) ([]byte, error) {
	hash, err := sheet.Hash(done.Plan)
	if err != nil {
		return nil, err
	}
	pages := offer.Letter(done.Plan, priced, hash)
	if workings {
		pages = append(pages, offer.Workings(done.Plan, priced, hash)...)
	}
	return pdf(done.Plan, "Quote", pages)
}

func offerText(p *program.Call, plan *layout.Plan, o price.Offer) {
	fmt.Fprintf(p.Out, "%s, %d shells; %s\n\n", plan.Shell.Name, o.Batch.Shells, plan.Standing())
	row := func(name string, v float64) { fmt.Fprintf(p.Out, "%-44s %14s\n", name, layout.Money(v)) }
	for _, l := range o.Batch.Lines {
		row(l.What, l.Total)
	}
	row("cost", o.Batch.Cost)
	row(fmt.Sprintf("margin %g %%", o.Terms.Margin), o.Batch.Margin)
	if o.Batch.Discount != 0 {
		row(fmt.Sprintf("discount %g %%", o.Batch.Off), -o.Batch.Discount)
	}
	row("net price", o.Batch.Net)
	if o.Batch.VAT != 0 {
		row(fmt.Sprintf("value-added tax %g %%", o.Terms.VAT), o.Batch.VAT)
		row("with tax", o.Batch.Gross)
	}
	fmt.Fprintf(p.Out, "\n%8s %14s %14s\n", "shells", o.Currency+" each", o.Currency)
	fmt.Fprintf(p.Out, "%8d %14s %14s  the batch\n", o.Batch.Shells, layout.Money(o.Batch.Each), layout.Money(o.Batch.Net))
	for _, b := range o.Breaks {
		fmt.Fprintf(p.Out, "%8d %14s %14s\n", b.Shells, layout.Money(b.Each), layout.Money(b.Net))
	}
}
