package spots

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/layout/pitch"
)

// Outline is a drawn keep-out: a line, or a flat closed path that holds what is within it as well.
type Outline struct {
	Points []r3.Vector
	Closed bool
}

// onBlank is how far above or below a closed outline a weld may be that it counts for, mm: the sheets of a stack.
const onBlank = 10.0

// Distance is from a place to the outline, mm; below zero within a closed one. A closed outline is looked at from square
// above, and counts for places within 10 mm of its plane; from all others it is infinitely far.
func (o Outline) Distance(p r3.Vector) float64 {
	if len(o.Points) == 0 {
		return math.Inf(1)
	}
	axis := areaVector(o.Points)
	flat := o.Closed && len(o.Points) > 2 && axis.Norm() > 0
	if flat {
		axis = axis.Normalize()
		height := p.Sub(o.Points[0]).Dot(axis)
		if math.Abs(height) > onBlank {
			return math.Inf(1)
		}
		p = p.Sub(axis.Mul(height))
	}
	least := p.Distance(o.Points[0])
	for i, a := range o.Points {
		if i+1 == len(o.Points) && !o.Closed {
			break
		}
		least = math.Min(least, toSegment(p, a, o.Points[(i+1)%len(o.Points)]))
	}
	if flat && within(p, o.Points, axis) {
		return -least
	}
	return least
}

func toSegment(p, a, b r3.Vector) float64 {
	ab := b.Sub(a)
	f := 0.0
	if l2 := ab.Norm2(); l2 > 0 {
		f = math.Min(1, math.Max(0, p.Sub(a).Dot(ab)/l2))
	}
	return p.Distance(a.Add(ab.Mul(f)))
}

func areaVector(path []r3.Vector) r3.Vector {
	sum := r3.Vector{}
	for i := 1; i+1 < len(path); i++ {
		sum = sum.Add(path[i].Sub(path[0]).Cross(path[i+1].Sub(path[0])))
	}
	return sum
}

// within says whether p lies inside the path, seen along the axis: it turns round p an odd number of times.
func within(p r3.Vector, path []r3.Vector, axis r3.Vector) bool {
	u := axis.Ortho()
	v := axis.Cross(u)
	inside := false
	for i := range path {
		a, b := path[i].Sub(p), path[(i+1)%len(path)].Sub(p)
		ya, yb := a.Dot(v), b.Dot(v)
		if (ya > 0) == (yb > 0) {
			continue
		}
		xa, xb := a.Dot(u), b.Dot(u)
		if xa+float64((xb-xa)*ya/(ya-yb)) > 0 {
			inside = !inside
		}
	}
	return inside
}

// where returns the stretches of the track on which a distance from a place is below a limit, by growing u and merged. No
// distance may change faster than the place moves, so that it says how far nothing can change; steps are no shorter than
// finest.
func (t *track) where(distance func(p r3.Vector) float64, limit float64, within pitch.Span) []pitch.Span {
	const finest, longest = 0.05, 1.0 // mm: a keep-out ends within the first; what counts on one side of a plane only is seen by the second
	var out []pitch.Span
	at := within.From
	d := distance(t.at(at)) - limit
	for at < within.To {
		next := math.Min(within.To, at+math.Min(longest, math.Max(finest, math.Abs(d))))
		after := distance(t.at(next)) - limit
		if d < 0 || after < 0 {
			part := pitch.Span{From: at, To: next}
			switch {
			case d >= 0:
				part.From = t.border(distance, limit, next, at)
			case after >= 0:
				part.To = t.border(distance, limit, at, next)
			}
			out = append(out, part)
		}
		at, d = next, after
	}
	return pitch.Merge(out)
}

// border halves the way from a covered place to a free one.
func (t *track) border(distance func(p r3.Vector) float64, limit, covered, free float64) float64 {
	for math.Abs(free-covered) > pitch.Tiny/2 {
		middle := (covered + free) / 2
		if middle == covered || middle == free {
			break
		}
		if distance(t.at(middle)) < limit {
			covered = middle
		} else {
			free = middle
		}
	}
	return free
}
