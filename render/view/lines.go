package view

import (
	"context"
	"math"

	"github.com/golang/geo/r2"
)

// LineKind says how strong a line is to be drawn.
type LineKind uint8

// The kinds of lines, strongest first.
const (
	Outline LineKind = iota // nothing is behind one side of it
	Edge                    // a free edge or silhouette in front of something
	Crease                  // a sharp corner or the side of a bend
)

// Line is one visible line of a picture, in mm of the view.
type Line struct {
	Kind   LineKind
	Points []r2.Point
}

// piece is a visible part of one mesh edge.
type piece struct {
	kind LineKind
	a, b r2.Point
}

// samplesPerPixel sets how finely lines are tried against the depth buffer.
const samplesPerPixel = 1.5

// nearBias is how much nearer, in mm, a surface of another panel must be than a line to hide it: less than
// half of the thinnest sheet (0.4 mm), so that a sheet hides the one it lies on.
const nearBias = 0.15

// candidate is a mesh edge that is a line in a view wherever nothing hides it.
type candidate struct {
	feature
	drawn LineKind
}

// pieces finds what is visible of every mesh edge that may be a line.
func (b *buffer) pieces(ctx context.Context) ([]piece, error) {
	var out []piece
	b.lately = make([]facet, lately)
	b.lately[0].id = none // 0 is a triangle's number
	done := 0
	var own []candidate
	for i := range b.panels {
		p := &b.panels[i]
		if b.hidden(b.dir.shade(p.shape.Tree().Box())) {
			continue
		}
		for k := range p.bundles {
			u := &p.bundles[k]
			if u.blank(b.dir) || b.hidden(b.dir.shade(u.box)) {
				continue
			}
			var edges []candidate
			if s := b.stamps[i]; s != nil {
				edges = s.edges[s.first[k]:s.first[k+1]]
			} else {
				own = b.candidates(own[:0], i, k)
				edges = own
			}
			for c := range edges {
				if done++; done%stride == 0 && ctx.Err() != nil {
					return nil, ctx.Err()
				}
				p, q := b.point(i, edges[c].v[0]), b.point(i, edges[c].v[1])
				if !b.outside(&p, &q) {
					out = b.visible(out, i, &edges[c], p, q)
				}
			}
		}
	}
	return out, nil
}

// blank reports whether no feature of a bundle is a line in a view, hidden or not.
func (u *bundle) blank(d Direction) bool { return u.smooth && u.cone.turnsNone(d.Look) }

// candidates adds the features of a panel's bundle that may be lines in this view.
func (b *buffer) candidates(out []candidate, panel, bundle int) []candidate {
	p := &b.panels[panel]
	flat := p.bundles[bundle].cone.turnsNone(b.dir.Look) // no smooth edge of it is a silhouette
	for _, f := range p.features[bundle*bundleSize : min((bundle+1)*bundleSize, len(p.features))] {
		if flat && f.kind == smooth {
			continue
		}
		if kind, ok := b.lineKind(panel, f); ok {
			out = append(out, candidate{f, kind})
		}
	}
	return out
}

// lineKind decides whether a mesh edge may be a line in this view.
func (b *buffer) lineKind(panel int, f feature) (LineKind, bool) {
	if f.kind == free {
		return Edge, true
	}
	fold := b.fold(panel, f)
	switch {
	case fold > 0, fold == 0 && f.kind == crease: // a corner one of whose sides is seen edge-on
		return Edge, true
	case f.kind == crease || f.kind == bend:
		return Crease, true
	}
	return 0, false
}

// fold is above zero where both triangles of an edge lie on the same side of it in the view, and zero where
// one of them is seen edge-on.
func (b *buffer) fold(panel int, f feature) float64 {
	p, q := b.point(panel, f.v[0]), b.point(panel, f.v[1])
	length2 := float64((q.x-p.x)*(q.x-p.x)) + float64((q.y-p.y)*(q.y-p.y))
	side := func(t int32) float64 {
		for _, v := range b.panels[panel].shape.Mesh.Triangles[t] {
			if v != f.v[0] && v != f.v[1] {
				r := b.point(panel, v)
				s := float64((q.x-p.x)*(r.y-p.y)) - float64((q.y-p.y)*(r.x-p.x))
				if math.Abs(s) < 1e-9*float64(length2+1) {
					return 0
				}
				return s
			}
		}
		return 0
	}
	return float64(side(f.tri[0]) * side(f.tri[1]))
}

