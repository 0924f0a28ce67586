package near

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// A run is some triangles in the file's order that share a box. Exporters write neighbours near each other,
// so the box is small; where they do not, its triangles are looked at one by one. Long runs are looked at first, and of
// those that may be near another panel the short runs in them.
const (
	longRun  = mesh.RunLength
	shortRun = 8
)

// cull finds the triangles of many panels that can be near another panel at all, by a grid of cells over the places
// where boxes of panels meet: a cell that several panels come to is divided into finer ones, and a triangle is kept when it
// comes to a fine cell to which several panels come.
type cull struct {
	panels []*panel
	reach  float64 // what every box is grown by: a little above half the distance asked about

	region space.Box  // where boxes of panels meet
	scale  float64    // fine cells in one unit of length
	offset [3]float64 // the grid's corner, in fine cells
	count  [3]int32   // coarse cells along each axis
	coarse []uint64   // who comes to each cell; later the number of a brick + 1
	fine   []uint64   // likewise, brick by brick
}

// Sides of a coarse cell, in fine ones.
const (
	brickShift = 2
	brickSide  = 1 << brickShift
	brickCells = brickSide * brickSide * brickSide
)

// mostCells bounds the coarse grid.
const mostCells = 1 << 21

// panel is one panel of a match.
type panel struct {
	soup *mesh.Soup
	box  space.Box
	id   uint32 // above zero
	may  need   // what it can be kept for: the first is asked by none, the last asks none
	kept        // triangles that may be near another panel
	tree packed

	scattered []int32 // those that ask, by place, if few of them follow each other in the file
}

// kept is triangles, rising, that may be near a later panel and so ask, and those that may be near an earlier one and so
// are asked.
type kept struct{ asking, asked []span }

func (k *kept) add(s span, n need) {
	if n&asks != 0 {
		k.asking = append(k.asking, s)
	}
	if n&isAsked != 0 {
		k.asked = append(k.asked, s)
	}
}

// need is what some triangles are kept for, if anything.
type need uint8

const (
	asks need = 1 << iota
	isAsked
	both = asks | isAsked
)

// span is the triangles of a long run.
func (p *panel) span(run int) span {
	return span{int32(run * longRun), int32(min((run+1)*longRun, p.soup.Len()))}
}

func wide(v [3]float32) r3.Vector {
	return r3.Vector{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
}

// newCull lays the grid; false when no two boxes of panels come within the distance.
func newCull(panels []*panel, within float64) (*cull, bool) {
	c := &cull{panels: panels, region: space.EmptyBox()}
	far := 0.0
	for _, p := range panels {
		if !p.box.IsEmpty() {
			far = max(far, p.box.Min.Norm(), p.box.Max.Norm())
		}
	}
	c.reach = within/2*(1+1e-6) + 1e-12*far // rounding must not part what is near
	for b, p := range panels {
		for _, q := range panels[:b] {
			if meet := common(p.box.Grow(c.reach), q.box.Grow(c.reach)); !meet.IsEmpty() {
				c.region = c.region.Union(meet)
			}
		}
	}
	if c.region.IsEmpty() {
		return nil, false
	}
	c.lay(1.5 * max(within, c.typicalSize()))
	return c, true
}

func common(a, b space.Box) space.Box {
	return space.Box{
		Min: r3.Vector{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y), Z: max(a.Min.Z, b.Min.Z)},
		Max: r3.Vector{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y), Z: min(a.Max.Z, b.Max.Z)},
	}
}

