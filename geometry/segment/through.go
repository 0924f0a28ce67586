package segment

import (
	"slices"

	"github.com/golang/geo/r3"
)

// Through is the smooth curve through points: a cubic spline with continuous curvature, its parameter spaced by the
// chords between the points. A tangent that is not zero sets the direction at the first or the last point, with speed 1;
// otherwise the curvature is zero there. A closed curve goes on smoothly over its start, which points need not repeat; fewer
// than three points are not closed. Points equal to the one before count once. Fewer than two make no curve, two without
// tangents the line between them.
func Through(points []r3.Vector, tangents [2]r3.Vector, closed bool) (pieces []Segment, isClosed bool) {
	points = slices.Compact(slices.Clone(points))
	if closed && len(points) > 1 && points[0] == points[len(points)-1] {
		points = points[:len(points)-1]
	}
	closed = closed && len(points) > 2
	switch {
	case len(points) < 2:
		return nil, false
	case len(points) == 2 && tangents == [2]r3.Vector{}:
		return []Segment{Line(points[0], points[1])}, false
	}
	var slopes []r3.Vector
	if closed {
		points = append(points, points[0])
		slopes = closedSlopes(points)
	} else {
		slopes = openSlopes(points, tangents)
	}
	for i := 1; i < len(points); i++ {
		pieces = append(pieces, hermite(points[i-1], points[i], slopes[i-1], slopes[i]))
	}
	return pieces, closed
}

// hermite is the cubic from a to b, over a parameter as long as the chord, with the derivatives given.
func hermite(a, b, slopeA, slopeB r3.Vector) Segment {
	third := b.Sub(a).Norm() / 3
	poles := []pole{{a, 1}, {a.Add(scaled(slopeA, third)), 1}, {b.Sub(scaled(slopeB, third)), 1}, {b, 1}}
	return bezierOf(poles)
}

// row is an equation of the system for the slopes m: before·m[i-1] + here·m[i] + after·m[i+1] = right.
type row struct {
	before, here, after float64
	right               r3.Vector
}

// smoothRow asks for equal curvature on both sides of b, between a and c.
func smoothRow(a, b, c r3.Vector) row {
	h, k := b.Sub(a).Norm(), c.Sub(b).Norm()
	in, out := scaled(b.Sub(a), 3*k/h), scaled(c.Sub(b), 3*h/k)
	return row{before: k, here: 2 * (h + k), after: h, right: in.Add(out)}
}

// openSlopes returns the derivatives at the points of an open cubic spline.
func openSlopes(points []r3.Vector, tangents [2]r3.Vector) []r3.Vector {
	n := len(points)
	rows := make([]row, n)
	for i := 1; i < n-1; i++ {
		rows[i] = smoothRow(points[i-1], points[i], points[i+1])
	}
	rows[0] = endRow(points[0], points[1], tangents[0])
	rows[n-1] = endRow(points[n-2], points[n-1], tangents[1])
	rows[n-1].before, rows[n-1].after = rows[n-1].after, 0
	return solved(rows)
}

// endRow sets the slope at an end of the piece from a to b: the tangent's direction, or no curvature.
func endRow(a, b, tangent r3.Vector) row {
	const shortest = 1e-9 // a tangent that is meant has a length of about 1
	if tangent.Norm() > shortest {
		return row{here: 1, right: tangent.Normalize()}
	}
	return row{here: 2, after: 1, right: scaled(b.Sub(a), 3/b.Sub(a).Norm())}
}

// solved eliminates a tridiagonal system whose middle outweighs its sides, so that no pivoting is needed.
func solved(rows []row) []r3.Vector {
	n := len(rows)
	for i := 1; i < n; i++ {
		f := rows[i].before / rows[i-1].here
		rows[i].here -= float64(f * rows[i-1].after)
		rows[i].right = rows[i].right.Sub(scaled(rows[i-1].right, f))
	}
	slopes := make([]r3.Vector, n)
	for i := n - 1; i >= 0; i-- {
		right := rows[i].right
		if i < n-1 {
			right = right.Sub(scaled(slopes[i+1], rows[i].after))
		}
		slopes[i] = scaled(right, 1/rows[i].here)
	}
	return slopes
}

// closedSlopes returns the derivatives at the points of a closed cubic spline, whose last point repeats the
// first. The corner entries of the cyclic system are taken out by Sherman and Morrison's formula.
func closedSlopes(points []r3.Vector) []r3.Vector {
	n := len(points) - 1
	rows := make([]row, n)
	for i := range rows {
		rows[i] = smoothRow(points[(i+n-1)%n], points[i], points[i+1])
	}
	// The system is T + u wᵀ with u = (g, 0, …, last), w = (1, 0, …, first/g).
	first, last := rows[0].before, rows[n-1].after
	g := -rows[0].here
	rows[0].here -= g
	rows[n-1].here -= float64(last * first / g)
	correction := make([]row, n)
	for i := range rows {
		correction[i] = rows[i]
		correction[i].right = r3.Vector{}
	}
	correction[0].right.X, correction[n-1].right.X = g, last
	y, z := solved(rows), solved(correction)
	against := y[0].Add(scaled(y[n-1], first/g))
	f := scaled(against, 1/(1+z[0].X+float64(z[n-1].X*first/g)))
	slopes := make([]r3.Vector, n+1)
	for i := range n {
		slopes[i] = y[i].Sub(scaled(f, z[i].X))
	}
	slopes[n] = slopes[0]
	return slopes
}
