package flange

import (
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/near"
)

// fillHoles closes every inner loop that is narrower than the strip is wide, so that the centre line runs
// straight across it, and returns the holes. A loop that is wider is the inside of a ring.
func (f *finder) fillHoles(r *region, loops [][]int32, width float64) (holes []Hole, rest [][]int32) {
	for i, loop := range loops {
		if i == 0 || r.loopArea(loop)/(r.loopLength(loop)/2) >= width || i == 1 && r.isRing(loops[0], loop) {
			rest = append(rest, loop)
			continue
		}
		hole, crumb := r.hole(loop), f.isCrumb(r, loop)
		if !crumb {
			holes = append(holes, hole)
		}
		r.fill(loop, !crumb, r.loopArea(loop) < oblong*math.Pi*hole.Radius*hole.Radius)
	}
	if len(r.filled) > len(r.topo.TriEdge) {
		r.topo = r.mesh.Topology()
	}
	return holes, rest
}

const (
	smallRing = 24. // widths of a ring that it is long round its outside at most: bands of equal distance lead round a longer one
	ringEven  = 1.6 // times the least metal between the two loops of a small ring, the most
	ringHole  = 0.6 // of that least metal the radius of its hole at least
)

// isRing says whether a region is a small ring about its longest opening: much the same width of metal all round an opening that is
// not small against it. A strip with a hole in it has far more metal before and after the hole than beside it.
func (r *region) isRing(outer, inner []int32) bool {
	least, most := math.Inf(1), 0.0
	for _, v := range outer {
		metal := math.Inf(1)
		for k, a := range inner {
			metal = min(metal, near.ToSegment(r.mesh.Vertices[v], r.mesh.Vertices[a], r.mesh.Vertices[inner[(k+1)%len(inner)]]))
		}
		least, most = min(least, metal), max(most, metal)
	}
	return most <= ringEven*least && r.loopArea(inner)/(r.loopLength(inner)/2) >= ringHole*least
}

const ringStep = 2. // mm between places of an outer border that the line of a ring is laid from

// ringBetween is a rough line round a small ring: amid its two borders. Bands of equal distance from one end would be as long as
// the ring is wide, and fall together. It begins beside a corner that turns with the panels.
func (r *region) ringBetween(outer, inner []int32, anchor int32) chain {
	corners := make([]r3.Vector, len(outer))
	for i, v := range outer {
		corners[i] = r.mesh.Vertices[v]
	}
	line := curve.New(corners, true)
	out := chain{closed: true, forks: [2]int32{noFork, noFork}}
	steps := max(16, math.Ceil(line.Length()/ringStep))
	start, _ := line.Nearest(r.mesh.Vertices[anchor])
	for i := 0.; i < steps; i++ {
		p := line.At(math.Mod(start+line.Length()*i/steps, line.Length()))
		nearest, least := p, math.Inf(1)
		for k, a := range inner {
			q := ontoSegment(p, r.mesh.Vertices[a], r.mesh.Vertices[inner[(k+1)%len(inner)]])
			if d := q.Sub(p).Norm(); d < least {
				nearest, least = q, d
			}
		}
		out.points = append(out.points, p.Add(nearest).Mul(0.5))
	}
	return out
}

// ontoSegment is the place of a segment that is nearest to p.
func ontoSegment(p, a, b r3.Vector) r3.Vector {
	d := b.Sub(a)
	share := p.Sub(a).Dot(d) / math.Max(d.Norm2(), math.SmallestNonzeroFloat64)
	return a.Add(d.Mul(min(1, max(0, share))))
}

// crumb is the area up to which a gap in a strip that no free edge bounds is a fault of the mesh, mm².
const crumb = 4.

// isCrumb says whether a small loop is a place where the mesh is uneven rather than an opening.
func (f *finder) isCrumb(r *region, loop []int32) bool {
	if r.loopArea(loop) > crumb {
		return false
	}
	for i, a := range loop {
		if f.edgeEnd(r, a, loop[(i+1)%len(loop)]).why == FreeEdge {
			return false
		}
	}
	return true
}

// hole measures the opening in a loop.
func (r *region) hole(loop []int32) Hole {
	center := r.amid(loop)
	out := Hole{Center: center}
	for _, v := range loop {
		out.Radius = math.Max(out.Radius, r.mesh.Vertices[v].Sub(center).Norm())
	}
	return out
}

// amid is the mean of the corners of a loop.
func (r *region) amid(loop []int32) r3.Vector {
	sum := r3.Vector{}
	for _, v := range loop {
		sum = sum.Add(r.mesh.Vertices[v])
	}
	return sum.Mul(1 / float64(len(loop)))
}

const (
	mostEars = 400 // corners of a loop at most that is filled ear by ear, which takes the square of them and more
	oblong   = 0.5 // of the circle about it an opening fills at most that is filled so
)

// fill closes a loop, metal on its left, with a fan about its middle; a long and narrow one with triangles across it. They
// are cut as fine as the metal, so that bands of equal distance along the strip go straight across them too.
func (r *region) fill(loop []int32, opening, isLong bool) {
	first := len(r.mesh.Triangles)
	r.close(loop, opening, isLong)
	p := &patch{points: r.mesh.Vertices, normals: r.normals, tris: slices.Clone(r.mesh.Triangles[first:])}
	if p.cutFine(context.Background(), func(a, b r3.Vector) bool { return true }) != nil {
		return // it stays as it is
	}
	r.mesh.Vertices, r.normals = p.points, p.normals
	for len(r.borders) < len(p.points) {
		r.borders = append(r.borders, border{whose: -1})
	}
	r.mesh.Triangles, r.filled = r.mesh.Triangles[:first], r.filled[:first]
	for _, t := range p.tris {
		r.add(t, opening)
	}
}

// close puts triangles between the corners of a loop.
func (r *region) close(loop []int32, opening, isLong bool) {
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
		normal = normal.Add(r.normals[v])
	}
	middle := int32(len(r.mesh.Vertices))
	r.mesh.Vertices, r.normals, r.borders = append(r.mesh.Vertices, r.amid(rest)), append(r.normals, normal.Normalize()),
		append(r.borders, border{whose: -1})
	for k, v := range rest {
		r.add([3]int32{rest[(k+1)%len(rest)], v, middle}, opening)
	}
}

func (r *region) add(t [3]int32, opening bool) {
	r.mesh.Triangles, r.filled = append(r.mesh.Triangles, t), append(r.filled, opening)
}

// flattened is a loop as seen along its mean normal, the opening on the left.
func (r *region) flattened(loop []int32) []r2.Point {
	o, normal := r.mesh.Vertices[loop[0]], r3.Vector{}
	for i := 1; i+1 < len(loop); i++ {
		normal = normal.Add(r.mesh.Vertices[loop[i]].Sub(o).Cross(r.mesh.Vertices[loop[i+1]].Sub(o)))
	}
	normal = normal.Normalize()
	u := normal.Ortho()
	w := normal.Cross(u)
	out := make([]r2.Point, len(loop))
	for i, v := range loop {
		d := r.mesh.Vertices[v].Sub(o)
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
		if length := c.Sub(a).Norm(); length < least*(1-alikeTo) && b.Sub(a).Cross(c.Sub(b)) > 0 && !holdsAny(a, b, c, loop) {
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
