package price_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/layout/price"
	"seamwright/seams/shell"
)

type fails interface{ Fatal(args ...any) }

// planned is the sample cab with its work, money, people and steel.
func planned(t fails, sh *shell.Shell) *layout.Plan {
	p := sample.Cab(sh)
	p.Panels[0].Grade, p.Panels[0].Thickness, p.Panels[0].Blank = "DC04", 1, [2]float64{1000, 500}
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(context.Background(), p, sh); err != nil {
		t.Fatal(err)
	}
	if p.Flow, err = crews.Flow(p, sh.Batch, sh.WeekHours()); err != nil {
		t.Fatal(err)
	}
	if p.Cost.Paid, err = crews.Paid(context.Background(), p, sh); err != nil {
		t.Fatal(err)
	}
	if p.Cost.Steel, _, err = buy.Of(p, sh); err != nil {
		t.Fatal(err)
	}
	return p
}

func of(t fails, p *layout.Plan, sh *shell.Shell) price.Offer {
	o, err := price.Of(context.Background(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func ExampleOf() {
	sh := sample.Works()
	sh.Offer.Margin, sh.Offer.Steel = 10, shell.CustomerBuys
	p := sample.Cab(sh)
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(context.Background(), p, sh); err != nil {
		fmt.Println(err)
		return
	}
	offer, err := price.Of(context.Background(), p, sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := offer.Batch
	fmt.Printf("%d shells at %s are %s, of which %s is margin\n", b.Shells, layout.Money(b.Each), layout.Money(b.Net), layout.Money(b.Margin))
	// Output: 24 shells at 283.79 are 6810.96, of which 619.18 is margin
}

// A price by hand: 2 shells at 100.005 of subcontract each with 5 % on it and 50 for both, nothing else but the welding.
func TestByHand(t *testing.T) {
	sh := sample.Works()
	sh.Batch = 2
	sh.Offer = shell.Offer{Margin: 10, Discount: 5, VAT: 20, Subcontract: 5, Steel: shell.CustomerBuys, Lines: []shell.OfferLine{
		{ID: "press", What: "press", By: shell.Subcontract, Per: shell.PerShell, Quantity: 1, Price: 100.005},
		{ID: "way", What: "freight", Per: shell.PerBatch, Quantity: 2, Price: 25}}, Breaks: []shell.Break{{Shells: 2, Discount: 0}, {Shells: 1}}}
	p := planned(t, sh)
	o := of(t, p, sh)
	b := o.Batch
	if press := b.Lines[1]; press.Each != 105.01 || press.Total != 210.02 || press.Added != 10 { // 105.00525; without the 5 % 2 x 100.01
		t.Errorf("%+v", press)
	}
	if way := b.Lines[2]; way.Each != 0 || way.Total != 50 || way.Added != 0 {
		t.Errorf("%+v", way)
	}
	cost := layout.Cents(2*layout.Cents(p.Cost.CostPerShell) + 260.02)
	margin := layout.Cents(cost / 10)
	discount := layout.Cents((cost + margin) / 20)
	each := layout.Cents((cost + margin - discount) / 2)
	if b.Cost != cost || b.Margin != margin || b.Discount != discount || b.Each != each || b.Net != layout.Cents(2*each) ||
		b.VAT != layout.Cents(b.Net/5) || b.Gross != layout.Cents(b.Net+b.VAT) {
		t.Errorf("%+v", b)
	}
	if o.Breaks[0].Shells != 1 || o.Breaks[1].Net != b.Net || o.Breaks[0].Each <= b.Each {
		t.Errorf("%+v", o.Breaks)
	}
	if got := strings.Join(o.Notes, "; "); !strings.Contains(got, "offer.customer is not stated") || strings.Contains(got, "margin") {
		t.Errorf("%s", got)
	}
}

// Steel that is in the price at nothing is told of, with its panel or sort; not where the customer sends it.
func TestSteelThatIsNotPriced(t *testing.T) {
	sh := sample.Works()
	sh.Offer.Steel = shell.WorksBuys
	p := planned(t, sh)
	p.Panels[1].Blank = [2]float64{}
	for steel, want := range map[string]bool{shell.WorksBuys: true, shell.CustomerBuys: false} {
		sh.Offer.Steel = steel
		got := strings.Join(of(t, p, sh).Notes, "; ")
		for _, text := range []string{"the steel of panel " + p.Panels[1].ID + " is not in the price", "no price is stated for DC04 of 1 mm"} {
			if strings.Contains(got, text) != want {
				t.Errorf("%s buys: %s", steel, got)
			}
		}
		if strings.Contains(got, "the steel of panel "+p.Panels[0].ID+" ") {
			t.Errorf("%s", got)
		}
	}
}

// Whatever is stated, all that is printed adds up to the cent, and the batch among the other quantities costs what the batch costs.
func TestAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pct := func(name string, most int) float64 { return float64(rapid.IntRange(0, most*4).Draw(t, name)) / 4 }
		sh := sample.Works()
		sh.Batch, sh.People = rapid.IntRange(1, 60).Draw(t, "batch"), rapid.IntRange(2, 4).Draw(t, "people")
		sh.Offer = shell.Offer{Margin: pct("margin", 40), Discount: pct("discount", 20), VAT: pct("vat", 25), Subcontract: pct("on top", 20),
			Steel: shell.WorksBuys, Breaks: []shell.Break{{Shells: sh.Batch}}}
		sh.Material = []shell.Material{{Grade: "DC04", Thickness: 1, PerKilo: float64(rapid.IntRange(0, 3000).Draw(t, "kilo")) / 999}}
		for i := range rapid.IntRange(0, 4).Draw(t, "lines") {
			sh.Offer.Lines = append(sh.Offer.Lines, shell.OfferLine{ID: fmt.Sprint(i), What: "x", By: rapid.SampledFrom([]string{shell.Own,
				shell.Subcontract}).Draw(t, "by"), Per: rapid.SampledFrom([]string{shell.PerShell, shell.PerBatch}).Draw(t, "per"),
				Quantity: pct("quantity", 9), Price: float64(rapid.IntRange(0, 1e6).Draw(t, "price")) / 997})
		}
		p := planned(t, sh)
		o := of(t, p, sh)
		whole := func(v float64) int64 {
			n := math.Round(v * 100)
			if !(math.Abs(v*100-n) <= 1e-4) {
				t.Fatalf("%v is no whole cents", v)
			}
			return int64(n)
		}
		b := o.Batch
		var cost int64
		for _, l := range b.Lines {
			if cost += whole(l.Total); l.Each != 0 && whole(l.Each)*int64(b.Shells) != whole(l.Total) {
				t.Fatalf("%+v", l)
			}
		}
		if cost != whole(b.Cost) || whole(b.Each)*int64(b.Shells) != whole(b.Net) || whole(b.Net)+whole(b.VAT) != whole(b.Gross) {
			t.Fatalf("%+v", b)
		}
		if off := whole(b.Net) - whole(b.Cost) - whole(b.Margin) + whole(b.Discount); off > int64(b.Shells) || off < -int64(b.Shells) {
			t.Fatalf("rounding the price of one shell is worth %d cents for %d", off, b.Shells)
		}
		if o.Breaks[0].Net != b.Net || !(math.Abs(o.Breaks[0].StoodBy-b.StoodBy) <= 1e-9) {
			t.Fatalf("as another quantity %+v, as the batch %+v", o.Breaks[0], b)
		}
	})
}
