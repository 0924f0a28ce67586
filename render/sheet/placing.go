package sheet

import (
	"seamwright/render/label"
	"seamwright/render/view"
)

// placing is what finds places for a view's labels, and the tags that its fixtures, starts and details have asked for.
type placing struct {
	*label.Placer
	tags []*label.Label
}

// newPlacing is for a view whose lines, if it is drawn already, labels are to keep clear of.
func newPlacing(f *figure) *placing {
	q := label.New(f.cell)
	weights := map[view.LineKind]int32{view.Outline: 2, view.Edge: 2, view.Crease: 1}
	if f.picture != nil {
		for _, l := range f.picture.Lines {
			q.InkLine(f.flatAll(l.Points), weights[l.Kind])
		}
	}
	return &placing{Placer: q}
}
