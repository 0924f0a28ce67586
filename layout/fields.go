package layout

import (
	"reflect"
	"strings"
)

// unit is what a number of the plan is counted in; it decides the decimals that are written.
type unit string

const (
	none        unit = ""
	millimetre  unit = "mm"
	squareMM    unit = "mm²"
	metre       unit = "m"
	direction   unit = "unit vector"
	degree      unit = "degrees"
	kilogram    unit = "kg"
	newton      unit = "N"
	ampere      unit = "A"
	hertz       unit = "Hz"
	second      unit = "s"
	mmPerSecond unit = "mm/s"
	minute      unit = "min"
	money       unit = "money"
	ratio       unit = "ratio"
	perWeek     unit = "shells a week"
	percent     unit = "per cent"
	timeOrMoney unit = "s or money"
	stated      unit = "as the unit member says"
)

// decimals are those that are written: fine enough that nothing done with the plan can tell, coarse enough to read.
func (u unit) decimals() int {
	switch u {
	case direction, ratio, metre, timeOrMoney, stated:
		return 6
	case newton, ampere, squareMM:
		return 2
	default:
		return 4
	}
}

// field is what the schema says of one member.
type field struct {
	unit unit
	text string
}

// fields is the table of every member of the plan, by Go type and field. A test holds it to the types.
func fields() map[string]field {
	table := make(map[string]field)
	for _, part := range [][]entry{planFields(), sheetFields(), stationFields(), jointFields(), weldFields(), toolFields(), labourFields()} {
		for _, e := range part {
			table[e.name] = field{e.unit, e.text}
		}
	}
	return table
}

// entry is one line of the table.
type entry struct {
	name string
	unit unit
	text string
}

// jsonName is the member's name in the file.
func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}
