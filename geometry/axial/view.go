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
	absent []int
	parts  []turnedPart
	facets []Facet
	roots  []int32 // by panel, into parts; -1 for a panel that is absent or empty
	stack  []int32
}

// turnedPart is a part of a panel's tree. Until it is opened only its block is known.
type turnedPart struct {
	Block
	panel    int32
	number   int32 // in the panel's tree
	open     bool
	parts    int32 // once open: the first of its two parts; 0 where it has facets
	from, to int32 // once open: its facets
}

// Turn forgets the frame before and begins with the next, without the absent ones of the scene's panels; what it had room for is used
// again.
func (v *View) Turn(s *Scene, f Frame, absent []int) {
	v.scene, v.Frame, v.absent = s, f, absent
	v.parts, v.facets, v.roots = append(v.parts[:0], turnedPart{}), v.facets[:0], v.roots[:0]
	for i := range s.Panels {
		if slices.Contains(absent, i) || len(s.Panels[i].Shape.Mesh.Triangles) == 0 {
			v.roots = append(v.roots, -1)
			continue
		}
		v.roots = append(v.roots, v.add(int32(i), 0))
	}
}

// There reports whether a panel is not absent and has facets.
func (v *View) There(panel int32) bool { return v.roots[panel] >= 0 }

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

func (v *View) add(panel, number int32) int32 {
	v.parts = append(v.parts, turnedPart{
		Block: v.Frame.blockOf(v.scene.Panels[panel].Shape.Tree().Part(number).Box), panel: panel, number: number,
	})
	return int32(len(v.parts) - 1)
}

// opened is a part with what it holds.
func (v *View) opened(at int32) *turnedPart {
	p := &v.parts[at]
	if p.open {
		return p
	}
	held := v.scene.Panels[p.panel].Shape.Tree().Part(p.number)
	if len(held.Triangles) == 0 {
		panel := p.panel
		first := v.add(panel, held.Parts)
		v.add(panel, held.Parts+1)
		p = &v.parts[at] // the list may have moved
		p.parts = first
	} else {
		p.from = int32(len(v.facets))
		for _, tri := range held.Triangles {
			v.facets = append(v.facets, v.Facet(Place{p.panel, tri}))
		}
		p.to = int32(len(v.facets))
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
	for i, root := range v.roots {
		if root < 0 {
			continue
		}
		grow := v.scene.Panels[i].Grow
		v.stack = append(v.stack[:0], root)
		for len(v.stack) > 0 {
			at := v.stack[len(v.stack)-1]
			v.stack = v.stack[:len(v.stack)-1]
			if !enter(&v.parts[at].Block, grow) {
				continue
			}
			p := v.opened(at)
			first := p.parts
			switch {
			case first == 0:
				for k := p.from; k < p.to; k++ {
					visit(&v.facets[k])
				}
			case order == fromAfar && v.parts[first].Out < v.parts[first+1].Out, order == fromNear && v.parts[first].In > v.parts[first+1].In:
				v.stack = append(v.stack, first, first+1)
			default:
				v.stack = append(v.stack, first+1, first)
			}
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
