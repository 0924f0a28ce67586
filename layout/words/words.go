// Package words writes what a plan holds for people to read: one wording of a number, a range of welds, a hold point and a
// setting for maps, inspection sheets, marking strips and the order of work.
//
//	words.List([]int{3, 7, 8, 9}) // "3, 7–9"
//	value, tolerance := words.Hold(h) // "924.4", "± 0.25"
//
// Lengths are mm unless the name says otherwise. What is not known is a dash, what is not a number a question mark.
package words

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamwright/layout"
)

// Number writes a value with at most places decimals and no trailing zeros.
func Number(v float64, places int) string {
	s := Fixed(v, places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Mass writes the mass of a part in kg, of a light one in g.
func Mass(kg float64) string {
	if kg < 0.1 {
		return Fixed(max(1, kg*1000), 0) + " g"
	}
	return Number(kg, 1) + " kg"
}

// Identification is the shell's number, where it has one, and the station that a sheet is about.
func Identification(shell layout.Shell, station string) string {
	if shell.Number == "" {
		return station
	}
	return shell.Number + " / " + station
}

// Fixed writes a value with so many decimals, as sums of money and columns of figures want it.
func Fixed(v float64, places int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "?"
	}
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Exact writes a value with the decimals that it has, as what was stated: 12, 0.125.
func Exact(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// OrDash is the text, or a dash where there is none.
func OrDash(s string) string { return cmp.Or(s, "–") }

// Known writes a value that is above zero where it is known, else a dash.
func Known(v float64, places int) string {
	if v == 0 {
		return "–"
	}
	return Number(v, places)
}

// Span writes a range of weld numbers.
func Span(from, to int) string {
	if from == to {
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d–%d", from, to)
}

// And joins words with commas and a last "and".
func And(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// List writes rising numbers with stretches joined: 3, 7–9.
func List(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		parts = append(parts, Span(numbers[i], numbers[k]))
		i = k + 1
	}
	return strings.Join(parts, ", ")
}

// First writes rising numbers as List does, the first so many of them alone, and how many more there are.
func First(most int, numbers []int) string {
	if len(numbers) <= most {
		return List(numbers)
	}
	return fmt.Sprintf("%s, and %d more", List(numbers[:most]), len(numbers)-most)
}

// Listed writes numbers with commas, each on its own.
func Listed(numbers []int) string {
	parts := make([]string, len(numbers))
	for i, n := range numbers {
		parts[i] = strconv.Itoa(n)
	}
	return strings.Join(parts, ", ")
}

// Welds writes the numbers of the welds of runs, in the order given, neighbouring ranges joined.
func Welds(x *layout.Index, runs []int) string {
	var parts []string
	from, to := 0, 0
	flush := func() {
		if from > 0 {
			parts = append(parts, Span(from, to))
		}
	}
	for _, id := range runs {
		welds := x.Run(id)
		if len(welds) == 0 {
			continue
		}
		first, last := welds[0].Number, welds[len(welds)-1].Number
		if from == 0 || first != to+1 {
			flush()
			from = first
		}
		to = last
	}
	flush()
	return strings.Join(parts, ", ")
}

// Pitch writes a pitch, with its spread where that is more than a millimetre.
func Pitch(p layout.Range) string {
	switch {
	case p.Greatest == 0:
		return "–"
	case p.Greatest-p.Least > 1:
		return fmt.Sprintf("%s (%s–%s)", Number(p.Mean, 0), Number(p.Least, 0), Number(p.Greatest, 0))
	}
	return Number(p.Mean, 0)
}

// Station names a station by its id, and its name where that says more.
func Station(s layout.Station) string {
	if s.Name == "" || s.Name == s.ID {
		return s.ID
	}
	return s.ID + " " + s.Name
}

// Hold writes what a hold point must measure and how far off it may be; dashes for a gauge without a dimension.
func Hold(h layout.HoldPoint) (value, tolerance string) {
	value, tolerance = Known(h.Value, 2), "–"
	if h.Kind == layout.Symmetry && h.Value == 0 {
		value = "as " + h.With
	}
	if h.Tolerance != 0 {
		tolerance = "± " + Number(h.Tolerance, 2)
	}
	return value, tolerance
}

// HoldShort writes a hold point in a word or two, as beside its mark on a view.
func HoldShort(h layout.HoldPoint) string {
	text := h.ID
	value, tolerance := Hold(h)
	if value != "–" {
		text += " " + value
	}
	if tolerance != "–" {
		text += " " + strings.ReplaceAll(tolerance, " ", "")
	}
	return text
}

// Force is a setting's electrode force in kN, Current its current in kA, Nugget the nugget expected.
func Force(s layout.Setting) string { return Number(s.Force/1000, 2) }

// Current is a setting's welding current in kA.
func Current(s layout.Setting) string { return Number(s.Current/1000, 1) }

// Nugget is the nugget diameter that a setting should give.
func Nugget(s layout.Setting) string { return Known(s.Nugget, 1) }

// Times are the seconds of a setting: squeeze, weld and hold of spots, on and off of a roller.
func Times(s layout.Setting) string {
	if s.Kind == layout.RollerSetting {
		return fmt.Sprintf("on %s, off %s", Number(s.Weld, 2), Number(s.Hold, 2))
	}
	return fmt.Sprintf("%s / %s / %s", Number(s.Squeeze, 2), Number(s.Weld, 2), Number(s.Hold, 2))
}

// Speed writes a roller's speed in m/min.
func Speed(mmPerS float64) string { return Number(mmPerS*60/1000, 2) }

// SeamWidth is the width of a roller seam's weld at the faying surface, where its setting knows one; else empty.
func SeamWidth(x *layout.Index, r layout.Seam) string {
	if s, ok := x.Setting(r.Setting); ok && s.Nugget > 0 {
		return Nugget(s)
	}
	return ""
}

// Gun is what a gun is called on maps and cards: its letter, else its id.
func Gun(x *layout.Index, id string) string { return cmp.Or(x.Gun(id).Letter, id) }

// Diameter is the weld diameter that the welds of a run are planned with.
func Diameter(x *layout.Index, r layout.Run) string {
	if welds := x.Run(r.ID); len(welds) > 0 {
		return Known(welds[0].WeldDiameter, 1)
	}
	return "–"
}

// Accepted is the greatest diameter from which a weld of the run that is peeled or chiselled is good: more than 4 root t where
// the strength of a loaded joint counts on it.
func Accepted(x *layout.Index, r layout.Run) string {
	good := 0.0
	for _, w := range x.Run(r.ID) {
		good = max(good, w.Accepted)
	}
	return Known(good, 1)
}

// GoodFrom lists the diameters from which opened coupons are good at a station, by setting; empty where none is known.
func GoodFrom(here *layout.AtStation) string {
	var parts []string
	for _, s := range here.Settings {
		if good := here.Accepted(s.ID); good > 0 {
			parts = append(parts, fmt.Sprintf("%s %s mm", s.ID, Number(good, 1)))
		}
	}
	return strings.Join(parts, ", ")
}

// Coupons writes how many test coupons a shell takes.
func Coupons(n float64) string {
	if n == 1 {
		return "1 coupon"
	}
	return Number(n, 2) + " coupons"
}
