// Package sample is a small station for tests of what draws a plan: a plan that nobody had to lay out, with its panels.
//
//	plan, panels := sample.Plan()
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

// Nasty is a name that breaks drawings whose text is not escaped.
const Nasty = `Box <&"> 'rail'`

// Loft sweeps a profile in y and z along x in n steps.
func Loft(name string, profile [][2]float64, x0, x1 float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{Name: name}
	for i := 0; i <= n; i++ {
		x := x0 + (x1-x0)*float64(i)/float64(n)
		for _, p := range profile {
			m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: p[0], Z: p[1]})
		}
	}
	k := int32(len(profile))
	for i := range int32(n) {
		for s := range k - 1 {
			a := i*k + s
			m.Triangles = append(m.Triangles, [3]int32{a, a + k, a + k + 1}, [3]int32{a, a + k + 1, a + 1})
		}
	}
	return m
}

// ring is a flat band between two radii.
func ring(name string, c r3.Vector, r0, r1 float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{Name: name}
	for i := range n {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		m.Vertices = append(m.Vertices, c.Add(r3.Vector{X: r0 * co, Y: r0 * s}), c.Add(r3.Vector{X: r1 * co, Y: r1 * s}))
		a, b := int32(2*i), int32(2*((i+1)%n))
		m.Triangles = append(m.Triangles, [3]int32{a, a + 1, b + 1}, [3]int32{a, b + 1, b})
	}
	return m
}

// Builder fills a plan weld by weld.
type Builder struct {
	Plan *layout.Plan
	run  *layout.Run
}

// Begin begins a run.
func (b *Builder) Begin(joint, flange, gun, tip, setting string, step layout.WeldStep, pitch float64) {
	b.Finish()
	b.Plan.Runs = append(b.Plan.Runs, layout.Run{ID: len(b.Plan.Runs) + 1, Station: "st10", Joint: joint, Flange: flange,
		From:  len(b.Plan.Welds) + 1,
		Pitch: layout.Range{Least: pitch - 1, Mean: pitch, Greatest: pitch + 1}, Gun: gun, Tip: tip, Setting: setting, Step: step, Minutes: 1})
	b.run = &b.Plan.Runs[len(b.Plan.Runs)-1]
}

// Finish ends the run that was begun last; all runs must be ended.
func (b *Builder) Finish() {
	if b.run != nil {
		b.run.To = len(b.Plan.Welds)
		if b.run.Count = b.run.To - b.run.From + 1; b.run.Count == 1 {
			b.run.Pitch = layout.Range{}
		}
	}
}

// Weld adds a weld to the run.
func (b *Builder) Weld(at, axis r3.Vector, along float64, sheets ...string) {
	r := b.run
	b.Plan.Welds = append(b.Plan.Welds, layout.Weld{Number: len(b.Plan.Welds) + 1, Station: r.Station, Joint: r.Joint, Flange: r.Flange,
		Run:      r.ID,
		Position: layout.Vec{at.X, at.Y, at.Z}, Axis: layout.Vec{axis.X, axis.Y, axis.Z}, Along: along, Sheets: sheets, WeldDiameter: 4.9,
		Gun: r.Gun, Tip: r.Tip, Setting: r.Setting, Step: r.Step})
}

// Plan is a small station: a box rail of two hat profiles with a strap over part of one flange, a nose
// plate with a lamp ring, and a gutter that is rolled.
func Plan() (*layout.Plan, []view.Panel) {
	up := [][2]float64{{-45, 0}, {-25, 0}, {-22, 3}, {-20, 38}, {-18, 40}, {18, 40}, {20, 38}, {22, 3}, {25, 0}, {45, 0}}
	down := make([][2]float64, len(up))
	for i, p := range up {
		down[i] = [2]float64{p[0], -1.1 - p[1]}
	}
	lamp := r3.Vector{X: 760}
	meshes := []struct {
		id, name string
		t        float64
		m        *mesh.Mesh
	}{
		{"rail-top", Nasty, 1.2, Loft("rail-top", up, 0, 600, 24)},
		{"rail-low", "Rail, lower half", 1, Loft("rail-low", down, 0, 600, 31)},
		{"strap", "Strap", 1.5, Loft("strap", [][2]float64{{24, 1.35}, {46, 1.35}}, 0, 200, 5)},
		{"nose", "Nose plate", 0.9, ring("nose", lamp, 60, 130, 64)},
		{"lamp-ring", "Lamp ring", 0.9, ring("lamp-ring", lamp.Add(r3.Vector{Z: 0.9}), 60, 84, 48)},
		{"gutter", "Gutter", 0.9, Loft("gutter", [][2]float64{{-160, 20}, {-160, 0.9}, {-110, 0.9}}, 650, 870, 8)},
		{"sill", "Sill", 0.9, Loft("sill", [][2]float64{{-190, 0}, {-110, 0}}, 650, 870, 5)},
	}
	plan := Bare()
	var panels []view.Panel
	for _, s := range meshes {
		panels = append(panels, view.NewPanel(s.id, near.NewShape(s.m), s.t))
		plan.Panels = append(plan.Panels, layout.Panel{ID: s.id, Name: s.name, Steel: "d", Grade: "DC04", Thickness: s.t, Coating: "Z100",
			Station: "st10"})
		plan.Stations[0].Present = append(plan.Stations[0].Present, s.id)
	}
	plan.Stations[0].Arrives = plan.Stations[0].Present
	layOut(plan, lamp)
	return plan, panels
}

