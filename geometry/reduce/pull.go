package reduce

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// mostRing is the most neighbours that a vertex may have to be looked at: a wide fan is thinned at its rim first. Chosen.
const mostRing = 24

// ways lists the neighbours that a vertex may be pulled onto, the cheapest first: any in the open sheet, along its line on a line.
func (j *job) ways(v int32) []way {
	j.choices = j.choices[:0]
	lines := j.lines[v]
	if !(len(lines) == 0 || len(lines) == 2) || !j.walk(v) {
		return nil
	}
	weight := max(j.weight[v], math.SmallestNonzeroFloat64)
	add := func(to int32) {
		c := j.quadric[v].at(&j.at[to]) / weight
		if len(lines) == 2 {
			from := j.at[to]
			c = max(c, beside(j.at[v], from, j.at[j.otherEnd(v, to)].Sub(from)))
		}
		if c <= j.within*j.within {
			j.choices = append(j.choices, way{to, c, j.at[v].Sub(j.at[to]).Norm2()})
		}
	}
	if len(lines) == 2 {
		add(lines[0])
		add(lines[1])
	} else if j.closed {
		for _, r := range j.ring {
			add(r)
		}
	}
	const alike = 1e-6 // mm²: of what costs nothing the shortest way goes first
	slices.SortFunc(j.choices, func(a, b way) int {
		return cmp.Or(cmp.Compare(math.Floor(a.cost/alike), math.Floor(b.cost/alike)), cmp.Compare(a.long, b.long), cmp.Compare(a.to, b.to))
	})
	return j.choices
}

// walk lists the neighbours of a vertex in order, all round or from one free edge to the other; false where its facets are no
// such fan.
func (j *job) walk(v int32) bool {
	own := j.around[v]
	j.ring = j.ring[:0]
	if len(own) == 0 || len(own) > mostRing {
		return false
	}
	var sides [mostRing][2]int32
	for k, t := range own {
		sides[k] = opposite(j.facets[t], v)
	}
	start := sides[0][0]
	for range own { // back to an end, if there is one
		if k := beginning(sides[:len(own)], start, true); k >= 0 {
			start = sides[k][0]
		} else {
			break
		}
		if start == sides[0][0] {
			break
		}
	}
	j.ring = append(j.ring, start)
	for range own {
		k := beginning(sides[:len(own)], j.ring[len(j.ring)-1], false)
		if k < 0 {
			return false
		}
		j.ring = append(j.ring, sides[k][1])
		sides[k] = [2]int32{none, none}
	}
	j.closed = j.ring[0] == j.ring[len(j.ring)-1]
	if j.closed {
		j.ring = j.ring[:len(j.ring)-1]
	}
	return j.distinct()
}

// beginning is the side that begins at a vertex, or ends there; -1 where none does.
func beginning(sides [][2]int32, at int32, ending bool) int {
	for k, s := range sides {
		if !ending && s[0] == at || ending && s[1] == at {
			return k
		}
	}
	return -1
}

// opposite is the side of a facet that lies across a vertex, in the facet's sense.
func opposite(f [3]int32, v int32) [2]int32 {
	switch v {
	case f[0]:
		return [2]int32{f[1], f[2]}
	case f[1]:
		return [2]int32{f[2], f[0]}
	}
	return [2]int32{f[0], f[1]}
}

func (j *job) distinct() bool {
	j.clock++
	for _, r := range j.ring {
		if j.stamp[r] == j.clock {
			return false
		}
		j.stamp[r] = j.clock
	}
	return true
}

// leastCos is the cosine of the angle that a facet may turn by at once. Chosen.
const leastCos = 0.5

// allowed says whether pulling a vertex onto another leaves a mesh, and stays within the error.
func (j *job) allowed(v, to int32) bool {
	return j.hangsTogether(v, to) && !j.turnsOver(v, to) && j.lineHolds(v, to) && j.surfaceHolds(v, to)
}

