package drawing

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/golang/geo/r3"
)

// writableMarks checks what a DXF file cannot hold.
func writableMarks(marks []Mark) error {
	for i, m := range marks {
		switch {
		case !usable([]r3.Vector{m.At}, 0):
			return fmt.Errorf("mark %d has a place that is not a number or beyond %v mm", i+1, maxCoordinate)
		case badLayer(m.Layer):
			return fmt.Errorf("mark %d: layer %s: leave out control characters and < > / \\ \" : ; ? * | = `", i+1, shown(m.Layer))
		case m.Text != "" && !(m.Height > 0 && m.Height < maxCoordinate):
			return fmt.Errorf("mark %d: words %v mm high: give a height above zero", i+1, m.Height)
		}
	}
	return nil
}

// pointStyle has points shown as a cross in a circle, 5 mm across (point mode 2 for the cross and 32 for the
// circle; DXF reference; from memory).
func (w *dxfWriter) pointStyle() {
	w.text(9, "$PDMODE")
	w.whole(70, 34)
	w.text(9, "$PDSIZE")
	w.number(40, 5)
}

// mark writes a point, or words whose line begins at the point.
func (w *dxfWriter) mark(m Mark) {
	if m.Text == "" {
		w.object("POINT", w.next(), handleModel, "AcDbEntity")
		w.name(8, layerName(m.Layer))
		w.text(100, "AcDbPoint")
		w.point(10, m.At)
		return
	}
	w.object("TEXT", w.next(), handleModel, "AcDbEntity")
	w.name(8, layerName(m.Layer))
	w.text(100, "AcDbText")
	w.point(10, m.At)
	w.number(40, m.Height)
	w.name(1, oneLine(m.Text))
	w.text(100, "AcDbText")
}

// oneLine puts a space for what would end the line or begin a control code (%%d is a degree sign), and a
// question mark for what R2000 has no escape for.
func oneLine(text string) string {
	for strings.Contains(text, "%%") {
		text = strings.ReplaceAll(text, "%%", "% %")
	}
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r):
			return ' '
		case r > 0xffff:
			return '?'
		}
		return r
	}, text)
}
