package flange

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// panel is a sheet made ready for questions: tree, topology, normals.
type panel struct {
	Sheet
	tree      *near.Tree
	topo      *mesh.Topology
	normals   []r3.Vector // of triangles
	fanStart  []int32     // the triangles round vertex v are fan[fanStart[v]:fanStart[v+1]]
	fan       []int32
	onFree    []bool // vertices on a free edge
	smoothCos float64
	loose     bool   // the panel is of several pieces, which may lie on both sides of another
	rim       []bool // of a closed solid's facets: is of the rim between the skins, and has no normal; nil where that is not known
	bent      []bool // facets: of a bend; nil until it is asked for, by the finder that has the panel as its host
}

func newPanel(s Sheet, opt Options) *panel {
	if s.Surface == "" {
		s.Surface = Mid
	}
	m := s.Mesh
	p := &panel{Sheet: s, tree: near.NewOn(m, opt.Workers), topo: m.Topology(), smoothCos: cosDegrees(opt.AngleLimit)}
	p.normals = make([]r3.Vector, len(m.Triangles))
	for t := range m.Triangles {
		p.normals[t] = m.Normal(t)
	}
	p.smooth()
	if p.Surface == Solid {
		p.tellRim(opt.Workers)
	}
	p.onFree = make([]bool, len(m.Vertices))
	for _, e := range p.topo.Edges {
		if e.Free() {
			p.onFree[e.V[0]], p.onFree[e.V[1]] = true, true
		}
	}
	for t, is := range p.rim {
		for k := 0; is && k < 3; k++ {
			if p.ends(int32(t), k) == FreeEdge {
				tri := p.Mesh.Triangles[t]
				p.onFree[tri[k]], p.onFree[tri[(k+1)%3]] = true, true
			}
		}
	}
	p.fanStart = make([]int32, len(m.Vertices)+1)
	for _, tri := range m.Triangles {
		for _, v := range tri {
			p.fanStart[v+1]++
		}
	}
	for v := range m.Vertices {
		p.fanStart[v+1] += p.fanStart[v]
	}
	p.fan = make([]int32, 3*len(m.Triangles))
	next := append([]int32(nil), p.fanStart...)
	for t, tri := range m.Triangles {
		for _, v := range tri {
			p.fan[next[v]] = int32(t)
			next[v]++
		}
	}
	return p
}

func (p *panel) around(v int32) []int32 { return p.fan[p.fanStart[v]:p.fanStart[v+1]] }

// cornerNormal is the normal of the smooth surface at a corner of triangle t: the mean of the triangles
// round the corner that turn away from t by less than the angle limit, weighted by their corner angles.
// A corner on a crease so has a normal for each side. Of the angles, which lie as the fan does, it fills in those that it
// needs and that are zero.
func (p *panel) cornerNormal(t int32, corner int, angles []float64) r3.Vector {
	v := p.Mesh.Triangles[t][corner]
	own := p.normals[t]
	sum := r3.Vector{}
	for i := p.fanStart[v]; i < p.fanStart[v+1]; i++ {
		other := p.fan[i]
		n := p.normals[other]
		c := n.Dot(own)
		if math.Abs(c) < p.smoothCos {
			continue
		}
		if c < 0 { // a flipped neighbour
			n = n.Mul(-1)
		}
		if angles[i] == 0 {
			angles[i] = p.cornerAngle(other, v)
		}
		sum = sum.Add(n.Mul(angles[i]))
	}
	if l := sum.Norm(); l > 0 {
		return sum.Mul(1 / l)
	}
	return own
}

func (p *panel) cornerAngle(t, v int32) float64 {
	tri := p.Mesh.Triangles[t]
	for k := range 3 {
		if tri[k] == v {
			at := p.Mesh.Vertices[v]
			u, w := p.Mesh.Vertices[tri[(k+1)%3]].Sub(at), p.Mesh.Vertices[tri[(k+2)%3]].Sub(at)
			return math.Atan2(u.Cross(w).Norm(), u.Dot(w))
		}
	}
	return 0
}

// metal says how much of the sheet lies behind and before its mesh surface, seen along an axis; facing says that the surface
// met is the one turned against the axis (it matters for solids only). A skin's is as stated, all of it on either side.
func (s Sheet) metal(facing bool) (behind, before float64) {
	t := s.Thickness
	switch {
	case s.Surface == Solid && facing:
		return 0, t
	case s.Surface == Solid:
		return t, 0
	case s.Surface == Skin && s.Face == Outer:
		return t, t
	case s.Surface == Skin:
		return 0, 0
	}
	return t / 2, t / 2
}

func cosDegrees(a float64) float64 { return math.Cos(a * math.Pi / 180) }

// ends says what side k of triangle t is to the sheet: a free edge, or an edge with metal on both sides.
// A solid has no open edges: there the free edge is where a skin meets the narrow rim of the sheet.
func (p *panel) ends(t int32, k int) Edge {
	other := p.topo.Across(t, k)
	switch {
	case other == mesh.None:
		return FreeEdge
	case p.Surface != Solid:
		return UnknownEnd
	case p.rim != nil && p.rim[t] != p.rim[other]:
		return FreeEdge
	case p.rim == nil && p.turnsToRim(t, other, k):
		return FreeEdge
	}
	return UnknownEnd
}

// turnsToRim says whether one of two facets with side k of the first between them stands on the other as a rim does: at more
// than 60 degrees, and about as wide as the sheet is thick.
func (p *panel) turnsToRim(t, other int32, k int) bool {
	const rimCosine, rimWidth = 0.5, 1.6
	if math.Abs(p.normals[t].Dot(p.normals[other])) >= rimCosine {
		return false
	}
	from, to := p.side(t, k)
	edge := math.Max(to.Sub(from).Norm(), 1e-12)
	for _, x := range [2]int32{t, other} {
		if a, b, c := p.Mesh.Corners(int(x)); b.Sub(a).Cross(c.Sub(a)).Norm() <= rimWidth*p.Thickness*edge {
			return true
		}
	}
	return false
}
