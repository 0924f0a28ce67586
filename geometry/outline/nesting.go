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
		if other == l || !r.rings[other].box.ExpandedByMargin(r.touch).Contains(r.rings[l].box) {
			continue
		}
		witness, ok := r.rings[other].witness(r.rings[l].corners, r.touch)
		if !ok {
			return 0, fmt.Errorf("loops %d and %d lie on each other: leave one out", min(l, other)+1, max(l, other)+1)
		}
		if r.rings[other].holds(witness) {
			depth++
		}
	}
	return depth, nil
}

func (r *region) ringOf(loop []int32) polygon {
	corners := make([]r2.Point, len(loop))
	for i, p := range loop {
		corners[i] = r.points[p]
	}
	return polygonOf(corners)
}
