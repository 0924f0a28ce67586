package drawing

import (
	"fmt"

	"seamwright/geometry/dxf"
	"seamwright/geometry/space"
)

// header holds the variables of the HEADER section that bear on lengths and names.
type header struct {
	insunits    int
	hasUnit     bool // $INSUNITS states a unit
	imperial    bool // $MEASUREMENT is 0
	measured    bool // $MEASUREMENT is stated
	insunitsErr error
}

// readHeader picks out the variables needed. Each is a group 9 with its name, followed by its values.
func (p *parser) readHeader() error {
	const variable = 9
	name := ""
	for !p.atEnd() {
		if p.Cur.Code == variable {
			name = p.Cur.Name()
		} else {
			p.headerValue(name, p.Cur)
		}
		if err := p.Advance(); err != nil {
			return err
		}
	}
	return nil
}

func (p *parser) headerValue(name string, t dxf.Tag) {
	h := &p.file.header
	switch name {
	case "$INSUNITS":
		h.insunits, h.insunitsErr = t.Whole()
		h.hasUnit = h.insunitsErr == nil && h.insunits != 0
	case "$MEASUREMENT":
		v, err := t.Whole()
		h.measured, h.imperial = err == nil, v == 0
	case "$DWGCODEPAGE":
		p.file.names = dxf.NamesIn(t.Text)
	}
}

// drawingUnit is a unit that $INSUNITS can state.
type drawingUnit struct {
	name        string
	millimetres float64
	unit        space.Unit // Unstated where package space has no name for it
}

// drawingUnits are the values of $INSUNITS (DXF reference, HEADER; from memory; lengths: inch 25.4 mm and
// foot 304.8 mm exactly, US survey foot 1200/3937 m, the rest decimal).
var drawingUnits = map[int]drawingUnit{
	1: {"inch", 25.4, space.Inch}, 2: {"foot", 304.8, space.Foot}, 3: {"mile", 1609344, ""},
	4: {"mm", 1, space.Millimetre}, 5: {"cm", 10, space.Centimetre}, 6: {"m", 1000, space.Metre},
	7: {"km", 1e6, ""}, 8: {"microinch", 25.4e-6, ""}, 9: {"mil", 0.0254, ""}, 10: {"yard", 914.4, ""},
	11: {"ångström", 1e-7, ""}, 12: {"nm", 1e-6, ""}, 13: {"micrometre", 1e-3, ""}, 14: {"dm", 100, ""},
	15: {"dam", 1e4, ""}, 16: {"hm", 1e5, ""}, 17: {"Gm", 1e12, ""},
	21: {"US survey foot", 1200.0 / 3937 * 1000, ""}, 22: {"US survey inch", 100.0 / 3937 * 1000, ""},
	23: {"US survey yard", 3600.0 / 3937 * 1000, ""},
}

// scale decides which unit counts. It returns the millimetres of one drawing unit, the unit for Drawing.Unit
// and the notes to give.
func (h header) scale(stated space.Unit) (float64, space.Unit, []string) {
	own, known := drawingUnits[h.insunits]
	if stated != space.Unstated {
		var notes []string
		if h.hasUnit && (!known || own.unit != stated) {
			notes = append(notes, fmt.Sprintf("unit: taken as %s as told, though the file says %s ($INSUNITS %d)", stated, own.orUnknown(),
				h.insunits))
		}
		return stated.Millimetres(), stated, notes
	}
	switch {
	case h.hasUnit && known && own.unit != "":
		return own.millimetres, own.unit, nil
	case h.hasUnit && known:
		return own.millimetres, space.Unstated, []string{fmt.Sprintf("unit: drawn in %s ($INSUNITS %d)", own.name, h.insunits)}
	}
	return 1, space.Millimetre, []string{"unit: " + h.whyAssumed() + ": millimetres assumed; state the unit if that is wrong"}
}

func (u drawingUnit) orUnknown() string {
	if u.name == "" {
		return "an unknown unit"
	}
	return u.name
}

// whyAssumed says why millimetres had to be assumed, with the hint that $MEASUREMENT gives.
func (h header) whyAssumed() string {
	why := "the file states none"
	switch {
	case h.insunitsErr != nil:
		why = "the file's $INSUNITS is not a number"
	case h.hasUnit:
		why = fmt.Sprintf("the file's $INSUNITS %d is not a unit of length that is known", h.insunits)
	}
	if h.measured && h.imperial {
		why += " ($MEASUREMENT 0 hints at inches)"
	}
	return why
}
