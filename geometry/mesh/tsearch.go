package mesh

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Bounds on the search for T-junctions, so that no file can make it long. A panel has some thousands of free
// edges, about ten tests for each vertex on them, and finds a vertex on two or three edges at most.
const (
	mostFreeEdges   = 1 << 20
	testsPerVertex  = 256
	pointsPerVertex = 16
	searchAllowance = 1 << 16 // vertices granted to small meshes
)

// edgePoint is a vertex that lies inside a free edge.
type edgePoint struct {
	edge   int32 // its place among the free edges
	vertex int32
	along  float64 // mm from the edge's lower vertex
}

// pointsInsideEdges finds the vertices of free edges that lie inside other free edges, sorted by edge and
// along it. It gives up (false) on more edges, tests or points than a panel can have.
func pointsInsideEdges(m *Mesh, free []Edge) ([]edgePoint, bool) {
	if len(free) > mostFreeEdges {
		return nil, false
	}
	grid := newEdgeGrid(m, free)
	vertices := freeVertices(free)
	granted := len(vertices) + searchAllowance
	tests := 0
	var points []edgePoint
	for _, v := range vertices {
		for edge := range grid.around(m.Vertices[v]) {
			tests++
			if along, ok := m.inside(free[edge], v); ok {
				points = append(points, edgePoint{edge, v, along})
			}
		}
		if tests > testsPerVertex*granted || len(points) > pointsPerVertex*granted {
			return nil, false
		}
	}
	slices.SortFunc(points, func(a, b edgePoint) int {
		return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.along, b.along), m.Vertices[a.vertex].Cmp(m.Vertices[b.vertex]))
	})
	return slices.Compact(points), true
}

// runs gives out the points of one edge after another.
func runs(points []edgePoint) func(yield func([]edgePoint) bool) {
	return func(yield func([]edgePoint) bool) {
		for len(points) > 0 {
			n := 1
			for n < len(points) && points[n].edge == points[0].edge {
				n++
			}
			if !yield(points[:n]) {
				return
			}
			points = points[n:]
		}
	}
}

// inside tells where along a free edge a vertex lies, when it lies within the seam's width of it and neither at its
// ends nor on its own triangle.
func (m *Mesh) inside(e Edge, v int32) (along float64, ok bool) {
	if v == m.Third(e, e.Tri[0]) {
		return 0, false
	}
	a := m.Vertices[e.V[0]]
	edge, p := m.Vertices[e.V[1]].Sub(a), m.Vertices[v].Sub(a)
	length := edge.Norm()
	along = p.Dot(edge) / length
	if !(along > seamWidth && along < length-seamWidth) {
		return 0, false
	}
	return along, p.Cross(edge).Norm() <= seamWidth*length
}

// edgeGrid files free edges in cells about as large as each edge is long, so that a place meets few edges of each
// size however the sizes are mixed.
type edgeGrid struct {
	levels []int // sizes in use, as powers of two in mm
	index  *cellIndex
}

func newEdgeGrid(m *Mesh, free []Edge) *edgeGrid {
	g := &edgeGrid{index: newCellIndex(4 * len(free))}
	for i, e := range free {
		box := space.EmptyBox().Add(m.Vertices[e.V[0]]).Add(m.Vertices[e.V[1]])
		length := box.Size().Norm()
		if length <= 2*seamWidth {
			continue // nothing is inside it
		}
		_, level := math.Frexp(length + 2*seamWidth) // 2^level is above every side of the grown box: 8 cells at most
		box = box.Grow(seamWidth)
		for c := range cells(levelCell(box.Min, level), levelCell(box.Max, level)) {
			g.index.add(c, int32(i))
		}
		if !slices.Contains(g.levels, level) {
			g.levels = append(g.levels, level)
		}
	}
	return g
}

// around gives out the edges filed where p is; every edge within the seam's width of p is among them.
func (g *edgeGrid) around(p r3.Vector) func(yield func(edge int32) bool) {
	return func(yield func(edge int32) bool) {
		for _, level := range g.levels {
			for edge := range g.index.at(levelCell(p, level)) {
				if !yield(edge) {
					return
				}
			}
		}
	}
}

func levelCell(p r3.Vector, level int) cell { return cellAt(p, math.Ldexp(1, level), level) }
