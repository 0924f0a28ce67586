package centreline

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/dip"
)

const (
	cornerTurn     = 30.  // degrees by which a line turns within a width where its ring has a corner. Chosen.
	cornerRounds   = 100  // of moving places amid both borders
	offMiddle      = 0.1  // mm by which a section's sides differ that is not amid them
	cornerFine     = 0.25 // of a step: places amid both borders that are so near need none between them
	cornerHalvings = 5
)

// roundCorners lays a closed line, of which the sections may be known, round the corners of its ring, and says whether there are any.
// There a section says little: past the inner corner it runs on into the outer one, and which place is taken for the middle depends on
// the way by which the line came there. So places about corners are moved until they are equally far from both borders (the medial axis:
// Blum, A Transformation for Extracting New Descriptors of Shape, 1967; from memory): about a corner of the inner border on a parabola
// to each side of the outer one. Straight on, and round a circle, that is the middle of the sections.
func (c *Line) roundCorners(points []r3.Vector, sections []Section) ([]r3.Vector, bool) {
	if !c.Closed {
		return points, false
	}
	if sections == nil {
		sections = c.sections(curve.New(points, true))
	}
	about := c.aboutCorners(sections)
	if !slices.Contains(about, true) {
		return points, false
	}
	loops := c.r.Loops()
	if len(loops) != 2 {
		return points, false
	}
	var borders [2]*curve.Line
	for i, loop := range loops {
		var around []r3.Vector
		for _, v := range loop {
			around = append(around, c.r.Mesh.Vertices[v])
		}
		borders[i] = curve.New(around, true)
	}
	at := places(sections)
	for i := range at {
		if about[i] {
			at[i] = c.amid(at[i], borders)
			c.ringCorners = append(c.ringCorners, at[i])
		}
	}
	var out []r3.Vector
	for i, p := range at {
		out = append(out, p)
		if next := (i + 1) % len(at); about[i] && about[next] {
			out = c.between(out, p, at[next], borders, cornerHalvings)
		}
	}
	return out, true
}

// between adds places amid both borders between two, the nearer to each other the more sharply the line turns between them: places
// beside a kink, where the nearest side of a border is another, leave each other when they are moved.
func (c *Line) between(out []r3.Vector, from, to r3.Vector, borders [2]*curve.Line, halvings int) []r3.Vector {
	if halvings == 0 || from.Sub(to).Norm() < c.step*cornerFine {
		return out
	}
	p := c.amid(from.Add(to).Mul(0.5), borders)
	out = append(c.between(out, from, p, borders, halvings-1), p)
	return c.between(out, p, to, borders, halvings-1)
}

// aboutCorners says which of a closed line's sections lie within a width of one that runs on into a corner of the ring, at which the
// line turns, or beside those if what came of the corner has left them beside the middle.
func (c *Line) aboutCorners(sections []Section) []bool {
	n := len(sections)
	left, right := c.lengths(sections)
	l, r := c.reaches(sections)
	out := make([]bool, n)
	reach := min(n/4, int(math.Ceil(c.width/c.step)))
	half := max(1, reach/2)
	beyond := func(x, level float64) bool { return math.IsNaN(x) || x > level+dip.Rim }
	for i := range sections {
		before, after := sections[(i+n-half)%n].Along, sections[(i+half)%n].Along
		if !beyond(left[i], l[i]) && !beyond(right[i], r[i]) || before.Dot(after) > math.Cos(cornerTurn*math.Pi/180) {
			continue
		}
		for k := i - reach; k <= i+reach; k++ {
			out[(k+n)%n] = true
		}
	}
	for _, step := range [2]int{1, n - 1} {
		for k := range 2 * n { // twice round, so that it does not matter where the line begins
			i := k * step % n
			if next := (i + step) % n; out[i] && math.Abs(left[next]-right[next]) > offMiddle {
				out[next] = true
			}
		}
	}
	return out
}

// amid is the place beside p that is as far from the one border as from the other.
func (c *Line) amid(p r3.Vector, borders [2]*curve.Line) r3.Vector {
	for range cornerRounds {
		on, ofA := borders[0].Nearest(p)
		off, ofB := borders[1].Nearest(p)
		way := borders[1].At(off).Sub(borders[0].At(on))
		if way.Norm() == 0 {
			return p
		}
		move := (ofB - ofA) / 2
		hit, _ := c.tree.Closest(p.Add(way.Mul(move/way.Norm())), math.Inf(1))
		if p = hit.Point; math.Abs(move) < settled {
			break
		}
	}
	return p
}
