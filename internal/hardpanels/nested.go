package hardpanels

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// nested are sheets that lie on each other round a bend too: each flat with a free edge is a flange of its own.
func nested() []Class {
	return []Class{
		{Name: "nested, L in L", Make: nestedAngles},
		{Name: "nested, U in U", Make: nestedChannels},
		{Name: "nested, gutter", Make: nestedGutter},
	}
}

// leg is a part of a section: straight for a length, or for a turn in degrees, to the left above zero, round a bend of a radius.
type leg struct{ length, turn, radius float64 }

// run is legs one after the other, from the origin along x.
type run []leg

// at is the middle of a straight leg, as the profile that lies beside the run by so much to the left.
func (r run) middle(k int) r2.Point {
	p, d := r2.Point{}, r2.Point{X: 1}
	for i, l := range r {
		if i == k {
			return p.Add(d.Mul(l.length / 2))
		}
		p, d = l.end(p, d)
	}
	return p
}

func (l leg) end(p, d r2.Point) (r2.Point, r2.Point) {
	if l.turn == 0 {
		return p.Add(d.Mul(l.length)), d
	}
	side := r2.Point{X: -d.Y, Y: d.X}.Mul(math.Copysign(1, l.turn))
	sin, cos := math.Sincos(math.Abs(l.turn) * math.Pi / 180)
	return p.Add(d.Mul(l.radius * sin)).Add(side.Mul(l.radius * (1 - cos))), d.Mul(cos).Add(side.Mul(sin))
}

// profile is the section of a sheet whose middle lies beside the run to its left. Bends have facets of about a length; off
// the tangent line by a share of one the first begins on the flat.
func (r run) profile(left, facet, off float64) profile {
	p, d := r2.Point{}, r2.Point{X: 1}
	beside := func(p, d r2.Point) r2.Point { return p.Add(r2.Point{X: -d.Y, Y: d.X}.Mul(left)) }
	out := profile{beside(p, d)}
	for _, l := range r {
		end, on := l.end(p, d)
		off := off
		if l.turn != 0 {
			radius := l.radius - math.Copysign(left, l.turn)
			n := max(3, math.Ceil(math.Abs(l.turn)*math.Pi/180*radius/facet))
			step := l.turn / n
			size := math.Abs(step) * math.Pi / 180 * radius
			if off *= min(1, 0.4*out[len(out)-1].Sub(out[max(0, len(out)-2)]).Norm()/size); off < 0.02 {
				off = 0
			}
			out[len(out)-1] = out[len(out)-1].Sub(d.Mul(off * size))
			for i := 1.; i <= n; i++ {
				out = append(out, beside(leg{turn: step * (i - off), radius: l.radius}.end(p, d)))
			}
			if off == 0 {
				out = out[:len(out)-1]
			}
			out = append(out, beside(end, on).Add(on.Mul(boolean(off > 0)*(1-off)*size)))
		} else {
			out = append(out, beside(end, on))
		}
		p, d = end, on
	}
	return out
}