// visible tries the edge at even steps and adds its visible stretches.
func (b *buffer) visible(out []piece, panel int, c *candidate, p, q projected) []piece {
	length := math.Hypot(q.x-p.x, q.y-p.y)
	if length == 0 {
		return out
	}
	n := max(1, int(math.Ceil(length/b.pixel*samplesPerPixel)))
	at := func(k float64) projected {
		s := k / float64(n)
		return projected{x: p.x + float64(s*(q.x-p.x)), y: p.y + float64(s*(q.y-p.y)), z: p.z + float64(s*(q.z-p.z))}
	}
	from := -1
	for k := 0; k <= n; k++ {
		seen := k < n && b.shows(at(float64(k)+0.5), panel, &c.feature)
		if seen && from < 0 {
			from = k
		}
		if !seen && from >= 0 {
			s, e := at(float64(from)), at(float64(k))
			out = append(out, piece{c.drawn, r2.Point{X: s.x, Y: s.y}, r2.Point{X: e.x, Y: e.y}})
			from = -1
		}
	}
	return out
}

// outside reports whether the segment misses the buffer, so that long meshes cost little in a small window.
func (b *buffer) outside(p, q *projected) bool {
	x0, y0 := b.origin.X, b.origin.Y
	x1, y1 := x0+float64(float64(b.w)*b.pixel), y0+float64(float64(b.h)*b.pixel)
	return p.x < x0 && q.x < x0 || p.x > x1 && q.x > x1 || p.y < y0 && q.y < y0 || p.y > y1 && q.y > y1
}

// shows reports whether a place on a mesh edge is visible: in at least one of the four pixels about it
// nothing is nearer. Lines lie on the borders of what is painted, so that one pixel alone says little; the
// price is that a line ends up to one pixel late behind what hides it.
func (b *buffer) shows(s projected, panel int, f *feature) bool {
	if _, _, ok := b.cell(s.x, s.y); !ok {
		return false
	}
	i, j, _ := b.cell(s.x-b.pixel/2, s.y-b.pixel/2)
	for _, d := range [...][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		x, y := i+d[0], j+d[1]
		if x < 0 || y < 0 || x >= b.w || y >= b.h {
			continue
		}
		if id := b.tri[y*b.w+x]; id == none || !b.hides(id, s, panel, f) {
			return true
		}
	}
	return false
}

// facet is a triangle that was looked at lately.
type facet struct {
	id    int32
	panel int
	t     int32
	plane plane
	slack float64 // how much nearer it must be to hide an edge of its own sheet
}

// lately is how many facets are kept, by the last bits of their numbers.
const lately = 1 << 10

// hides reports whether triangle id is in front of a place on an edge. Triangles of the edge itself never
// hide it, nor do those about its ends close to them. Others of the same sheet must be nearer by what the
// sheet's slope makes of half a pixel.
func (b *buffer) hides(id int32, s projected, panel int, f *feature) bool {
	at := &b.lately[id&(lately-1)]
	if at.id != id {
		owner, t := b.owner(id)
		pl := b.plane(owner, t)
		*at = facet{id, owner, t, pl, nearBias + float64(b.pixel/2*math.Min(4, math.Hypot(pl.gx, pl.gy)))}
	}
	owner, t, bias := at.panel, at.t, nearBias
	if owner == panel {
		if t == f.tri[0] || t == f.tri[1] {
			return false
		}
		for _, v := range b.panels[panel].shape.Mesh.Triangles[t] {
			if v == f.v[0] || v == f.v[1] {
				p := b.point(panel, v)
				if math.Hypot(p.x-s.x, p.y-s.y) < 2*b.pixel {
					return false
				}
			}
		}
		bias = at.slack
	}
	return at.plane.at(s.x, s.y) < s.z-bias
}
