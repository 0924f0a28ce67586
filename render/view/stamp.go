package view

import (
	"context"
	"math"
	"sync"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Stamps keeps what panels look like by themselves, for pictures of more and more of them from one direction at one scale: a sub-assembly
// that goes from station to station is then painted once and pressed into each picture, as all pictures from a direction share a grid
// of pixels. A picture made with stamps is the same, to the bit, as one without. Nil keeps none. Several goroutines may use it.
type Stamps struct {
	mu    sync.Mutex
	most  int // pixels
	asked map[stampKey]bool
	made  map[stampKey]func() (*stamp, error)
}

type stampKey struct {
	triangles *[3]int32 // the first of the panel's mesh
	look      r3.Vector
	pixel     float64
}

// NewStamps keeps stamps of so many pixels in all, those that are wanted first; each pixel takes 12 bytes.
func NewStamps(mostPixels int) *Stamps {
	return &Stamps{most: mostPixels, asked: map[stampKey]bool{}, made: map[stampKey]func() (*stamp, error){}}
}

// stamp is one panel painted by itself, and its edges that may be lines.
type stamp struct {
	column, row float64 // of the first pixel in the view's grid
	w, h        int
	depth       []float64
	tri         []int32 // by the panel's own numbers
	edges       []candidate
	first       []int32 // by bundle, into edges; one more at the end
}

// of is the stamp of a panel that takes so much of a picture, or nil where none is kept. One is made when a picture that shows all of the
// panel wants it for the second time.
func (s *Stamps) of(ctx context.Context, panel Panel, in *buffer, takes r2.Rect) (*stamp, error) {
	if s == nil || len(panel.shape.Mesh.Triangles) == 0 {
		return nil, nil
	}
	key := stampKey{&panel.shape.Mesh.Triangles[0], in.dir.Look, in.pixel}
	s.mu.Lock()
	draw := s.made[key]
	if draw == nil && in.holds(takes) {
		size := int((takes.X.Length()/in.pixel + 3) * (takes.Y.Length()/in.pixel + 3))
		if s.asked[key] && size <= s.most {
			s.most -= size
			draw = sync.OnceValues(func() (*stamp, error) { return newStamp(ctx, panel, in.dir, in.pixel) })
			s.made[key] = draw
		}
		s.asked[key] = true
	}
	s.mu.Unlock()
	if draw == nil {
		return nil, nil
	}
	return draw()
}

// holds reports whether all of a part of the view lies in the picture.
func (b *buffer) holds(part r2.Rect) bool {
	all := r2.RectFromPoints(b.origin, b.origin.Add(r2.Point{X: float64(b.w) * b.pixel, Y: float64(b.h) * b.pixel}))
	return all.Contains(part)
}

func newStamp(ctx context.Context, panel Panel, dir Direction, pixel float64) (*stamp, error) {
	b, err := newBuffer(ctx, []Panel{panel}, dir, dir.Extent([]Panel{panel}), pixel, nil)
	if err != nil {
		return nil, err
	}
	s := &stamp{column: b.column, row: b.row, w: b.w, h: b.h, depth: b.depth, tri: b.tri, first: make([]int32, len(panel.bundles)+1)}
	for k := range panel.bundles {
		if !panel.bundles[k].blank(dir) {
			s.edges = b.candidates(s.edges, 0, k)
		}
		s.first[k+1] = int32(len(s.edges))
	}
	return s, nil
}

// press writes a stamp where it is nearer than what is there, as paint does triangle by triangle.
func (b *buffer) press(s *stamp, base int32) {
	dx, dy := int(s.column-b.column), int(s.row-b.row)
	x0, x1 := max(0, -dx), min(s.w, b.w-dx)
	for y := max(0, -dy); y < min(s.h, b.h-dy); y++ {
		from, to := y*s.w, (y+dy)*b.w+dx
		for x := x0; x < x1; x++ {
			z := s.depth[from+x]
			if math.IsInf(z, 1) {
				continue
			}
			if id := base + s.tri[from+x]; z < b.depth[to+x] || z == b.depth[to+x] && id < b.tri[to+x] {
				b.depth[to+x], b.tri[to+x] = z, id
			}
		}
	}
}
