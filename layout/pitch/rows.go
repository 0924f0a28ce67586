package pitch

import (
	"cmp"
	"math"
	"slices"
)

// Rows is room for several rows of welds beside each other, with all lengths in mm along the line midway between the outermost. Where
// there is no room for all, the first row goes on alone.
type Rows struct {
	Count      int
	Length     float64
	Closed     bool
	Start, End float64  // of an open line: from its start to the first weld, and from the last one to its end
	Fill       bool     // the rows go on over all of their room, not just as far as what is wanted needs
	Zones      []Span   // where there is room for all rows
	Whole      bool     // there is room all along
	Hard       [][]Span // of each row: what welds keep out of
	Clamps     [][]Span // of each row: what they are rather out of
	Pitch      Bounds   // in each row
	Greatest   float64  // pitch that is wanted: less than the greatest of Pitch where that is made room for
	Apart      float64  // from each row to the next
	Beside     bool     // Apart lets welds of neighbouring rows stand side by side
	Cross      float64  // from weld to weld of neighbouring rows, aslant
	Aside      float64  // across the line, between the second row and a single weld beside a zone; what is least
	Side       float64  // along the line between welds of staggered rows, at least: less is side by side
}

// Wide reports whether there is room for all rows at a place.
func (p *Rows) Wide(u float64) bool {
	return slices.ContainsFunc(p.Zones, func(z Span) bool { return u >= z.From-Tiny && u <= z.To+Tiny })
}

// along is how far along the line two welds of different rows stand apart at least, when they are so far apart across it.
func (p *Rows) along(across float64) float64 {
	left := float64(p.Cross*p.Cross) - float64(across*across)
	if left <= 0 {
		return 0
	}
	return math.Max(math.Sqrt(left), p.Side)
}

// between is from the place of an open line's first weld to that of its last.
func (p *Rows) between() Span { return Span{p.Start, p.Length - p.End} }

// free returns where the welds of the first two rows may sit within a stretch. Of the second that is within the zones.
func (p *Rows) free(whole Span) [2][]Span {
	out := [2][]Span{Left(p.Hard[0], whole), nil}
	for _, z := range p.Zones {
		from, to := math.Max(z.From, whole.From), math.Min(z.To, whole.To)
		if from <= to {
			out[1] = append(out[1], Left(p.Hard[1], Span{from, to})...)
		}
	}
	return out
}

// both is what lies over any of the rows.
func both(of [][]Span) []Span { return Merge(slices.Concat(of...)) }

// The kinds of arrangement, best first.
const (
	staggered = iota
	sideBySide
	uneven
	many // rows, more than two
)

// Arrangement is one way to set out rows: for each weld, by growing place, where it stands and in which row, 0 for the first.
type Arrangement struct {
	At   []float64
	Lane []int
	kind int
	rows *Rows
}

// Better says whether a is to be taken rather than b: more of what is wanted, fewer pitches above the greatest, fewer welds,
// then by its kind.
func (a Arrangement) Better(b Arrangement, wanted int) bool {
	return cmp.Or(cmp.Compare(min(len(b.At), wanted), min(len(a.At), wanted)), a.above()-b.above(), len(a.At)-len(b.At), a.kind-b.kind) < 0
}

// Serves reports whether nothing better is to be looked for: all that is wanted with no weld too many and no pitch too wide.
func (a Arrangement) Serves(wanted int) bool {
	return len(a.At) >= wanted && a.above() == 0 && (len(a.At) == max(wanted, LeastOpen) || a.rows.Fill || a.rows.Closed)
}

// Held is how many rows have a weld.
func (a Arrangement) Held() int {
	held := make([]bool, a.rows.Count)
	n := 0
	for _, lane := range a.Lane {
		if !held[lane] {
			held[lane] = true
			n++
		}
	}
	return n
}

// above counts pitches above the greatest.
func (a Arrangement) above() int {
	n := 0
	for _, g := range a.rows.Gaps(a.At, a.Lane) {
		if g.Length() > a.rows.Greatest+1e-6 {
			n++
		}
	}
	return n
}

// Gaps returns the stretches between neighbours of one row, of every row.
func (p *Rows) Gaps(at []float64, lanes []int) []Span {
	var out []Span
	for lane := range p.Count {
		var own []float64
		for i, u := range at {
			switch {
			case lanes[i] == lane:
				own = append(own, u)
			case lane > 0 && !p.Wide(u): // the other rows end where the strip gets narrow
				out, own = append(out, neighbours(own)...), nil
			}
		}
		if lane == 0 || p.Whole {
			out = append(out, Gaps(own, p.Length, p.Closed)...)
		} else {
			out = append(out, neighbours(own)...)
		}
	}
	return out
}

// Gaps returns the stretches between neighbouring welds of one row; the one over the closing point of a closed line ends beyond its
// length.
func Gaps(at []float64, length float64, closed bool) []Span {
	out := neighbours(at)
	if closed && len(at) > 1 {
		out = append(out, Span{at[len(at)-1], at[0] + length})
	}
	return out
}

// neighbours are the gaps of a part of a line.
func neighbours(at []float64) []Span {
	var out []Span
	for i := 1; i < len(at); i++ {
		out = append(out, Span{at[i-1], at[i]})
	}
	return out
}
