package tarn

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/internal/tarn/fill"
)

// press builds one panel's mesh: rows of flange sections, bodies between them, all joined vertex to vertex.
type press struct {
	id   string
	mesh *mesh.Mesh
	err  error // the first that came up
}

func newPress(id string) *press { return &press{id: id, mesh: &mesh.Mesh{Name: id}} }

func (b *press) row(points []r3.Vector) []int32 {
	ids := make([]int32, len(points))
	for i, p := range points {
		ids[i] = int32(len(b.mesh.Vertices))
		b.mesh.Vertices = append(b.mesh.Vertices, p)
	}
	return ids
}

// loft joins rows of equally many vertices with quads cut along their shorter diagonal.
func (b *press) loft(rows [][]int32, closed bool) {
	count := len(rows) - 1
	if closed {
		count++
	}
	for i := range count {
		r, q := rows[i], rows[(i+1)%len(rows)]
		for j := range len(r) - 1 {
			b.quad(r[j], r[j+1], q[j+1], q[j])
		}
	}
}

func (b *press) quad(p, q, r, s int32) {
	v := b.mesh.Vertices
	if v[p].Sub(v[r]).Norm2() <= v[q].Sub(v[s]).Norm2() {
		b.mesh.Triangles = append(b.mesh.Triangles, [3]int32{p, q, r}, [3]int32{p, r, s})
	} else {
		b.mesh.Triangles = append(b.mesh.Triangles, [3]int32{p, q, s}, [3]int32{q, r, s})
	}
}

// done returns the panel with all triangles facing to one side.
func (b *press) done() (*mesh.Mesh, error) {
	if b.err != nil {
		return nil, fmt.Errorf("panel %s: %w", b.id, b.err)
	}
	b.mesh.Orient()
	return b.mesh, nil
}

// rim is a vertex on the outline of a body, with the body's coordinates.
type rim struct {
	r2.Point
	id int32
}

// stations says how finely a strip is cut along its length.
type stations struct{ from, to, step, sag float64 }

// strip lays a flange along a seam and returns its landing on the body.
func (b *press) strip(p *strip, at stations) []rim {
	return b.stripAt(p, p.seam.steps(at.from, at.to, at.step, at.sag), false)
}

// ring lays a flange along the whole of a closed seam.
func (b *press) ring(p *strip, step, sag float64) []rim {
	s := p.seam.steps(0, p.seam.length(), step, sag)
	return b.stripAt(p, s[:len(s)-1], true)
}

func (b *press) stripAt(p *strip, at []float64, closed bool) []rim {
	var rows [][]int32
	var edge []rim
	for _, s := range at {
		points, l := p.section(s)
		row := b.row(points)
		rows = append(rows, row)
		edge = append(edge, rim{r2.Point{X: l.u, Y: l.v}, row[len(row)-1]})
	}
	b.loft(rows, closed)
	return edge
}

// outline joins pieces of a body's edge into one loop. Wider gaps between and within pieces become plain edges.
func (b *press) outline(body func(u, v float64) r3.Vector, pieces ...[]rim) []rim {
	const gap = 12.0
	var given, loop []rim
	for _, piece := range pieces {
		given = append(given, piece...)
	}
	for i, r := range given {
		if r.id < 0 {
			r.id = b.row([]r3.Vector{body(r.X, r.Y)})[0]
		}
		loop = append(loop, r)
		next := given[(i+1)%len(given)]
		n := int(math.Ceil(math.Hypot(next.X-r.X, next.Y-r.Y) / gap))
		for k := 1; k < n; k++ {
			t := float64(k) / float64(n)
			u, v := r.X+(next.X-r.X)*t, r.Y+(next.Y-r.Y)*t
			loop = append(loop, rim{r2.Point{X: u, Y: v}, b.row([]r3.Vector{body(u, v)})[0]})
		}
	}
	return loop
}

// corners are plain corners of a body's edge, x and y in turn.
func corners(xy ...float64) []rim {
	var out []rim
	for i := 0; i < len(xy); i += 2 {
		out = append(out, rim{r2.Point{X: xy[i], Y: xy[i+1]}, -1})
	}
	return out
}

// arc is a plain round edge from one angle to another, in degrees.
func arc(x, y, radius, from, to float64) []rim {
	n := int(math.Ceil(math.Abs(to-from) * math.Pi / 180 * radius / 10))
	var out []rim
	for i := range n + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
		out = append(out, rim{r2.Point{X: x + radius*cos, Y: y + radius*sin}, -1})
	}
	return out
}

func backwards(piece []rim) []rim {
	out := make([]rim, len(piece))
	for i, r := range piece {
		out[len(piece)-1-i] = r
	}
	return out
}

// fill covers the region between the loops with the body's surface; its mesh passes the features.
func (b *press) fill(body func(u, v float64) r3.Vector, features []r2.Point, loops ...[]rim) {
	const fine, coarse = 15, 27 // mm
	var flat [][]r2.Point
	var ids []int32
	for _, loop := range loops {
		var points []r2.Point
		for _, r := range loop {
			points = append(points, r.Point)
			ids = append(ids, r.id)
		}
		flat = append(flat, points)
	}
	inside, tri, err := fill.Region(flat, features, fine, coarse)
	if err != nil && b.err == nil {
		b.err = err
	}
	for _, p := range inside {
		ids = append(ids, b.row([]r3.Vector{body(p.X, p.Y)})[0])
	}
	for _, t := range tri {
		b.mesh.Triangles = append(b.mesh.Triangles, [3]int32{ids[t[0]], ids[t[1]], ids[t[2]]})
	}
}
