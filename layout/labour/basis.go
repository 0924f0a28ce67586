package labour

import (
	"fmt"
	"reflect"

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
}

// BasisOf gathers the basis. Errors are those of Estimate.
func BasisOf(p *layout.Plan, sh *shell.Shell) (*Basis, error) {
	accounts, err := Accounts(p, sh)
	if err != nil {
		return nil, err
	}
	pace, err := PaceOf(sh)
	if err != nil {
		return nil, fmt.Errorf("labour: %w", err)
	}
	return &Basis{Accounts: accounts, Pace: pace, Inputs: inputsOf(sh), shell: sh}, nil
}

// Quantity is a piece's quantity for a shell.
func (b *Basis) Quantity(p Piece) float64 { return p.Quantity(b.shell) }

// Wage is money for a man-minute.
func (b *Basis) Wage() float64 { return b.shell.Rates.Labour / 60 }

// Overhead is the share on top of wages.
func (b *Basis) Overhead() float64 { return b.shell.Rates.Overhead / 100 }

// Water is litres a minute while a gun or roller is in somebody's hands.
func (b *Basis) Water() float64 { return b.shell.Rates.WaterFlow }

func inputsOf(sh *shell.Shell) []Input {
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
			}
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
	return out
}
