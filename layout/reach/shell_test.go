package reach

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/near"
	"seamwright/seams/shell"
)

// cab is a box of panels the size of a tractor's cab, of about so many triangles, with hat members across its floor,
// flanges that stand out of eight of its edges, one of them in a gutter, that many welds on them and five guns.
func cab(triangles, count int) (*axial.Scene, []Weld, []Tool) {
	const x, y, z, wide = 1600.0, 1400.0, 1700.0, 36.0
	corners := [8]r3.Vector{vec(0, 0, 0), vec(0, y, 0), vec(0, 0, z), vec(0, y, z), vec(0, 0, 0), vec(x, 0, 0), vec(0, 0, z), vec(x, 0, z)}
	outs := [8]r3.Vector{vec(0, -wide, 0), vec(0, wide, 0), vec(0, -wide, 0), vec(0, wide, 0), vec(-wide, 0, 0), vec(wide, 0, 0),
		vec(-wide, 0, 0), vec(wide, 0, 0)}
	const flanges = 8 * 2 * (x + y) / 2 * wide / 8 // triangles of 4 mm squares
	area := 2*(x*y+y*z+x*z) + 3*y*160
	size := max(2, math.Sqrt(2*area/max(1000, float64(triangles)-flanges)))
	walls := []*sheet{
		new(sheet).quad(vec(0, 0, 0), vec(x, 0, 0), vec(0, y, 0), size), new(sheet).quad(vec(0, 0, z), vec(x, 0, 0), vec(0, y, 0), size),
		new(sheet).quad(vec(0, 0, 0), vec(x, 0, 0), vec(0, 0, z), size), new(sheet).quad(vec(0, y, 0), vec(x, 0, 0), vec(0, 0, z), size),
		new(sheet).quad(vec(0, 0, 0), vec(0, y, 0), vec(0, 0, z), size), new(sheet).quad(vec(x, 0, 0), vec(0, y, 0), vec(0, 0, z), size),
	}
	for _, at := range []float64{400, 800, 1200} {
		hat := new(sheet).quad(vec(at, 40, 0), vec(0, y-80, 0), vec(0, 0, 50), size)
		walls = append(walls, hat.quad(vec(at, 40, 50), vec(0, y-80, 0), vec(60, 0, 0), size).quad(vec(at+60, 40, 0), vec(0, y-80, 0),
			vec(0, 0, 50), size))
	}
	var welds []Weld
	for i, corner := range corners {
		out, along, host := outs[i], vec(x, 0, 0), i%6
		if i >= 4 {
			along = vec(0, y, 0)
		}
		for _, lift := range []float64{-0.5, 0.5} {
			walls[host].quad(corner.Add(vec(0, 0, lift)), along, out, 4)
		}
		if i == 3 { // a gutter 13 mm wide
			for _, side := range []float64{2.0/3 - 6.5/wide, 2.0/3 + 6.5/wide} {
				walls[host].quad(corner.Add(out.Mul(side)).Add(vec(0, 0, 0.5)), along, vec(0, 0, 15), 4)
			}
		}
		n := (count + 7 - i) / 8
		for k := range n {
			w := weld()
			w.Line, w.S, w.Sheets, w.Along = fmt.Sprint("f", i), float64(k), []int{host}, along.Normalize()
			w.Position = corner.Add(along.Mul((float64(k) + 0.5) / float64(n))).Add(out.Mul(2.0 / 3))
			welds = append(welds, w)
		}
	}
	return scene(walls...), welds, fiveGuns()
}

func fiveGuns() []Tool {
	gun := func(id string, depth, gap, arm float64) shell.Gun {
		return shell.Gun{ID: id, ThroatDepth: depth, ThroatGap: gap, Arm: arm, Stroke: 60}
	}
	long := round()
	long.Length = 90
	return []Tool{{gun("A", 260, 240, 32), round()}, {gun("B", 640, 260, 50), round()}, {gun("C", 120, 140, 28), narrow()},
		{gun("D", 400, 200, 40), round()}, {gun("E", 180, 300, 36), long}}
}

// solid is a scene of meshes that are all there is of the metal.
func solid(s *axial.Scene) *axial.Scene {
	var out []axial.Panel
	for _, p := range s.Panels {
		out = append(out, axial.Panel{Name: p.Name, Shape: near.NewShape(p.Shape.Mesh)})
	}
	return &axial.Scene{Panels: out}
}

// triangles counts those of a scene.
func triangles(s *axial.Scene) int {
	n := 0
	for _, p := range s.Panels {
		n += len(p.Shape.Mesh.Triangles)
	}
	return n
}
