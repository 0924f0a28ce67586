package strips

import (
	"math"
	"slices"

	"seamwright/layout"
)

// lane is the welds of one row, one after the other.
type lane struct {
	welds []*layout.Weld
	whole bool // it goes on over the closing point of a closed line
}

// lanes parts welds by their row: the rightmost row with the welds that stand alone on the line, then the stretches of the other
// rows, each of which ends where a weld stands alone.
func lanes(welds []*layout.Weld) []lane {
	right := lane{whole: true}
	var others, ended []lane // others by row, from the second on
	whole := true
	for _, w := range welds {
		if w.Row > 1 {
			for len(others) < w.Row-1 {
				others = append(others, lane{})
			}
			o := &others[w.Row-2]
			o.welds = append(o.welds, w)
			continue
		}
		if w.Row == 0 {
			ended, others, whole = append(ended, others...), nil, false
		}
		right.welds = append(right.welds, w)
	}
	for _, o := range others {
		o.whole = whole
		ended = append(ended, o)
	}
	return append([]lane{right}, slices.DeleteFunc(ended, func(l lane) bool { return len(l.welds) == 0 })...)
}

// inRow reports whether two welds are in one row; those that stand alone on the line go on with the rightmost one.
func inRow(a, b *layout.Weld) bool { return max(1, a.Row) == max(1, b.Row) }

// Inner reports whether a weld has rows on both sides, so that others hold the edges.
func (s *Strip) Inner(w *layout.Weld) bool { return w.Row > 1 && w.Row < s.LastRow }

// Follow reports whether two welds are neighbours in a row.
func (s *Strip) Follow(a, b *layout.Weld) bool {
	return s.pairs[[2]*layout.Weld{a, b}] || s.pairs[[2]*layout.Weld{b, a}]
}

// Opposite is the weld of a neighbouring row that stands nearest along the line, and how far from it the weld is along the line
// and across it; nil in a single row.
func (s *Strip) Opposite(w *layout.Weld) (other *layout.Weld, along, across float64) {
	right, a, c := s.Neighbour(w, w.Row-1)
	left, b, d := s.Neighbour(w, w.Row+1)
	if left == nil || right != nil && a <= b {
		return right, a, c
	}
	return left, b, d
}

// Neighbour is Opposite in one row.
func (s *Strip) Neighbour(w *layout.Weld, row int) (other *layout.Weld, along, across float64) {
	if w.Row == 0 || row < 1 {
		return nil, 0, 0
	}
	along = math.Inf(1)
	for _, o := range s.Welds {
		if d := s.Apart(o.Along, w.Along); o.Row == row && d < along {
			other, along = o, d
		}
	}
	if other == nil {
		return nil, 0, 0
	}
	return other, along, math.Abs(s.Offset(w.Position.R3(), w.Along) - s.Offset(other.Position.R3(), other.Along))
}
