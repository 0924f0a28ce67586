package hardpanels

import (
	"fmt"
	"math/rand/v2"

	"seamwright/geometry/flange"
)

func skins() []Class {
	return []Class{
		{Name: "skins that touch", Make: func(rng *rand.Rand) Case { return skinLap(rng, true, true, 0, false) }},
		{Name: "skins that touch, noise", Make: func(rng *rand.Rand) Case { return skinLap(rng, true, true, between(rng, 0.003, 0.03), false) }},
	}
}

// skinLap is a lap of two skins.
func skinLap(rng *rand.Rand, fayingA, fayingB bool, noise float64, inward bool) Case {
	skin := func(faying bool) sheet {
		return sheet{thickness: of(rng, 0.7, 0.8, 1, 1.2, 1.5, 2, 3), surface: flange.Skin, shape: rng.IntN(3), size: of(rng, 2.5, 4, 6),
			beyond: of(rng, 0., 0, 7.5), faying: faying, noise: noise, inward: inward}
	}
	l := lap{length: between(rng, 50, 200), width: between(rng, 12, 24), a: skin(fayingA), b: skin(fayingB)}
	return l.make(fmt.Sprintf("%+v", l), rng)
}