// Bare is the sample without panels and welds.
func Bare() *layout.Plan {
	return &layout.Plan{
		Format: layout.Format,
		Shell: layout.Shell{Name: "Sample shell", Number: "SW-001", Revision: "B", Batch: 24, Owner: "Works & Co", Creator: "A. Engineer",
			Issued: "day 1", Input: "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"},
		Stations: []layout.Station{{ID: "st10", Name: "Front rail", Jig: "J-10", Crew: 2, Makes: "front",
			Clamps: []layout.Fixture{{ID: "C1", At: layout.Vec{100, 20, 20}, Release: "tacks"}, {ID: "C2", At: layout.Vec{500, -35, 0},
				Release: "tacks"}, {ID: "C3", At: layout.Vec{840, -180, 0}, Release: "end"}},
			Dowels: []layout.Fixture{{ID: "D1", At: layout.Vec{20, 0, 40}, Radius: 4}, {ID: "D2", At: layout.Vec{760, 110, 0}, Radius: 4}},
			HoldPoints: []layout.HoldPoint{{ID: "H1", Text: "Lamp centre to rail end", Before: "lamp", Value: 160, Tolerance: 0.5,
				At: layout.Vec{600, 0, 40}, To: layout.Vec{760, 70, 1}}},
			Steps: []layout.Step{{Do: "load", Text: "Load lower rail, nose plate and sill"}, {Do: "peg", Text: "Peg D1 and D2"},
				{Do: "clamp", Text: "Close C1, C2 and C3"},
				{Do: "gauge", Text: "H1: lamp centre to rail end 160 ± 0.5"}, {Do: "tack", Text: "Tack both flanges of the rail", Runs: []int{1, 2}},
				{Do: "release", Text: "Open C1 and C2"},
				{Do: "fill", Text: "Fill the rail and weld the lamp ring", Runs: []int{3, 4, 5, 6}}, {Do: "roll", Text: "Roll the gutter seam R1"},
				{Do: "inspect", Text: "Look at one weld in ten; chisel two"}, {Do: "lift out", Text: "Open C3 and lift out"}},
		}},
		Joints: []layout.Joint{{ID: "rail", Name: "Rail halves", Station: "st10", Flanges: []string{"f1", "f2"}}, {ID: "lamp", Name: "Lamp ring",
			Station: "st10", Flanges: []string{"f3"}}, {ID: "gutter", Name: "Gutter", Kind: "roller", Station: "st10", Flanges: []string{"f4"}}},
		Guns: []layout.Gun{{ID: "c-350", Letter: "A", Name: "C gun, 350 mm throat"}, {ID: "pinch", Letter: "B", Name: "pinch gun"}},
		Tips: []layout.Tip{{ID: "dome", Name: "domed 16", Face: 5, Dress: 25}, {ID: "narrow", Name: "narrow flat", Face: 5, Dress: 400}},
		Settings: []layout.Setting{{ID: "S1", Kind: "spot", Stack: "DC04 1.2 + 1 Z100", Force: 2500, Current: 9200, Squeeze: 0.4, Weld: 0.22,
			Hold: 0.2},
			{ID: "S2", Kind: "spot", Stack: "DC04 0.9 + 0.9 Z100", Force: 2100, Current: 8600, Squeeze: 0.4, Weld: 0.18, Hold: 0.2},
			{ID: "R1", Kind: "roller", Stack: "DC04 0.9 + 0.9 Z100", Force: 2400, Current: 13000, Weld: 0.04, Hold: 0.04, Wheel: 5, Speed: 30,
				Pitch: 2.5}},
		Findings: []layout.Finding{
			{Rule: "pitch.least", Severity: layout.Doubt, Where: "joint lamp, welds 31-32", Joint: "lamp", Value: 27.9, Limit: 29.1,
				Unit: "mm", Source: "common practice, no source", Remedy: "Ask for fewer welds on the ring, or raise the current by test"},
			{Rule: "gap", Severity: layout.Broken, Where: "flange f1", Flange: "f1", Value: 0.8, Limit: 0.5, Unit: "mm", Source: "sample",
				Remedy: "Correct the pressing"},
			{Rule: "gap", Severity: layout.Broken, Where: "flange f99", Flange: "f99", Value: 0.8, Limit: 0.5, Unit: "mm", Source: "sample",
				Remedy: "Belongs to another station"},
		},
	}
}

