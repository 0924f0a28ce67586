package hardpanels

import (
	"fmt"
	"math/rand/v2"

	"seamwright/geometry/flange"
)

func solids() []Class {
	return []Class{
		{Name: "solid, square edges", Make: func(rng *rand.Rand) Case { return solidLap(rng, 0, false) }},
		{Name: "solid, rounded edges", Make: func(rng *rand.Rand) Case { return solidLap(rng, between(rng, 0.1, 0.5), false) }},
		{Name: "solid, chamfered edges", Make: func(rng *rand.Rand) Case { return solidLap(rng, between(rng, 0.1, 0.5), true) }},
		{Name: "solid, edges fully round", Make: func(rng *rand.Rand) Case { return solidLap(rng, 0.5, false) }},
		{Name: "solid, same stations", Make: sameStations},
		{Name: "solids one above the other, apart", Negative: true, Make: solidsApart},
	}
}

// solidLap is a lap of two solids, their edges rounded by a share of the thickness.
func solidLap(rng *rand.Rand, share float64, chamfer bool) Case {
	solid := func() sheet {
		t := of(rng, 0.7, 0.8, 1, 1.2, 1.5, 2, 3)
		return sheet{thickness: t, surface: flange.Solid, shape: rng.IntN(3), size: of(rng, 2.7, 5, 11, 40), along: of(rng, 0., 0, 30, 1000),
			beyond: of(rng, 0., 0, 7.5), edge: edging{size: share * t, chamfer: chamfer, steps: of(rng, 2, 4, 6, 12)}}
	}
	l := lap{length: between(rng, 60, 320), width: between(rng, 12, 24), gap: of(rng, 0., 0, 0.1, 0.35), a: solid(), b: solid()}
	return l.make(fmt.Sprintf("%+v", l), rng)
}

// sameStations is a lap of two solids meshed at equal stations along and across, with no air: faces, edges and corners
// coincide.
func sameStations(rng *rand.Rand) Case {
	size := of(rng, 2., 4, 8)
	solid := func(t float64) sheet {
		return sheet{thickness: t, surface: flange.Solid, size: size, along: of(rng, size, 2*size)}
	}
	t := of(rng, 0.8, 1, 1.5)
	l := lap{length: 20 * size, width: of(rng, 2., 4) * size, a: solid(t), b: solid(of(rng, t, 1.2))}
	if l.width < 8 {
		l.width = 8
	}
	return l.make(fmt.Sprintf("%+v", l), rng)
}

func solidsApart(rng *rand.Rand) Case {
	c := solidLapApart(rng, between(rng, 1.4, 8))
	c.Want = nil
	return c
}

func solidLapApart(rng *rand.Rand, gap float64) Case {
	solid := func() sheet {
		t := of(rng, 0.8, 1, 1.5)
		return sheet{thickness: t, surface: flange.Solid, size: of(rng, 4., 9), edge: edging{size: between(rng, 0, 0.5) * t, steps: 4}}
	}
	l := lap{length: between(rng, 60, 200), width: between(rng, 12, 24), gap: gap, a: solid(), b: solid()}
	return l.make(fmt.Sprintf("%+v", l), rng)
}
