// Package reduce makes meshes lighter without moving their surface by more than a stated distance, for pictures.
//
// Vertices are taken out one by one: each is pulled onto a neighbour, and the hole that it leaves is closed from there. Which
// neighbour, and how soon, follows from the mean squared distance of the neighbour to the planes of the original facets that went
// into the vertex (M. Garland and P. Heckbert, Surface simplification using quadric error metrics, SIGGRAPH 1997). That distance
// stays within the stated error, and beyond it three things are checked: what was taken out before is carried along, each place by
// the facet that is nearest to it, and stays within the error; so do the new facets' middles, and the middles of the edges that go.
//
// Free edges and creases are the mesh's lines. A vertex of a line is pulled along that line only, one where lines meet or end stays,
// and what was taken out of a line stays within the error of the line. So holes, notches and edges are kept, and the lines are
// those of the original: no crease is drawn between two facets of what was smooth.
//
//	light, err := reduce.To(ctx, m, 0.05, 0.5) // light[0] within 0.05 mm, light[1] within 0.5
package reduce

import (
	"context"
	"fmt"
	"math"
	"slices"

	"seamwright/geometry/mesh"
)

// Light is a mesh made lighter.
type Light struct {
	Mesh  *mesh.Mesh
	Lines [][2]int32 // free edges and creases, by their vertices
	Off   float64    // mm: what was taken out is off the mesh by this much at most
}

// To makes a mesh lighter, within each of the errors in mm, which rise: all that follow go on from the one before. Vertices and
// facets that are left keep their order. It fails on errors that are no lengths or do not rise, and when the context ends.
func To(ctx context.Context, m *mesh.Mesh, within ...float64) ([]Light, error) {
	for i, w := range within {
		if !(w >= 0) || math.IsInf(w, 1) || i > 0 && w < within[i-1] {
			return nil, fmt.Errorf("reduce %s: %g mm are no errors to stay within, one after the other", m.Name, within)
		}
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	j := newJob(m)
	out := make([]Light, len(within))
	for i, w := range within {
		if err := j.thin(ctx, w); err != nil {
			return nil, err
		}
		out[i] = j.light(m.Name)
	}
	return out, nil
}

// Shares of the error that vertices are taken out for, one after the other: what costs least goes first. Chosen.
var shares = []float64{1.0 / 64, 1.0 / 8, 1.0 / 2, 1}

// enough is the share of vertices that a pass must take out for another one to follow. Chosen.
const enough = 0.002

// thin takes out all that it can.
func (j *job) thin(ctx context.Context, within float64) error {
	j.within = within
	for i := range j.due {
		j.due[i] = true
	}
	for _, share := range shares {
		j.most = math.Pow(share*within, 2)
		for {
			taken, err := j.pass(ctx)
			if err != nil {
				return err
			}
			if float64(taken) <= enough*float64(j.left) {
				break
			}
		}
	}
	return nil
}

// pass looks at each vertex once, in an order that jumps about, so that no long fans grow along a sweep.
func (j *job) pass(ctx context.Context) (taken int, err error) {
	n := len(j.at)
	step := stride(n)
	for i, v := 0, 0; i < n; i, v = i+1, (v+step)%n {
		if i%256 == 0 && ctx.Err() != nil {
			return taken, ctx.Err()
		}
		if len(j.around[v]) > 0 && (j.due[v] || j.cost[v] <= j.most) && j.take(int32(v)) {
			taken++
		}
	}
	return taken, nil
}

// stride has no divisor in common with n and is near its golden section.
func stride(n int) int {
	s := max(1, int(float64(n)*0.618))
	for divisor(s, n) > 1 {
		s++
	}
	return s
}

func divisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// take takes a vertex out if that may be done at the cost that is due. Else it says what the least would be.
func (j *job) take(v int32) bool {
	j.due[v] = false
	j.cost[v] = math.Inf(1)
	ways := j.ways(v)
	for _, w := range ways {
		if w.cost > j.most {
			j.cost[v] = w.cost // to be looked at again when more is allowed
			return false
		}
		if j.allowed(v, w.to) {
			j.pull(v, w.to)
			return true
		}
	}
	return false // until something changes about it
}

// light is the mesh as it is.
func (j *job) light(name string) Light {
	out := Light{Mesh: &mesh.Mesh{Name: name}, Off: j.off}
	index := make([]int32, len(j.at))
	for v := range j.at {
		index[v] = int32(len(out.Mesh.Vertices))
		if len(j.around[v]) > 0 {
			out.Mesh.Vertices = append(out.Mesh.Vertices, j.at[v].Add(j.origin))
		}
	}
	for t, f := range j.facets {
		if !j.gone[t] {
			out.Mesh.Triangles = append(out.Mesh.Triangles, [3]int32{index[f[0]], index[f[1]], index[f[2]]})
		}
	}
	for e := range j.between {
		out.Lines = append(out.Lines, [2]int32{index[e[0]], index[e[1]]})
	}
	slices.SortFunc(out.Lines, func(a, b [2]int32) int { return slices.Compare(a[:], b[:]) })
	return out
}
