package outline

import "github.com/golang/geo/r3"

// dense is how many points an outline may have before it is thinned; thinness, in mm, is how far a point that is left out may lie
// from the chord that takes its place, and longest how many points one chord may stand for. A drawing that was flattened from fine
// curves has tens of thousands of points a micrometre off their chords; filling it and looking for slots would take minutes.
const (
	dense    = 2000
	thinness = 0.001
	longest  = 64
)

// Thinned is a closed path of at most the points given: of one with more than 2,000, those that lie within 0.001 mm of the chord
// between others are left out.
func Thinned(points []r3.Vector) []r3.Vector {
	n := len(points)
	if n <= dense {
		return points
	}
	out := make([]r3.Vector, 0, n)
	for i := 0; i < n; {
		out = append(out, points[i])
		end := i + 1
		for end < n && end-i < longest && alongChord(points[i+1:end+1], points[i], points[(end+1)%n]) {
			end++
		}
		i = end
	}
	return out
}

// alongChord tells whether all points lie within thinness of the line from a to b, one after the other.
func alongChord(points []r3.Vector, a, b r3.Vector) bool {
	way := b.Sub(a)
	length2 := way.Norm2()
	last := 0.0
	for _, p := range points {
		at := p.Sub(a).Dot(way)
		if at < last || at > length2 {
			return false
		}
		last = at
		if p.Sub(a).Cross(way).Norm2() > thinness*thinness*length2 {
			return false
		}
	}
	return true
}
