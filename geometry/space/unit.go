package space

import (
	"fmt"
	"strings"
)

// Unit is a unit of length as files state it. The zero value is "not stated".
type Unit string

// The units that panels and outlines are drawn in.
const (
	Unstated   Unit = ""
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Metre      Unit = "m"
	Inch       Unit = "inch"
	Foot       Unit = "foot"
)

// ParseUnit reads a unit's name: mm, cm, m, inch (in) or foot (ft).
func ParseUnit(name string) (Unit, error) {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "":
		return Unstated, nil
	case "mm":
		return Millimetre, nil
	case "cm":
		return Centimetre, nil
	case "m":
		return Metre, nil
	case "inch", "in":
		return Inch, nil
	case "foot", "ft":
		return Foot, nil
	}
	return Unstated, fmt.Errorf("unit %q is not known: write mm, cm, m, inch or foot", name)
}

// Millimetres is the length of one unit in millimetres; 1 when the unit is not stated.
// The inch is 25.4 mm and the foot 304.8 mm exactly (ISO 80000-3:2006, annex B; from memory).
func (u Unit) Millimetres() float64 {
	switch u {
	case Centimetre:
		return 10
	case Metre:
		return 1000
	case Inch:
		return 25.4
	case Foot:
		return 304.8
	}
	return 1
}
