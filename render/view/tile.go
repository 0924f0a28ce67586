package view

import "math"

// tileSide is how many pixels a tile has along a side: a power of two. Tiles tell at once of many pixels that all of them are nearer
// to the viewer than something (Greene, Kass and Miller, Hierarchical Z-Buffer Visibility, SIGGRAPH 1993, from memory; two levels do here).
const tileSide = 8

// tiles is a number for each tile of a buffer.
type tiles struct {
	wide   int
	values []float64
}

// unknown is less than any depth.
var unknown = math.Inf(-1)

func newTiles(w, h int, value float64) tiles {
	t := tiles{wide: (w + tileSide - 1) / tileSide}
	t.values = make([]float64, t.wide*((h+tileSide-1)/tileSide))
	for i := range t.values {
		t.values[i] = value
	}
	return t
}

// mayShowIn reports whether what lies no nearer than z could be written to one of the pixels from x0 to x1 of the rows from
// y0 to y1. Pixels only ever become nearer, so what was once found of a tile holds on.
func (b *buffer) mayShowIn(z float64, x0, x1, y0, y1 int) bool {
	return b.someTile(x0, x1, y0, y1, func(tile, x, y int) bool {
		if b.far.values[tile] < z {
			return false
		}
		most := b.farthest(x, y, z)
		if most < z {
			b.far.values[tile] = most
		}
		return most >= z
	})
}

// farthest is the greatest depth in the tile at x, y, or the first that it meets of those that are not below enough.
func (b *buffer) farthest(x, y int, enough float64) float64 {
	most := unknown
	for row := y; row < min(y+tileSide, b.h); row++ {
		for _, d := range b.depth[row*b.w+x : row*b.w+min(x+tileSide, b.w)] {
			if d >= enough {
				return d
			}
			if d > most {
				most = d
			}
		}
	}
	return most
}

// hidden reports whether no line within a shade can show: at all pixels near it there is a triangle all of which is nearer to
// the viewer, by more than any line may lie behind one and show all the same. Such a triangle shares no corner with
// the line's edge, so that it needs no look at which triangles they are.
func (b *buffer) hidden(s shade) bool {
	x0, x1 := b.cells(s.rect.X.Lo, s.rect.X.Hi, b.column, b.w)
	y0, y1 := b.cells(s.rect.Y.Lo, s.rect.Y.Hi, b.row, b.h)
	if x0 > x1 || y0 > y1 {
		return true
	}
	least := s.near - nearBias - 2*b.pixel // see hides
	return !b.someTile(x0, x1, y0, y1, func(tile, x, y int) bool {
		if b.deep.values[tile] == unknown {
			if b.farthest(x, y, least) >= least {
				return true // no corner is nearer than what is seen of its triangle
			}
			b.deep.values[tile] = b.deepest(x, y)
		}
		return !(b.deep.values[tile] < least)
	})
}

// cells gives the pixels, of n from the first, that lie no further than one from those of places between lo and hi.
func (b *buffer) cells(lo, hi, first float64, n int) (int, int) {
	from, to := math.Floor(lo/b.pixel)-first-1, math.Floor(hi/b.pixel)-first+1
	if !(from <= to && to >= 0 && from < float64(n)) {
		return 0, -1
	}
	return int(max(from, 0)), int(min(to, float64(n-1)))
}

// someTile goes through the tiles of the pixels from x0 to x1 of the rows from y0 to y1 until one is found; x and y are a tile's
// first pixel.
func (b *buffer) someTile(x0, x1, y0, y1 int, found func(tile, x, y int) bool) bool {
	for y := y0 / tileSide; y <= y1/tileSide; y++ {
		for x := x0 / tileSide; x <= x1/tileSide; x++ {
			if found(y*b.far.wide+x, x*tileSide, y*tileSide) {
				return true
			}
		}
	}
	return false
}

// deepest is the depth of the deepest corner of all triangles of the tile at x, y; infinite where there is none.
func (b *buffer) deepest(x, y int) float64 {
	most, last := unknown, none
	for row := y; row < min(y+tileSide, b.h); row++ {
		for _, id := range b.tri[row*b.w+x : row*b.w+min(x+tileSide, b.w)] {
			if id == none {
				return math.Inf(1)
			}
			if id == last {
				continue
			}
			last = id
			panel, t := b.owner(id)
			v := b.panels[panel].shape.Mesh.Triangles[t]
			if z := greatest(b.depthOf(panel, v[0]), b.depthOf(panel, v[1]), b.depthOf(panel, v[2])); z > most {
				most = z
			}
		}
	}
	return most
}

// depthOf is the depth of a vertex.
func (b *buffer) depthOf(panel int, v int32) float64 {
	return b.panels[panel].shape.Mesh.Vertices[v].Dot(b.dir.Look)
}
