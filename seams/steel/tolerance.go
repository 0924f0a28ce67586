package steel

// Tolerance is how far the thickness of cold-rolled sheet may be off its nominal value, either way.
type Tolerance struct {
	Normal    float64 // mm
	Special   float64 // mm, to be ordered as such (S)
	Source    string
	Certainty string
}

// band is a row of the tolerance table: for nominal thicknesses over one and up to another, mm, by the width of the sheet: up
// to 1200 mm, up to 1500, and over.
type band struct {
	over, to        float64
	normal, special [3]float64
}

// Soft steels have a yield stress below 260 MPa; firm ones from there to below 340. EN 10131:2006 Tables 1 and 2, read in part: of
// the second the rows up to 1 mm.
var (
	softBands = [...]band{
		{0.35, 0.4, [3]float64{0.03, 0.04, 0.05}, [3]float64{0.02, 0.025, 0.03}},
		{0.4, 0.6, [3]float64{0.03, 0.04, 0.05}, [3]float64{0.025, 0.03, 0.035}},
		{0.6, 0.8, [3]float64{0.04, 0.05, 0.06}, [3]float64{0.03, 0.035, 0.04}},
		{0.8, 1.0, [3]float64{0.05, 0.06, 0.07}, [3]float64{0.035, 0.04, 0.05}},
		{1.0, 1.2, [3]float64{0.06, 0.07, 0.08}, [3]float64{0.04, 0.05, 0.06}},
		{1.2, 1.6, [3]float64{0.08, 0.09, 0.1}, [3]float64{0.05, 0.06, 0.07}},
		{1.6, 2.0, [3]float64{0.1, 0.11, 0.12}, [3]float64{0.06, 0.07, 0.08}},
		{2.0, 2.5, [3]float64{0.12, 0.13, 0.14}, [3]float64{0.08, 0.09, 0.1}},
		{2.5, 3.0, [3]float64{0.15, 0.15, 0.16}, [3]float64{0.1, 0.11, 0.12}},
	}
	firmBands = [...]band{
		{0.35, 0.4, [3]float64{0.04, 0.05, 0.06}, [3]float64{0.025, 0.03, 0.035}},
		{0.4, 0.6, [3]float64{0.04, 0.05, 0.06}, [3]float64{0.03, 0.035, 0.04}},
		{0.6, 0.8, [3]float64{0.05, 0.06, 0.07}, [3]float64{0.035, 0.04, 0.05}},
		{0.8, 1.0, [3]float64{0.06, 0.07, 0.08}, [3]float64{0.04, 0.05, 0.06}},
	}
)

// FindTolerance is the thickness tolerance of bare cold-rolled sheet of a grade, by nominal thickness and width in mm; false where
// the table that was read has none, and for sheet that is made with zinc on it, whose tolerances are another standard's.
func FindTolerance(g Grade, thickness, width float64) (Tolerance, bool) {
	if g.Zinc {
		return Tolerance{}, false
	}
	bands, table := softBands[:], "Table 1"
	switch {
	case g.Yield >= 340:
		return Tolerance{}, false
	case g.Yield >= 260:
		bands, table = firmBands[:], "Table 2"
	}
	column := 0
	for _, to := range []float64{1200, 1500} {
		if width > to {
			column++
		}
	}
	for _, b := range bands {
		if thickness > b.over && thickness <= b.to {
			return Tolerance{b.normal[column], b.special[column], "EN 10131:2006 " + table, read}, true
		}
	}
	return Tolerance{}, false
}
