// Package reduce makes meshes lighter without moving their surface by more than a stated distance, for pictures.
//
// Edges are collapsed one by one, the one that moves the surface least first (M. Garland and P. Heckbert, Surface simplification
// using quadric error metrics, SIGGRAPH 1997). Every vertex carries the sum of the squared distances to the planes of all
// original facets that went into it; a collapse is made only where that sum stays within the square of the stated error, so
// that no vertex leaves any of those planes by more. A free edge is held by planes square to its facets, and collapses that would
// turn a facet over, pinch the mesh or tear a free edge open are left out.
//
//	light, err := reduce.To(ctx, m, 0.05)
package reduce

import (
	"cmp"
	"container/heap"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

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

func (q quadric) plus(o quadric) quadric {
	for i := range q {
		q[i] += o[i]
	}
	return q
}

// at is the sum of squared distances of a place, mm².
func (q quadric) at(v r3.Vector) float64 {
	return math.Max(0, q[0]*v.X*v.X+2*q[1]*v.X*v.Y+2*q[2]*v.X*v.Z+2*q[3]*v.X+q[4]*v.Y*v.Y+2*q[5]*v.Y*v.Z+2*q[6]*v.Y+
		q[7]*v.Z*v.Z+2*q[8]*v.Z+q[9])
}

// collapse is an edge with the place that its two vertices would fall together at.
type collapse struct {
	a, b   int32
	at     r3.Vector
	cost   float64
	moment [2]int32 // of its vertices when it was reckoned: later ones make it void
}

type queue []collapse

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].cost, q[j].cost), cmp.Compare(q[i].a, q[j].a), cmp.Compare(q[i].b, q[j].b)) < 0
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(collapse)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

type job struct {
	at      []r3.Vector
	facets  [][3]int32
	gone    []bool // by facet
	around  [][]int32
	quadric []quadric
	weight  []float64 // that went into the quadric
	moment  []int32
	origin  r3.Vector // the middle: squares of large coordinates would swallow the error
	most    float64   // mm²
	queue   queue
}

// To returns a lighter mesh within an error in mm, with the vertices and facets that are left in their order. It fails on an
// error that is no length and when the context ends.
func To(ctx context.Context, m *mesh.Mesh, within float64) (*mesh.Mesh, error) {
	if !(within >= 0) || math.IsInf(within, 1) {
		return nil, fmt.Errorf("reduce %s: %g mm is no error to stay within", m.Name, within)
	}
	for aim := within; ctx.Err() == nil; aim /= 2 {
		j := newJob(m, aim)
		if err := j.run(ctx); err != nil {
			return nil, err
		}
		out := j.result(m.Name)
		if len(out.Triangles) == 0 || apart(m, out, within) <= within {
			return out, nil
		}
		if aim <= within/16 {
			return m, nil // as it is
		}
	}
	return nil, ctx.Err()
}

func (j *job) run(ctx context.Context) error {
	for step := 0; j.queue.Len() > 0; step++ {
		if step%1024 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		c := heap.Pop(&j.queue).(collapse)
		if c.moment == [2]int32{j.moment[c.a], j.moment[c.b]} && j.allowed(c) {
			j.make(c)
		}
	}
	return nil
}

// apart is how far a vertex of either mesh is off the other at most; beyond enough it looks no further.
func apart(a, b *mesh.Mesh, enough float64) float64 {
	most := 0.0
	for _, pair := range [2][2]*mesh.Mesh{{a, b}, {b, a}} {
		tree := near.New(pair[1])
		used := make([]bool, len(pair[0].Vertices))
		for _, t := range pair[0].Triangles {
			for _, v := range t {
				used[v] = true
			}
		}
		for i, v := range pair[0].Vertices {
			if !used[i] || most > enough {
				continue
			}
			most = max(most, distance(tree, v, 4*enough))
		}
	}
	return most
}

func distance(tree *near.Tree, v r3.Vector, within float64) float64 {
	if h, ok := tree.Closest(v, within); ok {
		return h.Distance
	}
	return math.Inf(1)
}

func newJob(m *mesh.Mesh, within float64) *job {
	box := m.Box()
	j := &job{at: make([]r3.Vector, len(m.Vertices)), facets: slices.Clone(m.Triangles), gone: make([]bool, len(m.Triangles)),
		around: make([][]int32, len(m.Vertices)), quadric: make([]quadric, len(m.Vertices)),
		weight: make([]float64, len(m.Vertices)), moment: make([]int32, len(m.Vertices)),
		most: within * within}
	if len(m.Vertices) > 0 {
		j.origin = box.Min.Add(box.Max).Mul(0.5)
	}
	for i, v := range m.Vertices {
		j.at[i] = v.Sub(j.origin)
	}
	for t, f := range j.facets {
		n, area := j.normal(f), j.area(f)
		for _, v := range f {
			j.around[v] = append(j.around[v], int32(t))
			j.hold(v, n, j.at[f[0]], area)
		}
	}
	edges := j.edges()
	for _, e := range edges {
		j.holdBorder(e)
	}
	for _, e := range edges {
		j.push(e[0], e[1])
	}
	return j
}

func (j *job) normal(f [3]int32) r3.Vector {
	a, b, c := j.at[f[0]], j.at[f[1]], j.at[f[2]]
	return b.Sub(a).Cross(c.Sub(a)).Normalize()
}

func (j *job) area(f [3]int32) float64 {
	a, b, c := j.at[f[0]], j.at[f[1]], j.at[f[2]]
	return b.Sub(a).Cross(c.Sub(a)).Norm() / 2
}

