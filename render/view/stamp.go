package view

import (
	"context"
	"math"
	"sync"
)

// Stamps keeps what panels look like by themselves, for pictures of more and more of them from one direction at one scale: a sub-assembly
// that goes from station to station is then painted once and pressed into each picture, as all pictures from a direction share a grid
// of pixels. A picture made with stamps is the same, to the bit, as one without. Nil keeps none. Several goroutines may use it.
type Stamps struct {
	mu    sync.Mutex
	worth map[string]bool // panels that are drawn often enough
	most  int             // pixels
	made  map[stampKey]func() (*stamp, error)
}

type stampKey struct {
	panel     string
	look      [3]float64
	pixel     float64
	triangles *[3]int32 // of the panel's mesh
}

// NewStamps keeps stamps of so many pixels in all of the panels with these ids.
func NewStamps(ids map[string]bool, mostPixels int) *Stamps {
	return &Stamps{worth: ids, most: mostPixels, made: map[stampKey]func() (*stamp, error){}}
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

// of is a panel's stamp in a view, or nil where none is kept.
func (s *Stamps) of(ctx context.Context, panel Panel, dir Direction, pixel float64) (*stamp, error) {
	if s == nil || !s.worth[panel.ID] || len(panel.shape.Mesh.Triangles) == 0 {
		return nil, nil
	}
	key := stampKey{panel.ID, [3]float64{dir.Look.X, dir.Look.Y, dir.Look.Z}, pixel, &panel.shape.Mesh.Triangles[0]}
	s.mu.Lock()
	make, known := s.made[key]
	if !known {
		extent := dir.Extent([]Panel{panel})
		if size := (extent.X.Length()/pixel + 3) * (extent.Y.Length()/pixel + 3); size < float64(s.most) {
			s.most -= int(size)
			make = sync.OnceValues(func() (*stamp, error) { return newStamp(ctx, panel, dir, pixel) })
			s.made[key] = make
		}
	}
	s.mu.Unlock()
	if make == nil {
		return nil, nil
	}
	return make()
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
