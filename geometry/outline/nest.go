package outline

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
)

// Nested is a closed path with those that lie in it and in no other of those.
type Nested struct {
	drawing.Path
	Index  int // in the list that was sorted
	Within []*Nested
}

// Nest sorts closed paths by what lies within what; open ones are left out. A path that lies on another's edge in part
// is within it when the rest is. Paths in different planes do not hold each other.
func Nest(paths []drawing.Path) []*Nested {
	var rings []ring
	for i, p := range paths {
		if p.Closed && len(p.Points) >= 3 {
			rings = append(rings, ringOf(i, p))
		}
	}
	order := make([]int, len(rings))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rings[b].area, rings[a].area) })
	for rank, i := range order {
		rings[i].rank = rank
	}
	held := make([]bool, len(rings))
	about := boxedBy(rings)
	for _, i := range order {
		outers := about[i]
		slices.SortFunc(outers, func(a, b int) int { return cmp.Compare(rings[b].rank, rings[a].rank) })
		for _, k := range outers { // the smallest that holds it is the first of these
			if outer := &rings[k]; outer.holdsPath(rings[i].Points) {
				outer.Within = append(outer.Within, rings[i].Nested)
				held[i] = true
				break
			}
		}
	}
	var out []*Nested
	for i, r := range rings {
		if !held[i] {
			out = append(out, r.Nested)
		}
	}
	return out
}

type ring struct {
	*Nested
	polygon
	plane  plane
	area   float64
	rank   int       // by area, the largest first
	lo, hi r3.Vector // about its points
}

func ringOf(index int, p drawing.Path) ring {
	n := areaNormal(p.Points)
	r := ring{Nested: &Nested{Path: p, Index: index}, area: n.Norm(), lo: p.Points[0], hi: p.Points[0]}
	for _, v := range p.Points {
		r.lo = r3.Vector{X: min(r.lo.X, v.X), Y: min(r.lo.Y, v.Y), Z: min(r.lo.Z, v.Z)}
		r.hi = r3.Vector{X: max(r.hi.X, v.X), Y: max(r.hi.Y, v.Y), Z: max(r.hi.Z, v.Z)}
	}
	if r.area > 0 {
		r.plane = planeAt(p.Points[0], upward(unit(n)))
		flat := make([]r2.Point, len(p.Points))
		for i, v := range p.Points {
			flat[i] = r.plane.flat(v)
		}
		r.polygon = polygonOf(flat)
	}
	return r
}

// margin is how far beyond its points a ring may hold another.
func (r *ring) margin() float64 { return toldGap + 1e-3*r.box.Size().Norm() }

// boxedBy lists for each ring the larger ones whose boxes hold its box, found by a sweep along x: of thousands of outlines beside each
// other few are open at once.
func boxedBy(rings []ring) [][]int {
	starts, asked := make([]int, len(rings)), make([]int, len(rings))
	for i := range rings {
		starts[i], asked[i] = i, i
	}
	start := func(i int) float64 { return rings[i].lo.X - rings[i].margin() }
	slices.SortFunc(starts, func(a, b int) int { return cmp.Or(cmp.Compare(start(a), start(b)), cmp.Compare(a, b)) })
	slices.SortFunc(asked, func(a, b int) int { return cmp.Or(cmp.Compare(rings[a].lo.X, rings[b].lo.X), cmp.Compare(a, b)) })
	out := make([][]int, len(rings))
	var open []int
	for _, i := range asked {
		in := &rings[i]
		for len(starts) > 0 && start(starts[0]) <= in.lo.X {
			if rings[starts[0]].area > 0 {
				open = append(open, starts[0])
			}
			starts = starts[1:]
		}
		open = slices.DeleteFunc(open, func(k int) bool { return rings[k].hi.X+rings[k].margin() < in.lo.X })
		for _, k := range open {
			if o := &rings[k]; o.rank < in.rank && o.boxes(in) {
				out[i] = append(out[i], k)
			}
		}
	}
	return out
}

func (r *ring) boxes(in *ring) bool {
	m := r.margin()
	return in.hi.X <= r.hi.X+m && in.lo.Y >= r.lo.Y-m && in.hi.Y <= r.hi.Y+m && in.lo.Z >= r.lo.Z-m && in.hi.Z <= r.hi.Z+m
}

// holdsPath reports whether a path lies within the ring: some point of it that is not on the border does.
func (r *ring) holdsPath(path []r3.Vector) bool {
	at := make([]r2.Point, len(path))
	for i, v := range path {
		at[i] = r.plane.flat(v)
		if !r.box.ExpandedByMargin(toldGap).ContainsPoint(at[i]) || math.Abs(r.plane.above(v)) > r.margin() {
			return false
		}
	}
	witness, ok := r.witness(at, toldGap)
	return ok && r.holds(witness)
}
