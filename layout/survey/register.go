package survey

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"
)

// registration finds the pose that brings measured points onto planned welds without knowing which is which.
type registration struct {
	plan   []r3.Vector
	points []r3.Vector
	near   float64 // mm within which a point is taken to be a weld
	coarse *hash   // of the plan, for the first steps
	fine   *hash   // of the plan, cells of near
	sample []r3.Vector
}

// found is a pose with the share of sampled points that it brings near to a weld.
type found struct {
	pose  Pose
	share float64
	rms   float64 // mm, of those
	how   string
}

const (
	mostSampled = 300  // points that a pose is tried on
	triplets    = 120  // tried at most
	enough      = 0.85 // share at which no further start is tried
	wide        = 40.0 // mm within which points are drawn to welds in the first step of refining
)

// hash finds the nearest of many points within a distance.
type hash struct {
	cell   float64
	points []r3.Vector
	cells  map[[3]int][]int
}

func newHash(points []r3.Vector, cell float64) *hash {
	h := &hash{cell: cell, cells: map[[3]int][]int{}}
	for _, p := range points {
		h.add(p)
	}
	return h
}

func (h *hash) add(p r3.Vector) {
	k := h.key(p)
	h.cells[k] = append(h.cells[k], len(h.points))
	h.points = append(h.points, p)
}

func (h *hash) key(p r3.Vector) [3]int {
	return [3]int{int(math.Floor(p.X / h.cell)), int(math.Floor(p.Y / h.cell)), int(math.Floor(p.Z / h.cell))}
}

// nearest is the nearest point no further than the cell's size; of equally near ones the first.
func (h *hash) nearest(p r3.Vector) (index int, distance float64, ok bool) {
	k := h.key(p)
	index, distance = -1, h.cell
	for x := -1; x <= 1; x++ {
		for y := -1; y <= 1; y++ {
			for z := -1; z <= 1; z++ {
				for _, i := range h.cells[[3]int{k[0] + x, k[1] + y, k[2] + z}] {
					if d := h.points[i].Distance(p); d < distance || d == distance && (index < 0 || i < index) {
						index, distance = i, d
					}
				}
			}
		}
	}
	return index, distance, index >= 0
}

// register tries several starts and keeps the best: the points as they are; the principal axes of both sets laid on
// each other in all 24 ways; triplets of points laid on triplets of welds with the same distances. Each is refined before
// it is judged. The second result is the best pose that is another one: where it fits as well, the answer is not unique.
func register(plan, points []r3.Vector, near float64) (best, other found) {
	r := &registration{plan: plan, points: points, near: near, coarse: newHash(plan, wide), fine: newHash(plan, near),
		sample: spread(points, mostSampled)}
	try := func(start Pose, how string) {
		f := r.refine(start, how)
		switch {
		case better(f, best):
			if !alike(f.pose, best.pose, r.points) && best.share > other.share {
				other = best
			}
			best = f
		case f.share > other.share && !alike(f.pose, best.pose, r.points):
			other = f
		}
	}
	try(Identity(), "as measured")
	if best.share >= enough { // the points are in the shell's frame: nothing else is asked
		return best, other
	}
	for _, p := range axesStarts(points, plan) {
		try(p, "principal axes")
	}
	if best.share < enough {
		r.triplets(try, func() bool { return best.share >= enough })
	}
	return best, other
}

// better prefers clearly more points, then the closer fit.
func better(a, b found) bool {
	if math.Abs(a.share-b.share) > 0.01 {
		return a.share > b.share
	}
	return a.share > 0 && (b.share == 0 || a.rms < b.rms*(1-1e-6))
}

// alike reports whether two poses are one for our purpose: no point comes to lie more than 30 mm apart.
func alike(a, b Pose, points []r3.Vector) bool {
	for _, p := range spread(points, 50) {
		if a.Apply(p).Distance(b.Apply(p)) > 30 {
			return false
		}
	}
	return true
}

// spread takes at most n points, evenly from the list.
func spread(points []r3.Vector, n int) []r3.Vector {
	if len(points) <= n {
		return points
	}
	out := make([]r3.Vector, n)
	for i := range out {
		out[i] = points[i*len(points)/n]
	}
	return out
}

// refine draws the points to their nearest welds and fits again, from wide to near (iterated closest points; Besl and
// McKay 1992: memory), and judges the outcome.
func (r *registration) refine(start Pose, how string) found {
	pose := start
	for _, step := range []struct {
		h      *hash
		within float64
		times  int
	}{{r.coarse, wide, 6}, {r.coarse, wide / 2, 6}, {r.fine, r.near, 8}} {
		for range step.times {
			var from, to []r3.Vector
			for _, p := range r.sample {
				if i, d, ok := step.h.nearest(pose.Apply(p)); ok && d <= step.within {
					from, to = append(from, p), append(to, r.plan[i])
				}
			}
			next, err := Kabsch(from, to)
			if err != nil {
				break
			}
			pose = next
		}
	}
	f := found{pose: pose, how: how}
	sum := 0.0
	for _, p := range r.sample {
		if _, d, ok := r.fine.nearest(pose.Apply(p)); ok {
			f.share++
			sum += d * d
		}
	}
	if f.share > 0 {
		f.rms = math.Sqrt(sum / f.share)
		f.share /= float64(len(r.sample))
	}
	return f
}