// layOut lays out tacks, then fill welds, on two flanges; the lamp ring; and the roller seam.
func layOut(plan *layout.Plan, lamp r3.Vector) {
	b := &Builder{Plan: plan}
	z := r3.Vector{Z: 1}
	sides := []struct {
		flange string
		y      float64
	}{{"f1", 35}, {"f2", -35}}
	for i, step := range []layout.WeldStep{layout.Tack, layout.Fill} {
		for _, s := range sides {
			b.Begin("rail", s.flange, "c-350", "dome", "S1", step, 38)
			for k := range 16 {
				if (k%5 == 0) != (i == 0) || s.flange == "f2" && k == 13 {
					continue
				}
				x := 15 + 38*float64(k)
				sheets := []string{"rail-low", "rail-top"}
				if s.flange == "f1" && x < 195 {
					sheets = append(sheets, "strap")
				}
				b.Weld(r3.Vector{X: x, Y: s.y, Z: -0.5}, z, x, sheets...)
			}
		}
	}
	b.Begin("rail", "f2", "c-350", "dome", "S1", "released", 38)
	b.Weld(r3.Vector{X: 15 + 38*13, Y: -35, Z: -0.5}, z, 509, "rail-low", "rail-top")
	plan.Welds[len(plan.Welds)-1].Waits = "under clamp C2 until it is open"
	b.Begin("lamp", "f3", "pinch", "narrow", "S2", "fill", 28)
	var circle []layout.Vec
	for k := range 16 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 16)
		at := lamp.Add(r3.Vector{X: 72 * c, Y: 72 * s, Z: 0.45})
		b.Weld(at, z, 28.3*float64(k), "nose", "lamp-ring")
	}
	for k := range 96 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 96)
		circle = append(circle, layout.Vec{lamp.X + 72*c, lamp.Y + 72*s, 0.45})
	}
	b.Finish()
	line := func(x0, x1, y, z float64) (out []layout.Vec) {
		for k := range 41 {
			out = append(out, layout.Vec{x0 + (x1-x0)*float64(k)/40, y, z})
		}
		return out
	}
	plan.Flanges = []layout.Flange{
		{ID: "f1", Joint: "rail", Panels: []string{"rail-low", "rail-top"}, Length: 600, Width: layout.Range{Least: 20, Mean: 20, Greatest: 20},
			Line: WeldLine(line(0, 600, 35, -0.5))},
		{ID: "f2", Joint: "rail", Panels: []string{"rail-low", "rail-top"}, Length: 600, Width: layout.Range{Least: 20, Mean: 20, Greatest: 20},
			Line: WeldLine(line(0, 600, -35, -0.5))},
		{ID: "f3", Joint: "lamp", Panels: []string{"nose", "lamp-ring"}, Closed: true, Length: 452, Width: layout.Range{Least: 24, Mean: 24,
			Greatest: 24}, Line: WeldLine(circle)},
		{ID: "f4", Joint: "gutter", Panels: []string{"sill", "gutter"}, Length: 220, Width: layout.Range{Least: 50, Mean: 50, Greatest: 50},
			Line: WeldLine(line(650, 870, -135, 0.45))},
	}
	path := line(660, 860, -135, 0.45)
	normals := make([]layout.Vec, len(path))
	for i := range normals {
		normals[i] = layout.Vec{0, 0, 1}
	}
	plan.Seams = []layout.Seam{{ID: "R1", Station: "st10", Joint: "gutter", Flange: "f4", Roller: "wheel 6 mm", Setting: "R1", Path: path,
		Normals: normals, Length: 200, Speed: 30, Time: 6.7, After: 47}}
	for i := range plan.Flanges {
		if plan.Flanges[i].ID == "" {
			panic(fmt.Sprint("flange ", i, " has no id"))
		}
	}
	plan.Stations[0].Welds = len(plan.Welds)
}

// WeldLine is a weld line through places, measured straight from one to the next.
func WeldLine(places []layout.Vec) []layout.LinePoint {
	var out []layout.LinePoint
	along := 0.0
	for i, at := range places {
		if i > 0 {
			along += at.R3().Distance(places[i-1].R3())
		}
		out = append(out, layout.LinePoint{Along: along, At: at, Normal: layout.Vec{0, 0, 1}})
	}
	return out
}
