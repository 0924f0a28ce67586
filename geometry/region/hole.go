package region

import (
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
)

// Hole is an opening within a strip. What reaches into it from a side is a Notch.
type Hole struct {
	Center r3.Vector
	Radius float64 // mm: of the least circle about Center that holds the opening
}

// crumb is the area up to which a gap in a strip that no free edge bounds is a fault of the mesh, mm².
const crumb = 4.

// IsCrumb says whether a small loop is a place where the mesh is uneven rather than an opening.
func (r *Region) IsCrumb(loop []int32) bool {
	if r.LoopArea(loop) > crumb {
		return false
	}
	for i, a := range loop {
		if r.End(a, loop[(i+1)%len(loop)]).Why == FreeEdge {
			return false
		}
	}
	return true
}

// Hole measures the opening in a loop.
func (r *Region) Hole(loop []int32) Hole {
	center := r.amid(loop)
	out := Hole{Center: center}
	for _, v := range loop {
		out.Radius = math.Max(out.Radius, r.Mesh.Vertices[v].Sub(center).Norm())
	}
	return out
}

// amid is the mean of the corners of a loop.
func (r *Region) amid(loop []int32) r3.Vector {
	sum := r3.Vector{}
	for _, v := range loop {
		sum = sum.Add(r.Mesh.Vertices[v])
	}
	return sum.Mul(1 / float64(len(loop)))
}

const (
	mostEars = 400 // corners of a loop at most that is filled ear by ear, which takes the square of them and more
	Oblong   = 0.5 // of the circle about it an opening fills at most that is filled so
)

// Fill closes a loop, metal on its left, with a fan about its middle; a long and narrow one with triangles across it. They
// are cut fine, but for the sides that the metal has. Where the loop is only a stretch of border, it has not the way from end to end.
func (r *Region) Fill(loop []int32, opening, isLong, isStretch bool) {
	first := len(r.Mesh.Triangles)
	var metal kit.EdgeTable
	for i := kit.CountIf(isStretch); i < len(loop); i++ {
		metal.Set(kit.EdgeKey(loop[(i+len(loop)-1)%len(loop)], loop[i]), 0)
	}
	r.close(loop, opening, isLong)
	p := &Patch{Points: r.Mesh.Vertices, Normals: r.Normals, Tris: slices.Clone(r.Mesh.Triangles[first:])}
	if p.CutFine(context.Background(), func(a, b int32) bool {
		_, is := metal.Get(kit.EdgeKey(a, b))
		return !is
	}) != nil {
		return // it stays as it is
	}
	r.Mesh.Vertices, r.Normals = p.Points, p.Normals
	for len(r.Borders) < len(p.Points) {
		r.Borders = append(r.Borders, Border{Whose: -1})
	}
	r.Mesh.Triangles, r.Filled = r.Mesh.Triangles[:first], r.Filled[:first]
	for _, t := range p.Tris {
		r.add(t, opening)
	}
}

// close puts triangles between the corners of a loop.
func (r *Region) close(loop []int32, opening, isLong bool) {
	rest := slices.Clone(loop)
	if isLong && len(rest) <= mostEars {
		for flat := r.flattened(rest); len(rest) > 3; {
			i := bestEar(flat)
			if i < 0 {
				break
			}
			n := len(rest)
			r.add([3]int32{rest[(i+1)%n], rest[i], rest[(i+n-1)%n]}, opening)
			rest, flat = slices.Delete(rest, i, i+1), slices.Delete(flat, i, i+1)
		}
	}
	if len(rest) == 3 {
		r.add([3]int32{rest[2], rest[1], rest[0]}, opening)
		return
	}
	normal := r3.Vector{}
	for _, v := range rest {
		normal = normal.Add(r.Normals[v])
	}
	middle := int32(len(r.Mesh.Vertices))
	r.Mesh.Vertices, r.Normals, r.Borders = append(r.Mesh.Vertices, r.amid(rest)), append(r.Normals, normal.Normalize()),
		append(r.Borders, Border{Whose: -1})
	for k, v := range rest {
		r.add([3]int32{rest[(k+1)%len(rest)], v, middle}, opening)
	}
}

func (r *Region) add(t [3]int32, opening bool) {
	r.Mesh.Triangles, r.Filled = append(r.Mesh.Triangles, t), append(r.Filled, opening)
}

// flattened is a loop as seen along its mean normal, the opening on the left.
func (r *Region) flattened(loop []int32) []r2.Point {
	o, normal := r.Mesh.Vertices[loop[0]], r3.Vector{}
	for i := 1; i+1 < len(loop); i++ {
		normal = normal.Add(r.Mesh.Vertices[loop[i]].Sub(o).Cross(r.Mesh.Vertices[loop[i+1]].Sub(o)))
	}
	normal = normal.Normalize()
	u := normal.Ortho()
	w := normal.Cross(u)
	out := make([]r2.Point, len(loop))
	for i, v := range loop {
		d := r.Mesh.Vertices[v].Sub(o)
		out[i] = r2.Point{X: d.Dot(u), Y: d.Dot(w)}
	}
	return out
}

// bestEar is the corner of a loop that the shortest line cuts off with no other corner in what is cut off, or -1.
func bestEar(loop []r2.Point) int {
	best, least := -1, math.Inf(1)
	n := len(loop)
	for i, b := range loop {
		a, c := loop[(i+n-1)%n], loop[(i+1)%n]
		if length := c.Sub(a).Norm(); length < least*(1-kit.AlikeTo) && b.Sub(a).Cross(c.Sub(b)) > 0 && !holdsAny(a, b, c, loop) {
			best, least = i, length
		}
	}
	return best
}

// holdsAny says whether a point other than the corners lies in a triangle.
func holdsAny(a, b, c r2.Point, points []r2.Point) bool {
	ab, bc, ca := b.Sub(a), c.Sub(b), a.Sub(c)
	return slices.ContainsFunc(points, func(p r2.Point) bool {
		return p != a && p != b && p != c && ab.Cross(p.Sub(a)) >= 0 && bc.Cross(p.Sub(b)) >= 0 && ca.Cross(p.Sub(c)) >= 0
	})
}
