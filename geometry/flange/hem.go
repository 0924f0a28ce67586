package flange

import (
	"slices"

	"github.com/golang/geo/r3"
)

// isHem says whether a sheet of one piece lies in the stack twice. Loose strips on both sides of a sheet are no hem.
func (f *onHost) isHem(sheets []int) bool {
	for i, s := range sheets {
		if slices.Contains(sheets[:i], s) && !f.Panels[s].Whole.Loose {
			return true
		}
	}
	return false
}

// withoutHemSides leaves out the strips that are one side of a hem: seen from the folded sheet, each of its two layers
// lies on one sheet only.
func withoutHemSides(flanges []Flange) []Flange {
	return slices.DeleteFunc(flanges, func(fl Flange) bool {
		return len(fl.Sheets) == 2 && slices.ContainsFunc(flanges, func(hem Flange) bool {
			return hem.Hem && slices.Contains(hem.Sheets, fl.Sheets[0]) && slices.Contains(hem.Sheets, fl.Sheets[1]) &&
				hem.covers(fl, hem.Width.Mean/2)
		})
	})
}

// lineOf is the places of points.
func lineOf(points []LinePoint) []r3.Vector {
	out := make([]r3.Vector, len(points))
	for i, s := range points {
		out[i] = s.Point
	}
	return out
}
