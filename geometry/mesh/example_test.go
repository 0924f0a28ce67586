package mesh_test

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// gusset is a panel as an exporter writes it that gives each face its own solid and turns one the wrong way.
const gusset = `solid flat
facet normal 0 0 1
outer loop
vertex 0 0 0
vertex 12 0 0
vertex 12 8 0
endloop
endfacet
endsolid
solid flange
facet normal 0 0 1
outer loop
vertex 0 0 0
vertex 0 8 0.00000001
vertex 12 8 0
endloop
endfacet
endsolid
`

func ExampleRead() {
	m, notes, err := mesh.Read(strings.NewReader(gusset), int64(len(gusset)), "gusset.stl", mesh.Options{Unit: space.Centimetre})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %d triangles, %.0f mm²\n", m.Name, len(m.Triangles), m.Area())
	for _, note := range notes {
		fmt.Println(note)
	}
	// Output:
	// gusset: 2 triangles, 9600 mm²
	// 2 solids in the file, read as one panel
	// 1 triangle turned to face as the neighbours do
}

func ExampleRead_broken() {
	text := strings.Replace(gusset, "vertex 12 8 0\n", "", 1)
	_, _, err := mesh.Read(strings.NewReader(text), int64(len(text)), "gusset.stl", mesh.Options{Unit: space.Centimetre})
	fmt.Println(err)
	// Output: gusset.stl: line 6: triangle 1 has 2 corners, not 3: export the panel again
}

func ExampleMesh_Topology() {
	m := &mesh.Mesh{
		Vertices:  []r3.Vector{{}, {X: 40}, {X: 40, Y: 30}, {Y: 30}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	topo := m.Topology()
	around := 0.0
	for _, e := range topo.Edges {
		if e.Free() {
			around += m.Vertices[e.V[0]].Distance(m.Vertices[e.V[1]])
		}
	}
	fmt.Println(len(topo.Edges), "edges,", around, "mm around, closed:", m.Closed())
	// Output: 5 edges, 140 mm around, closed: false
}

func ExampleMesh_Orient() {
	m := &mesh.Mesh{
		Vertices:  []r3.Vector{{}, {X: 40}, {X: 40, Y: 30}, {Y: 30}, {X: 80}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {1, 2, 4}},
	}
	turned, _ := m.Orient()
	fmt.Println(turned, m.Triangles)
	// Output: 1 [[0 1 2] [0 2 3] [1 4 2]]
}

func ExampleWriteSTL() {
	m := &mesh.Mesh{
		Name:      "gusset",
		Vertices:  []r3.Vector{{}, {X: 40}, {X: 40, Y: 30}},
		Triangles: [][3]int32{{0, 1, 2}},
	}
	var out bytes.Buffer
	err := mesh.WriteSTL(&out, m)
	fmt.Println(out.Len(), "bytes", err)
	// Output: 134 bytes <nil>
}
