package layout

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
)

// R3 is the point or direction for reckoning.
func (v Vec) R3() r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }

// VecOf is a reckoned point or direction for the plan.
func VecOf(v r3.Vector) Vec { return Vec{v.X, v.Y, v.Z} }

// R3s are points or directions for reckoning.
func R3s(list []Vec) []r3.Vector {
	out := make([]r3.Vector, len(list))
	for i, v := range list {
		out[i] = v.R3()
	}
	return out
}

// Places are those of the weld line; a closed one does not repeat its first.
func (f *Flange) Places() []Vec {
	out := make([]Vec, len(f.Line))
	for i, p := range f.Line {
		out[i] = p.At
	}
	return out
}

// Normals are the sheet normals at the points of the weld line.
func (f *Flange) Normals() []Vec {
	out := make([]Vec, len(f.Line))
	for i, p := range f.Line {
		out[i] = p.Normal
	}
	return out
}

// Curve is the weld line, with lengths along it as the finder measured them: chords between its points are a hair shorter.
func (f *Flange) Curve() *curve.Line {
	along := make([]float64, len(f.Line))
	for i, p := range f.Line {
		along[i] = p.Along
	}
	return curve.Measured(R3s(f.Places()), along, f.Length, f.Closed)
}

// Sides are the stretches of the weld line along which its sides end in the same way; one ends and the next begins half-way
// between two points.
func (f *Flange) Sides() []Side {
	var out []Side
	for i, p := range f.Line {
		n := len(out)
		if n > 0 && out[n-1].Left == p.Ends[0] && out[n-1].Right == p.Ends[1] {
			continue
		}
		from := 0.0
		if n > 0 {
			from = (f.Line[i-1].Along + p.Along) / 2
			out[n-1].To = from
		}
		out = append(out, Side{From: from, Left: p.Ends[0], Right: p.Ends[1]})
	}
	if n := len(out); n > 0 {
		out[n-1].To = f.Length
	}
	return out
}
