package surface

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// FeatureLine is an edge of the mesh at which a flat of the sheet ends: a free edge, where a bend begins, a crease.
type FeatureLine struct {
	From, To r3.Vector
	Normal   r3.Vector // unit, of the flat that ends there; zero where it has none, and where several or none end
	Bend     r3.Vector // unit, square to it, along the first facet of the bend that begins there; zero where none does
	Turn     r3.Vector // unit, along the normal, to the side to which the sheet turns; zero but at a bend or a crease
}

// FeatureLines is all of them, told when they are first asked for. They may be asked for from many goroutines.
func (p *Panel) FeatureLines() []FeatureLine { return p.lines() }

func (p *Panel) findLines() (out []FeatureLine) {
	bent := p.BentFacets()
	for i := range p.Topo.Edges {
		e := &p.Topo.Edges[i]
		var line FeatureLine
		ok := true
		if flat := p.endingAt(int32(i)); flat != mesh.None {
			if e.More == 0 {
				line.Normal = p.Normals[flat]
			}
		} else {
			line, ok = p.turningAt(e, bent)
		}
		if ok {
			line.From, line.To = p.Mesh.Vertices[e.V[0]], p.Mesh.Vertices[e.V[1]]
			out = append(out, line)
		}
	}
	return out
}

// endingAt is a facet that ends at an edge, or None: of a solid's skin and rim, the skin's.
func (p *Panel) endingAt(edge int32) int32 {
	e := &p.Topo.Edges[edge]
	if !e.Free() && e.More == 0 && !p.isRim(edge) {
		return mesh.None
	}
	if p.Normals[e.Tri[0]] == (r3.Vector{}) && !e.Free() {
		return e.Tri[1]
	}
	return e.Tri[0]
}

// turningAt is a line where a bend begins, or where two flats meet at more than the angle limit.
func (p *Panel) turningAt(e *mesh.Edge, bent []bool) (line FeatureLine, ok bool) {
	flat, other := e.Tri[0], e.Tri[1]
	if bent[flat] {
		flat, other = other, flat
	}
	n, m := p.Normals[flat], p.Normals[other]
	if bent[flat] || n == (r3.Vector{}) || m == (r3.Vector{}) || !bent[other] && math.Abs(n.Dot(m)) >= p.smoothCos {
		return line, false
	}
	along := p.Mesh.Vertices[e.V[1]].Sub(p.Mesh.Vertices[e.V[0]])
	into := p.Center(other).Sub(p.Mesh.Vertices[e.V[0]])
	line.Turn = n.Mul(math.Copysign(1, into.Dot(n)))
	if bent[other] {
		line.Normal = n
		line.Bend = into.Sub(along.Mul(into.Dot(along) / along.Norm2())).Normalize()
	}
	return line, true
}
