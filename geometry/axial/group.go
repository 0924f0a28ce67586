package axial

import "seamwright/geometry/space"

// group is panels that follow each other in a scene. What is far from all of them is ruled out at once, so that a place costs no more in
// a scene of many panels, and yet panels come in the scene's order.
type group struct {
	box   space.Box
	grow  float64 // of its panels the most
	parts int32   // the first of its two halves, the other is the next; 0 where it is one panel
	panel int32   // that
}

// groups are the panels that have facets, halved again and again; the first holds all. There are none where there is no such panel.
func (s *Scene) groups() []group {
	var panels []int32
	for i, p := range s.Panels {
		if len(p.Shape.Mesh.Triangles) > 0 {
			panels = append(panels, int32(i))
		}
	}
	if len(panels) == 0 {
		return nil
	}
	return s.halve(panels, make([]group, 1, 2*len(panels)), 0)
}

// halve makes a group of panels, and appends those that it is halved into.
func (s *Scene) halve(panels []int32, out []group, at int) []group {
	if len(panels) == 1 {
		p := &s.Panels[panels[0]]
		out[at] = group{box: p.Shape.Tree().Part(0).Box, grow: p.Grow, panel: panels[0]}
		return out
	}
	first, half := len(out), len(panels)/2
	out = append(out, group{}, group{})
	out = s.halve(panels[half:], s.halve(panels[:half], out, first), first+1)
	a, b := &out[first], &out[first+1]
	out[at] = group{box: a.box.Union(b.box), grow: max(a.grow, b.grow), parts: int32(first)}
	return out
}
