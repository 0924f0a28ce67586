package steel

import (
	"strings"

	"seamwright/seams/spelling"
)

// None is the designation of a bare sheet.
const None = "none"

// Coating is one hot-dip zinc coating.
type Coating struct {
	Designation string
	Mass        float64    // g/m², both sides together, least mean of three samples
	SingleMass  float64    // g/m², both sides together, least of a single sample
	PerSide     float64    // µm a side, typical
	Range       [2]float64 // µm a side
	Source      string
	Certainty   string
}

const (
	zincSource = "masses: BS EN 10142:1991 as Table 1.8 of Steels: Metallurgy and Applications, 3rd edition, p. 91; " +
		"typical thickness and range: EN 10346:2015"
	zincCertainty = "masses read, thicknesses memory"
)

// Coatings lists the known zinc coatings, thinnest first. The thickness agrees with the mass at 7.14 g/cm³
// to 0.75 µm (calculated).
func Coatings() []Coating {
	rows := []Coating{
		{Designation: "Z100", Mass: 100, SingleMass: 85, PerSide: 7, Range: [2]float64{5, 12}},
		{Designation: "Z140", Mass: 140, SingleMass: 120, PerSide: 10, Range: [2]float64{7, 15}},
		{Designation: "Z200", Mass: 200, SingleMass: 170, PerSide: 14, Range: [2]float64{10, 20}},
		{Designation: "Z225", Mass: 225, SingleMass: 195, PerSide: 16, Range: [2]float64{11, 22}},
		{Designation: "Z275", Mass: 275, SingleMass: 235, PerSide: 20, Range: [2]float64{13, 27}},
		{Designation: "Z350", Mass: 350, SingleMass: 300, PerSide: 25, Range: [2]float64{17, 33}},
		{Designation: "Z450", Mass: 450, SingleMass: 385, PerSide: 32, Range: [2]float64{22, 42}},
		{Designation: "Z600", Mass: 600, SingleMass: 510, PerSide: 42, Range: [2]float64{29, 55}},
	}
	for i := range rows {
		rows[i].Source, rows[i].Certainty = zincSource, zincCertainty
	}
	rows[len(rows)-1].Certainty = "masses and 42 µm a side read, range memory"
	return rows
}

// FindCoating looks a coating up by its designation. "" and "none" are a bare sheet: the zero Coating, true.
func FindCoating(designation string) (Coating, bool) {
	want := strings.ToUpper(strings.TrimSpace(designation))
	if want == "" || want == "NONE" {
		return Coating{}, true
	}
	for _, c := range Coatings() {
		if c.Designation == want {
			return c, true
		}
	}
	return Coating{}, false
}

// NearestCoating returns the known designation that is spelt most like the one given.
func NearestCoating(designation string) string {
	known := []string{None}
	for _, c := range Coatings() {
		known = append(known, c.Designation)
	}
	return spelling.Nearest(strings.TrimSpace(designation), known)
}
