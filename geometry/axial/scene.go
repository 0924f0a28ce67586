// Package axial is panels as they are seen along an axis at a place: what stands how high above the place and how far beside the axis, and
// in which directions round it. It knows no welds and no guns.
//
//	scene := &axial.Scene{Panels: []axial.Panel{{Name: "rail", Shape: near.NewShape(rail), Grow: 0.45}}}
//	var v axial.View
//	v.Turn(scene, axial.NewFrame(at, along, axis), nil)
//	v.Walk(func(b *axial.Block, grow float64) bool { return b.In <= 30+grow }, func(t *axial.Facet) {
//		fmt.Println(t.Low, t.High, t.FromAxis()-t.Grow) // heights, and how far beside the axis
//	})
//
// A view turns boxes and triangles of the panels' trees (geometry/near) into its frame when a walk first comes to them. Bounds come
// first: a circle about each of them says how near to the axis it can be (Circle) and between which directions it lies (Fan.Span). What
// is left is measured exactly: a facet from segments (FromSegment), or what of it lies between two heights from upright shapes (Shadow).
//
// Millimetres in the frame: z is the height along the axis, and directions round it are right-handed from x.
package axial

import (
	"math"

	"seamwright/geometry/near"
)

// Panel is one panel in its place.
type Panel struct {
	Name  string
	Shape *near.Shape
	Grow  float64 // mm of metal beyond the mesh: half the thickness of a mid surface, the thickness of a skin, 0 of a solid
}

// Scene is the panels present, each known by its number. Their trees can be shared between scenes.
type Scene struct{ Panels []Panel }

// Name is the name of a panel by its number in the scene.
func (s *Scene) Name(i int) string { return s.Panels[i].Name }

// Surfaces is how far above and below a frame's origin the outer surfaces of a stack of sheets lie, found by rays along its axis. A sheet
// that no ray meets, at an edge or hole, leaves half the stack.
func (s *Scene) Surfaces(f Frame, sheets []int, stack float64) (above, below float64) {
	reach := stack + 2
	above, below = math.Inf(-1), math.Inf(-1)
	for _, i := range sheets {
		p := &s.Panels[i]
		if hit, ok := p.Shape.Tree().Ray(f.At.Add(f.Z.Mul(reach)), f.Z.Mul(-1), 2*reach); ok {
			above = max(above, reach-hit.Distance+p.Grow)
		}
		if hit, ok := p.Shape.Tree().Ray(f.At.Sub(f.Z.Mul(reach)), f.Z, 2*reach); ok {
			below = max(below, reach-hit.Distance+p.Grow)
		}
	}
	if math.IsInf(above, -1) {
		above = stack / 2
	}
	if math.IsInf(below, -1) {
		below = stack / 2
	}
	return above, below
}
