package hardpanels

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// sprung are flanges that stand open beyond the search gap over a part of them, and are drawn together by clamps.
func sprung() []Class {
	return []Class{
		{Name: "sprung, placed askew", Make: func(rng *rand.Rand) Case {
			return springing(rng, func(length, gap, x, _ float64) float64 { return gap * x / length })
		}},
		{Name: "sprung, at an end", Make: func(rng *rand.Rand) Case {
			return springing(rng, func(length, gap, x, _ float64) float64 { return gap * x * x / length / length })
		}},
		{Name: "sprung, dented", Make: func(rng *rand.Rand) Case {
			at, wide := between(rng, 0.3, 0.7), between(rng, 20, 60)
			return springing(rng, func(length, gap, x, _ float64) float64 { return gap * math.Exp(-math.Pow((x-at*length)/wide, 2)) })
		}},
		{Name: "sprung, opened across", Make: openedAcross},
		{Name: "sheets nowhere within the search gap", Negative: true, Make: nowhereNear},
	}
}

// springing is a lap that opens along its length.
func springing(rng *rand.Rand, rise func(length, gap, x, y float64) float64) Case {
	length, gap := between(rng, 250, 1000), between(rng, 1.1, 2.9)
	return risen(rng, length, between(rng, 12, 22), func(x, y float64) float64 { return rise(length, gap, x, y) },
		Strip{Open: gap, OpenWithin: 0.1}, fmt.Sprintf("%.2f over %.0f", gap, length))
}

func openedAcross(rng *rand.Rand) Case {
	degrees, width := between(rng, 2, 8.5), between(rng, 12, 18)
	slope := math.Tan(degrees * math.Pi / 180)
	// the foot of the slope's edge on the flat sheet lies farther out by the gap times the slope
	return risen(rng, between(rng, 150, 400), width, func(_, y float64) float64 { return max(0, y) * slope },
		Strip{Width: width * math.Hypot(1, slope), WidthWithin: 0.2 + width*slope*slope, LineWithin: 1, Open: width * slope, OpenWithin: 0.1},
		fmt.Sprintf("%.1f degrees over %.1f", degrees, width))
}

func nowhereNear(rng *rand.Rand) Case {
	gap := between(rng, 1.1, 2.9)
	c := risen(rng, between(rng, 150, 400), 16, func(x, _ float64) float64 { return gap + 0.002*x }, Strip{}, fmt.Sprintf("%.2f", gap))
	c.Want = nil
	return c
}

// risen is a lap of two sheets, one along y, of which the upper rises.
func risen(rng *rand.Rand, length, width float64, rise func(x, y float64) float64, want Strip, name string) Case {
	ta, tb, facet := of(rng, 0.8, 1, 1.5), of(rng, 0.8, 1.2), between(rng, 3, 12)
	height := func(x, y float64) float64 { return ta/2 + rise(x, y) }
	rows := math.Ceil(width / facet) // so that facets part along the lower sheet's edge
	upper := blank{x0: 0, y0: -2 * width, x1: length, y1: width, facet: width / rows, form: func(x, y float64) r3.Vector {
		return r3.Vector{X: x, Y: y, Z: height(x, y)}
	}}
	lower := blank{x0: 0, y0: 0, x1: length, y1: 40, facet: facet * 1.13, form: flatAt(-tb / 2)}
	for x := range int(length/2) + 1 {
		at := min(2*float64(x), length)
		want.Line = append(want.Line, r3.Vector{X: at, Y: width / 2, Z: rise(at, width/2) / 2})
	}
	want.Line[len(want.Line)-1].X = length
	if want.Width == 0 {
		want.Width = width
	}
	want.LengthWithin, want.GapWithin = max(0.5, length/1000), 10
	return Case{Name: fmt.Sprintf("%s, facets of %.1f", name, facet), Want: []Strip{want}, Sheets: []flange.Sheet{
		{Name: "A", Mesh: upper.mesh(rng), Thickness: ta}, {Name: "B", Mesh: lower.mesh(rng), Thickness: tb},
	}}
}
