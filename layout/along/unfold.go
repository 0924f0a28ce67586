package along

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// gate is an edge laid out flat, its ends to the left and right of the way over it.
type gate struct {
	left, right     r2.Point
	leftAt, rightAt int32 // the vertices
}

// holds reports whether a point lies on the gate, to a millionth of a millimetre.
func (g gate) holds(p r2.Point) bool {
	d, to := g.right.Sub(g.left), p.Sub(g.left)
	f := math.Min(1, math.Max(0, safe(to.Dot(d), d.Dot(d))))
	return to.Sub(d.Mul(f)).Norm() < 1e-6
}

// unfolding lays triangles out flat, one behind the other.
type unfolding struct {
	sheet *Sheet
	from  r2.Point
	gates []gate
	tri   int32
	flat  [3]r2.Point // the corners of tri
}

// begin lays the first triangle out.
func (u *unfolding) begin(p place) {
	u.tri = p.tri
	a, b, c := u.sheet.mesh.Corners(int(p.tri))
	x := b.Sub(a)
	length := x.Norm()
	if length > 0 {
		x = x.Mul(1 / length)
	}
	ac := c.Sub(a)
	along := ac.Dot(x)
	u.flat = [3]r2.Point{{}, {X: length}, {X: along, Y: ac.Sub(x.Mul(along)).Norm()}}
	u.from = u.place(p.at)
}

// place is where a point of the present triangle lies when it is laid out.
func (u *unfolding) place(p r3.Vector) r2.Point {
	a, b, c := u.sheet.mesh.Corners(int(u.tri))
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	d00, d01, d11, d20, d21 := ab.Norm2(), ab.Dot(ac), ac.Norm2(), ap.Dot(ab), ap.Dot(ac)
	whole := float64(d00*d11) - float64(d01*d01)
	if whole <= 0 { // no area: along its longest side
		return u.flat[0].Add(u.flat[1].Sub(u.flat[0]).Mul(safe(d20, d00)))
	}
	v, w := (float64(d11*d20)-float64(d01*d21))/whole, (float64(d00*d21)-float64(d01*d20))/whole
	return u.flat[0].Add(u.flat[1].Sub(u.flat[0]).Mul(v)).Add(u.flat[2].Sub(u.flat[0]).Mul(w))
}

func safe(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// over lays the next triangle out beyond an edge of the present one.
func (u *unfolding) over(edge, next int32) {
	v := u.sheet.topo.Edges[edge].V
	now, then := u.sheet.mesh.Triangles[u.tri], u.sheet.mesh.Triangles[next]
	var p, q, back r2.Point
	for i, c := range now {
		switch c {
		case v[0]:
			p = u.flat[i]
		case v[1]:
			q = u.flat[i]
		default:
			back = u.flat[i]
		}
	}
	g := gate{q, p, v[1], v[0]}
	if q.Sub(p).Cross(back.Sub(p)) < 0 { // seen along the way, away from the third corner
		g = gate{p, q, v[0], v[1]}
	}
	u.gates = append(u.gates, g)
	far := u.beyond(v, then, p, q, back)
	for i, c := range then {
		switch c {
		case v[0]:
			u.flat[i] = p
		case v[1]:
			u.flat[i] = q
		default:
			u.flat[i] = far
		}
	}
	u.tri = next
}

// beyond is where the third corner of the next triangle goes: on the other side of the edge than the last one's.
func (u *unfolding) beyond(v [2]int32, then [3]int32, p, q, back r2.Point) r2.Point {
	vertices := u.sheet.mesh.Vertices
	third := then[0]
	for _, c := range then {
		if c != v[0] && c != v[1] {
			third = c
		}
	}
	edge, to := vertices[v[1]].Sub(vertices[v[0]]), vertices[third].Sub(vertices[v[0]])
	length := edge.Norm()
	if length == 0 {
		return p
	}
	x := to.Dot(edge) / length
	y := math.Sqrt(math.Max(0, to.Norm2()-float64(x*x)))
	along := q.Sub(p).Mul(1 / length)
	across := r2.Point{X: -along.Y, Y: along.X}
	if across.Dot(back.Sub(p)) > 0 {
		across = across.Mul(-1)
	}
	return p.Add(along.Mul(x)).Add(across.Mul(y))
}

// taut is the length of the way from a to b through the gates, pulled straight, and the vertices that it bends at: the funnel of
// what can be seen through the gates is narrowed gate by gate; where a gate lies aside of it, the way bends at the
// funnel's side, and begins anew there.
func taut(a, b r2.Point, gates []gate) (length float64, bends []int32) {
	gates = append(gates[:len(gates):len(gates)], gate{left: b, right: b})
	apex, left, right := a, gates[0].left, gates[0].right
	leftAt, rightAt := 0, 0
	for i := 1; i < len(gates); i++ {
		g := gates[i]
		if turn(apex, right, g.right) >= 0 { // the right side narrows
			if apex == right || turn(apex, left, g.right) < 0 {
				right, rightAt = g.right, i
			} else { // it passes the left side: the way bends there
				length += left.Sub(apex).Norm()
				bends = append(bends, gates[leftAt].leftAt)
				apex, right, rightAt, i = left, left, leftAt, leftAt
				continue
			}
		}
		if turn(apex, left, g.left) <= 0 {
			if apex == left || turn(apex, right, g.left) > 0 {
				left, leftAt = g.left, i
			} else {
				length += right.Sub(apex).Norm()
				bends = append(bends, gates[rightAt].rightAt)
				apex, left, leftAt, i = right, right, rightAt, rightAt
				continue
			}
		}
	}
	return length + b.Sub(apex).Norm(), bends
}

// turn is above zero where c lies to the left of the way from a to b.
func turn(a, b, c r2.Point) float64 { return b.Sub(a).Cross(c.Sub(a)) }