// hangsTogether: but for its own neighbours on the ring, the one that stays knows none of the ring yet.
func (j *job) hangsTogether(v, to int32) bool {
	k, n := slices.Index(j.ring, to), len(j.ring)
	if k < 0 || !j.closed && k != 0 && k != n-1 || j.closed && n < 3 {
		return false
	}
	before, after := j.ring[(k+n-1)%n], j.ring[(k+1)%n]
	if !j.closed && k == 0 {
		before = none
	}
	if !j.closed && k == n-1 {
		after = none
	}
	j.clock++
	for _, r := range j.ring {
		j.stamp[r] = j.clock
	}
	if before != none && !(n == 3 && j.closed) {
		j.stamp[before] = 0
	}
	if after != none && !(n == 3 && j.closed) {
		j.stamp[after] = 0
	}
	if n == 3 && j.closed {
		return j.freeTriangle(v, to)
	}
	if n == 2 && !j.edgeBeside(v, before, after, to) {
		return false // the last facet of its kind
	}
	for _, t := range j.around[to] {
		f := j.facets[t]
		if f[0] == v || f[1] == v || f[2] == v {
			continue
		}
		for _, w := range f {
			if w != to && j.stamp[w] == j.clock {
				return false
			}
		}
	}
	return true
}

// freeTriangle: three facets about a vertex become one, unless that is there already, from behind.
func (j *job) freeTriangle(v, to int32) bool {
	for _, t := range j.around[to] {
		f := j.facets[t]
		if f[0] != v && f[1] != v && f[2] != v && j.stamp[f[0]] == j.clock && j.stamp[f[1]] == j.clock && j.stamp[f[2]] == j.clock {
			return false
		}
	}
	return true
}

// edgeBeside: a single facet that falls off must leave its third side to another one.
func (j *job) edgeBeside(v, before, after, to int32) bool {
	other := max(before, after)
	for _, t := range j.around[to] {
		f := j.facets[t]
		if f[0] != v && f[1] != v && f[2] != v && slices.Contains(f[:], other) {
			return true
		}
	}
	return false
}

// turnsOver says whether a facet would fold, or lose its area.
func (j *job) turnsOver(v, to int32) bool {
	for _, t := range j.around[v] {
		s := opposite(j.facets[t], v)
		if s[0] == to || s[1] == to {
			continue
		}
		was, now := j.twice([3]int32{v, s[0], s[1]}), j.twice([3]int32{to, s[0], s[1]})
		size := was.Norm() * now.Norm()
		if !(was.Dot(now) >= leastCos*size) || now.Norm2() <= 1e-8*j.longest(to, s[0], s[1]) {
			return true
		}
	}
	return false
}

// longest is the square of the square of the longest side.
func (j *job) longest(a, b, c int32) float64 {
	l := max(j.at[a].Sub(j.at[b]).Norm2(), j.at[b].Sub(j.at[c]).Norm2(), j.at[c].Sub(j.at[a]).Norm2())
	return l * l
}

// lineHolds: all that was taken out of a line stays within the error of the edge that takes its place.
func (j *job) lineHolds(v, to int32) bool {
	if len(j.lines[v]) == 0 {
		return true
	}
	other := j.otherEnd(v, to)
	if other == to || slices.Contains(j.lines[to], other) {
		return false // the line would close to nothing
	}
	from, way := j.at[to], j.at[other].Sub(j.at[to])
	for _, list := range [][]int32{{v}, j.between[ends(v, to)], j.between[ends(v, other)]} {
		for _, p := range list {
			if beside(j.at[p], from, way) > j.within*j.within+rounding {
				return false
			}
		}
	}
	return true
}

// rounding is what squares of distances may be off by in mm², from coordinates of metres.
const rounding = 1e-12

func (j *job) otherEnd(v, to int32) int32 {
	if j.lines[v][0] == to {
		return j.lines[v][1]
	}
	return j.lines[v][0]
}

// beside is the squared distance of a place to a stretch.
func beside(p, from, way r3.Vector) float64 {
	d := p.Sub(from)
	s := d.Dot(way) / max(way.Norm2(), math.SmallestNonzeroFloat64)
	return d.Sub(way.Mul(min(1, max(0, s)))).Norm2()
}

// surfaceHolds: what hangs on the facets that go, and the vertex, stays within the error of those that come; so do the middles of
// the edges that go, and the middles of what comes within the error of what goes. It notes where each place would hang.
func (j *job) surfaceHolds(v, to int32) bool {
	j.places, j.found = append(j.places[:0], v), j.found[:0]
	for _, t := range j.around[v] {
		for p := j.first[t]; p != none; p = j.next[p] {
			j.places = append(j.places, p)
		}
	}
	bound := j.within*j.within + rounding
	for _, p := range j.places {
		t, d := j.nearest(v, to, j.at[p], bound)
		if d > bound {
			return false
		}
		j.found = append(j.found, t)
	}
	for _, r := range j.ring {
		if r != to {
			if _, d := j.nearest(v, to, j.at[v].Add(j.at[r]).Mul(0.5), bound); d > bound {
				return false
			}
		}
	}
	return j.middlesHold(v, to, bound)
}

