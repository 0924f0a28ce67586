package contact

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
)

const (
	sliverStep  = 1.0 // mm between the places of a border at which it is asked how wide the region is
	leastSliver = 12. // mm along a border: a shorter one is the tip of an end cut askew
)

// across is what lies inward of a place of a border where another sheet begins.
type across struct {
	at, along, in r3.Vector // the place, the border's direction, the way across, both of length 1
	length        float64   // mm of the border about the place
	width         float64   // mm of the region there; infinite where no sheet begins, or it is not narrow
}

// Slivers are the triangles of a region that lie in its slivers: beside a sheet that begins within a flange, what is left of it along its
// edge is narrower than a flange's least width, in mm, and a line would run from the flange into it. The second result is those that lie in
// none; both are nil where no sheet begins.
func (r *Lap) Slivers(loops [][]int32, width float64) (in, out []int32) {
	begins := func(v int32) bool { return r.Borders[v].Cut && r.Borders[v].Why == region.StackEnds }
	if !slices.ContainsFunc(loops, func(loop []int32) bool { return slices.ContainsFunc(loop, begins) }) {
		return nil, nil
	}
	sides := map[uint64]int32{} // the triangles at border edges
	for t, tri := range r.Mesh.Triangles {
		for k := range 3 {
			if r.Topo.Across(int32(t), k) == mesh.None {
				sides[kit.WayKey(tri[k], tri[(k+1)%3])] = int32(t)
			}
		}
	}
	var narrow []across
	for _, loop := range loops {
		narrow = append(narrow, r.narrowAlong(loop, sides, width)...)
	}
	for t := range r.Mesh.Triangles {
		a, b, c := r.Mesh.Corners(t)
		middle := a.Add(b).Add(c).Mul(1. / 3)
		if slices.ContainsFunc(narrow, func(x across) bool { return x.holds(middle) }) {
			in = append(in, int32(t))
		} else {
			out = append(out, int32(t))
		}
	}
	return in, out
}

// holds says whether a place lies before one of a border, within the width there.
func (x *across) holds(p r3.Vector) bool {
	d := p.Sub(x.at)
	depth := d.Dot(x.in)
	return math.Abs(d.Dot(x.along)) <= sliverStep && depth > -sliverStep && depth < x.width+sliverStep
}

// narrowAlong are the places of a loop's long stretches beside another sheet at which the region is too narrow for a flange.
func (r *Lap) narrowAlong(loop []int32, sides map[uint64]int32, width float64) (narrow []across) {
	var around []across
	for i, from := range loop {
		to := loop[(i+1)%len(loop)]
		if r.End(from, to).Why == region.StackEnds {
			around = r.acrossEdge(around, from, to, sides[kit.WayKey(from, to)], width)
		} else {
			around = append(around, across{width: math.Inf(1)})
		}
	}
	isWide := func(x across) bool { return !(x.width < width) }
	start := max(0, slices.IndexFunc(around, isWide)) // a stretch may go on where the loop begins
	var stretch []across
	length := 0.0
	keep := func() {
		if length >= leastSliver {
			narrow = append(narrow, stretch...)
		}
		stretch, length = stretch[:0], 0
	}
	for i := range around {
		if x := around[(start+i)%len(around)]; isWide(x) {
			keep()
		} else {
			stretch, length = append(stretch, x), length+x.length
		}
	}
	keep()
	return narrow
}

// acrossEdge adds the places of a border edge of a triangle.
func (r *Lap) acrossEdge(out []across, from, to, tri int32, width float64) []across {
	a, b := r.Mesh.Vertices[from], r.Mesh.Vertices[to]
	along, third := b.Sub(a), r.Mesh.Vertices[r.Mesh.Third(mesh.Edge{V: [2]int32{from, to}}, tri)].Sub(a)
	size := along.Norm()
	in := third.Sub(along.Mul(third.Dot(along) / along.Norm2())).Normalize()
	for steps, k := math.Ceil(size/sliverStep), 0.5; k < steps; k++ {
		x := across{at: a.Add(along.Mul(k / steps)), along: along.Mul(1 / size), in: in, length: size / steps, width: math.Inf(1)}
		if trace := r.Trace(region.Place{Point: x.at, Tri: tri}, x.along, in, width); trace.Ok {
			x.width = trace.Length
		}
		out = append(out, x)
	}
	return out
}
