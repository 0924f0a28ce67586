package flange

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/contact"
	"seamwright/geometry/kit"
	"seamwright/geometry/region"
)

// A contact smaller than these is not worth a word: the shreds where three sheets meet, or two of them all but part, chosen.
const (
	leastNamedWidth  = 1.5 // mm
	leastNamedLength = 3.0 // mm
	sameContact      = 3.0 // mm beyond a flange's side or end, within which a small contact of its sheets is its rest
	sameFlat         = 30. // degrees by which such a rest is turned from the flange at most; beyond, it lies past a bend
)

// noteSmall keeps a region that makes no flange to be named.
func (f *onHost) noteSmall(r *contact.Lap, loops [][]int32, why Why) {
	if r.Stack.N < 2 {
		return
	}
	s := Small{Sheets: r.Stack.Sheets(), Area: r.Area(), Why: why}
	around := 0.0
	for _, l := range loops {
		around += min(r.LoopLength(l), r.LengthAround(l)+2*region.Raggedness)
	}
	apart := math.Sqrt(max(0, around*around/4-4*s.Area)) // of a rectangle's sides
	s.Length, s.Width = around/4+apart/2, around/4-apart/2
	if !(s.Width >= leastNamedWidth && s.Length >= leastNamedLength) {
		return
	}
	if s.Length < f.leastLength(r) || s.Width < f.opt.LeastWidth {
		s.Why = TooSmall
	}
	middle, normal, area := r3.Vector{}, r3.Vector{}, 0.0
	for t := range r.Mesh.Triangles {
		a, b, c := r.Mesh.Corners(t)
		twice := b.Sub(a).Cross(c.Sub(a))
		part := twice.Norm()
		middle, normal, area = middle.Add(a.Add(b).Add(c).Mul(part/3)), normal.Add(twice), area+part
	}
	s.Place, s.Axis = middle.Mul(1/area), normal.Normalize()
	f.small = append(f.small, s)
}

// apartFromFlanges leaves out the contacts that are the rest of a flange of the same sheets on the same flat, being too small for one
// themselves, or open beside it, and puts the others into a fixed order. One that is large enough and has no free edge is no rest, as
// the walls behind a flange that lie on each other.
func apartFromFlanges(small []Small, flanges []Flange) []Small {
	small = slices.DeleteFunc(small, func(s Small) bool {
		return s.Why != RoundBends && s.Why != NoFreeEdge && s.Why != NoLine && slices.ContainsFunc(flanges, func(fl Flange) bool {
			if s.Why == StandsOpen && len(fl.Sheets) != len(s.Sheets) {
				return false // it is as large as a flange, and what lies on fewer sheets is no rest of one of more
			}
			for _, sheet := range s.Sheets {
				if !slices.Contains(fl.Sheets, sheet) {
					return false
				}
			}
			return slices.ContainsFunc(fl.Line, func(p LinePoint) bool {
				return p.Point.Sub(s.Place).Norm() <= max(p.Left, p.Right)+s.Length+sameContact &&
					math.Abs(p.Axis.Dot(s.Axis)) >= kit.CosDegrees(sameFlat)
			})
		})
	})
	slices.SortStableFunc(small, func(a, b Small) int {
		return cmp.Or(slices.Compare(a.Sheets, b.Sheets), cmp.Compare(a.Place.X, b.Place.X), cmp.Compare(a.Place.Y, b.Place.Y),
			cmp.Compare(a.Place.Z, b.Place.Z))
	})
	return small
}
