package reduce

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// none is no vertex, no facet, and the end of a list.
const none = int32(-1)

// job is a mesh on its way. Lists of places that were taken out hang on the facet that is nearest to them.
type job struct {
	at      []r3.Vector
	facets  [][3]int32
	gone    []bool    // by facet
	around  [][]int32 // facets that hang on a vertex; none: it was taken out
	origin  r3.Vector // the middle: squares of large coordinates would swallow the error
	left    int       // vertices
	within  float64   // mm
	most    float64   // mm²: what taking a vertex out may cost now
	off     float64   // mm
	quadric []quadric
	weight  []float64 // that went into the quadric
	due     []bool    // by vertex: something has changed about it since it was looked at
	cost    []float64 // of the best way that is too dear yet, mm²
	first   []int32   // by facet: the first place that hangs on it
	next    []int32   // by vertex that is gone: the next place on its facet

	lines   [][]int32            // by vertex: the other ends of its lines
	between map[[2]int32][]int32 // edges of lines, lower vertex first: what was taken out of them
	ring    []int32              // of the vertex that is looked at, in order
	closed  bool                 // it goes all round
	places  []int32              // scratch
	found   []int32              // scratch: the facet of each of them
	stamp   []int32              // scratch: by vertex, when it was seen last
	clock   int32
	choices []way
}

// way is a neighbour to pull a vertex onto.
type way struct {
	to   int32
	cost float64 // mm²
	long float64 // mm²
}

func newJob(m *mesh.Mesh) *job {
	n := len(m.Vertices)
	j := &job{at: make([]r3.Vector, n), facets: make([][3]int32, len(m.Triangles)), gone: make([]bool, len(m.Triangles)),
		around: make([][]int32, n), left: n, quadric: make([]quadric, n), weight: make([]float64, n), due: make([]bool, n),
		cost: make([]float64, n), first: make([]int32, len(m.Triangles)), next: make([]int32, n),
		lines: make([][]int32, n), between: map[[2]int32][]int32{}, stamp: make([]int32, n)}
	copy(j.facets, m.Triangles)
	if n > 0 {
		box := m.Box()
		j.origin = box.Min.Add(box.Max).Mul(0.5)
	}
	for i, v := range m.Vertices {
		j.at[i] = v.Sub(j.origin)
		j.next[i] = none
	}
	j.hang()
	for t, f := range j.facets {
		j.first[t] = none
		twice := j.twice(f)
		area := twice.Norm() / 2
		if area == 0 {
			continue
		}
		q := plane(twice.Mul(0.5/area), j.at[f[0]], area)
		for _, v := range f {
			j.quadric[v].add(&q)
			j.weight[v] += area
		}
	}
	j.findLines(m)
	return j
}

// hang files the facets under their vertices.
func (j *job) hang() {
	start := make([]int32, len(j.at)+1)
	for _, f := range j.facets {
		for _, v := range f {
			start[v+1]++
		}
	}
	for v := range j.at {
		start[v+1] += start[v]
	}
	all := make([]int32, start[len(j.at)])
	for v := range j.at {
		j.around[v] = all[start[v]:start[v]:start[v+1]]
		if start[v] == start[v+1] {
			j.left--
		}
	}
	for t, f := range j.facets {
		for _, v := range f {
			j.around[v] = append(j.around[v], int32(t))
		}
	}
}

// creaseTurn is the angle in degrees between two facets from which their edge is a crease, drawn as a line. Common practice, no
// source. Where more than mostCreased of all edges are, the mesh is rough rather than creased, and only free edges are lines. Chosen.
const (
	creaseTurn  = 25.0
	mostCreased = 0.2
)

// findLines finds free edges and creases. Edges of more than two facets are lines, too.
func (j *job) findLines(m *mesh.Mesh) {
	cos := math.Cos(creaseTurn * math.Pi / 180)
	edges := m.Topology().Edges
	var free, creases [][2]int32
	for _, e := range edges {
		if e.Free() || e.More > 0 {
			free = append(free, e.V)
			continue
		}
		a, b := j.twice(j.facets[e.Tri[0]]), j.twice(j.facets[e.Tri[1]])
		if size := a.Norm() * b.Norm(); size > 0 && a.Dot(b) < cos*size {
			creases = append(creases, e.V)
		}
	}
	if float64(len(creases)) <= mostCreased*float64(len(edges)) {
		free = append(free, creases...)
	}
	for _, e := range free {
		j.between[e] = nil
		j.lines[e[0]] = append(j.lines[e[0]], e[1])
		j.lines[e[1]] = append(j.lines[e[1]], e[0])
	}
}

// twice is normal to a facet and as long as twice its area.
func (j *job) twice(f [3]int32) r3.Vector {
	a := &j.at[f[0]]
	return j.at[f[1]].Sub(*a).Cross(j.at[f[2]].Sub(*a))
}

func ends(a, b int32) [2]int32 { return [2]int32{min(a, b), max(a, b)} }

// quadric is the symmetric 4 x 4 matrix of a sum of squared distances to planes, its upper half by rows.
type quadric [10]float64

func plane(n r3.Vector, at r3.Vector, weight float64) quadric {
	d := -n.Dot(at)
	q := quadric{n.X * n.X, n.X * n.Y, n.X * n.Z, n.X * d, n.Y * n.Y, n.Y * n.Z, n.Y * d, n.Z * n.Z, n.Z * d, d * d}
	for i := range q {
		q[i] *= weight
	}
	return q
}

func (q *quadric) add(o *quadric) {
	for i := range q {
		q[i] += o[i]
	}
}

// at is the sum of squared distances of a place, mm² times the weight.
func (q *quadric) at(v *r3.Vector) float64 {
	return max(0, q[0]*v.X*v.X+2*q[1]*v.X*v.Y+2*q[2]*v.X*v.Z+2*q[3]*v.X+q[4]*v.Y*v.Y+2*q[5]*v.Y*v.Z+2*q[6]*v.Y+
		q[7]*v.Z*v.Z+2*q[8]*v.Z+q[9])
}
