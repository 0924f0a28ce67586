package detail

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/surface"
)

// The bounds are chosen: what is wider than Narrow, or turns by less than turnLimit over that, shows at the corners of triangles with edges of
// Coarse.
const (
	Coarse    = 3 * region.Fine // mm
	Narrow    = 9.              // mm: just above the height of such triangles, 8.8
	Aside     = 1.              // mm by which lines may pass each other that count as one
	About     = 7.              // mm about a detail that belong to it
	turnLimit = 20.             // degrees
)

var turnCos = kit.CosDegrees(turnLimit)

// Places is where details are.
type Places struct{ at *kit.Scattered }

// Beside finds the places where lines of the sheets beside a host lie narrow beside each other, or turn, and where a bend of the host's lies in
// or about one of theirs. Lines of several sheets are given together: what one ends at may lie beside what another does.
func Beside(own, others []surface.FeatureLine) *Places {
	out := &Places{at: kit.NewScattered(About + Coarse/2)}
	seen := kit.NewScattered(Narrow)
	is := make([]bool, len(others))
	for i := range others {
		seen.AnyWithin(others[i].At, Narrow, func(k int32) bool {
			if !(is[i] && is[k]) && areNarrow(&others[i], &others[k]) {
				is[i], is[k] = true, true
			}
			return false
		})
		seen.Add(others[i].At)
	}
	for i := range others {
		if is[i] {
			out.at.Add(others[i].At)
		}
	}
	for i := range own {
		l := &own[i]
		if l.Turn != (r3.Vector{}) && seen.AnyWithin(l.At, Narrow, func(k int32) bool { return l.Turn.Dot(others[k].Turn) > 0 }) {
			out.at.Add(l.At)
		}
	}
	return out
}

// AreNear says whether a detail lies about the way from one place to another, which are at most Coarse apart.
func (d *Places) AreNear(from, to r3.Vector) bool {
	return d.at.AnyWithin(from.Add(to).Mul(0.5), About+Coarse/2, func(i int32) bool { return near.ToSegment(d.at.At(i), from, to) <= About })
}

// areNarrow says whether two lines that are near each other are not one that goes on, nor the two sides of a bend.
func areNarrow(p, q *surface.FeatureLine) bool {
	d := q.At.Sub(p.At)
	if p.Within || q.Within || p.Bend.Dot(d) > 0 || q.Bend.Dot(d) < 0 {
		return false
	}
	if math.Abs(p.Along.Dot(q.Along)) < turnCos {
		return true
	}
	aside := d.Sub(p.Along.Mul(d.Dot(p.Along)))
	aside = aside.Sub(p.Normal.Mul(aside.Dot(p.Normal)))
	return aside.Norm2() > Aside*Aside
}