func (j *job) middlesHold(v, to int32, bound float64) bool {
	for _, t := range j.around[v] {
		s := opposite(j.facets[t], v)
		if s[0] == to || s[1] == to {
			continue
		}
		middle := j.at[to].Add(j.at[s[0]]).Add(j.at[s[1]]).Mul(1.0 / 3)
		held := false
		for _, u := range j.around[v] {
			f := j.facets[u]
			if held = off(middle, j.at[f[0]], j.at[f[1]], j.at[f[2]]) <= bound; held {
				break
			}
		}
		if !held {
			return false
		}
	}
	return true
}

// nearest is the facet about a vertex that comes nearest to a place once the vertex is pulled onto another, and the square of how
// near; a first one below a hundredth of the bound will do. A facet is told by what it is now.
func (j *job) nearest(v, to int32, p r3.Vector, bound float64) (best int32, least float64) {
	best, least = none, math.Inf(1)
	for _, t := range j.around[v] {
		s := opposite(j.facets[t], v)
		if s[0] == to || s[1] == to {
			continue
		}
		if d := off(p, j.at[to], j.at[s[0]], j.at[s[1]]); d < least {
			if best, least = t, d; d <= bound/100 {
				break
			}
		}
	}
	if best == none { // a single facet that falls off: its neighbour takes what hung on it
		for _, t := range j.around[to] {
			f := j.facets[t]
			if f[0] == v || f[1] == v || f[2] == v {
				continue
			}
			if d := off(p, j.at[f[0]], j.at[f[1]], j.at[f[2]]); d < least {
				best, least = t, d
			}
		}
	}
	return best, least
}

// off is the squared distance of a place to a triangle: to its plane where it lies above it, else to the nearest side.
func off(p, a, b, c r3.Vector) float64 {
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	n := ab.Cross(ac)
	if size := n.Norm2(); size > 0 {
		u, w := ap.Cross(ac).Dot(n), ab.Cross(ap).Dot(n)
		if u >= 0 && w >= 0 && u+w <= size {
			h := ap.Dot(n)
			return h * h / size
		}
	}
	return min(beside(p, a, ab), beside(p, b, c.Sub(b)), beside(p, a, ac))
}

// pull lets a vertex fall onto another, as allowed has found that it may.
func (j *job) pull(v, to int32) {
	if len(j.lines[v]) > 0 {
		j.pullLine(v, to)
	}
	for i, p := range j.places {
		if t := j.found[i]; t >= 0 {
			j.off = max(j.off, math.Sqrt(j.nowOff(p, t, v, to)))
		}
	}
	for _, t := range j.around[v] {
		j.first[t] = none
	}
	for i, p := range j.places {
		j.next[p] = j.first[j.found[i]]
		j.first[j.found[i]] = p
	}
	for _, t := range j.around[v] {
		f := &j.facets[t]
		if f[0] == to || f[1] == to || f[2] == to {
			j.gone[t] = true
			continue
		}
		for k := range f {
			if f[k] == v {
				f[k] = to
			}
		}
		j.around[to] = append(j.around[to], t)
	}
	j.around[v] = nil
	j.left--
	j.quadric[to].add(&j.quadric[v])
	j.weight[to] += j.weight[v]
	for _, r := range j.ring {
		j.around[r] = slices.DeleteFunc(j.around[r], func(t int32) bool { return j.gone[t] })
		j.due[r] = true
	}
}

func (j *job) nowOff(p, t, v, to int32) float64 {
	f := j.facets[t]
	for k := range f {
		if f[k] == v {
			f[k] = to
		}
	}
	return off(j.at[p], j.at[f[0]], j.at[f[1]], j.at[f[2]])
}

func (j *job) pullLine(v, to int32) {
	other := j.otherEnd(v, to)
	one, two := ends(v, to), ends(v, other)
	all := append(append(j.between[one], v), j.between[two]...)
	delete(j.between, one)
	delete(j.between, two)
	j.between[ends(to, other)] = all
	j.lines[to][slices.Index(j.lines[to], v)] = other
	j.lines[other][slices.Index(j.lines[other], v)] = to
	j.lines[v] = nil
}
