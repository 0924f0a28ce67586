package paper

import "math"

// Field is one box of a title block: a name and a value.
type Field struct {
	Name, Value string
	Width       float64 // mm; where values are too long for their fields, those that have room to spare give it
	Must        bool    // its value must be read in full: the others give way
}

// NewField makes a field.
func NewField(name, value string, width float64) Field {
	return Field{Name: name, Value: value, Width: width}
}

// Whole is the field as one whose value must be read in full.
func (f Field) Whole() Field {
	f.Must = true
	return f
}

// FieldHigh is the height of a row of fields, mm: room for a name and a value of 3.5 mm.
const FieldHigh = 10.0

const (
	fieldText = 3.5 // height of a value that has room
	fieldSide = 1.5 // mm left and right of it
)

// Fields draws boxes side by side from a place on. Values are written as large as fits, and shortened, which … says, where they do not
// fit at all; an empty one becomes a dash.
func (p *Page) Fields(at Point, fields []Field) {
	frame := p.Layer("fields frame", Style{Stroke: Black, Width: W50})
	lines := p.Layer("fields lines", Style{Stroke: Black, Width: W25})
	words := p.Layer("fields words", Style{Fill: Black})
	x := at.X
	for i, wide := range fieldWidths(fields) {
		room, value, high := wide-2*fieldSide, fields[i].Value, fieldText
		words.Text(Point{x + fieldSide, at.Y + 3.5}, TextHeight, Start, Fit(fields[i].Name, TextHeight, wide-2))
		if value == "" {
			value = "–"
		}
		if Width(value, high) > room {
			high = TextHeight
		}
		words.Text(Point{x + fieldSide, at.Y + 8.6}, high, Start, Fit(value, high, room))
		if x > at.X {
			lines.Line(Point{x, at.Y}, Point{x, at.Y + FieldHigh})
		}
		x += wide
	}
	frame.Rect(Box{at.X, at.Y, x, at.Y + FieldHigh})
}

// needs are the widths at which a field's name, and its name and value, can be read in full.
func (f Field) needs() (name, all float64) {
	name = Width(f.Name, TextHeight) + 2*fieldSide
	return name, max(name, Width(f.Value, TextHeight)+2*fieldSide)
}

// fieldWidths are the fields' widths: as stated where all values can be read at them. Else those that must be read take what others
// can spare, and where that is too little, what others have beyond their names; and then the rest of those that are too long, in
// proportion, what is left to spare. The sum stays.
func fieldWidths(fields []Field) []float64 {
	out := make([]float64, len(fields))
	for i, f := range fields {
		out[i] = f.Width
	}
	for _, must := range []bool{true, false} {
		lack := func(i int) float64 {
			_, all := fields[i].needs()
			if fields[i].Must != must {
				return 0
			}
			return math.Max(0, all-out[i])
		}
		spare := func(i int) float64 {
			_, all := fields[i].needs()
			return math.Max(0, out[i]-all)
		}
		move(out, lack, spare)
		if must {
			move(out, lack, func(i int) float64 {
				name, _ := fields[i].needs()
				if fields[i].Must {
					return 0
				}
				return math.Max(0, out[i]-name)
			})
		}
	}
	return out
}

// move gives those that lack what others have to spare, to each in proportion and from each.
func move(widths []float64, lack, spare func(i int) float64) {
	lacks, spares, wanted, there := make([]float64, len(widths)), make([]float64, len(widths)), 0.0, 0.0
	for i := range widths {
		lacks[i], spares[i] = lack(i), spare(i)
		wanted, there = wanted+lacks[i], there+spares[i]
	}
	if wanted == 0 || there == 0 {
		return
	}
	moved := math.Min(wanted, there)
	for i := range widths {
		widths[i] += float64(lacks[i]*moved/wanted) - float64(spares[i]*moved/there)
	}
}
