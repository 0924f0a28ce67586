// Package hardpanels makes panels as works really have them, with known truth: skins on the touching faces, solids with
// rounded edges, noise, facets in any order. The flange finder is judged by them. Each class of cases stands in a file of
// its own and in the table Classes; sizes, meshing, order and place are drawn at random, from a seed.
//
//	for _, c := range hardpanels.Cases(1, 100) {
//		found, err := flange.Find(ctx, c.Sheets, c.Options)
//		grade := c.Grade(found, err)
//	}
package hardpanels

import (
	"fmt"
	"math/rand/v2"

	"seamwright/geometry/flange"
)

// Case is some panels, and what is to be found between them.
type Case struct {
	Class   string
	Name    string // the class and what was drawn
	Sheets  []flange.Sheet
	Options flange.Options
	Want    []Strip // none: no flange may be found
	Named   bool    // it is right, too, when nothing is found but the sheets are named with a reason
}

// Class is one kind of case. Make draws one.
type Class struct {
	Name     string
	Negative bool
	Make     func(rng *rand.Rand) Case
}

// Classes returns all of them.
func Classes() []Class {
	var out []Class
	out = append(out, solids()...)
	out = append(out, skins()...)
	out = append(out, sprung()...)
	out = append(out, rings()...)
	out = append(out, scans()...)
	out = append(out, nested()...)
	out = append(out, cutouts()...)
	return out
}

// Cases draws n cases that have flanges, the classes in turn; the same ones for the same seed.
func Cases(seed uint64, n int) []Case { return draw(seed, n, false) }

// Negatives draws n cases that have none.
func Negatives(seed uint64, n int) []Case { return draw(seed, n, true) }

func draw(seed uint64, n int, negative bool) []Case {
	var classes []Class
	for _, c := range Classes() {
		if c.Negative == negative {
			classes = append(classes, c)
		}
	}
	var out []Case
	for i := range n {
		class := classes[i%len(classes)]
		c := class.Make(rand.New(rand.NewPCG(seed, uint64(i))))
		c.Class, c.Name = class.Name, fmt.Sprintf("%s #%d: %s", class.Name, i, c.Name)
		out = append(out, c)
	}
	return out
}
