package stackup

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

const (
	CellSize     = 4.0     // mm: about as large as the patch's triangles; smaller cells are gathered too often
	tractBits    = 2       // a tract is 2^tractBits cells wide: some of the panels' triangles
	farthestCell = 1 << 20 // cells from the origin, 4 km; beyond, the trees are asked
	mostFacets   = 128     // of one sheet about a cell: of more, its tree finds the nearest sooner
	entrySize    = 6.      // mm: of larger parts of such a tree few lie on one side of a place
)

// facetGrid remembers, for one host, which facets of other sheets come within reach of the places that are asked
// about, cell by cell: neighbouring places have the same few facets about them and are asked about many times, so
// the trees are gone through once for each cell. The answers are the same as the trees'.
type facetGrid struct {
	asked   *Host // with the limits within which facets are gathered
	host    int
	sheets  []int         // that come within reach of the host
	ofHost  [][]int32     // the host's triangles that each of the sheets comes near
	cells   kit.EdgeTable // the numbers of those that were asked about
	blocks  kit.EdgeTable // likewise, of tracts
	ofCell  []extent      // of sights
	ofTract []extent      // of what is in view
	inView  []blockCandidate
	key     uint64 // the cell that was asked about last: often the next one too
	here    extent
	leans   bool // a search since this was unset came upon a facet that leans
	leaners bool // likewise, or on one that may count as leaning on either side
	sights  []candidate
	list    []int32 // facets, sight by sight
	entries []near.Entry
	spread  []int32 // facets, tract by tract
	facets  []facet
	known   [][]int32  // of each of the sheets, for each triangle: its facet + 1
	over    []over     // of each of the sheets
	turn    int        // how often it became another host's
	like    *facetGrid // that of the same host which it follows, as of that turn, or nil
}

// extent is a range of indices.
type extent struct{ from, to int32 }

// candidate is one sheet as it is seen from a cell: the facets that come within reach.
type candidate struct {
	sheet int
	dense bool     // too many facets to go through: the tree is asked
	last  [2]int32 // what was found last, above and below, -1 for none: it is tried first. Facets, of a dense one triangles
	near  int32    // the facet that a place was last found to be within reach of, or -1
	list  extent   // of a dense one: of entries, where in its tree lies what comes within reach
}

// blockCandidate is one sheet as it is seen from a tract; the cells of it pick theirs.
type blockCandidate struct {
	at    int    // of the grid's sheets
	dense bool   // too many facets to pick from: the tree is asked for each cell
	list  extent // of spread
}

// reset makes the grid that of another host.
func (v *facetGrid) reset(h *Host) {
	v.forget(h)
	v.sheets, v.ofHost, v.over = nil, nil, nil // others may follow
	for _, x := range h.Neighbours[h.Index] {
		if of := h.Panels[h.Index].Tree.NearTo(h.Panels[x].Tree, h.Reach(h.Index, x)); len(of) > 0 {
			v.sheets, v.ofHost, v.over = append(v.sheets, x), append(v.ofHost, of), append(v.over, h.overOf(x))
		}
	}
	v.known = make([][]int32, len(v.sheets))
	v.turn++
	v.like = nil
}

// follow makes the grid that of the host of another.
func (v *facetGrid) follow(other *facetGrid) {
	asked := *other.asked
	asked.around = v
	v.forget(&asked)
	v.sheets, v.ofHost, v.over = other.sheets, other.ofHost, v.over[:0]
	for _, x := range v.sheets {
		v.over = append(v.over, v.asked.overOf(x))
	}
	v.known = make([][]int32, len(v.sheets))
	v.turn, v.like = other.turn, other
}

// forget empties the grid for another host.
func (v *facetGrid) forget(h *Host) {
	v.cells.Reset()
	v.blocks.Reset()
	v.ofCell, v.ofTract, v.inView, v.sights = v.ofCell[:0], v.ofTract[:0], v.inView[:0], v.sights[:0]
	v.list, v.spread, v.facets, v.entries = v.list[:0], v.spread[:0], v.facets[:0], v.entries[:0]
	v.asked, v.host, v.key = h, h.Index, math.MaxUint64
}

// cellOf names the cell that holds p.
func cellOf(p r3.Vector) (key uint64, ok bool) {
	x, y, z := math.Floor(p.X/CellSize), math.Floor(p.Y/CellSize), math.Floor(p.Z/CellSize)
	if !(math.Abs(x) < farthestCell && math.Abs(y) < farthestCell && math.Abs(z) < farthestCell) {
		return 0, false
	}
	return uint64(x+farthestCell)<<42 | uint64(y+farthestCell)<<21 | uint64(z+farthestCell), true
}