func boolean(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// nesting is two sheets, A to the left of what they share and B to its right, each of which may go on before and beyond.
type nesting struct {
	shared        run
	before, after [2]run // of A and B
	flats         []int  // of the shared legs, that are flanges
	length, gap   float64
	thickness     [2]float64
	surface       flange.Surface
	facet         [2]float64 // mm, of the bends
	off           [2]float64
	size          float64 // mm, of the flats
	noise         float64
}

func drawNesting(rng *rand.Rand) nesting {
	n := nesting{length: between(rng, 40, 240), gap: of(rng, 0, 0, 0.1, 0.3),
		surface: of(rng, flange.Mid, flange.Mid, flange.Skin, flange.Solid), size: between(rng, 2.5, 9), noise: of(rng, 0, 0, 0.01)}
	for k := range 2 {
		n.thickness[k] = of(rng, 0.7, 0.8, 1, 1.2, 1.5)
		n.facet[k], n.off[k] = between(rng, 0.4, 5), of(rng, 0, 0, rng.Float64())
	}
	return n
}

// radius is that of the faying surface of a bend to the left, whose inside is A's.
func (n *nesting) radius(rng *rand.Rand) float64 {
	return of(rng, between(rng, 1, 5), between(rng, 1, 20)) + n.thickness[0]
}

func reversed(p profile) profile {
	out := profile{}
	for i := range p {
		out = append(out, p[len(p)-1-i])
	}
	return out
}

// course is the whole section of sheet A (0) or B.
func (n *nesting) course(k int) profile {
	left := n.gap/2 + n.thickness[0]/2
	if k == 1 {
		left = -n.gap/2 - n.thickness[1]/2
	}
	var p profile
	if len(n.before[k]) > 0 { // laid from the origin the other way
		for _, q := range reversed(n.before[k].profile(-left, n.facet[k], n.off[k])) {
			p = append(p, q.Mul(-1))
		}
		p = p[:len(p)-1]
	}
	return append(p, append(append(run{}, n.shared...), n.after[k]...).profile(left, n.facet[k], n.off[k])...)
}

func (n *nesting) make(name string, rng *rand.Rand) Case {
	for _, l := range n.shared {
		n.length = max(n.length, 1.5*l.length)
	}
	c := Case{Name: fmt.Sprintf("%s %.0f long of %s %v, gap %.2f, facets %.2f off %.2f, flats in %.1f, noise %.2f: %.1f",
		name, n.length, n.surface, n.thickness, n.gap, n.facet, n.off, n.size, n.noise, n.shared)}
	for k, name := range []string{"A", "B"} {
		s := sheet{thickness: n.thickness[k], surface: n.surface, size: n.size, along: n.size * between(rng, 0.7, 1.5), faying: rng.IntN(2) == 0}
		m := s.mesh(n.course(k), n.length, rng)
		shake(m, n.noise, rng)
		c.Sheets = append(c.Sheets, flange.Sheet{Name: name, Mesh: m, Thickness: s.thickness, Surface: s.surface})
		if n.surface == flange.Skin {
			if c.Sheets[k].Face = flange.Outer; s.faying == (k == 1) { // the left face of B lies on the right one of A
				c.Sheets[k].Face = flange.Faying
			}
		}
	}
	for _, i := range n.flats {
		m := n.shared.middle(i)
		c.Want = append(c.Want, Strip{Line: []r3.Vector{{X: m.X, Z: m.Y}, {X: m.X, Y: n.length, Z: m.Y}}, Width: n.shared[i].length, Gap: n.gap})
	}
	return c.put(anywhere(rng))
}

func nestedAngles(rng *rand.Rand) Case {
	n := drawNesting(rng)
	n.shared = run{{length: between(rng, 10, 24)}, {turn: of(rng, 90., 60, 100, between(rng, 40, 110)), radius: n.radius(rng)},
		{length: between(rng, 10, 40)}}
	n.flats = []int{0, 2}
	if rng.IntN(2) == 0 {
		n.before[1] = run{{length: between(rng, 3, 20)}}
	}
	if rng.IntN(2) == 0 {
		n.after[0] = run{{length: between(rng, 3, 20)}}
	}
	return n.make("L in L", rng)
}

func nestedChannels(rng *rand.Rand) Case {
	n := drawNesting(rng)
	bend := leg{turn: of(rng, 90., 90, 80, 95), radius: n.radius(rng)}
	n.shared = run{{length: between(rng, 10, 30)}, bend, {length: between(rng, 12, 50)}, bend, {length: between(rng, 10, 30)}}
	n.flats = []int{0, 4}
	return n.make("U in U", rng)
}

// nestedGutter is a channel with a sheet that stands in it on its foot: the foot is the flange. The walls touch, and if the
// channel's ends at them it is one too.
func nestedGutter(rng *rand.Rand) Case {
	n := drawNesting(rng)
	n.thickness[0], n.thickness[1] = of(rng, 0.7, 0.8, 1), of(rng, 0.8, 1, 1.2)
	foot, wall, radius := between(rng, 6, 10), between(rng, 8, 20), between(rng, 0.8, 2)+n.thickness[0]
	n.shared = run{{length: foot}, {turn: of(rng, 90., 86, 94), radius: radius}, {length: wall}}
	lip := leg{turn: -90, radius: between(rng, 0.8, 2) + n.thickness[1]} // laid from the foot's edge, so the other way round
	n.before[1] = run{{length: between(rng, 0.2, 1)}, lip, {length: 11}}
	n.after[0] = run{{length: between(rng, 3, 8)}, {turn: -70, radius: 4}, {length: 40}}
	n.flats = []int{0, 2}
	if rng.IntN(2) == 0 { // the channel goes away to the other side
		n.after[1] = run{{turn: -80, radius: 4}, {length: 15}}
		n.after[0] = run{{length: 25}}
		n.flats = []int{0}
	}
	return n.make("gutter", rng)
}
