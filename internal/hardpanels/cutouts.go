package hardpanels

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/outline"
)

// cutouts are laps with darts, notches and holes, whose corners lie where they are drawn.
func cutouts() []Class {
	return []Class{
		{Name: "cut, darts", Make: func(rng *rand.Rand) Case { return cutLap(rng, 0.02) }},
		{Name: "cut, notches", Make: func(rng *rand.Rand) Case { return cutLap(rng, 0.9) }},
		{Name: "cut, holes", Make: holedLap},
		{Name: "ring, of rectangles", Make: squareRing},
	}
}

// filled is a flat sheet within loops, at a height.
func filled(name string, thickness, z float64, loops ...[]r3.Vector) flange.Sheet {
	m, err := outline.Fill(loops)
	if err != nil {
		panic(err) // the generator's own fault
	}
	for i := range m.Vertices {
		m.Vertices[i].Z = z
	}
	return flange.Sheet{Name: name, Mesh: m, Thickness: thickness}
}

func rectangleAt(x0, y0, x1, y1 float64) []r3.Vector {
	return []r3.Vector{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// cutLap is a lap of a plate on one whose edge has darts or notches, as wide at their bottom as a share of their mouth.
func cutLap(rng *rand.Rand, bottom float64) Case {
	width, length := between(rng, 12, 22), between(rng, 90, 260)
	t := of(rng, 0.8, 1, 1.2)
	edge := []r3.Vector{{X: 0, Y: -20}, {X: length, Y: -20}, {X: length, Y: width}}
	least, name := width, ""
	for x := length - between(rng, 20, 40); x > 25; x -= between(rng, 45, 90) {
		depth, mouth := between(rng, 0.15, 0.8)*width, between(rng, 3, 14)
		least = min(least, width-depth)
		name += fmt.Sprintf(" %.1f x %.1f at %.1f", mouth, depth, x)
		for _, p := range [][2]float64{{mouth / 2, 0}, {bottom * mouth / 2, depth}, {-bottom * mouth / 2, depth}, {-mouth / 2, 0}} {
			edge = append(edge, r3.Vector{X: x + p[0], Y: width - p[1]})
		}
	}
	edge = append(edge, r3.Vector{Y: width})
	c := Case{Name: fmt.Sprintf("%.0f x %.1f with%s", length, width, name), Sheets: []flange.Sheet{
		filled("A", t, t/2, edge), filled("B", t, -t/2, rectangleAt(-5, 0, length+5, width+25))}}
	c.Want = []Strip{{Line: rule(0, length, width/2, 0), Width: width, WidthWithin: 0.25 * width, Least: least, LeastWithin: 0.3}}
	return c.put(anywhere(rng))
}

// holedLap is a lap of plates with holes in the flange, near to its ends too.
func holedLap(rng *rand.Rand) Case {
	width, length := between(rng, 13, 22), between(rng, 80, 240)
	t := of(rng, 0.8, 1, 1.2)
	loops := [][]r3.Vector{rectangleAt(0, -25, length, width)}
	name := ""
	for x := between(rng, 6, 30); x < length-6; x += between(rng, 25, 80) {
		radius := between(rng, 1.5, 0.3*width)
		if x < radius+1.5 || x > length-radius-1.5 {
			continue
		}
		y := width/2 + between(rng, -1, 1)*(width/2-radius-1.5)*of(rng, 0., 1)
		name += fmt.Sprintf(" %.1f at %.1f %.1f", radius, x, y)
		loops = append(loops, circle(x, y, radius))
	}
	c := Case{Name: fmt.Sprintf("%.0f x %.1f with holes of%s", length, width, name), Sheets: []flange.Sheet{
		filled("A", t, t/2, loops...), filled("B", t, -t/2, rectangleAt(-5, 0, length+5, width+25))}}
	c.Want = []Strip{{Line: rule(0, length, width/2, 0), Width: width}}
	return c.put(anywhere(rng))
}

func circle(x, y, radius float64) (out []r3.Vector) {
	const corners = 32
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		out = append(out, r3.Vector{X: x + radius*cos, Y: y + radius*sin})
	}
	return out
}

// squareRing is the flange round a rectangular opening with sharp corners.
func squareRing(rng *rand.Rand) Case {
	a, b, w := between(rng, 26, 70), between(rng, 26, 70), between(rng, 8, 14)
	t := of(rng, 0.8, 1, 1.2)
	ring := func(name string, z, more float64) flange.Sheet {
		x, y := a/2+w+more, b/2+w+more
		return filled(name, t, z, rectangleAt(-x, -y, x, y), rectangleAt(-a/2, -b/2, a/2, b/2))
	}
	c := Case{Name: fmt.Sprintf("opening of %.1f x %.1f, %.1f wide", a, b, w)}
	c.Sheets = []flange.Sheet{ring("A", t/2, 0), ring("B", -t/2, of(rng, 0., 8))}
	c.Want = []Strip{{Line: amidRectangles(a/2, b/2, w), Closed: true, Width: w, WidthWithin: 0.15 * w, Least: w, LeastWithin: 0.5,
		LengthWithin: 1}} // a line in steps of 2 mm cuts off where two parabolas meet
	return c.put(anywhere(rng))
}

// amidRectangles is the line that is equally far from a rectangle, of half the sides x and y, and from another one w outside of it. Round
// a corner of the inner one, to which what lies about it is nearest, it is a parabola each for the two sides of the outer one: its
// focus the corner, its directrix the side.
func amidRectangles(x, y, w float64) (out []r3.Vector) {
	const steps = 20 // to an eighth of a turn
	for quarter := range 4 {
		corner := [4]r3.Vector{{X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}, {X: x, Y: -y}}[quarter]
		for i := range 2*steps + 1 {
			turn := math.Pi / 4 / steps * float64(i)
			off := math.Min(turn, math.Pi/2-turn) // from square to the nearer side
			sin, cos := math.Sincos(math.Pi/2*float64(quarter) + turn)
			out = append(out, corner.Add(r3.Vector{X: cos, Y: sin}.Mul(w/(1+math.Cos(off)))))
		}
	}
	return out
}
