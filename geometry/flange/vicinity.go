package flange

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

const (
	cellSize     = 4.0     // mm: about as large as the patch's triangles; smaller cells are gathered too often
	tractBits    = 2       // a tract is 2^tractBits cells wide: some of the panels' triangles
	farthestCell = 1 << 20 // cells from the origin, 4 km; beyond, the trees are asked
	mostFacets   = 128     // of one sheet about a cell: of more, its tree finds the nearest sooner
	rounding     = 1e-6    // mm: far above that of coordinates of a few kilometres, far below what is measured
)

// vicinity remembers, for one host, which facets of other sheets come within reach of the places that are asked
// about, cell by cell: neighbouring places have the same few facets about them and are asked about many times, so
// the trees are gone through once for each cell. The answers are the same as the trees'.
type vicinity struct {
	f      *finder
	host   int
	sheets []int             // that come within reach of the host
	ofHost [][]int32         // the host's triangles that each of the sheets comes near
	cells  map[uint64]extent // of sights
	tracts map[uint64]extent // of what was gathered for many cells at once
	inView []tractSight
	key    uint64 // the cell that was asked about last: often the next one too
	here   extent
	leans  bool // a search since this was unset came upon a facet that leans
	sights []sight
	list   []int32 // facets, sight by sight
	spread []int32 // facets, tract by tract
	facets []facet
	known  [][]int32 // of each of the sheets, for each triangle: its facet + 1
}

// extent is a range of indices.
type extent struct{ from, to int32 }

// sight is one sheet as it is seen from a cell: the facets that come within reach.
type sight struct {
	sheet int
	dense bool     // too many facets to go through: the tree is asked
	last  [2]int32 // the facets found last, above and below, -1 for none: they are tried first
	near  int32    // the facet that a place was last found to be within reach of, or -1
	list  extent
}

// tractSight is one sheet as it is seen from a tract; the cells of it pick theirs.
type tractSight struct {
	at    int    // of the vicinity's sheets
	dense bool   // too many facets to pick from: the tree is asked for each cell
	list  extent // of spread
}

// facet is a triangle laid out for the search.
type facet struct {
	box     space.Box
	normal  r3.Vector
	a, b, c r3.Vector
	tri     int32
}

// reset makes the vicinity that of another host.
func (v *vicinity) reset(f *finder, host int) {
	if v.cells == nil {
		v.cells, v.tracts = map[uint64]extent{}, map[uint64]extent{}
	}
	clear(v.cells)
	clear(v.tracts)
	v.f, v.host, v.key = f, host, math.MaxUint64
	v.sheets, v.ofHost, v.inView, v.sights = v.sheets[:0], v.ofHost[:0], v.inView[:0], v.sights[:0]
	v.list, v.spread, v.facets = v.list[:0], v.spread[:0], v.facets[:0]
	for _, x := range f.neighbours[host] {
		if of := f.panels[host].tree.NearTo(f.panels[x].tree, f.reach(host, x)); len(of) > 0 {
			v.sheets, v.ofHost = append(v.sheets, x), append(v.ofHost, of)
		}
	}
	v.known = make([][]int32, len(v.sheets))
}

// cellOf names the cell that holds p.
func cellOf(p r3.Vector) (key uint64, ok bool) {
	x, y, z := math.Floor(p.X/cellSize), math.Floor(p.Y/cellSize), math.Floor(p.Z/cellSize)
	if !(math.Abs(x) < farthestCell && math.Abs(y) < farthestCell && math.Abs(z) < farthestCell) {
		return 0, false
	}
	return uint64(x+farthestCell)<<42 | uint64(y+farthestCell)<<21 | uint64(z+farthestCell), true
}

// about returns the sheets that come within reach of p's cell.
func (v *vicinity) about(p r3.Vector) ([]sight, bool) {
	key, ok := cellOf(p)
	if !ok {
		return nil, false
	}
	if key != v.key {
		seen, known := v.cells[key]
		if !known {
			seen = v.gather(key)
			v.cells[key] = seen
		}
		v.key, v.here = key, seen
	}
	return v.sights[v.here.from:v.here.to], true
}

// cube is the box of a cell, or of a tract, that lies at a corner of the grid.
func cube(key uint64, cells float64) space.Box {
	at := func(c uint64) float64 { return (float64(c&(1<<21-1)) - farthestCell) * cellSize }
	low := r3.Vector{X: at(key >> 42), Y: at(key >> 21), Z: at(key)}
	size := cells * cellSize
	return space.Box{Min: low, Max: low.Add(r3.Vector{X: size, Y: size, Z: size})}
}

