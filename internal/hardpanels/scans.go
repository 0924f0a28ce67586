package hardpanels

import (
	"fmt"
	"math/rand/v2"

	"seamwright/geometry/flange"
)

// scans are panels as a scanner gives them: fine facets with noise on every corner.
func scans() []Class {
	return []Class{
		{Name: "scan, white noise", Make: func(rng *rand.Rand) Case {
			facet := between(rng, 0.25, 2)
			return scanned(rng, facet, min(0.1, between(rng, 0.05, 0.3)*facet), 0)
		}},
		{Name: "scan, smoothed noise", Make: func(rng *rand.Rand) Case {
			return scanned(rng, between(rng, 0.4, 2), between(rng, 0.01, 0.05), between(rng, 4, 12))
		}},
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
			GapWithin: 0.1, Least: width, LeastWithin: 0.3}}}
}