// typicalSize is the root of the mean square of the longest sides of some triangles' boxes. Cells of that size keep the
// cells that all triangles come to in proportion to the triangles, however large some are.
func (c *cull) typicalSize() float64 {
	sum, n := 0.0, 0
	all := 0
	for _, p := range c.panels {
		all += p.soup.Len()
	}
	step := max(61, all/4096) | 1 // no exporter writes rows of 61
	for _, p := range c.panels {
		for t := 0; t < p.soup.Len(); t += step {
			low, high := p.soup.Box(t, t+1)
			s := wide(high).Sub(wide(low))
			side := max(s.X, s.Y, s.Z)
			sum += float64(side * side)
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return math.Sqrt(sum / float64(n))
}

// lay chooses cells of at least the given size, and no more than there is room for.
func (c *cull) lay(size float64) {
	extent := c.region.Size()
	size = max(size, math.Max(extent.X, math.Max(extent.Y, extent.Z))/(1<<20), 1e-30)
	for {
		c.scale = 1 / size
		cells := 1.0
		for k, e := range [3]float64{extent.X, extent.Y, extent.Z} {
			c.count[k] = int32(e*c.scale)>>brickShift + 1
			cells *= float64(c.count[k])
		}
		if cells <= mostCells {
			corner := c.region.Min.Mul(c.scale)
			c.offset = [3]float64{corner.X, corner.Y, corner.Z}
			c.coarse = newCells(int(cells))
			return
		}
		size *= 1.25
	}
}

// block is a block of fine cells, both ends counted.
type block struct{ low, high [3]int32 }

// around is the block about a box grown by the reach; false when it is outside of the region.
func (c *cull) around(low, high [3]float32) (b block, ok bool) {
	for k := range 3 {
		lo, hi := float64(low[k])*c.scale-c.offset[k], float64(high[k])*c.scale-c.offset[k]
		lo, hi = lo-c.reach*c.scale, hi+c.reach*c.scale
		end := c.count[k]<<brickShift - 1
		if hi < 0 || lo > float64(end)+1 {
			return b, false
		}
		b.high[k] = end
		if lo > 0 {
			b.low[k] = min(int32(lo), end)
		}
		if hi < float64(end) {
			b.high[k] = int32(hi)
		}
	}
	return b, true
}

// step is what is done with a block.
type step uint8

const (
	coarseStep step = iota // note the panel in its coarse cells
	fineStep               // note it in its fine cells; find both when there are any
	onlyStep               // find both when there are any fine cells
	askStep                // find what it is kept for
)

// mostBlock is the greatest number of cells in the block of one run or one piece of a triangle: what is larger
// is divided, so that a slanting sliver does not come to all cells of its box.
const (
	mostBlock       = 512 // fine cells
	mostCoarseBlock = 128
)

// small reports whether a block comes to few enough cells for a step.
func (c *cull) small(what step, b *block) bool {
	shift, most := 0, int64(mostBlock)
	if what == coarseStep || what == onlyStep {
		shift, most = brickShift, mostCoarseBlock
	}
	x, y, z := b.high[0]>>shift-b.low[0]>>shift+1, b.high[1]>>shift-b.low[1]>>shift+1, b.high[2]>>shift-b.low[2]>>shift+1
	return int64(x)*int64(y)*int64(z) <= most
}

// do takes a step with blocks that hold some triangles, of which b is one. A block that is large, as that of a run that jumps
// from the end of a row to the beginning of the next, is taken by halves. It ends as soon as no more can be found, except
// that marking always goes on to the end.
func (c *cull) do(what step, p *panel, b *block, s span) need {
	if c.small(what, b) {
		return c.take(what, b, p)
	}
	if s.to-s.from == 1 {
		return c.pieces(what, p.soup.Triangle(int(s.from)), 0, p)
	}
	low, high := s.halves()
	found := c.doHalf(what, p, low)
	if found == both && what >= onlyStep {
		return found
	}
	return found | c.doHalf(what, p, high)
}

func (c *cull) doHalf(what step, p *panel, s span) need {
	if b, ok := c.around(p.soup.Box(int(s.from), int(s.to))); ok {
		return c.do(what, p, &b, s)
	}
	return 0
}

// doRun is do for a long run.
func (c *cull) doRun(what step, p *panel, run int) need {
	r := &p.soup.Runs()[run]
	if b, ok := c.around(r.Low, r.High); ok {
		return c.do(what, p, &b, p.span(run))
	}
	return 0
}

// span is the triangles from one on up to another.
type span struct{ from, to int32 }

func (s span) halves() (low, high span) {
	middle := s.from + (s.to-s.from+1)/2
	return span{s.from, middle}, span{middle, s.to}
}

func (c *cull) take(what step, b *block, p *panel) need {
	switch what {
	case coarseStep:
		c.markCoarse(b, p.id)
		return 0
	case onlyStep:
		return c.hasBrick(b)
	case fineStep:
		return c.markFine(b, p.id)
	}
	return c.meets(b, p)
}

// deepestPiece bounds how often a triangle is divided into four.
const deepestPiece = 10

// pieces is do for a large triangle, divided until its pieces fill their boxes better.
func (c *cull) pieces(what step, t [9]float32, depth int, p *panel) need {
	low, high := t, t
	for k := range 3 {
		low[k], high[k] = min(t[k], t[k+3], t[k+6]), max(t[k], t[k+3], t[k+6])
	}
	b, ok := c.around([3]float32(low[:3]), [3]float32(high[:3]))
	if !ok {
		return 0
	}
	if c.small(what, &b) || depth == deepestPiece {
		return c.take(what, &b, p)
	}
	found := need(0)
	for _, piece := range quarters(&t) {
		if found |= c.pieces(what, piece, depth+1, p); found == both && what >= onlyStep {
			break
		}
	}
	return found
}

// quarters divides a triangle at the middles of its sides.
func quarters(t *[9]float32) [4][9]float32 {
	var middles [9]float32 // of the sides ab, bc, ca
	for k := range 9 {
		middles[k] = t[k]/2 + t[(k+3)%9]/2
	}
	corner := func(k, after, before int) (piece [9]float32) {
		copy(piece[:3], t[3*k:3*k+3])
		copy(piece[3:6], middles[3*after:3*after+3])
		copy(piece[6:], middles[3*before:3*before+3])
		return piece
	}
	return [4][9]float32{middles, corner(0, 0, 2), corner(1, 1, 0), corner(2, 2, 1)}
}

// marked is short runs that may be near another panel.
type marked struct {
	runs   []short
	blocks []block // those that are small
}

type short struct {
	span
	block int32 // its number, or below zero where it is large
}

// markShort marks the fine cells of the short runs in some long ones, and gives those that come to any.
func (c *cull) markShort(p *panel, t task) (m marked) {
	var near [taskRuns]span
	n := 0
	for at := t.from; at < t.to; at++ {
		if c.doRun(onlyStep, p, at) != 0 {
			near[n] = p.span(at)
			n++
		}
	}
	n *= longRun / shortRun
	m = marked{make([]short, 0, n), make([]block, 0, n)}
	for _, whole := range near[:n/(longRun/shortRun)] {
		for from := whole.from; from < whole.to; from += shortRun {
			s := span{from, min(from+shortRun, whole.to)}
			b, ok := c.around(p.soup.Box(int(s.from), int(s.to)))
			if !ok || c.do(fineStep, p, &b, s) == 0 {
				continue
			}
			if !c.small(fineStep, &b) {
				m.runs = append(m.runs, short{s, -1})
				continue
			}
			m.runs = append(m.runs, short{s, int32(len(m.blocks))})
			m.blocks = append(m.blocks, b)
		}
	}
	return m
}

// keep gives the triangles of short runs that may be near another panel: as a whole where the block is small, and else of
// its halves.
func (c *cull) keep(p *panel, m *marked) (k kept) {
	for _, s := range m.runs {
		if s.block < 0 {
			c.keepLarge(p, s.span, &k)
		} else {
			k.add(s.span, c.meets(&m.blocks[s.block], p))
		}
	}
	return k
}

func (c *cull) keepLarge(p *panel, s span, into *kept) {
	if s.to-s.from == 1 {
		into.add(s, c.pieces(askStep, p.soup.Triangle(int(s.from)), 0, p))
		return
	}
	low, high := s.halves()
	for _, half := range [2]span{low, high} {
		if b, ok := c.around(p.soup.Box(int(half.from), int(half.to))); !ok {
			continue
		} else if c.small(askStep, &b) {
			into.add(half, c.meets(&b, p))
		} else {
			c.keepLarge(p, half, into)
		}
	}
}
