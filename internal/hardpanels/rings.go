package hardpanels

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// rings are the flanges round small openings, as of a lamp or a filler.
func rings() []Class {
	return []Class{{Name: "ring, small", Make: smallRing}}
}

func smallRing(rng *rand.Rand) Case {
	hole, width := between(rng, 24, 40), between(rng, 8, 16)
	inner, outer := hole/2, hole/2+width
	t := of(rng, 0.8, 1, 1.2)
	annulus := func(to, z float64) flange.Sheet {
		b := blank{x0: -to - 5, y0: -to - 5, x1: to + 5, y1: to + 5, facet: between(rng, 1.5, 3.5), form: flatAt(z),
			in: func(x, y float64) float64 { r := math.Hypot(x, y); return min(r-inner, to-r) }}
		return flange.Sheet{Mesh: b.mesh(rng), Thickness: t}
	}
	a, b := annulus(outer, t/2), annulus(outer+of(rng, 0., 10), -t/2)
	a.Name, b.Name = "A", "B"
	want := Strip{Closed: true, Width: width, LineWithin: 0.5, LengthWithin: 1, WidthWithin: 0.3}
	for i := range 180 {
		s, c := math.Sincos(float64(i) * math.Pi / 90)
		want.Line = append(want.Line, r3.Vector{X: (inner + width/2) * c, Y: (inner + width/2) * s})
	}
	return Case{Name: fmt.Sprintf("hole %.1f, %.1f wide", hole, width), Sheets: []flange.Sheet{a, b}, Want: []Strip{want}}
}
