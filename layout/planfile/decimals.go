package planfile

// decimals are those that are written of a number in this unit, as the tag unit of its field says it: fine enough that
// nothing done with the plan can tell, coarse enough to read.
func decimals(unit string) int {
	switch unit {
	case "unit vector", "ratio", "m", "s or money", "as the unit member says":
		return 6
	case "N", "A", "mm²":
		return 2
	case "", "mm", "degrees", "kg", "Hz", "s", "mm/s", "min", "h", "money", "shells a week", "per cent":
		return 4
	}
	panic("layout: no decimals are set for the unit " + unit) // a fault of the program, seen by every test that writes a plan
}
