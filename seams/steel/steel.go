// Package steel holds the sheet steels and zinc coatings that a shell file may name, each figure with its source.
//
//	grade, ok := steel.FindGrade("DC04")
//	if !ok { … steel.NearestGrade("DC04") … }
//	fmt.Println(grade.Tensile, grade.Source)
//	zinc, ok := steel.FindCoating("Z100")
//	fmt.Println(zinc.PerSide) // micrometres
package steel

import (
	"strings"

	"seamwright/seams/spelling"
)

// Density of carbon steel in kg/m³ (EN 1993-1-2:2005 clause 3.2.2, from memory; 7850 itself read in public copies
// of the code that agree).
const Density = 7850.0

// Grade is one steel for cold forming. Tensile and Yield are the least values, in MPa, that a calculation may
// start from.
type Grade struct {
	Name       string // DC04, DX54D+Z …
	Number     string // material number
	Standard   string
	Zinc       bool    // made only with a hot-dip zinc coating
	Tensile    float64 // R_m, least
	MaxTensile float64 // R_m, greatest
	Yield      float64 // R_e, design lower limit
	MaxYield   float64 // R_e, greatest; 0 where the standard gives none
	Source     string
	Certainty  string // read or memory
}

const (
	en10130 = "EN 10130:2006 Table 2; the yield stress is the design lower limit of the table's note, not a guarantee"
	en10346 = "EN 10346:2015, table for low-carbon steels for cold forming"
	ec3     = en10346 + "; it gives DX51D no yield stress, so that of EN 1993-1-3:2006 Table 3.1b stands here"

	read   = "read"
	memory = "memory"
)

// Grades lists the known steels in the order of the standards.
func Grades() []Grade {
	return []Grade{
		{"DC01", "1.0330", "EN 10130:2006", false, 270, 410, 140, 280, en10130, memory},
		{"DC03", "1.0347", "EN 10130:2006", false, 270, 370, 140, 240, en10130, memory},
		{"DC04", "1.0338", "EN 10130:2006", false, 270, 350, 140, 210, en10130, memory},
		{"DC05", "1.0312", "EN 10130:2006", false, 270, 330, 140, 180, en10130, memory},
		{"DC06", "1.0873", "EN 10130:2006", false, 270, 330, 120, 170, en10130, read},
		{"DC07", "1.0898", "EN 10130:2006", false, 250, 310, 100, 150, en10130, memory},
		{"DX51D+Z", "1.0226", "EN 10346:2015", true, 270, 500, 140, 0, ec3, memory},
		{"DX52D+Z", "1.0350", "EN 10346:2015", true, 270, 420, 140, 300, en10346, memory},
		{"DX53D+Z", "1.0355", "EN 10346:2015", true, 270, 380, 140, 260, en10346, read},
		{"DX54D+Z", "1.0306", "EN 10346:2015", true, 260, 350, 120, 220, en10346, memory},
		{"DX56D+Z", "1.0322", "EN 10346:2015", true, 260, 350, 120, 180, en10346, read},
		{"DX57D+Z", "1.0853", "EN 10346:2015", true, 260, 350, 120, 170, en10346, read},
	}
}

// FindGrade looks a grade up by name or material number. Letter case, spaces and what is ordered behind the
// zinc sign (DX54D+Z100MB) do not matter.
func FindGrade(name string) (Grade, bool) {
	want := plain(name)
	for _, g := range Grades() {
		if want == g.Name || want == g.Number || (g.Zinc && want == strings.TrimSuffix(g.Name, "+Z")) {
			return g, true
		}
	}
	return Grade{}, false
}

// NearestGrade returns the known grade whose name is spelt most like name.
func NearestGrade(name string) string {
	var known []string
	for _, g := range Grades() {
		known = append(known, g.Name)
	}
	return spelling.Nearest(plain(name), known)
}

func plain(name string) string {
	s := strings.ToUpper(strings.ReplaceAll(name, " ", ""))
	before, after, ok := strings.Cut(s, "+Z")
	if ok && after != "" && after[0] >= '0' && after[0] <= '9' {
		return before + "+Z"
	}
	return s
}
