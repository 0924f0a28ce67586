package offer

import "strings"

// inputs writes the sheet of what may be changed.
func (b *book) inputs() {
	b.heads(inputSheet, 1, []string{"key of the shell file", "value", "unit", "meaning", "default's source"}, []float64{32, 12, 12, 60, 60})
	for i, in := range b.basis.Inputs {
		row := i + 2
		at := cell("B", row)
		b.text(inputSheet, cell("A", row), in.Key, plain)
		b.number(inputSheet, at, in.Value, "", entry)
		b.text(inputSheet, cell("C", row), in.Unit, plain)
		b.text(inputSheet, cell("D", row), in.Meaning, plain)
		b.text(inputSheet, cell("E", row), in.Source, plain)
		b.input[in.Key] = inputSheet + "!$B$" + at[1:]
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
