package mesh

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
	"seamwright/internal/facets"
)

type soup = facets.Soup

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

var inMillimetres = Options{Unit: space.Millimetre}

func readBytes(data []byte, opt Options) (*Mesh, []string, error) {
	return Read(bytes.NewReader(data), int64(len(data)), "door.stl", opt)
}

// mustRead reads triangles as a binary file in millimetres.
func mustRead(t interface {
	Helper()
	Fatal(...any)
}, s soup) (*Mesh, []string) {
	t.Helper()
	m, notes, err := readBytes(s.Binary("made by a test"), inMillimetres)
	if err != nil {
		t.Fatal(err)
	}
	return m, notes
}

// canonical is a mesh's triangles by coordinates, whatever the order of vertices, triangles and corners, and whichever
// way they face.
func canonical(m *Mesh) [][3]r3.Vector {
	var out [][3]r3.Vector
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		corners := [3]r3.Vector{a, b, c}
		slices.SortFunc(corners[:], r3.Vector.Cmp)
		out = append(out, corners)
	}
	slices.SortFunc(out, func(p, q [3]r3.Vector) int { return slices.CompareFunc(p[:], q[:], r3.Vector.Cmp) })
	return out
}

// checkMesh finds fault with a mesh that Read must never give.
func checkMesh(m *Mesh) error {
	used := make([]bool, len(m.Vertices))
	for i, t := range m.Triangles {
		for _, v := range t {
			if v < 0 || int(v) >= len(m.Vertices) {
				return fmt.Errorf("triangle %d has vertex %d of %d", i, v, len(m.Vertices))
			}
			used[v] = true
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			return fmt.Errorf("triangle %d repeats a vertex: %v", i, t)
		}
	}
	if i := slices.Index(used, false); i >= 0 {
		return fmt.Errorf("vertex %d is not used", i)
	}
	places := map[r3.Vector]bool{}
	for i, v := range m.Vertices {
		if places[v] || v != v {
			return fmt.Errorf("vertex %d at %v is there twice or not a number", i, v)
		}
		places[v] = true
	}
	return nil
}

func wantNote(t *testing.T, notes []string, part string) {
	t.Helper()
	if !slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, part) }) {
		t.Errorf("no note says %q: %q", part, notes)
	}
}

// freeEdges are the numbers of the edges that only one triangle uses, in rising order.
func freeEdges(topo *Topology) []int32 {
	var free []int32
	for i := range topo.Edges {
		if topo.Edges[i].Free() {
			free = append(free, int32(i))
		}
	}
	return free
}
