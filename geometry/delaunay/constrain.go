package delaunay

import (
	"github.com/golang/geo/r2"
)

// stretch is a straight piece of an outline that is to become an edge.
type stretch struct {
	a, b int32
	fixing
}

// fix makes the straight line between two points an edge, or several where it runs over points between. It
// returns a *Crossing where an edge of another outline is in the way.
func (t *triangulation) fix(a, b int32, loop int) error {
	todo := []stretch{{a, b, fixing{true, loop}}}
	for most := 64 * (len(t.points) + 16); len(todo) > 0; most-- {
		if most == 0 { // far more than the splits of one line by points near it
			return errTangled
		}
		l := todo[len(todo)-1]
		more, err := t.fixLine(l)
		if err != nil {
			return err
		}
		todo = append(todo[:len(todo)-1], more...)
	}
	return nil
}

// fixLine fixes one line, or returns the lines to fix in its place, the last first.
func (t *triangulation) fixLine(l stretch) ([]stretch, error) {
	if l.a == l.b {
		return nil, nil
	}
	w, err := t.walk(l.a, l.b)
	switch {
	case err != nil:
		return nil, err
	case w.over >= 0:
		return []stretch{{w.over, l.b, l.fixing}, {l.a, w.over, l.fixing}}, nil
	case w.blocked:
		return t.giveWay(l, w.barrier)
	}
	if err := t.clear(l.a, l.b, w.crossed); err != nil {
		return nil, err
	}
	e := edgeOf(l.a, l.b)
	if was, again := t.fixed[e]; again {
		l.fixing = fixing{was.odd != l.odd, was.loop}
	}
	t.fixed[e] = l.fixing
	return nil, nil
}

// giveWay deals with a fixed edge in the way of a line. Where an end of the line lies on that edge, the edge
// is led over the end; otherwise two outlines cross.
func (t *triangulation) giveWay(l stretch, barrier edge) ([]stretch, error) {
	was := t.fixed[barrier]
	for _, end := range [2]int32{l.a, l.b} {
		if t.isOn(end, barrier[0], barrier[1]) {
			delete(t.fixed, barrier)
			return []stretch{l, {barrier[0], end, was}, {end, barrier[1], was}}, nil
		}
	}
	place := meeting(t.points[l.a], t.points[l.b], t.points[barrier[0]], t.points[barrier[1]])
	return nil, &Crossing{[2]int{was.loop, l.loop}, place}
}

// way is what lies between two points: a point on the line (over), a fixed edge across it (barrier), or free
// edges to be flipped away.
type way struct {
	over    int32 // -1 for none
	blocked bool
	barrier edge
	crossed []edge
}

// walk follows the line from a to b through the faces.
func (t *triangulation) walk(a, b int32) (way, error) {
	w := way{over: -1}
	f, k, err := t.leave(a, b)
	if err != nil {
		return w, err
	}
	for range len(t.faces) + 1 {
		right, left := t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
		if right == b || left == b {
			return w, nil
		}
		for _, c := range [2]int32{right, left} {
			if t.isOn(c, a, b) {
				w.over = c
				return w, nil
			}
		}
		e := edgeOf(right, left)
		if _, fixed := t.fixed[e]; fixed && !w.blocked {
			w.blocked, w.barrier = true, e
		}
		w.crossed = append(w.crossed, e)
		f = t.faces[f].across[k]
		// Go on across from the corner that stays behind.
		behind := right
		if t.orient(a, b, t.faces[f].corner[t.opposite(f, right, left)]) > 0 {
			behind = left
		}
		k = t.cornerOf(f, behind)
	}
	return w, errTangled
}

// leave finds the face at a that has b for a corner or through which the line to b leaves, and the corner
// that a is.
func (t *triangulation) leave(a, b int32) (f int32, k int, err error) {
	f = t.at[a]
	for range len(t.faces) {
		k = t.cornerOf(f, a)
		right, left := t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
		onRight := t.orient(a, b, right) == 0 && t.isOn(right, a, b)
		if right == b || left == b || onRight || t.orient(a, b, right) < 0 && t.orient(a, b, left) > 0 {
			return f, k, nil
		}
		f = t.faces[f].across[(k+1)%3]
	}
	return f, k, errTangled
}

