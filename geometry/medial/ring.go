package medial

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
)

const (
	SmallRing = 24. // widths of a ring that it is long round its outside at most: bands of equal distance lead round a longer one
	RingEven  = 1.6 // times the least metal between the two loops of a small ring, the most
	ringHole  = 0.6 // of that least metal the radius of its hole at least
)

// IsRing says whether a region is a small ring about its longest opening: much the same width of metal all round an opening that is
// not small against it. A strip with a hole in it has far more metal before and after the hole than beside it.
func IsRing(r *region.Region, outer, inner []int32) bool {
	least, most := math.Inf(1), 0.0
	for _, v := range outer {
		metal := math.Inf(1)
		for k, a := range inner {
			metal = min(metal, near.ToSegment(r.Mesh.Vertices[v], r.Mesh.Vertices[a], r.Mesh.Vertices[inner[(k+1)%len(inner)]]))
		}
		least, most = min(least, metal), max(most, metal)
	}
	return most <= RingEven*least && r.LoopArea(inner)/(r.LoopLength(inner)/2) >= ringHole*least
}

const ringStep = 2. // mm between places of an outer border that the line of a ring is laid from

// Ring is a rough line round a small ring: amid its two borders. Bands of equal distance from one end would be as long as
// the ring is wide, and fall together. It begins beside a corner that turns with the panels.
func Ring(r *region.Region, outer, inner []int32, anchor int32) Chain {
	corners := make([]r3.Vector, len(outer))
	for i, v := range outer {
		corners[i] = r.Mesh.Vertices[v]
	}
	line := curve.New(corners, true)
	out := Chain{Closed: true, Forks: [2]int32{NoFork, NoFork}}
	steps := max(16, math.Ceil(line.Length()/ringStep))
	start, _ := line.Nearest(r.Mesh.Vertices[anchor])
	for i := 0.; i < steps; i++ {
		p := line.At(math.Mod(start+line.Length()*i/steps, line.Length()))
		nearest, least := p, math.Inf(1)
		for k, a := range inner {
			q := near.ClosestOnSegment(p, r.Mesh.Vertices[a], r.Mesh.Vertices[inner[(k+1)%len(inner)]])
			if d := q.Sub(p).Norm(); d < least {
				nearest, least = q, d
			}
		}
		out.Points = append(out.Points, p.Add(nearest).Mul(0.5))
	}
	return out
}