// hold adds a plane to what a vertex is held by.
func (j *job) hold(v int32, n, at r3.Vector, weight float64) {
	j.quadric[v] = j.quadric[v].plus(plane(n, at, weight))
	j.weight[v] += weight
}

// edges lists each edge once, the lower vertex first.
func (j *job) edges() [][2]int32 {
	var out [][2]int32
	for _, f := range j.facets {
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			out = append(out, [2]int32{min(a, b), max(a, b)})
		}
	}
	slices.SortFunc(out, func(x, y [2]int32) int { return slices.Compare(x[:], y[:]) })
	return slices.Compact(out)
}

// shared are the facets that hang on both vertices.
func (j *job) shared(a, b int32) []int32 {
	var out []int32
	for _, t := range j.around[a] {
		if !j.gone[t] && slices.Contains(j.facets[t][:], b) {
			out = append(out, t)
		}
	}
	return out
}

// border is how much more a free edge weighs than its facet. Chosen.
const border = 10

// holdBorder adds a plane square to the only facet of an edge.
func (j *job) holdBorder(e [2]int32) {
	own := j.shared(e[0], e[1])
	if len(own) != 1 {
		return
	}
	n := j.normal(j.facets[own[0]]).Cross(j.at[e[1]].Sub(j.at[e[0]])).Normalize()
	if n.Norm2() == 0 {
		return
	}
	for _, v := range e {
		j.quadric[v] = j.quadric[v].plus(plane(n, j.at[e[0]], border*j.area(j.facets[own[0]]))) // added to no weight: it is never thinned out
	}
}

// push reckons what a collapse would cost: at the best of both ends and the middle.
func (j *job) push(a, b int32) {
	q := j.quadric[a].plus(j.quadric[b])
	c := collapse{a: a, b: b, cost: math.Inf(1), moment: [2]int32{j.moment[a], j.moment[b]}}
	weight := math.Max(j.weight[a]+j.weight[b], math.SmallestNonzeroFloat64)
	for _, at := range []r3.Vector{j.at[a], j.at[b], j.at[a].Add(j.at[b]).Mul(0.5)} {
		if cost := q.at(at) / weight; cost < c.cost {
			c.at, c.cost = at, cost
		}
	}
	if c.cost <= j.most {
		heap.Push(&j.queue, c)
	}
}

// allowed says whether a collapse leaves a mesh: the vertices share no neighbour but across their own facets, no border falls
// together with another, and no facet turns over.
func (j *job) allowed(c collapse) bool {
	own := j.shared(c.a, c.b)
	if len(own) == 0 || len(own) > 2 {
		return false
	}
	common := 0
	beside := j.neighbours(c.b)
	for _, v := range j.neighbours(c.a) {
		if _, ok := slices.BinarySearch(beside, v); ok {
			common++
		}
	}
	if common != len(own) || len(own) == 2 && j.onBorder(c.a) && j.onBorder(c.b) {
		return false
	}
	return !j.turnsOver(c.a, c) && !j.turnsOver(c.b, c)
}

func (j *job) neighbours(v int32) []int32 {
	var out []int32
	for _, t := range j.around[v] {
		if j.gone[t] {
			continue
		}
		for _, w := range j.facets[t] {
			if w != v {
				out = append(out, w)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (j *job) onBorder(v int32) bool {
	for _, w := range j.neighbours(v) {
		if len(j.shared(v, w)) == 1 {
			return true
		}
	}
	return false
}

// leastCos is the cosine of the angle that a facet may turn by in one collapse. Chosen.
const leastCos = 0.5

func (j *job) turnsOver(v int32, c collapse) bool {
	for _, t := range j.around[v] {
		f := j.facets[t]
		if j.gone[t] || slices.Contains(f[:], c.a) && slices.Contains(f[:], c.b) {
			continue
		}
		was := j.normal(f)
		old := j.at[v]
		j.at[v] = c.at
		now := j.normal(f)
		j.at[v] = old
		if was.Dot(now) < leastCos && was.Norm2() > 0 {
			return true
		}
	}
	return false
}

// make lets b fall onto a.
func (j *job) make(c collapse) {
	for _, t := range j.around[c.b] {
		if j.gone[t] {
			continue
		}
		f := &j.facets[t]
		if slices.Contains(f[:], c.a) {
			j.gone[t] = true
			continue
		}
		f[slices.Index(f[:], c.b)] = c.a
		j.around[c.a] = append(j.around[c.a], t)
	}
	j.around[c.b] = nil
	j.around[c.a] = slices.DeleteFunc(j.around[c.a], func(t int32) bool { return j.gone[t] })
	j.at[c.a] = c.at
	j.quadric[c.a] = j.quadric[c.a].plus(j.quadric[c.b])
	j.weight[c.a] += j.weight[c.b]
	j.moment[c.a]++
	j.moment[c.b]++
	for _, w := range j.neighbours(c.a) {
		j.push(min(c.a, w), max(c.a, w))
	}
}

func (j *job) result(name string) *mesh.Mesh {
	out := &mesh.Mesh{Name: name}
	index := make([]int32, len(j.at))
	for v := range j.at {
		index[v] = int32(len(out.Vertices))
		if len(j.around[v]) > 0 {
			out.Vertices = append(out.Vertices, j.at[v].Add(j.origin))
		}
	}
	for t, f := range j.facets {
		if !j.gone[t] {
			out.Triangles = append(out.Triangles, [3]int32{index[f[0]], index[f[1]], index[f[2]]})
		}
	}
	return out
}
