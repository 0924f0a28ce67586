package strip

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// edge is the strip's outline, sorted into cubes so that near places are found fast.
type edge struct {
	segments [][2]r3.Vector
	cubes    map[[3]int][]int
}

// edgeCube is the side of a cube in mm: a few segments, and no smaller than what is asked for on most flanges.
const edgeCube = 8.0

func cubeOf(p r3.Vector) [3]int {
	return [3]int{int(math.Floor(p.X / edgeCube)), int(math.Floor(p.Y / edgeCube)), int(math.Floor(p.Z / edgeCube))}
}

func newEdge(loops [][]layout.Vec) *edge {
	e := &edge{cubes: map[[3]int][]int{}}
	for _, loop := range loops {
		for i := range loop {
			a, b := loop[i].R3(), loop[(i+1)%len(loop)].R3()
			e.segments = append(e.segments, [2]r3.Vector{a, b})
			id := len(e.segments) - 1
			n := int(b.Sub(a).Norm()/edgeCube) + 1
			for k := range n + 1 { // every cube near the segment is within one of these
				c := cubeOf(a.Add(b.Sub(a).Mul(float64(k) / float64(n))))
				if ids := e.cubes[c]; len(ids) == 0 || ids[len(ids)-1] != id {
					e.cubes[c] = append(e.cubes[c], id)
				}
			}
		}
	}
	return e
}

// nearest returns the place of the outline nearest to p, if it is within reach.
func (e *edge) nearest(p r3.Vector, reach float64) (r3.Vector, bool) {
	best, least := r3.Vector{}, math.Inf(1)
	span := int(reach/edgeCube) + 2
	c := cubeOf(p)
	for x := c[0] - span; x <= c[0]+span; x++ {
		for y := c[1] - span; y <= c[1]+span; y++ {
			for z := c[2] - span; z <= c[2]+span; z++ {
				for _, id := range e.cubes[[3]int{x, y, z}] {
					q := closest(e.segments[id][0], e.segments[id][1], p)
					if d := q.Sub(p).Norm2(); d < least {
						best, least = q, d
					}
				}
			}
		}
	}
	return best, math.Sqrt(least) <= reach
}

// closest is the place of the segment ab nearest to p.
func closest(a, b, p r3.Vector) r3.Vector {
	ab := b.Sub(a)
	l2 := ab.Norm2()
	if l2 == 0 {
		return a
	}
	f := math.Min(1, math.Max(0, p.Sub(a).Dot(ab)/l2))
	return a.Add(ab.Mul(f))
}
