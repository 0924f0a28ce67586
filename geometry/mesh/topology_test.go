package mesh

import (
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/space"
)

var placeForTest = space.Place{Mirror: true, Turn: vec(10, 20, 30), Move: vec(1, 2, 3)}

func TestTopologyOfASquare(t *testing.T) {
	m := &Mesh{Vertices: []r3.Vector{vec(0, 0, 0), vec(1, 0, 0), vec(1, 1, 0), vec(0, 1, 0)}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	topo := m.Topology()
	want := []Edge{
		{V: [2]int32{0, 1}, Tri: [2]int32{0, None}}, {V: [2]int32{0, 2}, Tri: [2]int32{0, 1}}, {V: [2]int32{0, 3}, Tri: [2]int32{1, None}},
		{V: [2]int32{1, 2}, Tri: [2]int32{0, None}}, {V: [2]int32{2, 3}, Tri: [2]int32{1, None}},
	}
	if !slices.Equal(topo.Edges, want) {
		t.Errorf("edges %v, want %v", topo.Edges, want)
	}
	if topo.TriEdge[0] != [3]int32{0, 3, 1} || topo.TriEdge[1] != [3]int32{1, 4, 2} {
		t.Errorf("edges of triangles %v", topo.TriEdge)
	}
	if topo.Across(0, 2) != 1 || topo.Across(1, 0) != 0 || topo.Across(0, 0) != None {
		t.Error("the wrong neighbours")
	}
	if !slices.Equal(freeEdges(topo), []int32{0, 2, 3, 4}) || m.Closed() {
		t.Errorf("free edges %v", freeEdges(topo))
	}
}

// The topology of any triangles, however odd, is what a table of edges says.
func TestTopologyAgreesWithATable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vertices := rapid.IntRange(1, 60).Draw(t, "vertices")
		v := rapid.Int32Range(0, int32(vertices-1))
		triangles := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) [3]int32 {
			return [3]int32{v.Draw(t, "a"), v.Draw(t, "b"), v.Draw(t, "c")}
		}), 0, 300).Draw(t, "triangles")
		m := &Mesh{Vertices: make([]r3.Vector, vertices), Triangles: triangles}
		topo := m.Topology()
		table := map[[2]int32][]int32{}
		for i, tri := range triangles {
			for k := range 3 {
				e := lowFirst(tri[k], tri[(k+1)%3])
				table[e] = append(table[e], int32(i))
				if topo.Edges[topo.TriEdge[i][k]].V != e {
					t.Fatalf("side %d of triangle %d is edge %v", k, i, topo.Edges[topo.TriEdge[i][k]])
				}
			}
		}
		if len(table) != len(topo.Edges) {
			t.Fatalf("%d edges, the table has %d", len(topo.Edges), len(table))
		}
		for i, e := range topo.Edges {
			if i > 0 && slices.Compare(topo.Edges[i-1].V[:], e.V[:]) >= 0 {
				t.Fatalf("edge %d is out of order", i)
			}
			on := table[e.V]
			if e.Tri[0] != on[0] || e.Free() != (len(on) == 1) || len(on) > 1 && (e.Tri[1] != on[1] || int(e.More) != len(on)-2) {
				t.Fatalf("edge %v, the table has triangles %v", e, on)
			}
		}
		checkComponents(t, topo, len(triangles))
	})
}

// checkComponents finds the groups again by spreading numbers over edges until nothing changes.
func checkComponents(t *rapid.T, topo *Topology, triangles int) {
	group := make([]int, triangles)
	for i := range group {
		group[i] = i
	}
	byEdge := make([][]int, len(topo.Edges))
	for i, edges := range topo.TriEdge {
		for _, e := range edges {
			byEdge[e] = append(byEdge[e], i)
		}
	}
	for changed := true; changed; {
		changed = false
		for _, on := range byEdge {
			for _, i := range on {
				for _, j := range on {
					if group[j] < group[i] {
						group[i], changed = group[j], true
					}
				}
			}
		}
	}
	got, last := 0, -1
	for _, c := range topo.Components() {
		if !slices.IsSorted(c) || int(c[0]) <= last {
			t.Fatalf("group %v is out of order", c)
		}
		last = int(c[0])
		for _, i := range c {
			if group[i] != int(c[0]) {
				t.Fatalf("triangle %d is in the group of %d, want %d", i, c[0], group[i])
			}
		}
		got += len(c)
	}
	if got != triangles {
		t.Fatalf("%d triangles in groups, want %d", got, triangles)
	}
}

// One vertex in every triangle is the worst case for sides filed by vertex.
func TestTopologyOfAFan(t *testing.T) {
	const n = 20_000
	m := &Mesh{Vertices: make([]r3.Vector, n+1)}
	for i := range int32(n) {
		m.Triangles = append(m.Triangles, [3]int32{0, n - i, 1 + (2*n-i-2)%n})
	}
	topo := m.Topology()
	if len(topo.Edges) != 2*n || len(freeEdges(topo)) != n {
		t.Errorf("%d edges, %d free; want %d, %d", len(topo.Edges), len(freeEdges(topo)), 2*n, n)
	}
}

func TestPieces(t *testing.T) {
	p := NewPieces(6)
	for _, j := range [][2]int32{{4, 2}, {5, 4}, {1, 3}} {
		p.Join(j[0], j[1])
	}
	for i, want := range []int32{0, 1, 2, 1, 2, 2} {
		if got := p.First(int32(i)); got != want {
			t.Errorf("%d belongs to %d, want %d", i, got, want)
		}
	}
}