// isOn reports whether a point lies on the line between two others, within the touch. The corners of the
// triangle around everything are no points.
func (t *triangulation) isOn(p, a, b int32) bool {
	if p == a || p == b || int(p) >= len(t.points)-3 {
		return false
	}
	return DistanceToLine(t.points[p], t.points[a], t.points[b]) <= t.touch
}

// meeting is where the lines ab and cd cross.
func meeting(a, b, c, d r2.Point) r2.Point {
	ab, cd, ac := b.Sub(a), d.Sub(c), c.Sub(a)
	s := ac.Cross(cd) / ab.Cross(cd)
	return a.Add(ab.Mul(s))
}

// clear flips the crossed edges away until a and b have an edge (Sloan 1993, "A fast algorithm for
// generating constrained Delaunay triangulations"; from memory).
func (t *triangulation) clear(a, b int32, crossed []edge) error {
	for most := 16 * (len(crossed) + 4) * (len(crossed) + 4); len(crossed) > 0; most-- {
		if most == 0 {
			return errTangled
		}
		e := crossed[0]
		crossed = crossed[1:]
		f, k, err := t.faceAt(e)
		if err != nil {
			return err
		}
		p, q := t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
		u := t.faces[f].corner[k]
		g := t.faces[f].across[k]
		v := t.faces[g].corner[t.opposite(g, p, q)]
		if t.orient(u, p, v) <= 0 || t.orient(u, v, q) <= 0 {
			crossed = append(crossed, e) // not convex: another flip comes first
			continue
		}
		t.flip(f, k)
		if u != a && u != b && v != a && v != b && t.orient(a, b, u)*t.orient(a, b, v) < 0 {
			crossed = append(crossed, edgeOf(u, v))
		}
	}
	return nil
}

// faceAt returns a face at an edge, and its corner across from the edge.
func (t *triangulation) faceAt(e edge) (f int32, k int, err error) {
	f = t.at[e[0]]
	for range len(t.faces) {
		k = t.cornerOf(f, e[0])
		if t.faces[f].corner[(k+1)%3] == e[1] {
			return f, (k + 2) % 3, nil
		}
		f = t.faces[f].across[(k+1)%3]
	}
	return 0, 0, errTangled
}

// refine makes all free edges Delaunay again after the fixed ones have gone in.
func (t *triangulation) refine() {
	type side struct {
		f int32
		k int
	}
	var stack []side
	for f := len(t.faces) - 1; f >= 0; f-- {
		stack = append(stack, side{int32(f), 0}, side{int32(f), 1}, side{int32(f), 2})
	}
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if !t.shouldFlip(s.f, s.k) {
			continue
		}
		g := t.faces[s.f].across[s.k]
		t.flip(s.f, s.k)
		for k := range 3 {
			stack = append(stack, side{s.f, k}, side{g, k})
		}
	}
}

// inside returns the faces with an odd number of outlines between them and the open.
func (t *triangulation) inside() [][3]int32 {
	const unknown, out, in = 0, 1, 2
	state := make([]int8, len(t.faces))
	start := t.at[len(t.points)-1]
	state[start] = out
	queue := []int32{start}
	for len(queue) > 0 {
		f := queue[0]
		queue = queue[1:]
		for k, g := range t.faces[f].across {
			if g < 0 || state[g] != unknown {
				continue
			}
			state[g] = state[f]
			if t.fixed[edgeOf(t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3])].odd {
				state[g] = out + in - state[f]
			}
			queue = append(queue, g)
		}
	}
	var faces [][3]int32
	for f, s := range state {
		if s == in {
			faces = append(faces, t.faces[f].corner)
		}
	}
	return faces
}
