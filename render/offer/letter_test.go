package offer_test

import (
	"bytes"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/render/offer"
	"seamwright/render/paper"
)

// text is all that stands on some pages.
func text(pages []*paper.Page) string {
	var out []string
	for _, p := range pages {
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if it.Kind == paper.Text {
					out = append(out, it.Text)
				}
			}
		}
	}
	return strings.Join(out, "\n")
}

// The letter says prices, and no word of costs and margin; the workings say them. Neither says that a draft may be sent.
func TestLetterKeepsCostsBack(t *testing.T) {
	sh := works()
	sh.Offer.Customer, sh.Offer.Terms = "Orchard Machines, Mill Lane 4", "Payment within 30 days."
	p := planned(t, sh)
	o := priced(t, p, sh)
	letter, workings := text(offer.Letter(p, o, "hash")), text(offer.Workings(p, o, "hash"))
	for _, want := range []string{layout.Money(o.Batch.Each), layout.Money(o.Batch.Net), layout.Money(o.Batch.Gross),
		layout.Money(o.Breaks[1].Net),
		"Mill Lane 4", "Payment within 30 days.", "draft, not approved", "30 days"} {
		if !strings.Contains(letter, want) {
			t.Errorf("%q is not in the letter", want)
		}
	}
	if strings.Contains(letter, layout.ForProduction) {
		t.Error("a draft says that it is for production")
	}
	for _, secret := range []string{"margin", "cost ", layout.Money(o.Batch.Cost), layout.Money(o.Batch.Margin),
		layout.Money(p.Cost.CostPerShell)} {
		if strings.Contains(letter, secret) {
			t.Errorf("the letter says %q", secret)
		}
		if !strings.Contains(workings, strings.TrimSpace(secret)) {
			t.Errorf("the workings do not say %q", secret)
		}
	}
}

// A plan for production is a quote without a word against it.
func TestLetterForProduction(t *testing.T) {
	sh := works()
	p := planned(t, sh)
	p.Shell.Status, p.Shell.Approver, p.Shell.Revision = layout.Approved, "lead", "B"
	if got := text(offer.Letter(p, priced(t, p, sh), "hash")); strings.Contains(got, "binds nobody") {
		t.Error("it says that it binds nobody")
	}
}

// Pages and pictures can be drawn, whatever the names, and keep within their sheets.
func TestPagesKeepTheirSheets(t *testing.T) {
	sh := works()
	p := planned(t, sh)
	p.Shell.Name, p.Shell.Owner = strings.Repeat("a very long name ", 12), strings.Repeat("W", 200)
	p.Cost.Spread = layout.CostSpread{Trials: 10, ShellP50: 250, ShellP80: 290, Curve: []float64{200, 220, 230, 240, 250, 260, 270, 290, 320},
		Movers: []layout.Mover{{ID: "common", Low: 200, High: 320}, {ID: "none", Low: p.Cost.CostPerShell, High: p.Cost.CostPerShell}}}
	o := priced(t, p, sh)
	pages := append(offer.Letter(p, o, "h"), offer.Workings(p, o, "h")...)
	pages = append(append(pages, offer.Steel(p, "h")...), offer.PicturePages(p, "h")...)
	names := ""
	for _, pic := range offer.Pictures(p) {
		pages, names = append(pages, pic.Page()), names+pic.Name+" "
	}
	if names != "minutes money movers range learning " { // nobody's schedule is known
		t.Errorf("pictures %s", names)
	}
	for _, pg := range pages {
		var svg bytes.Buffer
		if err := pg.SVG(&svg); err != nil {
			t.Fatal(err)
		}
		for _, l := range pg.Layers {
			for _, it := range l.Items {
				if b := it.Box(); b.X0 < 0 || b.Y0 < 0 || b.X1 > pg.Width || b.Y1 > pg.Height {
					t.Errorf("%s: %q leaves the sheet: %+v", pg.Title, it.Text, b)
				}
			}
		}
	}
}
