package axial

import (
	"math"
	"slices"
)

// View is the panels' trees as they are seen from one frame. All walks share it: a box or facet is turned into the frame when the first of
// them comes to it, and kept for the others.
type View struct {
	scene  *Scene
	Frame  Frame
	groups []group // of the scene's panels that have facets; the first holds all
	there  []bool  // by panel
	parts  []turnedPart
	facets []Facet
	stack  []int32
}

// turnedPart is a group of panels, or a part of a panel's tree. Until it is opened only its block is known.
type turnedPart struct {
	Block
	grow     float64 // the metal beyond the mesh, of a group at most
	panel    int32   // -1 for a group
	number   int32   // in the panel's tree, or among the groups
	open     bool
	parts    int32 // once open: the first of its two parts; 0 where it has facets
	from, to int32 // once open: its facets
}

// Turn forgets the frame before and begins with the next, without the absent ones of the scene's panels; what it had room for is used
// again. A scene that was turned before is taken to have the panels that it had.
func (v *View) Turn(s *Scene, f Frame, absent []int) {
	if v.scene != s {
		v.scene, v.groups, v.there = s, s.groups(), make([]bool, len(s.Panels))
	}
	for i := range v.there {
		v.there[i] = len(s.Panels[i].Shape.Mesh.Triangles) > 0
	}
	for _, i := range absent {
		v.there[i] = false
	}
	v.Frame, v.parts, v.facets = f, append(v.parts[:0], turnedPart{}), v.facets[:0]
	if len(v.groups) > 0 {
		v.add(-1, 0)
	}
}

// There reports whether a panel is not absent and has facets.
func (v *View) There(panel int32) bool { return v.there[panel] }

// Place is a triangle of a panel of the scene, both by their numbers.
type Place struct{ Panel, Triangle int32 }

// Nowhere is n places of nothing.
func Nowhere(n int) []Place { return slices.Repeat([]Place{{-1, -1}}, n) }

// Facet is the facet at a place of a panel that is there.
func (v *View) Facet(at Place) Facet {
	p := &v.scene.Panels[at.Panel]
	a, b, c := p.Shape.Mesh.Corners(int(at.Triangle))
	t := Facet{A: v.Frame.into(a), B: v.Frame.into(b), C: v.Frame.into(c), Place: at, Grow: p.Grow}
	t.bound()
	return t
}

// Again are the facets at places that were met from a frame before, once each: they are likely to be met again.
func (v *View) Again(places []Place) []Facet {
	var out []Facet
	for i, at := range places {
		if at.Panel >= 0 && !slices.Contains(places[:i], at) && v.There(at.Panel) {
			out = append(out, v.Facet(at))
		}
	}
	return out
}

// Walk goes through the facets of the panels that are there, panel by panel: of the parts of a panel that enter
// says yes to. Grow is the metal that stands beyond the panel's mesh; visit must not keep the facet.
func (v *View) Walk(enter func(b *Block, grow float64) bool, visit func(t *Facet)) {
	v.walkFrom(asStored, enter, visit)
}

// WalkFromAfar is Walk, of two parts first into the one that reaches farther from the axis.
func (v *View) WalkFromAfar(enter func(b *Block, grow float64) bool, visit func(t *Facet)) {
	v.walkFrom(fromAfar, enter, visit)
}

// WalkFromNear is Walk, of two parts first into the one that comes nearer to the axis.
func (v *View) WalkFromNear(enter func(b *Block, grow float64) bool, visit func(t *Facet)) {
	v.walkFrom(fromNear, enter, visit)
}

// walkOrder is which of two parts is gone into first.
type walkOrder int

// add appends a part of a panel, or a group: of one panel, that panel.
func (v *View) add(panel, number int32) int32 {
	p := turnedPart{panel: panel, number: number}
	if panel < 0 {
		if g := &v.groups[number]; g.parts == 0 {
			p.panel, p.number = g.panel, 0
		} else {
			p.Block, p.grow = v.Frame.blockOf(g.box), g.grow
		}
	}
	if p.panel >= 0 {
		of := &v.scene.Panels[p.panel]
		p.Block, p.grow = v.Frame.blockOf(of.Shape.Tree().Part(p.number).Box), of.Grow
	}
	v.parts = append(v.parts, p)
	return int32(len(v.parts) - 1)
}

// opened is a part with what it holds.
func (v *View) opened(at int32) *turnedPart {
	p := &v.parts[at]
	if p.open {
		return p
	}
	panel, first := p.panel, int32(0) // of its two parts
	if panel < 0 {
		first = v.groups[p.number].parts
	} else if held := v.scene.Panels[panel].Shape.Tree().Part(p.number); len(held.Triangles) == 0 {
		first = held.Parts
	} else {
		p.from = int32(len(v.facets))
		for _, tri := range held.Triangles {
			v.facets = append(v.facets, v.Facet(Place{panel, tri}))
		}
		p.to = int32(len(v.facets))
	}
	if first > 0 {
		first, _ = v.add(panel, first), v.add(panel, first+1)
		p = &v.parts[at] // the list may have moved
		p.parts = first
	}
	p.open = true
	return p
}

const (
	asStored walkOrder = iota
	fromAfar
	fromNear
)

func (v *View) walkFrom(order walkOrder, enter func(b *Block, grow float64) bool, visit func(t *Facet)) {
	if len(v.parts) == 1 {
		return
	}
	v.stack = append(v.stack[:0], 1)
	for len(v.stack) > 0 {
		at := v.stack[len(v.stack)-1]
		v.stack = v.stack[:len(v.stack)-1]
		p := &v.parts[at]
		if p.panel >= 0 && !v.there[p.panel] || !enter(&p.Block, p.grow) {
			continue
		}
		p = v.opened(at)
		first := p.parts
		switch {
		case first == 0:
			for k := p.from; k < p.to; k++ {
				visit(&v.facets[k])
			}
		case p.panel >= 0 && (order == fromAfar && v.parts[first].Out < v.parts[first+1].Out ||
			order == fromNear && v.parts[first].In > v.parts[first+1].In):
			v.stack = append(v.stack, first, first+1)
		default:
			v.stack = append(v.stack, first+1, first)
		}
	}
}

// Gather appends the facets of the panels that are there, within the radius of the axis and no more than up
// away from the origin along it.
func (v *View) Gather(radius, up float64, out []Facet) []Facet {
	return v.Beside(radius, up, math.Inf(1), math.Inf(-1), out)
}

// Beside is Gather for what is not all between two heights.
func (v *View) Beside(radius, up, from, to float64, out []Facet) []Facet {
	v.Walk(func(b *Block, grow float64) bool {
		return b.In <= radius+grow && b.Low <= up+grow && b.High >= -up-grow && (b.Low < from || b.High > to)
	}, func(t *Facet) {
		if t.In <= radius+t.Grow && t.Low <= up+t.Grow && t.High >= -up-t.Grow && (t.Low < from || t.High > to) {
			out = append(out, *t)
		}
	})
	return out
}
