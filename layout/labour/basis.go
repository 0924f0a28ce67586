package labour

import (
	"context"
	"fmt"
	"reflect"
	"strings"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// Basis is all that an estimate stands on: the accounts, the pace and the figures of the shell file with what they mean, for
// those who show it with live figures and know no shell file.
type Basis struct {
	Accounts []Account
	Pace     Pace
	Inputs   []Input // in the order of the shell file
	shell    *shell.Shell
}

// Input is a figure of the shell file.
type Input struct {
	Key     string // dotted, with the id for what stands in a list
	Value   float64
	Unit    string
	Meaning string
	Source  string // of the default
	Decides bool   // the plan hangs on it, too: with another value, a new plan may have other welds, settings, minutes or another order
}

// BasisOf gathers the basis. Errors are those of Estimate.
func BasisOf(ctx context.Context, p *layout.Plan, sh *shell.Shell) (*Basis, error) {
	accounts, err := Accounts(ctx, p, sh)
	if err != nil {
		return nil, err
	}
	pace, err := PaceOf(sh)
	if err != nil {
		return nil, fmt.Errorf("labour: %w", err)
	}
	return &Basis{Accounts: accounts, Pace: pace, Inputs: inputsOf(p, sh), shell: sh}, nil
}

// Quantity is a piece's quantity for a shell.
func (b *Basis) Quantity(p Piece) float64 { return p.Quantity(b.shell) }

// QuantityOf is a piece's quantity for one shell of a batch of another number.
func (b *Basis) QuantityOf(p Piece, batch int) float64 {
	other := *b.shell
	other.Batch = batch
	return p.Quantity(&other)
}

// PracticeAt is the average factor on hand work for a batch of some number.
func (b *Basis) PracticeAt(batch int) float64 {
	f, err := PracticeOf(b.shell).Average(batch)
	if err != nil {
		return b.Pace.Practice // which was checked for the shell file's own batch
	}
	return f
}

// Wage is money for a man-minute.
func (b *Basis) Wage() float64 { return b.shell.Rates.Labour / 60 }

// Overhead is the share on top of wages.
func (b *Basis) Overhead() float64 { return b.shell.Rates.Overhead / 100 }

// Water is litres a minute while a gun or roller is in somebody's hands.
func (b *Basis) Water() float64 { return b.shell.Rates.WaterFlow }

// SheetKey names the price of a kind of sheet among the inputs.
func SheetKey(s layout.Sheet) string {
	return strings.Join(strings.Fields(fmt.Sprintf("material.%s %g %s price_per_kg", s.Grade, s.Thickness, s.Coating)), " ")
}

func inputsOf(p *layout.Plan, sh *shell.Shell) []Input {
	about := map[string]shell.Key{}
	for _, k := range shell.Keys() {
		about[k.Name] = k
	}
	var out []Input
	add := func(key, generic string, value float64) {
		k := about[generic]
		out = append(out, Input{Key: key, Value: value, Unit: k.Unit, Meaning: k.Meaning, Source: k.Source})
	}
	add("batch", "batch", float64(sh.Batch))
	add("shifts", "shifts", float64(max(1, sh.Shifts)))
	for _, group := range []struct {
		name  string
		value any
	}{{"rates", sh.Rates}, {"allowances", sh.Allowances}, {"elements", sh.Elements}} {
		v := reflect.ValueOf(group.value)
		for i := range v.NumField() {
			key := group.name + "." + v.Type().Field(i).Tag.Get("mapstructure")
			switch f := v.Field(i); f.Kind() {
			case reflect.Float64:
				add(key, key, f.Float())
			case reflect.Int:
				add(key, key, float64(f.Int()))
			default:
				continue
			}
			out[len(out)-1].Decides = decides(sh, group.name, i)
		}
	}
	for _, t := range sh.Tips {
		add("tips."+t.ID+".price", "tips[].price", t.Price)
	}
	for _, r := range sh.Rollers {
		add("rollers."+r.ID+".price", "rollers[].price", r.Price)
	}
	for _, s := range sh.Stations {
		add("stations."+s.ID+".crew", "stations[].crew", float64(max(1, s.Crew)))
		add("stations."+s.ID+".prepare_min", "stations[].prepare_min", s.Prepare)
		add("stations."+s.ID+".changeover_min", "stations[].changeover_min", s.Change)
	}
	for _, s := range p.Cost.Steel {
		add(SheetKey(s), "material[].price_per_kg", s.PerKilo)
	}
	o := sh.Offer
	for _, v := range []struct {
		key   string
		value float64
	}{{"margin_pct", o.Margin}, {"subcontract_pct", o.Subcontract}, {"discount_pct", o.Discount}, {"vat_pct", o.VAT}} {
		add("offer."+v.key, "offer."+v.key, v.value)
	}
	for _, l := range o.Lines {
		add("offer.lines."+l.ID+".quantity", "offer.lines[].quantity", l.Quantity)
		add("offer.lines."+l.ID+".price", "offer.lines[].price", l.Price)
	}
	return out
}

// decides says whether the plan hangs on field i of a table of the shell file.
func decides(sh *shell.Shell, table string, i int) bool {
	other := *sh
	v := map[string]reflect.Value{"rates": reflect.ValueOf(&other.Rates), "allowances": reflect.ValueOf(&other.Allowances),
		"elements": reflect.ValueOf(&other.Elements)}[table].Elem().Field(i)
	if v.Kind() == reflect.Int {
		v.SetInt(v.Int() + 1)
	} else {
		v.SetFloat(v.Float() + 1)
	}
	return !SamePlan(sh, &other)
}
