package outline

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
)

// checkArea compares the triangles' area with what the loops' areas give, holes taken off: they differ where
// loops overlap along a common edge, or where a loop crosses itself at one of its corners, both of which no
// crossing edge gives away.
func (r *region) checkArea(faces [][3]int32) error {
	got, want, all, slack := 0.0, 0.0, 0.0, 0.0
	for _, f := range faces {
		got += r.area2(f[:])
	}
	for l, loop := range r.loops {
		area := math.Abs(r.area2(loop))
		depth, err := r.depth(l)
		if err != nil {
			return err
		}
		if depth%2 == 0 {
			want += area
		} else {
			want -= area
		}
		all += area
		slack += r.touch * r.perimeter(loop)
	}
	const rounding = 1e-9
	if math.Abs(got-want) > rounding*all+2*slack {
		return fmt.Errorf("loops overlap each other or themselves (%.3f mm² covered, %.3f mm² enclosed): mend the outlines", got/2, want/2)
	}
	return nil
}

// depth is the number of other loops around loop l.
func (r *region) depth(l int) (int, error) {
	depth := 0
	for other := range r.loops {
		if other == l || !r.boxes[other].ExpandedByMargin(r.touch).Contains(r.boxes[l]) {
			continue
		}
		witness, ok := r.witness(l, other)
		if !ok {
			return 0, fmt.Errorf("loops %d and %d lie on each other: leave one out", min(l, other)+1, max(l, other)+1)
		}
		if r.holds(r.loops[other], witness) {
			depth++
		}
	}
	return depth, nil
}

func (r *region) boxOf(loop []int32) r2.Rect {
	box := r2.EmptyRect()
	for _, p := range loop {
		box = box.AddPoint(r.points[p])
	}
	return box
}

// witness is a corner of loop l, or the middle of one of its edges, that is not on the other loop.
func (r *region) witness(l, other int) (r2.Point, bool) {
	loop := r.loops[l]
	for _, share := range []float64{0, 0.5} {
		for i, p := range loop {
			a, b := r.points[p], r.points[loop[(i+1)%len(loop)]]
			at := a.Add(b.Sub(a).Mul(share))
			if !r.onLoop(r.loops[other], at) {
				return at, true
			}
		}
	}
	return r2.Point{}, false
}

func (r *region) onLoop(loop []int32, at r2.Point) bool {
	for i, p := range loop {
		if distanceToLine(at, r.points[p], r.points[loop[(i+1)%len(loop)]]) <= r.touch {
			return true
		}
	}
	return false
}

// holds reports whether a point that is not on the loop is inside it: a ray to the right crosses it an odd
// number of times.
func (r *region) holds(loop []int32, at r2.Point) bool {
	inside := false
	for i, p := range loop {
		a, b := r.points[p], r.points[loop[(i+1)%len(loop)]]
		if (a.Y > at.Y) == (b.Y > at.Y) {
			continue
		}
		if a.Y > b.Y {
			a, b = b, a
		}
		if orient(a, b, at) > 0 {
			inside = !inside
		}
	}
	return inside
}
