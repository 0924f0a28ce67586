package view

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// bundleSize is how many features make a bundle. They follow each other in the mesh, so mostly lie side by side.
const bundleSize = 64

// bundle is what features that follow each other have in common, so that many of them need not be looked at one by one.
type bundle struct {
	box    space.Box // of their ends
	cone   cone      // of the smooth ones
	smooth bool      // all are
}

// cone holds the normals of both triangles of smooth edges, each pair turned the way of the others. Seen from where the cone
// does not lie edge-on, none of the edges is a silhouette.
type cone struct {
	axis r3.Vector // zero: of no use
	sine float64   // of the angle between the axis and the normal farthest from it
}

// edgeOn is how much nearer to edge-on a cone may be, as a sine, for what the numbers are rounded by.
const edgeOn = 1e-3

// turnsNone reports whether no edge of the cone is a silhouette when looked at along look.
func (c cone) turnsNone(look r3.Vector) bool { return math.Abs(c.axis.Dot(look)) > c.sine+edgeOn }

func (p *edges) bundles(features []feature) []bundle {
	var out []bundle
	for part := range slices.Chunk(features, bundleSize) {
		b := bundle{box: space.EmptyBox(), cone: p.cone(part), smooth: true}
		for _, f := range part {
			b.box = b.box.Add(p.Vertices[f.v[0]]).Add(p.Vertices[f.v[1]])
			b.smooth = b.smooth && f.kind == smooth
		}
		out = append(out, b)
	}
	return out
}

func (p *edges) cone(features []feature) cone {
	var normals [2 * bundleSize]r3.Vector
	n, sum := 0, r3.Vector{}
	for _, f := range features {
		if f.kind != smooth {
			continue
		}
		a, b := p.normals[f.tri[0]], p.normals[f.tri[1]]
		if p.sameWay(f.v, f.tri) {
			b = b.Mul(-1)
		}
		if a.Dot(sum) < 0 {
			a, b = a.Mul(-1), b.Mul(-1)
		}
		normals[n], normals[n+1] = a, b
		n, sum = n+2, sum.Add(a).Add(b)
	}
	if n == 0 {
		return cone{}
	}
	c, least := cone{axis: sum.Normalize()}, 1.0
	for _, v := range normals[:n] {
		least = min(least, v.Dot(c.axis))
	}
	if least <= 0 {
		return cone{}
	}
	c.sine = math.Sqrt(max(0, 1-float64(least*least)))
	return c
}
