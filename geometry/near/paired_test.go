package near

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// Of any choice from a grid of quads, in any order, each triangle is in one leaf, whose box holds it; leaves are about as large as they
// should be, and where the halves of quads follow each other there are half as many boxes.
func TestTreesOfPairs(t *testing.T) {
	const side = 40
	m := &mesh.Mesh{}
	for i := range int32((side + 1) * (side + 1)) {
		x, y := float64(i%(side+1)), float64(i/(side+1))
		m.Vertices = append(m.Vertices, r3.Vector{X: 3 * x, Y: 2 * y, Z: 0.01 * x * y})
	}
	for i := range int32(side * side) {
		a := i + i/side
		m.Triangles = append(m.Triangles, [3]int32{a, a + 1, a + side + 2}, [3]int32{a, a + side + 2, a + side + 1})
	}
	rng := rand.New(rand.NewPCG(6, 1))
	for round := range 60 {
		share, all := rng.Float64(), []int32(nil)
		for tri := range int32(len(m.Triangles)) {
			if round == 0 || rng.Float64() < share {
				all = append(all, tri)
			}
		}
		if round%3 == 2 {
			rng.Shuffle(len(all), func(i, k int) { all[i], all[k] = all[k], all[i] })
		}
		tree := NewOver(m, all, 1+round%2)
		var found []int32
		for i := range tree.nodes {
			n := &tree.nodes[i]
			box := tree.frame.box(n)
			for _, tri := range tree.order[n.first : n.first+n.count] {
				own := space.BoxOf(m.Corners(int(tri)))
				if own.Union(box) != box {
					t.Fatalf("triangle %d lies outside of its leaf", tri)
				}
				found = append(found, tri)
			}
			if n.count > leafSize*3/2 {
				t.Errorf("%d triangles in a leaf", n.count)
			}
		}
		if slices.Sort(found); len(tree.order) != len(all) || !slices.Equal(found, slices.Sorted(slices.Values(all))) {
			t.Fatalf("round %d: the leaves hold %d triangles of %d", round, len(found), len(all))
		}
		if items := tree.paired(all); round == 0 && len(items) != side*side {
			t.Errorf("%d boxes for %d quads", len(items), side*side)
		}
	}
}
