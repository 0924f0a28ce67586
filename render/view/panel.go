// Package view draws panels as lines: orthographic views with everything hidden left out, found with a depth
// buffer as fine as print. From where to look, so that every weld is seen, is chosen by render/sight.
//
//	roof := view.NewPanel("roof", near.NewShape(roofMesh), 0.9)
//	rail := view.NewPanel("rail", near.NewShape(railMesh), 1.2)
//	picture, err := view.Draw(ctx, []view.Panel{roof, rail}, direction, view.Options{Pixel: 2}) // 0.2 mm on paper at 1:10
//
// Everything is in millimetres of the shell, not of paper. In a view x is to the right, y up, and depth
// grows away from the viewer.
package view

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

// Angles and radii that make an edge of a mesh a line of the drawing. Common practice, no source: a pressed
// corner is sharper than creaseAngle in one step of its mesh or bent to less than bendRadius; a curved skin
// is neither.
const (
	creaseAngle = 25.0 // degrees between the two triangles
	bendRadius  = 12.0 // mm
	bendAngle   = 3.0  // degrees; less is the mesher's noise
)

// Panel is one panel ready to be drawn: its mesh in place, and the mesh edges that may become lines.
type Panel struct {
	ID        string
	Thickness float64 // mm
	shape     *near.Shape
	clusters  []cluster
	features  []feature
	bundles   []bundle // of each bundleSize features
}

// cluster is triangles that lie together, so that what of them is out of sight is known without looking at each.
type cluster struct {
	box       space.Box
	triangles []int32
	vertices  []int32    // theirs, each once
	corners   [][3]uint8 // of each triangle, by their places in vertices
}

// clusterSize is how many triangles are looked at together at most. Twice as many or half as many take as long.
const clusterSize = 32

// edges is what is known of a panel while its features are picked.
type edges struct {
	*mesh.Mesh
	normals []r3.Vector
	angles  []float64 // of each edge of the topology, see dihedral
}

// feature is a mesh edge that is drawn always (free, crease, bend) or where it is a silhouette (smooth).
type feature struct {
	v    [2]int32
	tri  [2]int32 // second is mesh.None on a free edge
	kind featureKind
}

type featureKind uint8

const (
	free featureKind = iota
	crease
	bend
	smooth
)

// NewPanel prepares a panel. The mesh is read only, and must not change while the panel is in use. Its faces must
// share their vertices, as mesh.Read sees to: an edge that only one triangle has is drawn as the sheet's edge.
func NewPanel(id string, shape *near.Shape, thickness float64) Panel {
	m := shape.Mesh
	p := edges{Mesh: m, normals: make([]r3.Vector, len(m.Triangles))}
	for t := range m.Triangles {
		p.normals[t] = m.Normal(t)
	}
	topo := shape.Topology()
	p.angles = make([]float64, len(topo.Edges))
	for i, e := range topo.Edges {
		if !e.Free() {
			p.angles[i] = p.dihedral(e)
		}
	}
	bent := p.bentTriangles(topo)
	features := make([]feature, 0, len(topo.Edges))
	for i, e := range topo.Edges {
		if kind, drawn := p.edgeKind(e, p.angles[i], bent); drawn {
			features = append(features, feature{e.V, e.Tri, kind})
		}
	}
	features = slices.Clone(features)
	return Panel{ID: id, Thickness: thickness, shape: shape, clusters: clusters(shape), features: features, bundles: p.bundles(features)}
}

// Mesh is the panel's mesh, in its place; it must not be changed.
func (p Panel) Mesh() *mesh.Mesh { return p.shape.Mesh }

// Tree is the tree over the panel's triangles.
func (p *Panel) Tree() *near.Tree { return p.shape.Tree() }

func clusters(shape *near.Shape) []cluster {
	var out []cluster
	var ends []int // of the vertices of each: all lie in one list, as do the corners, so that they are few things to the collector
	m := shape.Mesh
	vertices, corners := make([]int32, 0, len(m.Triangles)), make([][3]uint8, 0, len(m.Triangles))
	shape.Tree().Groups(clusterSize, 0, func(triangles []int32) {
		box, own := space.EmptyBox(), len(vertices)
		for _, t := range triangles {
			var corner [3]uint8
			for k, v := range m.Triangles[t] {
				at := slices.Index(vertices[own:], v)
				if at < 0 {
					at, vertices = len(vertices)-own, append(vertices, v)
					box.Hold(m.Vertices[v])
				}
				corner[k] = uint8(at)
			}
			corners = append(corners, corner)
		}
		out, ends = append(out, cluster{box: box, triangles: triangles}), append(ends, len(vertices))
	})
	from := 0
	for i := range out {
		c := &out[i]
		c.vertices, from = vertices[from:ends[i]], ends[i]
		c.corners, corners = corners[:len(c.triangles)], corners[len(c.triangles):]
	}
	return out
}

