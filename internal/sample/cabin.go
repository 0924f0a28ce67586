package sample

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout"
	"seamwright/render/view"
)

// plate is a flat sheet in the plane y = const, from x0, z0 to x1, z1.
func plate(name string, x0, x1, y, z0, z1 float64) *mesh.Mesh {
	return &mesh.Mesh{Name: name,
		Vertices:  []r3.Vector{{X: x0, Y: y, Z: z0}, {X: x1, Y: y, Z: z0}, {X: x1, Y: y, Z: z1}, {X: x0, Y: y, Z: z1}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
}

// Cabin is a station of two sides that no one view shows together, a roof between them, a frame of welds on each side,
// and on one of them a small ring of welds that is crowded at the scale of a view.
func Cabin() (*layout.Plan, []view.Panel) {
	plan := Bare()
	st := &plan.Stations[0]
	st.Clamps, st.Dowels, st.HoldPoints = nil, nil, nil
	roof := Loft("roof", [][2]float64{{-500, 900}, {-480, 930}, {0, 960}, {480, 930}, {500, 900}}, 0, 1200, 20)
	var panels []view.Panel
	add := func(id string, m *mesh.Mesh) {
		panels = append(panels, view.NewPanel(id, near.NewShape(m), 1))
		plan.Panels = append(plan.Panels, layout.Panel{ID: id, Name: id, Thickness: 1, Station: "st10"})
		st.Present = append(st.Present, id)
	}
	add("roof", roof)
	add("floor", Loft("floor", [][2]float64{{-480, 0}, {480, 0}}, 0, 1200, 4))
	add("bulkhead", &mesh.Mesh{Name: "bulkhead", Vertices: []r3.Vector{{X: 600, Y: -480, Z: 0}, {X: 600, Y: 480, Z: 0},
		{X: 600, Y: 480, Z: 900}, {X: 600, Y: -480, Z: 900}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}})
	b := &Builder{Plan: plan}
	for i, y := range []float64{500, -500} {
		name := []string{"left", "right"}[i]
		out := math.Copysign(1, y)
		add(name+"-outer", plate(name+"-outer", 0, 1200, y+out, 0, 900))
		add(name+"-inner", plate(name+"-inner", 0, 1200, y-out*0.1, 0, 900))
		axis := r3.Vector{Y: 1}
		for side := range 4 {
			b.Begin("frame-"+name, fmt.Sprintf("f%d%d", i, side), "c-350", "dome", "S1", "fill", 45)
			for k := range 20 {
				s := 30 + 42*float64(k)
				at := []r3.Vector{{X: 100 + s, Z: 40}, {X: 40, Z: s}, {X: 100 + s, Z: 860}, {X: 1160, Z: s}}[side]
				at.Y = y
				b.Weld(at, axis, s, name+"-outer", name+"-inner")
			}
		}
	}
	b.Begin("ring", "f9", "pinch", "narrow", "S2", "fill", 14)
	for k := range 24 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 24)
		b.Weld(r3.Vector{X: 300 + 50*c, Y: 500, Z: 400 + 50*s}, r3.Vector{Y: 1}, 13*float64(k), "left-outer", "left-inner")
	}
	b.Finish()
	return plan, panels
}
