package medial

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/region"
)

// Chain is a first, rough centre line of a strip.
type Chain struct {
	Points []r3.Vector
	Closed bool
	Forks  [2]int32 // the pieces at which the line's start and its end meet others; NoFork for none
}

// NoFork stands for the end of a line that meets no other.
const NoFork = -1

// Axis returns the rough centre lines of the region: the middles of bands of equal distance along the
// surface from one of its ends, band by band; a band that falls into several pieces is a branch, bands that
// meet again are a ring.
func Axis(r *region.Region, anchor int32, width float64) []Chain {
	ways := r.Ways()
	from := r.Farthest(r.Distances(anchor, ways))
	distance := r.Distances(from, ways)
	band := math.Max(2*region.Fine, width/2)
	g := bands(r, r.Mesh.Vertices[from], distance, band)
	g.absorbSmall(0.25 * band * width)
	g.prune(int(math.Ceil(1.5 * width / band)))
	g.joinParallel(width)
	g.joinSlivers(width)
	return g.chains()
}
