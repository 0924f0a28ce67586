// Package delaunay covers what lies between closed polygons in a plane with triangles: a constrained Delaunay triangulation, with
// predicates whose signs are exact. Points go in one by one, each into the triangle that a walk finds, and edges are flipped until no
// triangle's circle holds another's corner; the polygons' edges are then forced in by flips, what is free is made Delaunay again, and
// the inside is flooded from without.
//
//	faces, err := delaunay.Triangulate(points, [][]int32{outline, hole}, touch)
//
// Coordinates are of one unit throughout, such as millimetres, and of a size at which products neither overflow nor underflow.
package delaunay

import (
	"errors"

	"github.com/golang/geo/r2"
)

// Crossing is the error that two loops, or two parts of one, cross.
type Crossing struct {
	Loops [2]int // the same one twice where it crosses itself
	Place r2.Point
}

func (c *Crossing) Error() string { return "outlines cross" }

// errTangled is a fault of the triangulation itself: every loop of it is bounded.
var errTangled = errors.New("outline is too tangled to fill: draw it without overlaps")

// Triangulate returns the triangles, by their corners and turning left, of all places round which an odd number of loops
// runs. A loop names its corners among points in their order, either way round, no corner the same as the next; it may touch
// others, and run along them. No two points are closer than touch; a point within half of that of an edge lies on it. No point is added.
// Loops that cross are a *Crossing.
func Triangulate(points []r2.Point, loops [][]int32, touch float64) ([][3]int32, error) {
	t := triangulate(points, touch/2)
	for l, loop := range loops {
		for i, p := range loop {
			if err := t.fix(p, loop[(i+1)%len(loop)], l); err != nil {
				return nil, err
			}
		}
	}
	t.refine()
	return t.inside(), nil
}
