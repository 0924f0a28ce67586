// Package buy lists the sheet steel that a batch needs: which blanks of which size, how many kilograms, to which thickness
// tolerance, at what price.
//
// A blank is the rectangle that its panel is pressed from, with an allowance on every side for trimming and for the holder of
// the press, and rounded up to whole millimetres. Blanks are counted as they are; how they are cut out of coil or plate is the
// shears' business, and so what is left between them is not in the kilograms.
//
//	list, err := buy.List(blanks, buy.Terms{Batch: 24, Trim: 10, Press: 15, Prices: prices})
package buy

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seamwright/geometry/blank"
	"seamwright/layout"
	"seamwright/seams/steel"
)

// Blank is what one panel of a shell is pressed from.
type Blank struct {
	Panel     string
	Grade     string     // name or number; one that is not known is bought by it all the same
	Thickness float64    // mm
	Coating   string     // as the shell file names it; empty: bare
	Size      blank.Size // of the panel laid flat, without allowances
}

// Terms are what turns blanks into an order.
type Terms struct {
	Batch  int     // shells
	Trim   float64 // mm on every side, to trim away
	Press  float64 // mm on every side, for the blank holder
	Prices []Price
}

// Price is what a kilogram of one kind of sheet costs, in the shell file's currency.
type Price struct {
	Grade     string
	Thickness float64 // mm
	Coating   string
	PerKilo   float64
}

// Certainty says how sure the sizes are.
const Certainty = "blank sizes are calculated from the panels as drawn, bends drawn out straight; drawn shapes come out a few per " +
	"cent too large; prove them on the first pressing"

// List sums blanks up by kind of sheet: by grade, thickness and coating, in this order. It fails on a batch below one or a
// size that is none.
func List(blanks []Blank, t Terms) ([]layout.Sheet, error) {
	if t.Batch < 1 {
		return nil, fmt.Errorf("steel to buy: a batch of %d shells needs none", t.Batch)
	}
	var out []layout.Sheet
	for _, b := range blanks {
		if !(b.Size.Length > 0) || !(b.Size.Width > 0) || !(b.Thickness > 0) {
			return nil, fmt.Errorf("steel to buy: panel %s: a blank of %g x %g x %g mm is none: look at its mesh", b.Panel, b.Size.Length,
				b.Size.Width, b.Thickness)
		}
		same := func(s layout.Sheet) bool {
			return s.Grade == gradeOf(b.Grade) && s.Thickness == b.Thickness && s.Coating == b.Coating
		}
		k := slices.IndexFunc(out, same)
		if k < 0 {
			k = len(out)
			out = append(out, layout.Sheet{Grade: gradeOf(b.Grade), Thickness: b.Thickness, Coating: b.Coating, PerKilo: t.price(b),
				Cuts: []layout.Cut{}})
		}
		add(&out[k], b, t)
	}
	for k := range out {
		finish(&out[k])
	}
	slices.SortFunc(out, func(a, b layout.Sheet) int {
		return cmp.Or(cmp.Compare(a.Grade, b.Grade), cmp.Compare(a.Thickness, b.Thickness), cmp.Compare(a.Coating, b.Coating))
	})
	return out, nil
}

func (t Terms) price(b Blank) float64 {
	for _, p := range t.Prices {
		if gradeOf(p.Grade) == gradeOf(b.Grade) && p.Thickness == b.Thickness && p.Coating == b.Coating {
			return p.PerKilo
		}
	}
	return 0
}

// gradeOf is the name of a grade, or what stands for one that is not known.
func gradeOf(name string) string {
	if g, ok := steel.FindGrade(name); ok {
		return g.Name
	}
	return name
}

// Side is one side of a blank in whole millimetres, allowances on both ends included.
func (t Terms) Side(developed float64) float64 {
	return math.Ceil(developed + 2*(t.Trim+t.Press) - 1e-6)
}

// Mass is that of a blank of so many millimetres, kg.
func Mass(length, width, thickness float64) float64 {
	return length * width * thickness * 1e-9 * steel.Density
}

// add counts a blank among those of its size.
func add(s *layout.Sheet, b Blank, t Terms) {
	length, width := t.Side(b.Size.Length), t.Side(b.Size.Width)
	k := slices.IndexFunc(s.Cuts, func(c layout.Cut) bool { return c.Length == length && c.Width == width })
	if k < 0 {
		k = len(s.Cuts)
		s.Cuts = append(s.Cuts, layout.Cut{Length: length, Width: width, Mass: Mass(length, width, s.Thickness)})
	}
	s.Cuts[k].Panels = append(s.Cuts[k].Panels, b.Panel)
	s.Cuts[k].Pieces += t.Batch
}

func finish(s *layout.Sheet) {
	slices.SortStableFunc(s.Cuts, func(a, b layout.Cut) int {
		return cmp.Or(cmp.Compare(b.Length, a.Length), cmp.Compare(b.Width, a.Width))
	})
	widest := 0.0
	for _, c := range s.Cuts {
		s.Pieces += c.Pieces
		s.Mass += float64(c.Mass * float64(c.Pieces))
		widest = math.Max(widest, c.Width)
	}
	s.Cost = layout.Cents(s.Mass * s.PerKilo)
	s.Tolerance = tolerance(s.Grade, s.Thickness, widest)
}

// tolerance is that of a sheet's thickness, in words.
func tolerance(name string, thickness, widest float64) string {
	grade, known := steel.FindGrade(name)
	if !known {
		return "the grade is not known here: ask the supplier"
	}
	t, ok := steel.FindTolerance(grade, thickness, widest)
	if !ok {
		return "not known here: ask the supplier"
	}
	return fmt.Sprintf("± %g mm, special ± %g mm (%s, %s)", t.Normal, t.Special, t.Source, t.Certainty)
}
