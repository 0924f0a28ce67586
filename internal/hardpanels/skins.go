package hardpanels

import (
	"fmt"
	"math/rand/v2"

	"seamwright/geometry/flange"
)

func skins() []Class {
	return []Class{
		{Name: "skins that touch", Make: func(rng *rand.Rand) Case { return skinsThatTouch(rng, 0) }},
		{Name: "skins that touch, noise", Make: func(rng *rand.Rand) Case { return skinsThatTouch(rng, between(rng, 0.003, 0.03)) }},
		{Name: "skins, face stated", Make: statedSkins},
		{Name: "skins, turned from the metal", Make: turnedSkins},
		{Name: "skins, turned any way", Make: anySkins},
		{Name: "skin on a solid or mid-surface", Make: skinOnOther},
		{Name: "skins apart", Negative: true, Make: skinsApart},
	}
}

func skin(rng *rand.Rand, faying, inward bool, noise float64) sheet {
	return sheet{thickness: of(rng, 0.7, 0.8, 1, 1.2, 1.5, 2, 3), surface: flange.Skin, shape: rng.IntN(3), size: of(rng, 2.5, 4, 6),
		beyond: of(rng, 0., 0, 7.5), faying: faying, noise: noise, inward: inward}
}

func (l lap) drawn(rng *rand.Rand) Case { return l.make(fmt.Sprintf("%+v", l), rng) }

// skinsThatTouch are both the faying faces, with no air: the two meshes coincide.
func skinsThatTouch(rng *rand.Rand, noise float64) Case {
	return lap{length: between(rng, 50, 200), width: between(rng, 12, 24), a: skin(rng, true, rng.IntN(2) == 0, noise),
		b: skin(rng, true, rng.IntN(2) == 0, noise)}.drawn(rng)
}

// skinLap is a lap of skins with some air, each of either face, with little noise.
func skinLap(rng *rand.Rand, inward func() bool) lap {
	noise := of(rng, 0, 0, 0.005, 0.02)
	return lap{length: between(rng, 50, 200), width: between(rng, 12, 24), gap: of(rng, 0, 0, 0.1, between(rng, 0, 0.9)),
		a: skin(rng, rng.IntN(2) == 0, inward(), noise), b: skin(rng, rng.IntN(2) == 0, inward(), noise)}
}

func (s sheet) face() flange.Face {
	if s.faying {
		return flange.Faying
	}
	return flange.Outer
}

func statedSkins(rng *rand.Rand) Case {
	l := skinLap(rng, func() bool { return rng.IntN(2) == 0 })
	c := l.drawn(rng)
	c.Sheets[0].Face, c.Sheets[1].Face = l.a.face(), l.b.face()
	return c
}

// turnedSkins have their facets turned from the metal, as scanners do.
func turnedSkins(rng *rand.Rand) Case {
	return skinLap(rng, func() bool { return false }).drawn(rng)
}

// anySkins have facets that say nothing of the metal: it is right to say what the gap may be.
func anySkins(rng *rand.Rand) Case {
	c := skinLap(rng, func() bool { return rng.IntN(2) == 0 }).drawn(rng)
	c.Want[0].GapOrDoubt, c.Want[0].LineWithin = true, 3
	return c
}

func skinOnOther(rng *rand.Rand) Case {
	l := skinLap(rng, func() bool { return false })
	if l.b.surface = flange.Mid; rng.IntN(2) == 0 {
		l.b.surface, l.b.edge = flange.Solid, edging{size: between(rng, 0, 0.5) * l.b.thickness, steps: 4}
	}
	l.b.noise = 0
	return l.drawn(rng)
}

// skinsApart leave more air than a flange may have, whichever side their metal is on.
func skinsApart(rng *rand.Rand) Case {
	l := skinLap(rng, func() bool { return rng.IntN(2) == 0 })
	l.gap = between(rng, 1.3, 3)
	if !l.a.faying || !l.b.faying {
		c := l.drawn(rng)
		c.Sheets[0].Face, c.Sheets[1].Face = l.a.face(), l.b.face()
		c.Want = nil
		return c
	}
	l.gap += l.a.thickness + l.b.thickness
	c := l.drawn(rng)
	c.Want = nil
	return c
}
