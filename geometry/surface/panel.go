package surface

import (
	"math"
	"slices"
	"sync"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/space"
)

// Panel is a sheet made ready for questions: tree, topology, normals.
type Panel struct {
	Sheet
	Tree      *near.Tree
	Topo      *mesh.Topology
	Normals   []r3.Vector // of triangles
	fanStart  []int32     // the triangles round vertex v are fan[fanStart[v]:fanStart[v+1]]
	Fan       []int32
	Tilt      float64 // radians by which facets are off their normals at most; infinite where one has none, and for solids
	onFree    []bool  // vertices on a free edge
	smoothCos float64
	Whole     Whole
	Workers   int    // for what is made when it is first asked for
	rim       []bool // of a closed solid's facets: is of the rim between the skins, and has no normal; nil where that is not known
	leaning   func() *near.Leaning
	bent      func() []bool
	lines     func() []FeatureLine
}

// NewPanel makes a sheet ready, of which it is known what all of it is. Facets that turn from each other by less than an angle limit, in
// degrees, are of one smooth face.
func NewPanel(s Sheet, w Whole, angleLimit float64, workers int) *Panel {
	if s.Surface == "" {
		s.Surface = Mid
	}
	m := s.Mesh
	p := &Panel{Sheet: s, Tree: near.NewOn(m, workers), Topo: w.Topo, smoothCos: kit.CosDegrees(angleLimit), Whole: w}
	if p.Topo == nil {
		p.Topo = m.Topology()
	}
	p.Normals = make([]r3.Vector, len(m.Triangles))
	for t := range m.Triangles {
		p.Normals[t] = m.Normal(t)
	}
	if p.Tilt = p.smooth(); p.Surface == Solid || slices.Contains(p.Normals, r3.Vector{}) {
		p.Tilt = math.Inf(1)
	}
	if p.Surface == Solid {
		p.tellRim(workers)
	}
	p.leaning = sync.OnceValue(func() *near.Leaning { return p.Tree.Leaning(p.Normals) })
	p.bent = sync.OnceValue(func() []bool { return p.bentFacets(max(workers, p.Workers)) })
	p.lines = sync.OnceValue(p.findLines)
	p.onFree = make([]bool, len(m.Vertices))
	for _, e := range p.Topo.Edges {
		if e.Free() {
			p.onFree[e.V[0]], p.onFree[e.V[1]] = true, true
		}
	}
	for t, is := range p.rim {
		for k := 0; is && k < 3; k++ {
			if p.Ends(int32(t), k) == region.FreeEdge {
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
	p.Fan = make([]int32, 3*len(m.Triangles))
	next := append([]int32(nil), p.fanStart...)
	for t, tri := range m.Triangles {
		for _, v := range tri {
			p.Fan[next[v]] = int32(t)
			next[v]++
		}
	}
	return p
}

// Leaning is the tree with the directions of its facets, made when it is first asked for. It may be asked for from many goroutines.
func (p *Panel) Leaning() *near.Leaning { return p.leaning() }

// BentFacets says of each facet whether it is one of a bend, told when it is first asked for. It may be asked for from many goroutines.
func (p *Panel) BentFacets() []bool { return p.bent() }

func (p *Panel) around(v int32) []int32 { return p.Fan[p.fanStart[v]:p.fanStart[v+1]] }

// CornerNormal is the normal of the smooth surface at a corner of triangle t: the mean of the triangles
// round the corner that turn away from t by less than the angle limit, weighted by their corner angles.
// A corner on a crease so has a normal for each side. Of the angles, which lie as the fan does, it fills in those that it
// needs and that are zero.
func (p *Panel) CornerNormal(t int32, corner int, angles []float64) r3.Vector {
	v := p.Mesh.Triangles[t][corner]
	own := p.Normals[t]
	sum := r3.Vector{}
	for i := p.fanStart[v]; i < p.fanStart[v+1]; i++ {
		other := p.Fan[i]
		n := p.Normals[other]
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

func (p *Panel) cornerAngle(t, v int32) float64 {
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

// side is the ends of side k of a triangle.
func (p *Panel) side(t int32, k int) (from, to r3.Vector) {
	tri := p.Mesh.Triangles[t]
	return p.Mesh.Vertices[tri[k]], p.Mesh.Vertices[tri[(k+1)%3]]
}

// MostMetal is what of a sheet's metal may lie before its mesh; of a solid's skin half as much is taken, as of a mid-surface.
func (p *Panel) MostMetal() float64 {
	switch {
	case p.Surface == Skin && p.Face == Faying:
		return 0
	case p.Surface == Skin:
		return p.Thickness
	}
	return p.Thickness / 2
}

// GreatestMetal is what of a sheet's metal lies on one side of its mesh at most, whichever face of the sheet that is.
func (p *Panel) GreatestMetal() float64 {
	if p.Surface == Mid {
		return p.Thickness / 2
	}
	return p.Thickness
}

// Facet is the place of another sheet's parallel facet straight above or below the centre of a triangle, and the way to it.
func (p *Panel) Facet(t int32, other *Panel, within, cosLimit float64) (near.Hit, r3.Vector, bool) {
	center, normal := p.Center(t), p.Normals[t]
	hit, ok := other.ParallelTo(normal, center, within, cosLimit)
	d := hit.Point.Sub(center)
	return hit, d, ok && d.Sub(normal.Mul(d.Dot(normal))).Norm() <= 0.2*hit.Distance+kit.Rounding
}

// BoxOf is the box of a triangle.
func (p *Panel) BoxOf(t int32) space.Box { return space.BoxOf(p.Mesh.Corners(int(t))) }

// Center of a triangle.
func (p *Panel) Center(t int32) r3.Vector {
	a, b, c := p.Mesh.Corners(int(t))
	return a.Add(b).Add(c).Mul(1. / 3)
}

// ParallelTo finds the sheet's nearest facet that is parallel to a surface at p with normal n.
func (p *Panel) ParallelTo(n, at r3.Vector, within, cosLimit float64) (near.Hit, bool) {
	return p.Tree.ClosestAmong(at, within, func(tri int32) bool { return math.Abs(p.Normals[tri].Dot(n)) >= cosLimit })
}
