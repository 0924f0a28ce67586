package offer

import (
	"reflect"
	"strings"

	"seamwright/seams/shell"
)

// inputs writes the sheet of what may be changed.
func (b *book) inputs() {
	b.heads(inputSheet, 1, []string{"key of the shell file", "value", "unit", "meaning", "default's source"}, []float64{32, 12, 12, 60, 60})
	about := map[string]shell.Key{}
	for _, k := range shell.Keys() {
		about[k.Name] = k
	}
	row := 1
	add := func(key, generic string, value float64) {
		row++
		at, k := cell("B", row), about[generic]
		b.text(inputSheet, cell("A", row), key, plain)
		b.number(inputSheet, at, value, "", entry)
		b.text(inputSheet, cell("C", row), k.Unit, plain)
		b.text(inputSheet, cell("D", row), k.Meaning, plain)
		b.text(inputSheet, cell("E", row), k.Source, plain)
		b.input[key] = inputSheet + "!$B$" + at[1:]
	}
	sh := b.shell
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
}

// ref is the cell of an input; the element keys of labour leave their table's name out.
func (b *book) ref(key string) string {
	for _, table := range []string{"", "elements.", "rates.", "allowances."} {
		if at, ok := b.input[table+key]; ok {
			return at
		}
	}
	return ""
}

// known says whether an input has a cell.
func (b *book) known(key string) bool { return key != "" && b.ref(key) != "" }

// tidy keeps a station's name from being taken for a pattern by SUMIF.
func tidy(s string) string {
	return strings.NewReplacer("~", "~~", "*", "~*", "?", "~?").Replace(s)
}
