package reach

import (
	"context"
	"math"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/seams/shell"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// sheet is a mesh in the making.
type sheet struct{ mesh.Mesh }

// quad adds a rectangle from a corner along two sides, in squares of about the given size.
func (m *sheet) quad(corner, u, v r3.Vector, size float64) *sheet {
	nu, nv := int(math.Ceil(u.Norm()/size)), int(math.Ceil(v.Norm()/size))
	at := int32(len(m.Vertices))
	for i := range nu + 1 {
		for k := range nv + 1 {
			m.Vertices = append(m.Vertices, corner.Add(u.Mul(float64(i)/float64(nu))).Add(v.Mul(float64(k)/float64(nv))))
		}
	}
	row := int32(nv + 1)
	for i := range int32(nu) {
		for k := range int32(nv) {
			a := at + i*row + k
			m.Triangles = append(m.Triangles, [3]int32{a, a + row, a + row + 1}, [3]int32{a, a + row + 1, a + 1})
		}
	}
	return m
}

// scene makes panels of 1 mm sheet, drawn at mid surface.
func scene(sheets ...*sheet) *axial.Scene {
	var panels []axial.Panel
	for i, s := range sheets {
		panels = append(panels, axial.Panel{Name: string(rune('A' + i)), Shape: near.NewShape(&s.Mesh), Grow: 0.5})
	}
	return &axial.Scene{Panels: panels}
}

// plates are two plates of 1 mm on each other, over x from -300 to 300 and y from -300 to the edge.
func plates(edge float64) []*sheet {
	var out []*sheet
	for _, z := range []float64{-0.5, 0.5} {
		out = append(out, new(sheet).quad(vec(-300, -300, z), vec(600, 0, 0), vec(0, 300+edge, 0), 20))
	}
	return out
}

// gutter adds walls of a height along x on either side of the line, up from the upper plate.
func gutter(half, height float64) *sheet {
	m := new(sheet)
	for _, y := range []float64{-half, half} {
		m.quad(vec(-300, y, 0.5), vec(600, 0, 0), vec(0, 0, height), 10)
	}
	return m
}

func weld() Weld {
	return Weld{Line: "f1", Along: vec(1, 0, 0), Axis: vec(0, 0, 1), Stack: 2, Sheets: []int{0, 1}}
}

func gun(depth, gap float64) shell.Gun {
	return shell.Gun{ID: "G", ThroatDepth: depth, ThroatGap: gap, Arm: 30}
}

func round() shell.Tip { return shell.Tip{ID: "round", Face: 6, Shank: 16, Length: 60} }

func narrow() shell.Tip {
	return shell.Tip{ID: "narrow", Face: 5, Shank: 8, ShankLong: 16, Length: 60}
}

func find(t rapid.TB, s *axial.Scene, welds []Weld, opt Options, tools ...Tool) []Result {
	t.Helper()
	out, err := Find(context.Background(), s, welds, tools, opt)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// turnedOf is a scene as a weld sees it.
func turnedOf(s *axial.Scene, f axial.Frame) *axial.View {
	var v axial.View
	v.Turn(s, f, nil)
	return &v
}
