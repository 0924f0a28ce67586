package offer

import (
	"strings"
	"unicode/utf8"
)

// places gives every input a cell, so that formulas can name it.
func (b *book) places() {
	for i, in := range b.basis.Inputs {
		b.input[in.Key] = cell(inputSheet+"!$B$", i+2)
	}
}

// Widths in letters of the columns of sentences of the sheet Inputs, and the height of a line of them in points.
const (
	meaningWide, sourceWide, planWide = 52, 44, 30
	lineHigh                          = 15
)

// inputs writes the sheet of what may be changed, once it is known what formulas name. What none names is not to be changed, and says
// so; where the plan hangs on one, too, that is said.
func (b *book) inputs() {
	b.heads(inputSheet, 1, []string{"key of the shell file", "value", "unit", "meaning", "default's source",
		"in the plan; minutes that people stand by stay the plan's, whatever is changed"},
		[]float64{32, 12, 12, meaningWide, sourceWide, planWide})
	for i, in := range b.basis.Inputs {
		row, use, source, decides := i+2, entry, in.Source, ""
		if !b.used[in.Key] {
			use, source = plain, "nothing in this plan follows it"
		}
		if in.Decides {
			decides = "decides the plan, too: only a new one has all that follows"
		}
		b.text(inputSheet, cell("A", row), in.Key, plain)
		b.number(inputSheet, cell("B", row), in.Value, "", use)
		b.text(inputSheet, cell("C", row), in.Unit, plain)
		b.text(inputSheet, cell("D", row), in.Meaning, prose)
		b.text(inputSheet, cell("E", row), source, prose)
		if decides != "" {
			b.text(inputSheet, cell("F", row), decides, prose)
		}
		lines := max(linesOf(in.Meaning, meaningWide), linesOf(source, sourceWide), linesOf(decides, planWide))
		b.keep(b.file.SetRowHeight(inputSheet, row, lineHigh*float64(lines)))
	}
}

// linesOf is how many lines a text takes at most in a column of some width, whose unit is a figure: most letters are narrower.
func linesOf(text string, wide int) int { return 1 + max(0, utf8.RuneCountInString(text)-1)/wide }

// find is the key of an input; the element keys of labour leave their table's name out.
func (b *book) find(key string) string {
	for _, table := range []string{"", "elements.", "rates.", "allowances."} {
		if _, ok := b.input[table+key]; ok {
			return table + key
		}
	}
	return ""
}

// ref is the cell of an input, which a formula then follows.
func (b *book) ref(key string) string {
	key = b.find(key)
	b.used[key] = true
	return b.input[key]
}

// known says whether an input has a cell.
func (b *book) known(key string) bool { return key != "" && b.find(key) != "" }

// tidy keeps a station's name from being taken for a pattern by SUMIF.
func tidy(s string) string {
	return strings.NewReplacer("~", "~~", "*", "~*", "?", "~?").Replace(s)
}
