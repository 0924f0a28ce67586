package paper

// Field is one box of a title block: a name and a value.
type Field struct {
	Name, Value string
	Width       float64 // mm
}

// NewField makes a field.
func NewField(name, value string, width float64) Field { return Field{name, value, width} }

// FieldHigh is the height of a row of fields, mm: room for a name and a value of 3.5 mm.
const FieldHigh = 10.0

// Fields draws boxes side by side from a place on. Values are written as large as fits, and shortened where they do
// not fit at all; an empty one becomes a dash.
func (p *Page) Fields(at Point, fields []Field) {
	frame := p.Layer("fields frame", Style{Stroke: Black, Width: W50})
	lines := p.Layer("fields lines", Style{Stroke: Black, Width: W25})
	words := p.Layer("fields words", Style{Fill: Black})
	x := at.X
	for _, f := range fields {
		words.Text(Point{x + 1.5, at.Y + 3.5}, TextHeight, Start, Fit(f.Name, TextHeight, f.Width-2))
		value, high := f.Value, 3.5
		if value == "" {
			value = "–"
		}
		if Width(value, high) > f.Width-3 {
			high = TextHeight
		}
		words.Text(Point{x + 1.5, at.Y + 8.6}, high, Start, Fit(value, high, f.Width-3))
		if x > at.X {
			lines.Line(Point{x, at.Y}, Point{x, at.Y + FieldHigh})
		}
		x += f.Width
	}
	frame.Rect(Box{at.X, at.Y, x, at.Y + FieldHigh})
}
