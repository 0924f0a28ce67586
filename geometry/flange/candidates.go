package flange

import (
	"context"
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

const (
	// bendRadius tells bends from curved flanges, mm: presses bend sheet to a few times its thickness (common
	// practice, no source), and a flange that follows a panel is far rounder.
	bendRadius = 15.
	kink       = 12. // degrees: two facets that meet more sharply are two faces, whatever their size
	even       = 2.  // degrees: facets that meet less sharply are one face, whatever their size
)

// Candidates returns the strips of a single panel that could be flanges: faces that end at a free edge and at a
// bend, or at two free edges, no wider than a flange is. They have one sheet, and no gap.
func Candidates(sheet Sheet, opt Options) ([]Flange, error) {
	opt = opt.withDefaults()
	f := &finder{opt: opt, cosLimit: cosDegrees(opt.AngleLimit), cosClamp: cosDegrees(opt.ClampAngle), neighbours: [][]int{nil},
		panels: []*panel{newPanel(sheet, opt)}, room: &room{}}
	f.room.angles = make([]float64, len(f.panels[0].fan))
	var found Found
	for _, face := range f.panels[0].faces() {
		r, err := f.faceRegion(face)
		if err != nil {
			return nil, fmt.Errorf("candidate flanges of panel %s: %w", sheet.Name, err)
		}
		if r == nil {
			continue
		}
		for _, fl := range f.strips(r) {
			if !fl.Patch && fl.alongFreeEdge() {
				found.Flanges = append(found.Flanges, fl)
			}
		}
	}
	return collect([]Found{found}).Flanges, nil
}

// alongFreeEdge says whether most of the strip has a free edge beside it.
func (fl *Flange) alongFreeEdge() bool {
	free := 0
	for _, s := range fl.Line {
		if s.LeftEdge == FreeEdge || s.RightEdge == FreeEdge {
			free++
		}
	}
	return 2*free > len(fl.Line)
}

// faces splits a panel's triangles at its bends, in the order of first triangle.
func (p *panel) faces() [][]int32 {
	seen := make([]bool, len(p.normals))
	var out [][]int32
	for start := range p.normals {
		if seen[start] {
			continue
		}
		seen[start] = true
		face := []int32{int32(start)}
		for i := 0; i < len(face); i++ {
			for k := range 3 {
				if o := p.topo.Across(face[i], k); o != mesh.None && !seen[o] && !p.bends(face[i], o, k) {
					seen[o] = true
					face = append(face, o)
				}
			}
		}
		out = append(out, face)
	}
	return out
}

// bends says whether the sheet bends between triangle t and its neighbour o across side k: the turn is measured
// against the height of the lower of the two, for a bend is meshed in narrow strips.
func (p *panel) bends(t, o int32, k int) bool {
	c := math.Abs(p.normals[t].Dot(p.normals[o]))
	if c >= cosDegrees(even) {
		return false
	}
	if c < cosDegrees(kink) {
		return true
	}
	tri := p.Mesh.Triangles[t]
	side := p.Mesh.Vertices[tri[(k+1)%3]].Sub(p.Mesh.Vertices[tri[k]]).Norm()
	height := math.Inf(1)
	for _, x := range [2]int32{t, o} {
		a, b, c := p.Mesh.Corners(int(x))
		height = min(height, b.Sub(a).Cross(c.Sub(a)).Norm()/side)
	}
	return math.Acos(min(1, c))*bendRadius > height
}

// faceRegion makes a region of a face, cut fine, or nil when it is too small or too broad for a flange.
func (f *finder) faceRegion(face []int32) (*region, error) {
	p := f.panels[0]
	area, rim := 0.0, 0.0
	inside := map[int32]bool{}
	for _, t := range face {
		inside[t] = true
		a, b, c := p.Mesh.Corners(int(t))
		area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	}
	pa := &patch{}
	index := map[int32]int32{}
	for _, t := range face {
		var out [3]int32
		for k, v := range p.Mesh.Triangles[t] {
			if !inside[p.topo.Across(t, k)] {
				rim += p.Mesh.Vertices[p.Mesh.Triangles[t][(k+1)%3]].Sub(p.Mesh.Vertices[v]).Norm()
			}
			i, known := index[v]
			if !known {
				i = int32(len(pa.points))
				index[v] = i
				pa.points = append(pa.points, p.Mesh.Vertices[v])
				pa.normals = append(pa.normals, p.cornerNormal(t, k, f.room.angles))
			}
			out[k] = i
		}
		pa.tris = append(pa.tris, out)
	}
	if least := f.opt.LeastLength * f.opt.LeastWidth; area < least || area > patchWidth*rim/2 {
		return nil, nil
	}
	if err := pa.cutFine(context.Background(), func(a, b r3.Vector) bool { return true }); err != nil {
		return nil, err
	}
	whole := &region{mesh: &mesh.Mesh{Vertices: pa.points, Triangles: pa.tris}, normals: pa.normals, borders: make([]border, len(pa.points))}
	all := make([]int32, len(pa.tris))
	for i := range all {
		all[i] = int32(i)
	}
	r := whole.sub(all)
	r.stack.n = 1
	return r, nil
}
