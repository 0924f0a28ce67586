package rule

import (
	"regexp"
	"strconv"
	"strings"
)

// CoatingKind is a family of metallic coating.
type CoatingKind string

// The kinds, with the letters of their designation in EN 10346 or EN 10152.
const (
	Bare            CoatingKind = "bare"
	HotDipZinc      CoatingKind = "hot-dip zinc"             // Z
	ZincIron        CoatingKind = "zinc-iron"                // ZF
	ZincAluminium   CoatingKind = "zinc-aluminium"           // ZA
	ZincMagnesium   CoatingKind = "zinc-magnesium"           // ZM
	AluminiumZinc   CoatingKind = "aluminium-zinc"           // AZ
	AluminiumSi     CoatingKind = "aluminium-silicon"        // AS
	ElectroZinc     CoatingKind = "electrolytic zinc"        // ZE
	ElectroZincNick CoatingKind = "electrolytic zinc-nickel" // ZN
	UnknownCoating  CoatingKind = "unknown"
)

// Coating is what a designation says.
type Coating struct {
	Kind   CoatingKind
	Mass   float64 // g/m², both sides together; 0 for electrolytic coatings, which are named by thickness
	Micron float64 // µm on one side; hot-dip zinc: half the mass over 7.14 g/cm³; 0 where not worked out
}

// Zinc reports whether zinc is the coating's main metal.
func (c Coating) Zinc() bool {
	switch c.Kind {
	case HotDipZinc, ZincIron, ZincAluminium, ZincMagnesium, ElectroZinc, ElectroZincNick:
		return true
	}
	return false
}

// zincDensity is in g/cm³; zinc at room temperature, calculated with in the coating table of EN 10346.
const zincDensity = 7.14

var hotDip = regexp.MustCompile(`^(Z|ZF|ZA|ZM|AZ|AS)([0-9]{2,3})$`)
var electro = regexp.MustCompile(`^(ZE|ZN)([0-9]{1,3})(?:/([0-9]{1,3}))?$`)

var kinds = map[string]CoatingKind{
	"Z": HotDipZinc, "ZF": ZincIron, "ZA": ZincAluminium, "ZM": ZincMagnesium, "AZ": AluminiumZinc, "AS": AluminiumSi,
	"ZE": ElectroZinc, "ZN": ElectroZincNick,
}

// ParseCoating reads a designation: "", "none" or "bare"; hot-dip after EN 10346, such as Z100 (100 g/m² on both
// sides together) or ZF100; electrolytic after EN 10152, such as ZE25/25 (2.5 µm on either side). Letters'
// case and a leading "+" do not matter. An unknown designation gives UnknownCoating and false.
func ParseCoating(name string) (Coating, bool) {
	n := strings.ToUpper(strings.TrimPrefix(strings.TrimSpace(name), "+"))
	switch n {
	case "", "NONE", "BARE":
		return Coating{Kind: Bare}, true
	}
	if m := hotDip.FindStringSubmatch(n); m != nil {
		c := Coating{Kind: kinds[m[1]], Mass: digits(m[2])}
		if c.Kind == HotDipZinc || c.Kind == ZincIron {
			c.Micron = c.Mass / 2 / zincDensity
		}
		return c, true
	}
	if m := electro.FindStringSubmatch(n); m != nil {
		return Coating{Kind: kinds[m[1]], Micron: digits(m[2]) / 10}, true
	}
	return Coating{Kind: UnknownCoating}, false
}

// digits reads a match of [0-9]+; the pattern leaves no way to fail.
func digits(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}