// candidates returns the sheets that come within reach of p's cell.
func (v *facetGrid) candidates(p r3.Vector) ([]candidate, bool) {
	key, ok := cellOf(p)
	if !ok {
		return nil, false
	}
	if key != v.key {
		at, known := v.cells.At(key)
		if !known {
			*at = int32(len(v.ofCell))
			v.ofCell = append(v.ofCell, v.gather(key))
		}
		v.key, v.here = key, v.ofCell[*at]
	}
	return v.sights[v.here.from:v.here.to], true
}

// cube is the box of a cell, or of a tract, that lies at a corner of the grid.
func cube(key uint64, cells float64) space.Box {
	at := func(c uint64) float64 { return (float64(c&(1<<21-1)) - farthestCell) * CellSize }
	low := r3.Vector{X: at(key >> 42), Y: at(key >> 21), Z: at(key)}
	size := cells * CellSize
	return space.Box{Min: low, Max: low.Add(r3.Vector{X: size, Y: size, Z: size})}
}

// gather lists what comes within reach of a cell.
func (v *facetGrid) gather(key uint64) extent {
	cell := cube(key, 1)
	out := extent{from: int32(len(v.sights))}
	tract := v.block(key)
	for _, s := range v.inView[tract.from:tract.to] {
		x, from := v.sheets[s.at], int32(len(v.list))
		within := cell.Grow(v.asked.Reach(v.host, x) + kit.Rounding)
		if s.dense {
			v.list = v.overlapping(s.at, within, v.list, mostFacets)
		} else {
			v.pick(s.list, &within)
		}
		if to := int32(len(v.list)); to > from {
			seen := candidate{sheet: x, dense: to-from > mostFacets, last: [2]int32{-1, -1}, near: -1, list: extent{from, to}}
			if seen.dense {
				v.list, seen.list.from = v.list[:from], int32(len(v.entries))
				within := v.asked.Clamped().Reach(v.host, x) + kit.Rounding
				v.entries = v.asked.Panels[x].Leaning().Entries(cell, within, entrySize, v.entries)
				seen.list.to = int32(len(v.entries))
			}
			v.sights = append(v.sights, seen)
		}
	}
	out.to = int32(len(v.sights))
	return out
}

// overlapping appends the facets of the i-th sheet that touch a box to a list. Where they are more than most, one more is appended than
// that, none of them numbered.
func (v *facetGrid) overlapping(i int, box space.Box, list []int32, most int) []int32 {
	from := len(list)
	v.asked.Panels[v.sheets[i]].Tree.Overlapping(box, func(tri int32) bool {
		list = append(list, tri)
		return len(list)-from <= most
	})
	if len(list)-from <= most {
		for k, tri := range list[from:] {
			list[from+k] = v.facet(i, tri)
		}
	}
	return list
}

// pick lists those of a tract's facets that come into a box, as far as they are of use.
func (v *facetGrid) pick(from extent, within *space.Box) {
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

// block gathers what comes within reach of any cell of the tract that holds a cell: the trees are gone through once
// for all of them.
func (v *facetGrid) block(key uint64) extent {
	const inTract = 1<<tractBits - 1
	key &^= inTract<<42 | inTract<<21 | inTract
	at, known := v.blocks.At(key)
	if known {
		return v.ofTract[*at]
	}
	*at = int32(len(v.ofTract))
	var seen extent
	box := cube(key, 1<<tractBits)
	seen.from = int32(len(v.inView))
	for i, x := range v.sheets {
		from := int32(len(v.spread))
		v.spread = v.overlapping(i, box.Grow(v.asked.Reach(v.host, x)+kit.Rounding), v.spread, 2*mostFacets)
		if to := int32(len(v.spread)); to > from {
			seen := blockCandidate{i, to-from > 2*mostFacets, extent{from, to}}
			if seen.dense {
				v.spread, seen.list.to = v.spread[:from], from
			}
			v.inView = append(v.inView, seen)
		}
	}
	seen.to = int32(len(v.inView))
	v.ofTract = append(v.ofTract, seen)
	return seen
}

// facet numbers a triangle of the i-th sheet.
func (v *facetGrid) facet(i int, tri int32) int32 {
	p := v.asked.Panels[v.sheets[i]]
	if v.known[i] == nil {
		v.known[i] = make([]int32, len(p.Mesh.Triangles))
	}
	if v.known[i][tri] == 0 {
		a, b, c := p.Mesh.Corners(int(tri))
		v.facets = append(v.facets, facet{box: space.BoxOf(a, b, c), normal: p.Normals[tri], a: a, b: b, c: c, tri: tri})
		v.known[i][tri] = int32(len(v.facets))
	}
	return v.known[i][tri] - 1
}

// isNear says whether a place is known to come within reach of another sheet.
func (v *facetGrid) isNear(p r3.Vector) bool {
	sights, _ := v.candidates(p)
	for i := range sights {
		s := &sights[i]
		if s.dense {
			continue
		}
		reach := v.asked.Reach(v.host, s.sheet)
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