// edgeKind says what an edge may be drawn as. Flat and degenerate ones are never drawn.
func (p *edges) edgeKind(e mesh.Edge, angle float64, bent []bool) (featureKind, bool) {
	switch {
	case e.Free():
		return free, true
	case e.More > 0 || angle > creaseAngle:
		return crease, true
	case bent[e.Tri[0]] != bent[e.Tri[1]] && !p.narrow(e, bent):
		return bend, true
	case angle > 0.05:
		return smooth, true
	}
	return smooth, false
}

// narrow reports whether the unbent triangle of a bend's edge is a sliver within the bend: then the bend goes on.
func (p *edges) narrow(e mesh.Edge, bent []bool) bool {
	t := e.Tri[0]
	if bent[t] {
		t = e.Tri[1]
	}
	return p.height(t, e) < 0.5
}

// dihedral is the angle in degrees by which the sheet turns at an edge, whichever way round the two
// triangles are; zero when either has no area.
func (p *edges) dihedral(e mesh.Edge) float64 {
	n, m := p.normals[e.Tri[0]], p.normals[e.Tri[1]]
	if n == (r3.Vector{}) || m == (r3.Vector{}) {
		return 0
	}
	if p.sameWay(e.V, e.Tri) {
		m = m.Mul(-1)
	}
	return math.Atan2(n.Cross(m).Norm(), n.Dot(m)) * 180 / math.Pi
}

// sameWay reports whether both triangles run along the edge in the same sense: then one of them is flipped.
func (p *edges) sameWay(edge, tri [2]int32) bool {
	return runsAlong(p.Triangles[tri[0]], edge) == runsAlong(p.Triangles[tri[1]], edge)
}

func runsAlong(tri [3]int32, v [2]int32) bool {
	k := slices.Index(tri[:], v[0])
	return k >= 0 && tri[(k+1)%3] == v[1]
}

// bentTriangles marks triangles that belong to a bend: the sheet turns at one of their edges within so
// short a way that the radius is small.
func (p *edges) bentTriangles(topo *mesh.Topology) []bool {
	bent := make([]bool, len(p.Triangles))
	for i, e := range topo.Edges {
		if e.Free() {
			continue
		}
		angle := p.angles[i]
		if angle < bendAngle || angle > creaseAngle {
			continue
		}
		way := (p.height(e.Tri[0], e) + p.height(e.Tri[1], e)) / 2
		if way < bendRadius*angle*math.Pi/180 {
			for _, t := range e.Tri {
				// a wide triangle beside a narrow one is the flat next to the bend
				if p.height(t, e) < 2*bendRadius*angle*math.Pi/180 {
					bent[t] = true
				}
			}
		}
	}
	return p.spread(topo, bent)
}

// spread makes the other half of a bent square bent too: the two triangles on either side of a diagonal.
func (p *edges) spread(topo *mesh.Topology, bent []bool) []bool {
	out := slices.Clone(bent)
	for i, e := range topo.Edges {
		if e.Free() || bent[e.Tri[0]] == bent[e.Tri[1]] || p.angles[i] > bendAngle {
			continue
		}
		if p.longest(e.Tri[0], e) && p.longest(e.Tri[1], e) {
			out[e.Tri[0]], out[e.Tri[1]] = true, true
		}
	}
	return out
}

// longest reports whether an edge is the longest one of a triangle.
func (p *edges) longest(t int32, e mesh.Edge) bool {
	a, b, c := p.Corners(int(t))
	most := max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2())
	return p.Vertices[e.V[0]].Sub(p.Vertices[e.V[1]]).Norm2() >= most*(1-1e-9)
}

// height is how far triangle t reaches from the edge.
func (p *edges) height(t int32, e mesh.Edge) float64 {
	a, b := p.Vertices[e.V[0]], p.Vertices[e.V[1]]
	length := b.Sub(a).Norm()
	if length == 0 {
		return 0
	}
	x, y, z := p.Corners(int(t))
	return y.Sub(x).Cross(z.Sub(x)).Norm() / length
}
