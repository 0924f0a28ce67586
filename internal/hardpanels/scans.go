package hardpanels

import (
	"fmt"
	"math"
	"math/rand/v2"

	"seamwright/geometry/flange"
)

// scans are panels as a scanner gives them: fine facets with noise on every corner, and cut-outs in the sides.
func scans() []Class {
	return []Class{
		{Name: "scan, white noise", Make: func(rng *rand.Rand) Case {
			facet := between(rng, 0.25, 2)
			return scanned(rng, facet, min(0.1, between(rng, 0.05, 0.3)*facet), 0)
		}},
		{Name: "scan, smoothed noise", Make: func(rng *rand.Rand) Case {
			return scanned(rng, between(rng, 0.4, 2), between(rng, 0.01, 0.05), between(rng, 4, 12))
		}},
		{Name: "darts", Make: darts},
	}
}

func scanned(rng *rand.Rand, facet, noise, smooth float64) Case {
	length, width := between(rng, 40, 40+60*facet), between(rng, 12, 20)
	t := of(rng, 0.8, 1, 1.2)
	sheet := func(name string, y0, y1, z float64) flange.Sheet {
		b := blank{x0: 0, y0: y0, x1: length, y1: y1, facet: facet * between(rng, 0.9, 1.1), noise: noise, smooth: smooth, form: flatAt(z)}
		return flange.Sheet{Name: name, Mesh: b.mesh(rng), Thickness: t}
	}
	return Case{Name: fmt.Sprintf("%.0f x %.1f, facets of %.2f, noise %.3f over %.1f", length, width, facet, noise, smooth),
		Sheets: []flange.Sheet{sheet("A", -6, width, t/2), sheet("B", 0, width+8, -t/2)},
		Want: []Strip{{Line: rule(0, length, width/2, 0), Width: width, LengthWithin: max(0.5, 0.01*length), WidthWithin: 0.3, LineWithin: 0.5,
			GapWithin: 0.1}}}
}

// darts are notches from a side, most of the way across.
func darts(rng *rand.Rand) Case {
	length, width, t := between(rng, 150, 300), between(rng, 12, 20), of(rng, 0.8, 1, 1.2)
	deep, wide := between(rng, 0.3, 0.85)*width, between(rng, 3, 0.8*width)
	n := 1 + rng.IntN(int(length/60))
	in := func(x, y float64) float64 {
		most := math.Inf(1)
		for i := range n {
			at := length * (float64(i) + 0.5) / float64(n)
			// how far beside the flank of the dart
			flank := (math.Abs(x-at) - (y-(width-deep))/deep*wide/2) / math.Hypot(1, wide/2/deep)
			most = min(most, flank)
		}
		return most
	}
	upper := blank{x0: 0, y0: -30, x1: length, y1: width, facet: between(rng, 1, 2.5), form: flatAt(t / 2), in: in}
	lower := blank{x0: 0, y0: 0, x1: length, y1: 40, facet: between(rng, 4, 9), form: flatAt(-t / 2)}
	return Case{Name: fmt.Sprintf("%d, %.1f deep and %.1f wide in %.1f", n, deep, wide, width),
		Sheets: []flange.Sheet{{Name: "A", Mesh: upper.mesh(rng), Thickness: t}, {Name: "B", Mesh: lower.mesh(rng), Thickness: t}},
		Want: []Strip{{Line: rule(0, length, width/2, 0), Width: width, Least: width - deep, WidthWithin: max(0.5, 0.5*deep*wide*float64(n)/length+1),
			LineWithin: 0.5, LengthWithin: 0.5}}}
}
