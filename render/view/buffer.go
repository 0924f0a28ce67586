package view

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// MaxPixels bounds the depth buffer's size: an A0 sheet at 0.2 mm has 25 million.
const MaxPixels = 40_000_000

// buffer knows, for each pixel of a view, which triangle is nearest to the viewer.
type buffer struct {
	dir    Direction
	panels []Panel
	base   []int32  // first triangle number of each panel
	from   []int32  // by triangle number, in kilos: the panel of the kilo's first
	stamps []*stamp // by panel: what it was painted with in another view already; nil where it was painted here
	column float64  // whole number of pixels from the view's zero to the left border, so that all views from a direction share a grid
	row    float64  // and to the lower border
	origin r2.Point // lower left corner
	pixel  float64  // mm
	w, h   int
	depth  []float64 // of the nearest surface at each pixel's centre
	tri    []int32   // its triangle, counted over all panels; none where nothing is
	far    tiles     // at least the greatest depth in a tile
	lately []facet   // that lines were tried against, see pieces
	deep   tiles     // the depth of the deepest corner of all triangles of a tile, or unknown; only once all is painted
}

const none = int32(-1)

// projected is a vertex in the view.
type projected struct {
	x, y, z     float64
	column, row int32 // where it stands among the pixels' centres, see among; only of what is about to be painted
}

// stride is how many triangles or edges are drawn between two looks at whether the picture is still wanted.
const stride = 4096