// gather lists what comes within reach of a cell.
func (v *vicinity) gather(key uint64) extent {
	cell := cube(key, 1)
	out := extent{from: int32(len(v.sights))}
	tract := v.tract(key)
	for _, s := range v.inView[tract.from:tract.to] {
		x, from := v.sheets[s.at], int32(len(v.list))
		within := cell.Grow(v.f.reach(v.host, x) + rounding)
		if s.dense {
			v.f.panels[x].tree.Overlapping(within, func(tri int32) bool {
				v.list = append(v.list, v.facet(s.at, tri))
				return int32(len(v.list))-from <= mostFacets
			})
		} else {
			v.pick(s.list, &within)
		}
		if to := int32(len(v.list)); to > from {
			v.sights = append(v.sights, sight{sheet: x, dense: to-from > mostFacets, last: [2]int32{-1, -1}, near: -1, list: extent{from, to}})
		}
	}
	out.to = int32(len(v.sights))
	return out
}

// pick lists those of a tract's facets that come into a box, as far as they are of use.
func (v *vicinity) pick(from extent, within *space.Box) {
	full := len(v.list) + mostFacets
	for _, t := range v.spread[from.from:from.to] {
		if b := &v.facets[t].box; b.Min.X <= within.Max.X && within.Min.X <= b.Max.X &&
			b.Min.Y <= within.Max.Y && within.Min.Y <= b.Max.Y && b.Min.Z <= within.Max.Z && within.Min.Z <= b.Max.Z {
			if v.list = append(v.list, t); len(v.list) > full {
				return
			}
		}
	}
}

// tract gathers what comes within reach of any cell of the tract that holds a cell: the trees are gone through once
// for all of them.
func (v *vicinity) tract(key uint64) extent {
	const inTract = 1<<tractBits - 1
	key &^= inTract<<42 | inTract<<21 | inTract
	seen, known := v.tracts[key]
	if known {
		return seen
	}
	box := cube(key, 1<<tractBits)
	seen.from = int32(len(v.inView))
	for i, x := range v.sheets {
		from := int32(len(v.spread))
		v.f.panels[x].tree.Overlapping(box.Grow(v.f.reach(v.host, x)+rounding), func(tri int32) bool {
			v.spread = append(v.spread, v.facet(i, tri))
			return int32(len(v.spread))-from <= 2*mostFacets
		})
		if to := int32(len(v.spread)); to > from {
			v.inView = append(v.inView, tractSight{i, to-from > 2*mostFacets, extent{from, to}})
		}
	}
	seen.to = int32(len(v.inView))
	v.tracts[key] = seen
	return seen
}

// facet numbers a triangle of the i-th sheet.
func (v *vicinity) facet(i int, tri int32) int32 {
	p := v.f.panels[v.sheets[i]]
	if v.known[i] == nil {
		v.known[i] = make([]int32, len(p.Mesh.Triangles))
	}
	if v.known[i][tri] == 0 {
		a, b, c := p.Mesh.Corners(int(tri))
		v.facets = append(v.facets, facet{box: space.EmptyBox().Add(a).Add(b).Add(c), normal: p.normals[tri], a: a, b: b, c: c, tri: tri})
		v.known[i][tri] = int32(len(v.facets))
	}
	return v.known[i][tri] - 1
}

// isNear says whether a place is known to come within reach of another sheet.
func (v *vicinity) isNear(p r3.Vector) bool {
	sights, _ := v.about(p)
	for i := range sights {
		s := &sights[i]
		if s.dense {
			continue
		}
		reach := v.f.reach(v.host, s.sheet)
		if s.near >= 0 && v.facets[s.near].isWithin(reach, p) {
			return true
		}
		for _, t := range v.list[s.list.from:s.list.to] {
			if v.facets[t].isWithin(reach, p) {
				s.near = t
				return true
			}
		}
	}
	return false
}

func (t *facet) isWithin(reach float64, p r3.Vector) bool {
	if t.isBeyond(reach*reach, &p) {
		return false
	}
	on, _ := near.ClosestOnTriangle(p, t.a, t.b, t.c)
	return on.Sub(p).Norm() <= reach
}

// isBeyond says whether the squared distance from p to the facet's box is above a limit, as along a single axis it mostly
// is already. Plain comparisons take a third of the time of max, which also minds what is not a number; a facet has no such
// corner.
func (t *facet) isBeyond(limit float64, p *r3.Vector) bool {
	x := beyond(t.box.Min.X, t.box.Max.X, p.X)
	gap2 := float64(x * x)
	if gap2 > limit {
		return true
	}
	y := beyond(t.box.Min.Y, t.box.Max.Y, p.Y)
	if gap2 += float64(y * y); gap2 > limit {
		return true
	}
	z := beyond(t.box.Min.Z, t.box.Max.Z, p.Z)
	return gap2+float64(z*z) > limit
}

