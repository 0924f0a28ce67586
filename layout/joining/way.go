package joining

import (
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/layout/along"
	"seamwright/seams/parts"
)

// Ways measures along the panels, each made ready as it is first asked for.
type Ways struct {
	parts  []parts.Part
	sheets map[string]*along.Sheet // by panel
}

// NewWays measures along these panels.
func NewWays(all []parts.Part) *Ways { return &Ways{all, map[string]*along.Sheet{}} }

// Way measures along a panel from a place on it.
func (w *Ways) Way(panel string, from r3.Vector, limit float64) func(r3.Vector) float64 {
	s := w.sheets[panel]
	if s == nil {
		p := w.parts[slices.IndexFunc(w.parts, func(p parts.Part) bool { return p.Panel.ID == panel })]
		solid := 0.0
		if p.Sheet.Surface == flange.Solid {
			solid = p.Sheet.Thickness
		}
		s = along.New(p.Shape, solid)
		w.sheets[panel] = s
	}
	return s.From(from, limit).To
}