// newBuffer paints the panels as far as they lie within window.
func newBuffer(ctx context.Context, panels []Panel, dir Direction, window r2.Rect, pixel float64, stamps *Stamps) (*buffer, error) {
	b, err := blank(panels, dir, window, pixel)
	if err != nil {
		return nil, err
	}
	for _, i := range nearestFirst(panels, dir) {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		takes := dir.shade(panels[i].shape.Tree().Box())
		if !b.mayPaint(takes) {
			continue
		}
		if b.stamps[i], err = stamps.of(ctx, panels[i], b, takes.rect); err != nil {
			return nil, err
		}
		if b.stamps[i] != nil {
			b.press(b.stamps[i], b.base[i])
			continue
		}
		if err := b.paintPanel(ctx, i); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// blank is a buffer before anything is painted.
func blank(panels []Panel, dir Direction, window r2.Rect, pixel float64) (*buffer, error) {
	if !(pixel > 0) || window.IsEmpty() {
		return nil, fmt.Errorf("view %s: nothing to draw: pixel %g mm, window %v", dir.Name, pixel, window)
	}
	column, row := math.Floor(window.X.Lo/pixel)-1, math.Floor(window.Y.Lo/pixel)-1
	wide, high := math.Ceil(window.X.Hi/pixel)+1-column, math.Ceil(window.Y.Hi/pixel)+1-row
	if !(wide*high <= MaxPixels) {
		return nil, fmt.Errorf("view %s: %.0f x %.0f pixels are more than %d: draw at a smaller scale", dir.Name, wide, high, MaxPixels)
	}
	b := &buffer{dir: dir, panels: panels, pixel: pixel, column: column, row: row, w: int(wide), h: int(high)}
	b.origin = r2.Point{X: float64(column * pixel), Y: float64(row * pixel)}
	b.depth, b.tri = make([]float64, b.w*b.h), make([]int32, b.w*b.h)
	for i := range b.tri {
		b.depth[i], b.tri[i] = math.Inf(1), none
	}
	b.far, b.deep = newTiles(b.w, b.h, math.Inf(1)), newTiles(b.w, b.h, unknown)
	first := int32(0)
	for i := range panels {
		b.base = append(b.base, first)
		first += int32(len(panels[i].shape.Mesh.Triangles))
	}
	for id := int32(0); id < first; id += 1 << fromShift {
		at, _ := slices.BinarySearch(b.base, id+1)
		b.from = append(b.from, int32(at-1))
	}
	b.stamps = make([]*stamp, len(panels))
	return b, nil
}

// nearestFirst are the places of the panels, those that begin nearest to the viewer first: they hide the others, which then need not
// be painted.
func nearestFirst(panels []Panel, dir Direction) []int {
	order, near := make([]int, len(panels)), make([]float64, len(panels))
	for i := range panels {
		order[i], near[i] = i, dir.shade(panels[i].shape.Tree().Box()).near
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(near[a], near[b]) })
	return order
}

// paintPanel paints those clusters of a panel that may show.
func (b *buffer) paintPanel(ctx context.Context, panel int) error {
	var points []projected // of one cluster: they stay in the nearest cache, as those of a panel would not
	for i := range b.panels[panel].clusters {
		if i%(stride/clusterSize) == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		c := &b.panels[panel].clusters[i]
		if !b.mayPaint(b.dir.shade(c.box)) {
			continue
		}
		points = points[:0]
		for _, v := range c.vertices {
			points = append(points, b.point(panel, v))
			b.place(&points[len(points)-1])
		}
		for k, t := range c.triangles {
			at := c.corners[k]
			b.paint(b.base[panel]+t, [3]*projected{&points[at[0]], &points[at[1]], &points[at[2]]})
		}
	}
	return nil
}

// mayPaint reports whether what casts a shade could change a pixel.
func (b *buffer) mayPaint(s shade) bool {
	x0, x1 := b.span(s.rect.X.Lo, s.rect.X.Hi, b.column, b.w)
	if x0 > x1 {
		return false
	}
	y0, y1 := b.span(s.rect.Y.Lo, s.rect.Y.Hi, b.row, b.h)
	return y0 <= y1 && b.mayShowIn(s.near, x0, x1, y0, y1)
}

// point is one vertex in the view.
func (b *buffer) point(panel int, vertex int32) projected {
	at, z := b.dir.Project(b.panels[panel].shape.Mesh.Vertices[vertex])
	return projected{x: at.X, y: at.Y, z: z}
}

// place puts a vertex among the pixels' centres.
func (b *buffer) place(p *projected) { p.column, p.row = b.among(p.x, b.column), b.among(p.y, b.row) }

// among is where a place along an axis stands among the centres of pixels from the first: even on one of them, odd between two.
func (b *buffer) among(at, first float64) int32 {
	v := at/b.pixel - 0.5
	floor := math.Floor(v)
	switch whole := floor - first; {
	case !(whole > -1):
		return -1
	case whole > MaxPixels:
		return 2*MaxPixels + 1
	case v == floor:
		return 2 * int32(whole)
	default:
		return 2*int32(whole) + 1
	}
}

// held gives the pixels, of n, whose centres three places along an axis hold between them; empty when the second is less than the first.
func held(a, b, c int32, n int) (int, int) {
	lo, hi := a, a
	if b < lo {
		lo = b
	} else if b > hi {
		hi = b
	}
	if c < lo {
		lo = c
	} else if c > hi {
		hi = c
	}
	return max(int(lo+1)>>1, 0), min(int(hi)>>1, n-1)
}

// forget lets go of what only drawing needs.
func (b *buffer) forget() {
	clear(b.stamps)
	b.far, b.deep, b.lately = tiles{}, tiles{}, nil
}

// plane is a triangle's depth over the view: z = z0 + gx*(x-x0) + gy*(y-y0), within least and greatest.
type plane struct {
	x0, y0, z0, gx, gy float64
	least, greatest    float64
	edgeOn             bool
}

func (b *buffer) plane(panel int, t int32) plane {
	v := b.panels[panel].shape.Mesh.Triangles[t]
	p, q, r := b.point(panel, v[0]), b.point(panel, v[1]), b.point(panel, v[2])
	return planeOf(&p, &q, &r)
}

func planeOf(p, q, r *projected) plane {
	pl := plane{x0: p.x, y0: p.y, z0: p.z, least: min(p.z, q.z, r.z), greatest: max(p.z, q.z, r.z)}
	det := float64((q.x-p.x)*(r.y-p.y)) - float64((r.x-p.x)*(q.y-p.y))
	if math.Abs(det) < 1e-12 {
		pl.edgeOn, pl.z0 = true, pl.least
		return pl
	}
	pl.gx = (float64((q.z-p.z)*(r.y-p.y)) - float64((r.z-p.z)*(q.y-p.y))) / det
	pl.gy = (float64((q.x-p.x)*(r.z-p.z)) - float64((r.x-p.x)*(q.z-p.z))) / det
	return pl
}

// at is the plane's depth at x, y, held within the triangle's own depths: a steep triangle says nothing
// about places beyond its corners.
func (p *plane) at(x, y float64) float64 {
	z := p.z0 + float64(p.gx*(x-p.x0)) + float64(p.gy*(y-p.y0))
	if z > p.greatest { // plain comparisons take a fraction of the time of math.Min and math.Max
		z = p.greatest
	}
	if z < p.least {
		z = p.least
	}
	return z
}

// paint writes a triangle where it is nearer than what is there. Of two at the same depth the one with the lower number is
// kept, so that the result does not depend on which is painted first. Most triangles of a fine mesh hold no pixel's
// centre.
func (b *buffer) paint(id int32, c [3]*projected) {
	x0, x1 := held(c[0].column, c[1].column, c[2].column, b.w)
	if x0 > x1 {
		return
	}
	y0, y1 := held(c[0].row, c[1].row, c[2].row, b.h)
	if y0 > y1 {
		return
	}
	nearest := least(c[0].z, c[1].z, c[2].z)
	var pl plane
	for j := y0; j <= y1; j++ {
		y := (b.row + float64(j) + 0.5) * b.pixel
		lo, hi := row(c, y)
		i0, i1 := b.span(lo, hi, b.column, b.w)
		i0, i1 = max(i0, x0), min(i1, x1)
		if i0 > i1 || !b.mayShow(nearest, j, i0, i1) {
			continue
		}
		if pl == (plane{}) {
			if pl = planeOf(c[0], c[1], c[2]); pl.edgeOn {
				return
			}
		}
		for i := i0; i <= i1; i++ {
			z := pl.at((b.column+float64(i)+0.5)*b.pixel, y)
			if k := j*b.w + i; z < b.depth[k] || z == b.depth[k] && id < b.tri[k] {
				b.depth[k], b.tri[k] = z, id
			}
		}
	}
}

// mayShow reports whether what lies no nearer than z could be written to one of the pixels from x0 to x1 of a row.
func (b *buffer) mayShow(z float64, row, x0, x1 int) bool {
	for _, d := range b.depth[row*b.w+x0 : row*b.w+x1+1] {
		if z <= d {
			return true
		}
	}
	return false
}

func least(a, b, c float64) float64 {
	if b < a {
		a = b
	}
	if c < a {
		a = c
	}
	return a
}

func greatest(a, b, c float64) float64 {
	if b > a {
		a = b
	}
	if c > a {
		a = c
	}
	return a
}

// span gives the pixels, of n from the first, whose centres lie between lo and hi; empty when the second is less than the first.
func (b *buffer) span(lo, hi, first float64, n int) (int, int) {
	// rounded to whole pixels before the first is taken off, so that it does not matter to the last digit which it is
	from, to := math.Ceil(lo/b.pixel-0.5)-first, math.Floor(hi/b.pixel-0.5)-first
	if !(from <= to && to >= 0 && from < float64(n)) {
		return 0, -1
	}
	i, k := 0, n-1
	if from > 0 {
		i = int(from)
	}
	if to < float64(k) {
		k = int(to)
	}
	return i, k
}

// row is where the line at height y crosses a triangle; empty when lo > hi.
func row(c [3]*projected, y float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for k := range 3 {
		p, q := c[k], c[(k+1)%3]
		if (p.y > y) == (q.y > y) {
			continue
		}
		x := p.x + float64((y-p.y)/(q.y-p.y)*(q.x-p.x))
		if x < lo {
			lo = x
		}
		if x > hi {
			hi = x
		}
	}
	return lo, hi
}

// cell is the pixel that a place lies in; ok is false outside the buffer.
func (b *buffer) cell(x, y float64) (i, j int, ok bool) {
	i, j = int(math.Floor(x/b.pixel)-b.column), int(math.Floor(y/b.pixel)-b.row)
	return i, j, i >= 0 && j >= 0 && i < b.w && j < b.h
}

// owner splits a triangle number into panel and triangle.
func (b *buffer) owner(id int32) (panel int, t int32) {
	panel = int(b.from[id>>fromShift])
	for panel+1 < len(b.base) && b.base[panel+1] <= id {
		panel++
	}
	return panel, id - b.base[panel]
}

// fromShift makes a kilo of triangle numbers one place of buffer.from.
const fromShift = 10

// sees tries a target against the pixel that it lies in.
func (b *buffer) sees(t Target) bool {
	at, z := b.dir.Project(t.At)
	i, j, ok := b.cell(at.X, at.Y)
	if !ok {
		return false
	}
	id := b.tri[j*b.w+i]
	if id == none {
		return true
	}
	owner, tri := b.owner(id)
	room, own := t.Rooms(b.dir.Look)
	if slices.Contains(t.Own, b.panels[owner].ID) {
		room = own
	}
	pl := b.plane(owner, tri)
	return pl.at(at.X, at.Y) >= z-room
}