// beyond is how far x lies outside a range, on either side.
func beyond(lo, hi, x float64) float64 {
	if x < lo {
		return lo - x
	}
	if x > hi {
		return x - hi
	}
	return 0
}

// hits are the places of a sheet that are nearest to a place, above it and below; a triangle of -1 is none.
type hits [2]near.Hit

// The sides of a host: along its normal and against it.
const (
	upper = iota
	lower
)

var sides = [2]float64{upper: 1, lower: -1}

// nearest finds the nearest of the sheet's facets that are parallel to a surface at p with normal n.
func (v *vicinity) nearest(f *finder, s *sight, p, n r3.Vector) hits {
	if s.dense {
		return hits{f.nearestOn(s.sheet, v.host, upper, p, n), f.nearestOn(s.sheet, v.host, lower, p, n)}
	}
	q := f.search(v.host, s.sheet, p, n)
	reach := v.f.reach(v.host, s.sheet)
	for k := range q.best {
		q.best[k], q.won[k], q.hits[k].Tri = reach*reach, -1, -1
	}
	for _, i := range s.last {
		if i >= 0 {
			q.try(v.facets, i)
		}
	}
	for _, i := range v.list[s.list.from:s.list.to] {
		q.try(v.facets, i)
	}
	s.last = q.won
	v.leans = v.leans || q.leans
	return q.hits
}

func (f *finder) search(host, x int, p, n r3.Vector) search {
	return search{p: p, n: n, cosLimit: f.leastCosine(host, x), leanCos: f.clampCosine(host, x), solid: f.panels[x].Surface == Solid}
}

// search is for the nearest facets above and below a place.
type search struct {
	p, n     r3.Vector
	cosLimit float64
	leanCos  float64 // of the angle that clamps close
	solid    bool
	leans    bool       // a facet within reach leans by more than the limit, but can be drawn on
	best     [2]float64 // squared distances
	won      [2]int32
	hits     hits
}

// atMost widens a squared distance by more than the rounding of the distance to a box.
const atMost = 1 + 1e-12

func (q *search) try(facets []facet, i int32) {
	t := &facets[i]
	if t.isBeyond(max(q.best[upper], q.best[lower])*atMost, &q.p) {
		return
	}
	k, ok := q.sideOf(t.normal, t.a)
	if !ok {
		if !q.leans && math.Abs(t.normal.Dot(q.n)) >= q.leanCos {
			q.leans = !t.isBeyond(q.best[k], &q.p)
		}
		return
	}
	if q.best[k] < q.best[1-k] && t.isBeyond(q.best[k]*atMost, &q.p) {
		return
	}
	on, feature := near.ClosestOnTriangle(q.p, t.a, t.b, t.c)
	d := on.Sub(q.p).Norm2()
	if d < q.best[k] || d == q.best[k] && (q.won[k] < 0 || t.tri < q.hits[k].Tri) {
		q.best[k], q.won[k] = d, i
		q.hits[k] = near.Hit{Tri: t.tri, Point: on, Feature: feature}
	}
}

// sideOf says on which side of the host a parallel facet through a lies: of a solid only the skin that is turned
// to the host counts.
func (q *search) sideOf(normal, a r3.Vector) (int, bool) {
	c := normal.Dot(q.n)
	if math.Abs(c) < q.cosLimit {
		return 0, false
	}
	height := -c
	if !q.solid {
		height = a.Sub(q.p).Dot(normal) * math.Copysign(1, c)
	}
	if height >= 0 {
		return upper, true
	}
	return lower, height < 0
}

// nearestOn is one of the hits, by way of the sheet's tree.
func (f *finder) nearestOn(x, host, side int, p, n r3.Vector) near.Hit {
	sheet := f.panels[x]
	q := f.search(host, x, p, n)
	hit, _ := sheet.tree.ClosestAmong(p, f.reach(host, x), func(tri int32) bool {
		k, ok := q.sideOf(sheet.normals[tri], sheet.Mesh.Vertices[sheet.Mesh.Triangles[tri][0]])
		q.leans = q.leans || !ok && math.Abs(sheet.normals[tri].Dot(n)) >= q.leanCos
		return ok && k == side
	})
	if f.around != nil {
		f.around.leans = f.around.leans || q.leans
	}
	return hit
}