// axesStarts lays the principal axes of from on those of to in the 24 ways that are turns.
func axesStarts(from, to []r3.Vector) []Pose {
	a, okA := axes(from)
	b, okB := axes(to)
	if !okA || !okB {
		return nil
	}
	var out []Pose
	for _, order := range [][3]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}, {2, 1, 0}, {1, 0, 2}} {
		for signs := range 8 {
			var p Pose
			for k := range 3 {
				s := 1.0
				if signs>>k&1 == 1 {
					s = -1
				}
				for i := range 3 {
					for j := range 3 {
						p.Turn[i][j] += s * b[order[k]][i] * a[k][j]
					}
				}
			}
			if determinant(p.Turn) > 0 {
				p.Move = mean(to).Sub(p.turn(mean(from)))
				out = append(out, p)
			}
		}
	}
	return out
}

// axes are the principal axes of points, by growing spread.
func axes(points []r3.Vector) ([3][3]float64, bool) {
	c := mean(points)
	spread := mat.NewSymDense(3, nil)
	for _, p := range points {
		d := p.Sub(c)
		v := [3]float64{d.X, d.Y, d.Z}
		for i := range 3 {
			for j := i; j < 3; j++ {
				spread.SetSym(i, j, spread.At(i, j)+float64(v[i]*v[j]))
			}
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(spread, true) {
		return [3][3]float64{}, false
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	var out [3][3]float64
	for k := range 3 {
		for i := range 3 {
			out[k][i] = vectors.At(i, k)
		}
	}
	return out, true
}

func determinant(m [3][3]float64) float64 {
	return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
}

// triplets takes three measured points far from each other and looks for three welds with the same distances between
// them; each such triplet gives a pose. The choice is drawn from a fixed seed, so that it is the same every time.
func (r *registration) triplets(try func(Pose, string), done func() bool) {
	random := rand.New(rand.NewPCG(0x5ea3, 0x3719))
	size := extent(r.points)
	for range triplets {
		t, ok := r.draw(random, size)
		if !ok {
			continue
		}
		for _, p := range r.matches(t) {
			try(p, "triplets of distances")
		}
		if done() {
			return
		}
	}
}

func extent(points []r3.Vector) float64 {
	low, high := points[0], points[0]
	for _, p := range points {
		low = r3.Vector{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y), Z: math.Min(low.Z, p.Z)}
		high = r3.Vector{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y), Z: math.Max(high.Z, p.Z)}
	}
	return high.Distance(low)
}

// draw picks three points that make a wide triangle: no side below a fifth of the extent, no height below a tenth.
func (r *registration) draw(random *rand.Rand, size float64) ([3]r3.Vector, bool) {
	var t [3]r3.Vector
	for k := range t {
		t[k] = r.points[random.IntN(len(r.points))]
	}
	for k := range t {
		if t[k].Distance(t[(k+1)%3]) < size/5 {
			return t, false
		}
	}
	height := t[1].Sub(t[0]).Cross(t[2].Sub(t[0])).Norm() / t[1].Distance(t[0])
	return t, height > size/10
}

// side is how far in mm two distances may differ and still be taken as one: what both ends may be off by.
const side = 4.0

// mostTried bounds the poses taken on from one triplet to be refined: the ones that bring most of a few points near.
const mostTried = 3

// matches are the poses of the best few triplets of welds.
func (r *registration) matches(t [3]r3.Vector) []Pose {
	a, b, c := t[0].Distance(t[1]), t[0].Distance(t[2]), t[1].Distance(t[2])
	type scored struct {
		pose  Pose
		score int
	}
	var top []scored
	few := spread(r.points, 40)
	var second, third []r3.Vector
	for _, p := range r.plan {
		second, third = second[:0], third[:0]
		for _, q := range r.plan {
			d := p.Distance(q)
			if math.Abs(d-a) <= side {
				second = append(second, q)
			}
			if math.Abs(d-b) <= side {
				third = append(third, q)
			}
		}
		for _, q := range second {
			for _, s := range third {
				if math.Abs(q.Distance(s)-c) > side {
					continue
				}
				pose, err := Kabsch(t[:], []r3.Vector{p, q, s})
				if err != nil {
					continue
				}
				n := 0
				for _, x := range few {
					if _, _, ok := r.fine.nearest(pose.Apply(x)); ok {
						n++
					}
				}
				at := len(top)
				for at > 0 && top[at-1].score < n {
					at--
				}
				if at < mostTried {
					top = append(top[:at], append([]scored{{pose, n}}, top[at:]...)...)
					top = top[:min(len(top), mostTried)]
				}
			}
		}
	}
	var out []Pose
	for _, s := range top {
		out = append(out, s.pose)
	}
	return out
}
