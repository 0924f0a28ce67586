package mesh

import (
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// A survey of any triangles says what their topology does. On few vertices nearly all edges are crowded, on many nearly all are free; runs
// of a grid are sheets.
func TestSurveyAgreesWithTheTopology(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const wide, high = 6, 5
		triangles := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) [3]int32 {
			corner := rapid.Int32Range(0, wide*high-wide-2).Draw(t, "corner")
			tri := [3]int32{corner, corner + 1, corner + wide + 1}
			if rapid.Bool().Draw(t, "upper") {
				tri = [3]int32{corner, corner + wide + 1, corner + wide}
			}
			if rapid.IntRange(0, 9).Draw(t, "turned") == 0 {
				tri[0], tri[1] = tri[1], tri[0]
			}
			if rapid.IntRange(0, 9).Draw(t, "fin") == 0 {
				tri[2] = wide * high
			}
			return tri
		}), 0, 60).Draw(t, "triangles")
		if rapid.Bool().Draw(t, "each once") {
			slices.SortFunc(triangles, func(a, b [3]int32) int { return slices.Compare(a[:], b[:]) })
			triangles = slices.Compact(triangles)
		}
		m := &Mesh{Vertices: make([]r3.Vector, wide*high+1), Triangles: triangles}
		s, topo := m.survey(), m.Topology()
		var free []Edge
		crowded, alike, pieces, rim := 0, true, NewPieces(len(triangles)), []int32(nil)
		for i, e := range topo.Edges {
			switch {
			case e.Free():
				free, rim = append(free, e), append(rim, e.Tri[0])
			case e.More == 0:
				alike = alike && m.runsAlong(e.Tri[0], e) != m.runsAlong(e.Tri[1], e)
				pieces.Join(e.Tri[0], e.Tri[1])
			default:
				crowded++
				for k, edges := range topo.TriEdge {
					if slices.Contains(edges[:], int32(i)) {
						rim = append(rim, int32(k))
					}
				}
			}
		}
		if closed := len(free) == 0 && len(triangles) > 0; m.Closed() != closed {
			t.Fatalf("closed %t with %d free edges of %d triangles", !closed, len(free), len(triangles))
		}
		open := true
		for k := range triangles {
			open = open && slices.ContainsFunc(rim, func(on int32) bool { return pieces.First(on) == pieces.First(int32(k)) })
		}
		if !slices.Equal(s.free, free) || s.crowded != crowded || s.alike != alike || s.open != open {
			t.Fatalf("%+v, want free edges %v, %d crowded, alike %v, open %v", s, free, crowded, alike, open)
		}
		if n := (&Mesh{Vertices: m.Vertices, Triangles: slices.Clone(triangles)}).dropDoubles(topo); n > 0 && !s.double {
			t.Fatalf("%d triangles are given twice, and it does not say so", n)
		}
	})
}
