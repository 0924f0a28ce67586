package reach

import "slices"

// turned is the panels' trees as one weld sees them. All walks of the weld share it: a box or facet is turned into the
// weld's frame when the first of them comes to it, and kept for the others.
type turned struct {
	scene  *Scene
	frame  frame
	absent []int
	parts  []turnedPart
	facets []facet
	roots  []int32 // by panel, into parts; -1 for a panel that is absent or empty
	stack  []int32
	swing  swing // of one angle
}

// turnedPart is a part of a panel's tree. Until it is opened only its block is known.
type turnedPart struct {
	block
	panel    int32
	number   int32 // in the panel's tree
	open     bool
	parts    int32 // once open: the first of its two parts; 0 where it has facets
	from, to int32 // once open: its facets
}

// turn forgets the weld before and begins with the next; what it had room for is used again.
func (v *turned) turn(s *Scene, f frame, absent []int) {
	v.scene, v.frame, v.absent = s, f, absent
	v.parts, v.facets, v.roots = append(v.parts[:0], turnedPart{}), v.facets[:0], v.roots[:0]
	for i := range s.panels {
		if slices.Contains(absent, i) || len(s.panels[i].Shape.Mesh.Triangles) == 0 {
			v.roots = append(v.roots, -1)
			continue
		}
		v.roots = append(v.roots, v.add(int32(i), 0))
	}
}

func (v *turned) add(panel, number int32) int32 {
	v.parts = append(v.parts, turnedPart{
		block: v.frame.blockOf(v.scene.panels[panel].Shape.Tree().Part(number).Box), panel: panel, number: number,
	})
	return int32(len(v.parts) - 1)
}

// opened is a part with what it holds.
func (v *turned) opened(at int32) *turnedPart {
	p := &v.parts[at]
	if p.open {
		return p
	}
	held := v.scene.panels[p.panel].Shape.Tree().Part(p.number)
	if len(held.Triangles) == 0 {
		panel := p.panel
		first := v.add(panel, held.Parts)
		v.add(panel, held.Parts+1)
		p = &v.parts[at] // the list may have moved
		p.parts = first
	} else {
		p.from = int32(len(v.facets))
		for _, tri := range held.Triangles {
			v.facets = append(v.facets, v.facet(place{p.panel, tri}))
		}
		p.to = int32(len(v.facets))
	}
	p.open = true
	return p
}

// place is a triangle of a panel of the scene.
type place struct{ panel, tri int32 }

func (v *turned) facet(at place) facet {
	p := &v.scene.panels[at.panel]
	a, b, c := p.Shape.Mesh.Corners(int(at.tri))
	t := facet{a: v.frame.into(a), b: v.frame.into(b), c: v.frame.into(c), place: at, grow: p.Grow}
	t.bound()
	return t
}

// walk goes through the facets of the panels that are there, panel by panel: of the parts of a panel that enter
// says yes to. Grow is the metal that stands beyond the panel's mesh; visit must not keep the facet.
func (v *turned) walk(enter func(b *block, grow float64) bool, visit func(t *facet)) {
	v.walkFrom(asStored, enter, visit)
}

// walkFromAfar is walk, of two parts first into the one that reaches farther from the weld's axis.
func (v *turned) walkFromAfar(enter func(b *block, grow float64) bool, visit func(t *facet)) {
	v.walkFrom(fromAfar, enter, visit)
}

// walkFromNear is walk, of two parts first into the one that comes nearer to the weld's axis.
func (v *turned) walkFromNear(enter func(b *block, grow float64) bool, visit func(t *facet)) {
	v.walkFrom(fromNear, enter, visit)
}

// walkOrder is which of two parts is gone into first.
type walkOrder int

const (
	asStored walkOrder = iota
	fromAfar
	fromNear
)

func (v *turned) walkFrom(order walkOrder, enter func(b *block, grow float64) bool, visit func(t *facet)) {
	for i, root := range v.roots {
		if root < 0 {
			continue
		}
		grow := v.scene.panels[i].Grow
		v.stack = append(v.stack[:0], root)
		for len(v.stack) > 0 {
			at := v.stack[len(v.stack)-1]
			v.stack = v.stack[:len(v.stack)-1]
			if !enter(&v.parts[at].block, grow) {
				continue
			}
			p := v.opened(at)
			first := p.parts
			switch {
			case first == 0:
				for k := p.from; k < p.to; k++ {
					visit(&v.facets[k])
				}
			case order == fromAfar && v.parts[first].out < v.parts[first+1].out, order == fromNear && v.parts[first].in > v.parts[first+1].in:
				v.stack = append(v.stack, first, first+1)
			default:
				v.stack = append(v.stack, first+1, first)
			}
		}
	}
}

// again are facets at places where welds before met something, once each: they are likely to be met again.
func (v *turned) again(places []place) []facet {
	var out []facet
	for i, at := range places {
		if at.panel >= 0 && !slices.Contains(places[:i], at) && v.roots[at.panel] >= 0 {
			out = append(out, v.facet(at))
		}
	}
	return out
}

// nowhere is n places of nothing.
func nowhere(n int) []place { return slices.Repeat([]place{{-1, -1}}, n) }
