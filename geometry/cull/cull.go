package cull

import (
	"context"
	"math"
	"slices"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/internal/work"
)

// cellGrid finds the triangles of many sheets that can be near another sheet at all, by a grid of cells: of large panels
// that is a small part, and only for it is anything else worth knowing. Triangles come to the cells that their
// box, grown by half the distance asked about, touches; one is kept when another sheet comes to one of its cells.
type cellGrid struct {
	scale float64         // cells in a mm
	grown float64         // mm
	sets  []kit.EdgeTable // of each sheet: the cells that it comes to; 1 where another does too
	runs  [][]block       // of each sheet: the cells of every runLength triangles
}

const (
	mostDistant   = 1 << 20 // cells from the origin: farther ones are not numbered
	leastCell     = 24.     // mm: some triangles' size
	cellsPerReach = 3.
	mostCells     = 24 // of one triangle on average: of more, sorting them out takes longer than it saves
	runLength     = 8  // triangles that are looked at together: exporters write neighbours one after another
	mostRunCells  = 18 // of a run; of more, its triangles are looked at one by one
)

// NearParts returns for each mesh the part that may come within a distance in mm of another mesh, with some more about it;
// the whole mesh when the triangles are too large, or too far away, for cells. Workers as for work.Each.
func NearParts(ctx context.Context, meshes []*mesh.Mesh, within float64, workers int) ([]*mesh.Mesh, error) {
	c := &cellGrid{scale: 1 / math.Max(leastCell, cellsPerReach*within), grown: within/2 + kit.Rounding,
		sets: make([]kit.EdgeTable, len(meshes)), runs: make([][]block, len(meshes))}
	fits := make([]bool, len(meshes))
	out := make([]*mesh.Mesh, len(meshes))
	err := work.Each(ctx, workers, len(meshes), func(i int) error {
		out[i], fits[i] = meshes[i], c.enter(i, meshes[i])
		return nil
	})
	if err != nil || slices.Contains(fits, false) {
		return out, err
	}
	c.compare()
	err = work.Each(ctx, workers, len(meshes), func(i int) error {
		out[i] = partOf(meshes[i], c.kept(i, meshes[i]))
		return nil
	})
	return out, err
}

// block is a block of cells, both ends counted.
type block struct{ lo, hi [3]int32 }

func (b *block) cells() int {
	return int(b.hi[0]-b.lo[0]+1) * int(b.hi[1]-b.lo[1]+1) * int(b.hi[2]-b.lo[2]+1)
}

// around is the cells that some triangles come to; false when they are too far from the origin to be numbered.
func (c *cellGrid) around(m *mesh.Mesh, triangles [][3]int32) (b block, ok bool) {
	lo := m.Vertices[triangles[0][0]]
	hi := lo
	for _, t := range triangles {
		for _, v := range t {
			p := &m.Vertices[v]
			lo.X, hi.X = widen(lo.X, hi.X, p.X)
			lo.Y, hi.Y = widen(lo.Y, hi.Y, p.Y)
			lo.Z, hi.Z = widen(lo.Z, hi.Z, p.Z)
		}
	}
	ok = true
	for k, x := range [3][2]float64{{lo.X, hi.X}, {lo.Y, hi.Y}, {lo.Z, hi.Z}} {
		from, to := math.Floor((x[0]-c.grown)*c.scale), math.Floor((x[1]+c.grown)*c.scale)
		ok = ok && from > -mostDistant && to < mostDistant
		b.lo[k], b.hi[k] = int32(from), int32(to)
	}
	return b, ok
}

func widen(lo, hi, x float64) (float64, float64) {
	if x < lo {
		return x, hi
	}
	if x > hi {
		return lo, x
	}
	return lo, hi
}

// each calls visit with the cells of a block until it says false.
func (b *block) each(visit func(key uint64) bool) bool {
	for x := b.lo[0]; x <= b.hi[0]; x++ {
		for y := b.lo[1]; y <= b.hi[1]; y++ {
			for z := b.lo[2]; z <= b.hi[2]; z++ {
				if !visit(cellKey(x, y, z)) {
					return false
				}
			}
		}
	}
	return true
}

// cellKey numbers a cell, never with zero.
func cellKey(x, y, z int32) uint64 {
	return 1<<63 | uint64(x+mostDistant)<<42 | uint64(y+mostDistant)<<21 | uint64(z+mostDistant)
}

// enter notes the cells that a sheet comes to.
func (c *cellGrid) enter(i int, m *mesh.Mesh) bool {
	set := &c.sets[i]
	c.runs[i] = make([]block, 0, (len(m.Triangles)+runLength-1)/runLength)
	var last block
	allowed := mostCells * (len(m.Triangles) + 1000)
	note := func(triangles [][3]int32, most int) (b block, noted, ok bool) {
		if b, ok = c.around(m, triangles); !ok || b == last {
			return b, ok, ok
		}
		n := b.cells()
		if n > most {
			return b, false, true
		}
		if allowed -= n; allowed < 0 {
			return b, false, false
		}
		last = b
		b.each(func(key uint64) bool {
			set.At(key)
			return true
		})
		return b, true, true
	}
	for run := range slices.Chunk(m.Triangles, runLength) {
		b, noted, ok := note(run, mostRunCells)
		for t := 0; ok && !noted && t < len(run); t++ {
			_, _, ok = note(run[t:t+1], math.MaxInt)
		}
		if !ok {
			return false
		}
		c.runs[i] = append(c.runs[i], b)
	}
	return true
}

// compare marks the cells of each sheet to which others come.
func (c *cellGrid) compare() {
	var all kit.EdgeTable // the first sheet + 1, or 0 when there are several
	for i := range c.sets {
		c.sets[i].Each(func(key uint64, _ *int32) {
			if first, known := all.At(key); !known {
				*first = int32(i) + 1
			} else {
				*first = 0
			}
		})
	}
	for i := range c.sets {
		c.sets[i].Each(func(key uint64, met *int32) {
			if first, _ := all.Get(key); first == 0 {
				*met = 1
			}
		})
	}
}

// kept lists the triangles that come to a cell with others, rising, and lets go of the cells.
func (c *cellGrid) kept(i int, m *mesh.Mesh) []int32 {
	var out []int32
	last, some, all := block{hi: [3]int32{-1, -1, -1}}, false, false // neighbours mostly come to the same cells
	meets := func(b block) bool {
		if b != last {
			last = b
			some, all = c.met(i, &b)
		}
		return some
	}
	for r, b := range c.runs[i] {
		noted := b.cells() <= mostRunCells
		if noted && !meets(b) {
			continue
		}
		whole := noted && all // so does each of them alone
		for t := r * runLength; t < min((r+1)*runLength, len(m.Triangles)); t++ {
			if whole {
				out = append(out, int32(t))
			} else if b, _ := c.around(m, m.Triangles[t:t+1]); meets(b) {
				out = append(out, int32(t))
			}
		}
	}
	c.sets[i], c.runs[i] = kit.EdgeTable{}, nil
	return out
}

// met says whether others than sheet i come to some of the cells of a block, and whether they come to all of them.
func (c *cellGrid) met(i int, b *block) (some, all bool) {
	all = true
	b.each(func(key uint64) bool {
		others, _ := c.sets[i].Get(key)
		some, all = some || others != 0, all && others != 0
		return all || !some
	})
	return some, all
}
