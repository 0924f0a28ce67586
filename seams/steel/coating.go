package steel

import (
	"regexp"
	"strconv"
	"strings"

	"seamwright/seams/spelling"
)

// None is the designation of a bare sheet.
const None = "none"

// Coating is one zinc coating.
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
	zincSource = "masses: BS EN 10142:1991 (replaced by EN 10346) as Table 1.8 of Steels: Metallurgy and Applications, 3rd edition, p. 91; " +
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

// Coatings that are named by their own figures: zinc-iron after EN 10346 by g/m² on both sides together, electrolytic zinc
// after EN 10152 and zinc-nickel by tenths of a µm on each side. From memory.
var (
	zincIron = regexp.MustCompile(`^ZF([0-9]{2,3})$`)
	electro  = regexp.MustCompile(`^(ZE|ZN)([0-9]{1,3})/([0-9]{1,3})$`)
)

// zincDensity is in g/cm³.
const zincDensity = 7.14

// named reads such a designation.
func named(designation string) (Coating, bool) {
	number := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v } // digits alone
	if m := zincIron.FindStringSubmatch(designation); m != nil {
		mass := number(m[1])
		side := mass / 2 / zincDensity
		return Coating{Designation: designation, Mass: mass, PerSide: side, Range: [2]float64{side, side},
			Source: "designation after EN 10346:2015, zinc-iron; thickness from its mass at 7.14 g/cm³", Certainty: memory}, mass > 0
	}
	if m := electro.FindStringSubmatch(designation); m != nil {
		a, b := number(m[2])/10, number(m[3])/10
		return Coating{Designation: designation, Mass: (a + b) * zincDensity, PerSide: max(a, b), Range: [2]float64{min(a, b), max(a, b)},
			Source: "designation in the manner of EN 10152: tenths of a µm on each side", Certainty: memory}, a+b > 0
	}
	return Coating{}, false
}

// FindCoating looks a coating up by its designation. "" and "none" are a bare sheet: the zero Coating, true. ZF100, ZE25/25
// and ZN25/25 and their like are read for what they say.
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
	return named(want)
}

// NearestCoating returns the known designation that is spelt most like the one given.
func NearestCoating(designation string) string {
	known := []string{None}
	for _, c := range Coatings() {
		known = append(known, c.Designation)
	}
	return spelling.Nearest(strings.TrimSpace(designation), known)
}
