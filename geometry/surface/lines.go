package surface

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
)

// FeatureLine is a piece of a line at which a flat of the sheet ends: a free edge, where a bend begins, a crease; or of a fold within
// a bend.
type FeatureLine struct {
	At     r3.Vector // its middle
	Along  r3.Vector // unit
	Normal r3.Vector // unit, of the facet on one side, the flat; zero where no facet has one
	Bend   r3.Vector // unit, square to it, along the first facet of the bend that begins there; zero where none does
	Turn   r3.Vector // unit, along the normal, to the side to which the sheet turns; zero but at a bend
	Within bool      // lies within a bend
}

// longestPiece of a feature line, mm.
const longestPiece = region.Fine

// FeatureLines is all of them, told when they are first asked for. They may be asked for from many goroutines.
func (p *Panel) FeatureLines() []FeatureLine { return p.lines() }

func (p *Panel) findLines() (out []FeatureLine) {
	bent := p.BentFacets()
	for i := range p.Topo.Edges {
		e := &p.Topo.Edges[i]
		line, ok := FeatureLine{}, true
		if flat := p.endingAt(e); flat != mesh.None {
			line.Normal = p.Normals[flat]
		} else {
			line, ok = p.turningAt(e, bent)
		}
		if ok {
			out = appendPieces(out, line, p.Mesh.Vertices[e.V[0]], p.Mesh.Vertices[e.V[1]])
		}
	}
	return out
}

// endingAt is a facet that ends at an edge, or None: of a solid's skin and rim, the skin's.
func (p *Panel) endingAt(e *mesh.Edge) int32 {
	if !e.Free() && e.More == 0 && p.Surface != Solid {
		return mesh.None
	}
	t := e.Tri[0]
	for k := range 3 {
		if p.Mesh.Triangles[t][k] != e.V[0] && p.Mesh.Triangles[t][k] != e.V[1] {
			if k = (k + 1) % 3; p.Ends(t, k) != region.FreeEdge && e.More == 0 {
				return mesh.None
			}
			break
		}
	}
	if p.Normals[t] == (r3.Vector{}) && !e.Free() {
		return e.Tri[1]
	}
	return t
}

// turningAt is a line where a bend begins or goes on, or where two flats meet at more than the angle limit.
func (p *Panel) turningAt(e *mesh.Edge, bent []bool) (line FeatureLine, ok bool) {
	flat, other := e.Tri[0], e.Tri[1]
	if bent[flat] {
		flat, other = other, flat
	}
	line.Normal, line.Within = p.Normals[flat], bent[flat]
	if !bent[other] {
		turned := p.Normals[flat].Dot(p.Normals[other])
		return line, math.Abs(turned) < p.smoothCos && turned != 0
	}
	along := p.Mesh.Vertices[e.V[1]].Sub(p.Mesh.Vertices[e.V[0]])
	into := p.Center(other).Sub(p.Mesh.Vertices[e.V[0]])
	line.Turn = line.Normal.Mul(math.Copysign(1, into.Dot(line.Normal)))
	if !line.Within {
		line.Bend = into.Sub(along.Mul(into.Dot(along) / along.Norm2())).Normalize()
	}
	return line, true
}

// appendPieces adds a line from one place to another, in pieces of equal length.
func appendPieces(out []FeatureLine, line FeatureLine, from, to r3.Vector) []FeatureLine {
	way := to.Sub(from)
	length := way.Norm()
	if !(length > 0) {
		return out
	}
	line.Along = way.Mul(1 / length)
	n := math.Ceil(length / longestPiece)
	for i := 0.5; i < n; i++ {
		line.At = from.Add(way.Mul(i / n))
		out = append(out, line)
	}
	return out
}
