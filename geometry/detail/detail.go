package detail

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
)

// The bounds are chosen: what is wider than Narrow, or turns by less than turnLimit over that, shows at the corners of triangles with
// edges of Coarse.
const (
	Coarse    = 3 * region.Fine // mm
	Narrow    = 9.              // mm: just above the height of such triangles, 8.8
	Aside     = 1.              // mm by which lines may pass each other that count as one
	About     = 7.              // mm about a detail that belong to it
	AboutBend = 3.4             // mm about a bend in a bend
	turnLimit = 20.             // degrees
)

var turnCos = kit.CosDegrees(turnLimit)

// Places is where details are.
type Places struct {
	at    *kit.Scattered
	bends *kit.Scattered // likewise, where a bend lies in one
	every bool           // there are too many lines to tell
}

// Beside finds the places where lines of the sheets beside a host lie narrow beside each other, or turn, and where a bend of the host's
// lies in or about one of theirs. Lines of several sheets are given together: what one ends at may lie beside what another does.
func Beside(own, others *Lines) *Places {
	out := &Places{kit.NewScattered(About + Coarse/2), kit.NewScattered(AboutBend + Coarse/2), own.tooMany || others.tooMany}
	if out.every {
		return out
	}
	seen := kit.NewScattered(Narrow)
	is := make([]bool, len(others.pieces))
	for i := range others.pieces {
		p := &others.pieces[i]
		seen.AnyWithin(p.at, Narrow, func(k int32) bool {
			if !(is[i] && is[k]) && areNarrow(p, &others.pieces[k]) {
				is[i], is[k] = true, true
			}
			return false
		})
		seen.Add(p.at)
	}
	for i := range others.pieces {
		if is[i] {
			out.at.Add(others.pieces[i].at)
		}
	}
	for i := range own.pieces {
		p := &own.pieces[i]
		if p.Turn != (r3.Vector{}) && seen.AnyWithin(p.at, Narrow, func(k int32) bool { return p.Turn.Dot(others.pieces[k].Turn) > 0 }) {
			out.bends.Add(p.at)
		}
	}
	return out
}

// AreNear says whether a detail lies about the way from one place to another, which are at most Coarse apart.
func (d *Places) AreNear(from, to r3.Vector) bool {
	about := func(places *kit.Scattered, reach float64) bool {
		return places.AnyWithin(from.Add(to).Mul(0.5), reach+Coarse/2, func(i int32) bool {
			return near.ToSegment(places.At(i), from, to) <= reach
		})
	}
	return d.every || about(d.at, About) || about(d.bends, AboutBend)
}

// areNarrow says whether two lines that are near each other are not one that goes on, nor the two sides of a bend.
func areNarrow(p, q *piece) bool {
	d := q.at.Sub(p.at)
	if p.Bend.Dot(d) > 0 || q.Bend.Dot(d) < 0 {
		return false
	}
	if math.Abs(p.along.Dot(q.along)) < turnCos {
		return true
	}
	return p.passes(d) || q.passes(d)
}

// passes says whether a place at a distance lies aside of the line, as seen along its flat's normal.
func (p *piece) passes(d r3.Vector) bool {
	aside := d.Sub(p.along.Mul(d.Dot(p.along)))
	aside = aside.Sub(p.Normal.Mul(aside.Dot(p.Normal)))
	return aside.Norm2() > Aside*Aside
}
