package dxf

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Names turns the bytes of a layer's or block's name into text.
type Names struct {
	table *charmap.Charmap
}

// NamesIn takes the header's $DWGCODEPAGE. An unknown or multi-byte code page is read byte by byte
// as Latin letters: the names look odd then, but two different names stay different.
func NamesIn(codepage string) Names {
	number := strings.TrimLeft(strings.ToLower(strings.TrimSpace(codepage)), "abcdefghijklmnopqrstuvwxyz_")
	tables := map[string]*charmap.Charmap{
		"437": charmap.CodePage437, "850": charmap.CodePage850, "852": charmap.CodePage852, "866": charmap.CodePage866,
		"874": charmap.Windows874, "1250": charmap.Windows1250, "1251": charmap.Windows1251, "1252": charmap.Windows1252,
		"1253": charmap.Windows1253, "1254": charmap.Windows1254, "1255": charmap.Windows1255, "1256": charmap.Windows1256,
		"1257": charmap.Windows1257, "1258": charmap.Windows1258,
	}
	if table, ok := tables[number]; ok {
		return Names{table}
	}
	return Names{charmap.ISO8859_1}
}

// Decode returns a name as text. Valid UTF-8 is kept whatever the header says: newer files are UTF-8, and
// text in a code page is hardly ever valid UTF-8 by chance.
func (d Names) Decode(raw string) string {
	name := strings.TrimSpace(raw)
	if !utf8.ValidString(name) {
		name = d.letters(name)
	}
	if strings.Contains(name, `\U+`) {
		name = unescape(name)
	}
	return name
}

func (d Names) letters(name string) string {
	table := d.table
	if table == nil {
		table = charmap.Windows1252
	}
	var b strings.Builder
	for i := range len(name) {
		b.WriteRune(table.DecodeByte(name[i]))
	}
	return b.String()
}

// unescape replaces \U+00E4 and the like by the letter meant.
func unescape(name string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(name, `\U+`)
		b.WriteString(before)
		if !found {
			return b.String()
		}
		name = after
		if len(after) < 4 {
			b.WriteString(`\U+`)
			continue
		}
		code, err := strconv.ParseUint(after[:4], 16, 16)
		if err != nil {
			b.WriteString(`\U+`)
			continue
		}
		b.WriteRune(rune(code))
		name = after[4:]
	}
}

// Folded is the form in which names are compared: DXF does not tell capitals from small letters.
func Folded(name string) string { return strings.ToUpper(name) }
