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
	"seamwright/seams/steel"
)

// Blank is what one panel of a shell is pressed from.
type Blank struct {
	Panel     string
	Grade     steel.Grade
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

// Sheet is one kind of sheet in the order.
type Sheet struct {
	Grade     string
	Thickness float64
	Coating   string
	Cuts      []Cut
	Pieces    int     // for the batch
	Mass      float64 // kg for the batch
	Tolerance string  // of the thickness, in words
	PerKilo   float64 // 0: no price is stated
	Cost      float64 // for the batch, rounded to cents
}

// Cut is one size of blank.
type Cut struct {
	Panels        []string
	Length, Width float64 // mm, allowances included
	Pieces        int     // for the batch
	Mass          float64 // kg each
}

// Certainty says how sure the sizes are.
const Certainty = "blank sizes are calculated from the panels as drawn, bends drawn out straight; drawn shapes come out a few per " +
	"cent too large; prove them on the first pressing"

// List sums blanks up by kind of sheet: by grade, thickness and coating, in this order. It fails on a batch below one or a
// size that is none.
func List(blanks []Blank, t Terms) ([]Sheet, error) {
	if t.Batch < 1 {
		return nil, fmt.Errorf("steel to buy: a batch of %d shells needs none", t.Batch)
	}
	var out []Sheet
	for _, b := range blanks {
		if !(b.Size.Length > 0) || !(b.Size.Width > 0) || !(b.Thickness > 0) {
			return nil, fmt.Errorf("steel to buy: panel %s: a blank of %g x %g x %g mm is none: look at its mesh", b.Panel, b.Size.Length,
				b.Size.Width, b.Thickness)
		}
		same := func(s Sheet) bool {
			return s.Grade == b.Grade.Name && s.Thickness == b.Thickness && s.Coating == b.Coating
		}
		k := slices.IndexFunc(out, same)
		if k < 0 {
			k = len(out)
			out = append(out, Sheet{Grade: b.Grade.Name, Thickness: b.Thickness, Coating: b.Coating, PerKilo: t.price(b)})
		}
		out[k].add(b, t)
	}
	for k := range out {
		out[k].finish(blanks)
	}
	slices.SortFunc(out, func(a, b Sheet) int {
		return cmp.Or(cmp.Compare(a.Grade, b.Grade), cmp.Compare(a.Thickness, b.Thickness), cmp.Compare(a.Coating, b.Coating))
	})
	return out, nil
}

func (t Terms) price(b Blank) float64 {
	for _, p := range t.Prices {
		if g, ok := steel.FindGrade(p.Grade); ok && g.Name == b.Grade.Name && p.Thickness == b.Thickness && p.Coating == b.Coating {
			return p.PerKilo
		}
	}
	return 0
}

// add counts a blank among those of its size.
func (s *Sheet) add(b Blank, t Terms) {
	length, width := math.Ceil(b.Size.Length+2*(t.Trim+t.Press)-1e-6), math.Ceil(b.Size.Width+2*(t.Trim+t.Press)-1e-6)
	k := slices.IndexFunc(s.Cuts, func(c Cut) bool { return c.Length == length && c.Width == width })
	if k < 0 {
		k = len(s.Cuts)
		s.Cuts = append(s.Cuts, Cut{Length: length, Width: width, Mass: length * width * s.Thickness * 1e-9 * steel.Density})
	}
	s.Cuts[k].Panels = append(s.Cuts[k].Panels, b.Panel)
	s.Cuts[k].Pieces += t.Batch
}

func (s *Sheet) finish(blanks []Blank) {
	slices.SortStableFunc(s.Cuts, func(a, b Cut) int {
		return cmp.Or(cmp.Compare(b.Length, a.Length), cmp.Compare(b.Width, a.Width))
	})
	widest := 0.0
	for _, c := range s.Cuts {
		s.Pieces += c.Pieces
		s.Mass += float64(c.Mass * float64(c.Pieces))
		widest = math.Max(widest, c.Width)
	}
	s.Cost = math.Round(s.Mass*s.PerKilo*100) / 100
	grade := blanks[slices.IndexFunc(blanks, func(b Blank) bool { return b.Grade.Name == s.Grade })].Grade
	s.Tolerance = "not known here: ask the supplier"
	if t, ok := steel.FindTolerance(grade, s.Thickness, widest); ok {
		s.Tolerance = fmt.Sprintf("± %g mm, special ± %g mm (%s, %s)", t.Normal, t.Special, t.Source, t.Certainty)
	}
}
