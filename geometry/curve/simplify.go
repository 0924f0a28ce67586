package curve

// Simplify leaves out points of a line that are nearer than tolerance to what remains (Ramer 1972; Douglas and Peucker 1973; from
// memory): it keeps the point farthest from the line between two kept ones, until all are near. Ends stay. away is the distance of a
// place from a segment, in the plane or in space.
func Simplify[P any](points []P, tolerance float64, away func(p, a, b P) float64) []P {
	if len(points) < 3 {
		return points
	}
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	for todo := [][2]int{{0, len(points) - 1}}; len(todo) > 0; {
		a, b := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		far, at := tolerance, -1
		for i := a + 1; i < b; i++ {
			if d := away(points[i], points[a], points[b]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, [2]int{a, at}, [2]int{at, b})
		}
	}
	var out []P
	for i, p := range points {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}
