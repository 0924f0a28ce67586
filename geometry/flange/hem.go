package flange

import (
	"slices"

	"github.com/golang/geo/r3"
)

// isHem says whether a sheet of one piece lies in the stack twice. Loose strips on both sides of a sheet are no hem.
func (f *finder) isHem(sheets []int) bool {
	for i, s := range sheets {
		if slices.Contains(sheets[:i], s) && !f.panels[s].loose {
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
			return hem.Hem && slices.Contains(hem.Sheets, fl.Sheets[0]) && slices.Contains(hem.Sheets, fl.Sheets[1]) && hem.covers(fl, hem.Width.Mean/2)
		})
	})
}

// Rows are weld lines side by side over a patch, mm apart at most by pitch and from its sides by edge: as many, evenly
// spaced, as that takes, the outermost at edge from the sides. Stations as in Line, the row on the right first. A
// patch with no room for two rows gives the one in its middle.
func (fl *Flange) Rows(pitch, edge float64) [][]Station {
	room := fl.Width.Mean - 2*edge
	if !(pitch > 0) || !(room > 0) {
		return [][]Station{slices.Clone(fl.Line)}
	}
	const slack = 1e-6 // of a pitch: that many rows do
	n := 1
	for float64(n)*pitch < room-slack*pitch {
		n++
	}
	rows := make([][]Station, n+1)
	for k := range rows {
		shift := make([]float64, len(fl.Line))
		for i, s := range fl.Line {
			part := float64(k) / float64(n)
			shift[i] = (s.Left-edge)*part - (s.Right-edge)*(1-part)
		}
		rows[k] = fl.shifted(shift)
	}
	return rows
}

// lineOf is the places of stations.
func lineOf(stations []Station) []r3.Vector {
	out := make([]r3.Vector, len(stations))
	for i, s := range stations {
		out[i] = s.Point
	}
	return out
}
