package mesh

import "github.com/golang/geo/r3"

// Orient turns triangles so that neighbours across every edge with two triangles face to the same side, and
// returns how many it turned. In each piece that hangs together by such edges the fewer are turned (of as
// many, those that differ from its first triangle); a closed piece then faces outward. twisted counts
// edges whose two triangles cannot face alike, as on a band with a half turn.
func (m *Mesh) Orient() (turned, twisted int) { return m.orient(m.survey()) }

// orient is Orient for a survey at hand.
func (m *Mesh) orient(s *survey) (turned, twisted int) {
	if s.alike && s.open {
		return 0, 0
	}
	w := &walk{m: m, topo: m.Topology(), facings: make([]facing, len(m.Triangles))}
	for t := range m.Triangles {
		if w.facings[t] != unseen {
			continue
		}
		w.spread(int32(t))
		turn := w.wrong()
		for _, t := range w.piece {
			if w.facings[t] == turn {
				v := &m.Triangles[t]
				v[1], v[2] = v[2], v[1]
				turned++
			}
		}
	}
	return turned, w.twisted
}

// facing is how a triangle faces, measured against the first of its piece.
type facing uint8

const (
	unseen facing = iota
	alike
	against
)

// walk goes through a mesh piece by piece, over edges with exactly two triangles.
type walk struct {
	m       *Mesh
	topo    *Topology
	facings []facing
	twisted int // edges whose triangles cannot face alike

	piece   []int32 // triangles of the piece at hand
	against int     // of these, those that face against the first
	closed  bool    // every edge of the piece has two triangles
}

// spread finds the piece of a triangle and how each triangle of it faces.
func (w *walk) spread(first int32) {
	w.piece, w.against, w.closed = append(w.piece[:0], first), 0, true
	w.facings[first] = alike
	for i := 0; i < len(w.piece); i++ {
		t := w.piece[i]
		if w.facings[t] == against {
			w.against++
		}
		for _, edge := range w.topo.TriEdge[t] {
			e := w.topo.Edges[edge]
			if e.Free() || e.More > 0 {
				w.closed = false
				continue
			}
			if next := e.Tri[0] + e.Tri[1] - t; next != t { // else a triangle folded on itself
				w.step(t, next, e)
			}
		}
	}
}

// step notes how a triangle faces whose neighbour has been noted.
func (w *walk) step(t, next int32, e Edge) {
	seen := w.facings[next] != unseen
	if seen && t > next {
		return // compared from the other side
	}
	want := w.facings[t]
	if w.m.runsAlong(t, e) == w.m.runsAlong(next, e) {
		want = alike + against - want
	}
	if !seen {
		w.facings[next] = want
		w.piece = append(w.piece, next)
	} else if w.facings[next] != want {
		w.twisted++
	}
}

// wrong tells which triangles of the piece are to be turned.
func (w *walk) wrong() facing {
	if w.closed {
		if v := w.volume(); v > 0 {
			return against
		} else if v < 0 {
			return alike
		}
	}
	if 2*w.against > len(w.piece) {
		return alike
	}
	return against
}

// volume is the volume in mm³ that a closed piece bounds, with all triangles facing as its first does.
func (w *walk) volume() float64 {
	origin := w.m.Vertices[w.m.Triangles[w.piece[0]][0]] // near by: large coordinates would blur the sum
	sum := 0.0
	for _, t := range w.piece {
		if v := w.m.cone(t, origin); w.facings[t] == alike {
			sum += v
		} else {
			sum -= v
		}
	}
	return sum / 6
}

// runsAlong reports whether a triangle's corners pass an edge from its lower vertex to its higher.
func (m *Mesh) runsAlong(t int32, e Edge) bool {
	v := m.Triangles[t]
	return v[0] == e.V[0] && v[1] == e.V[1] || v[1] == e.V[0] && v[2] == e.V[1] || v[2] == e.V[0] && v[0] == e.V[1]
}

// cone is six times the signed volume in mm³ between a triangle and a point.
func (m *Mesh) cone(t int32, point r3.Vector) float64 {
	a, b, c := m.Corners(int(t))
	a, b, c = a.Sub(point), b.Sub(point), c.Sub(point)
	return a.Dot(b.Cross(c))
}

// Volume is the volume in mm³ that a closed mesh bounds: positive when it faces outward. Of an open mesh it
// says nothing.
func (m *Mesh) Volume() float64 {
	if len(m.Triangles) == 0 {
		return 0
	}
	origin := m.Vertices[m.Triangles[0][0]]
	sum := 0.0
	for t := range m.Triangles {
		sum += m.cone(int32(t), origin)
	}
	return sum / 6
}
