package surface

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

// Scanned and finely meshed panels carry noise of some hundredths of a millimetre. On triangles of half a
// millimetre that tilts facets by as much as the angle limit, so that the normals of small facets are taken
// from what lies about them: the mean of those of the neighbouring facets that stand nearly alike (a mean
// shift among normals, Comaniciu and Meer 2002), which leaves the facets of a bend apart from the flange's.
const (
	smallFacet = 1.2 // mm: noise of 0.02 mm tilts a higher facet by less than two degrees
	meanReach  = 1.5 // mm about a facet: a fraction of the narrowest flange
	meanFacets = 96  // at most
	quietTilt  = 1.5 // degrees: neighbours that agree within it are left as they are
	firstAlike = 20. // degrees: facets next to the first that still say something about it
	firstRings = 5   // steps from the first facet: far enough to average noise out, near enough to leave a bend out
	alike      = 8.  // degrees: facets that are taken as one face under noise
	crease     = 35. // degrees: never noise
	noiseRings = 2   // steps from a facet within which noise turns the surface both ways
)

// smoother holds what smoothing needs for one panel.
type smoother struct {
	of      []smoothed // the panel's facets
	disc    []int32
	members []member // of the disc
	first   int      // how many of the disc are within firstRings steps
}

// smoothed is what is asked of a facet again and again, side by side.
type smoothed struct {
	center r3.Vector
	area   float64
	beside [3]int32 // across each side; None where there is nothing, or a crease
	seen   int32    // the last facet whose disc held this one + 1
}

// member is what a facet of a disc says.
type member struct {
	normal r3.Vector
	area   float64
}

// smooth replaces the normals of small facets that do not agree with their neighbours', and says by how much at most, in
// radians.
func (p *Panel) smooth() (most float64) {
	var noisy []int32
	quiet, sharp := kit.CosDegrees(quietTilt), kit.CosDegrees(crease)
	for t := range p.Normals {
		if p.isNoisy(int32(t), quiet, sharp) {
			noisy = append(noisy, int32(t))
		}
	}
	if len(noisy) == 0 {
		return 0
	}
	n := len(p.Normals)
	s := &smoother{of: make([]smoothed, n)}
	for t := range s.of {
		f := &s.of[t]
		for k := range 3 {
			o := p.Topo.Across(int32(t), k)
			if o != mesh.None && !(math.Abs(p.Normals[o].Dot(p.Normals[t])) >= sharp) {
				o = mesh.None
			}
			f.beside[k] = o
		}
		a, b, c := p.Mesh.Corners(t)
		f.center, f.area = a.Add(b).Add(c).Mul(1./3), b.Sub(a).Cross(c.Sub(a)).Norm()/2
	}
	out := make([]r3.Vector, len(noisy))
	first, usual := kit.CosDegrees(firstAlike), kit.CosDegrees(alike)
	for i, t := range noisy {
		s.gather(t, p.Normals)
		start := mean(s.members[:s.first], p.Normals[t], first)
		for range 3 {
			start = mean(s.members, start, usual)
		}
		out[i] = start
	}
	for i, t := range noisy {
		most = max(most, math.Atan2(out[i].Cross(p.Normals[t]).Norm(), out[i].Dot(p.Normals[t])))
		p.Normals[t] = out[i]
	}
	return most
}

// isNoisy says whether a facet is small and tilted against a neighbour by more than a smooth face and by less
// than a crease is, of which the cosines are given, and the surface turns both ways so about it: in a bend it turns one way.
func (p *Panel) isNoisy(t int32, quiet, sharp float64) bool {
	a, b, c := p.Mesh.Corners(int(t))
	long := math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()))
	if height := b.Sub(a).Cross(c.Sub(a)).Norm() / long; !(height < smallFacet) || long > 6*smallFacet {
		return false
	}
	if up, down := p.turns(t, p.Normals[t], 0, quiet, sharp); !up && !down {
		return false
	}
	up, down := p.turns(t, p.Normals[t], noiseRings, quiet, sharp)
	return up && down
}

// turns says whether the surface turns to the side of a triangle's normal, and to the other, at its sides and at those of triangles up to
// so many steps away.
func (p *Panel) turns(t int32, n r3.Vector, steps int, quiet, sharp float64) (up, down bool) {
	for k := 0; k < 3 && !(up && down); k++ {
		o := p.Topo.Across(t, k)
		if o == mesh.None {
			continue
		}
		cos := n.Dot(p.Normals[o])
		if !(math.Abs(cos) > sharp) {
			continue
		}
		if math.Abs(cos) < quiet {
			from, _ := p.side(t, k)
			third := p.Mesh.Vertices[p.Mesh.Third(p.Topo.Edges[p.Topo.TriEdge[t][k]], o)]
			above := third.Sub(from).Dot(n) > 0
			up, down = up || above, down || !above
		}
		if steps > 0 {
			u, d := p.turns(o, p.Normals[o].Mul(math.Copysign(1, cos)), steps-1, quiet, sharp)
			up, down = up || u, down || d
		}
	}
	return up, down
}

// gather lists the facets about t ring by ring without stepping over creases, whole rings until there are enough,
// so that it does not matter which side of a facet comes first.
func (s *smoother) gather(t int32, normals []r3.Vector) {
	own := &s.of[t]
	own.seen = t + 1
	s.disc = append(s.disc[:0], t)
	from := 0
	for ring := 1; from < len(s.disc) && len(s.disc) < meanFacets; ring++ {
		for last := len(s.disc); from < last; from++ {
			for _, o := range &s.of[s.disc[from]].beside {
				if o == mesh.None {
					continue
				}
				if f := &s.of[o]; f.seen != t+1 && f.center.Sub(own.center).Norm2() <= meanReach*meanReach {
					f.seen = t + 1
					s.disc = append(s.disc, o)
				}
			}
		}
		if ring <= firstRings {
			s.first = len(s.disc)
		}
	}
	s.members = slices.Grow(s.members[:0], len(s.disc))[:len(s.disc)]
	for i, o := range s.disc {
		s.members[i].normal, s.members[i].area = normals[o], s.of[o].area
	}
}

// mean is the mean normal of the facets that turn away from start by less than the limit, weighted by their
// areas and by how nearly they agree.
func mean(facets []member, start r3.Vector, limit float64) r3.Vector {
	sum := r3.Vector{}
	for i := range facets {
		f := &facets[i]
		n := f.normal
		c := n.Dot(start)
		if c < 0 { // a flipped facet
			n, c = n.Mul(-1), -c
		}
		if c > limit {
			sum = sum.Add(n.Mul(float64((c - limit) * f.area)))
		}
	}
	if l := sum.Norm(); l > 0 {
		return sum.Mul(1 / l)
	}
	return start
}
