package centreline

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/region"
	"seamwright/geometry/tangent"
)

// turnsAway is how far along a trace each sheet of the stack begins to bend away from the one beside it; not a number
// for those that do not.
func (c *Line) turnsAway(s *Section, t region.Trace, dir r3.Vector) (starts [region.MostLayers]float64, some bool) {
	for k := range starts {
		starts[k] = math.NaN()
	}
	if len(t.Path) < 2 || c.r.Folded {
		return starts, false
	}
	from, length := t.Path[0].Point, t.Way()
	var layers [region.MostLayers]tangent.Bend
	var heights [region.MostLayers]float64
	order := make([]int, len(c.r.Layers))
	for i := range c.r.Layers {
		line, height, ok := c.sectionOf(&c.r.Layers[i], s, from, dir, length)
		if !ok {
			return starts, false
		}
		layers[i], heights[i], order[i] = c.tangents.Find(line, length), height, i
		layers[i].Start += height * layers[i].Slope // as seen from the host, along its normal there
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(heights[a], heights[b]) })
	for i := 1; i < len(order); i++ {
		lower, upper := layers[order[i-1]], layers[order[i]]
		if upper.Leaves(lower, 1) && upper.Start > partingReach*length {
			starts[order[i]], some = upper.Start, true
		}
		if lower.Leaves(upper, -1) && lower.Start > partingReach*length {
			starts[order[i-1]], some = lower.Start, true
		}
	}
	if !some && nestedIn(layers[:len(order)], length) {
		for i := range order {
			starts[i] = layers[i].Start
		}
		s.Nested = true
		return starts, true
	}
	return starts, some
}

// nestedReach is how far along a trace a bend begins at least in which all sheets lie together. A flat with a bend of long facets beside it
// comes with the first of them: the line lies amid both, until the bend is found.
const nestedReach = 0.25

// nestedIn says whether all sheets turn the same way at the end of a trace of a length, as in a bend that they lie in together.
func nestedIn(layers []tangent.Bend, length float64) bool {
	for _, l := range layers {
		if l.Up == 0 || l.Up != layers[0].Up || !(l.Start > nestedReach*length && l.Start < length+tangent.NestedBeyond) {
			return false
		}
	}
	return len(layers) > 1
}

// sectionOf cuts a sheet along a section: x along it, y along the section's normal, from half the length before
// the place to some way beyond the length. The line holds until the next is cut.
func (c *Line) sectionOf(layer *region.Layer, s *Section, from, dir r3.Vector, length float64) (line []r2.Point, height float64, ok bool) {
	hit, ok := layer.Nearest(from, s.Normal)
	if !ok {
		return nil, 0, false
	}
	at := region.Place{Point: hit.Point, Tri: hit.Tri}
	cut := &region.Region{Mesh: layer.Mesh, Topo: layer.Topo, Places: c.cut[:0]}
	back := cut.Trace(at, s.Along, dir.Mul(-1), length/2)
	ahead := cut.TraceBeyond(at, s.Along, dir, length+c.r.Beyond) // one triangle on, for by how much the last corner turns
	c.cut, line = cut.Places, c.flat[:0]
	flat := func(q region.Place) r2.Point {
		d := q.Point.Sub(from)
		return r2.Point{X: d.Dot(dir), Y: d.Dot(s.Normal)}
	}
	for i := len(back.Path) - 1; i > 0; i-- {
		line = append(line, flat(back.Path[i]))
	}
	for _, q := range ahead.Path {
		line = append(line, flat(q))
	}
	c.flat = line
	return line, flat(at).Y, true
}
