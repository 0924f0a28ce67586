package stackup

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/surface"
)

// Sides says how it is known on which side of its skins the metal of a flange lies.
type Sides string

// From sure to unsure.
const (
	SidesKnown     Sides = ""        // there are no skins, it is stated, or only one answer fits
	SidesByNormals Sides = "normals" // by the facets' normals, taken to point away from the metal
	SidesGuessed   Sides = "guessed" // the answer with the least air
)

// A skin is one face of a sheet: its metal lies on one side of the mesh or on the other. Between two skins on each other there
// are then four amounts of metal, from none to both thicknesses. Which it is, is stated (surface.Face), or found: of the distances
// measured where one sheet lies over another most must leave air that a flange may have, and sheets do not run into each
// other. Where several amounts fit, facets are taken to be turned away from the metal, as scanners and solid modellers
// write them; where that does not fit, the least air is taken. Both are said with the flange, with the air that the
// other amounts would leave.

const (
	skinSamples  = 4000 // places at most that are asked between two sheets
	deepestSkins = 0.1  // mm that skins run into each other at most, by error of shape, if any answer with less fits
	nearlyFits   = 0.05 // mm by which the air may miss the limits and still be named as possible
	alsoFits     = 0.5  // of the places that fit best: an answer that fits at so many is possible
)

// joint is how much metal lies between the meshes of the host and of the first sheet on one of its sides.
type joint struct {
	host, other float64 // mm of each sheet's metal
	Sides       Sides
	May         [2]float64 // mm by which the air may be less, or more, were the metal on other sides
	known       bool
}

// skinSides is what was found between one host and each sheet about it, by how their facets are turned.
type skinSides struct {
	sheets []int
	joints []joint // four of each sheet
}

// JointOf is how sure it is on which side of the skins of one of a verdict's joints the metal lies, and by how much the air may be
// less, or more, were it on the other side.
func (h *Host) JointOf(joint int16) (sides Sides, may [2]float64) {
	j := &h.skins.joints[joint-1]
	return j.Sides, j.May
}

// turned numbers the four ways: whether the facets of the host, and those of the other sheet, have the metal between the
// meshes if they are turned away from it.
func turned(side int, facing bool) (way int, host, other bool) {
	host, other = side == Lower, facing == (side == Lower)
	if host {
		way = 1
	}
	if other {
		way += 2
	}
	return way, host, other
}

// at is the number of the joint with a sheet, or -1.
func (s *skinSides) at(sheet, side int, facing bool) int {
	i := slices.Index(s.sheets, sheet)
	if i < 0 {
		return -1
	}
	way, _, _ := turned(side, facing)
	if i = 4*i + way; !s.joints[i].known {
		return -1
	}
	return i
}

// TellSides finds on which sides of the host's skins and of those about it the metal lies, from some of its places.
func (h *Host) TellSides(points, normals []r3.Vector) {
	host := h.Index
	open := func(x int) bool { return h.Panels[x].IsOpen() }
	if !open(host) && !slices.ContainsFunc(h.around.sheets, open) {
		return
	}
	s := skinSides{sheets: h.around.sheets, joints: make([]joint, 4*len(h.around.sheets))}
	defer func(closing bool) { h.closing, h.skins = closing, s }(h.closing)
	h.closing = false // a stretch that clamps close says nothing: it goes on from one that lies
	distances := make([][]float64, len(s.joints))
	for v := 0; v < len(points); v += 1 + len(points)/skinSamples {
		p, n := points[v], normals[v]
		h.survey(p, n)
		for side, contacts := range h.scene.contacts {
			if len(contacts) == 0 {
				continue
			}
			c := slices.MinFunc(contacts, func(a, b contact) int {
				return cmp.Or(cmp.Compare(math.Abs(a.height), math.Abs(b.height)), cmp.Compare(a.sheet, b.sheet))
			})
			way, _, _ := turned(side, c.facing)
			i := 4*slices.Index(s.sheets, c.sheet) + way
			distances[i] = append(distances[i], c.height*sides[side])
		}
	}
	for i, d := range distances {
		if len(d) > 0 {
			s.joints[i] = h.jointOf(host, s.sheets[i/4], i%4, d)
		}
	}
}

// jointOf chooses how much metal lies between two sheets, of which the meshes are at these distances.
func (h *Host) jointOf(host, x, way int, distances []float64) joint {
	side := Upper
	if way&1 == 1 {
		side = Lower
	}
	facing := (way >= 2) == (side == Lower)
	_, hostBetween, otherBetween := turned(side, facing)
	near := h.nearMetal(contact{sheet: x, facing: facing}, side, 0, false)
	var answers []answer
	for _, own := range amounts(h.Panels[host], metalBefore(h.Panels[host], side), hostBetween) {
		for _, o := range amounts(h.Panels[x], near, otherBetween) {
			a := answer{joint: joint{host: own.metal, other: o.metal, Sides: SidesGuessed, known: true}}
			if own.byNormals && o.byNormals {
				a.Sides = SidesByNormals
			}
			answers = append(answers, a)
		}
	}
	for _, least := range [2]float64{-deepestSkins, math.Inf(-1)} {
		if j, ok := chosen(answers, func(a *answer) {
			metal := a.host + a.other
			a.fit(distances, max(least, -h.crossing(host, x, metal)), h.MostGap(host, x, metal))
		}); ok {
			return j
		}
	}
	return joint{}
}

// answer is one amount of metal, and how the distances fit it.
type answer struct {
	joint
	fits   int // places that leave air which a flange may have
	nearly int // the same, but for nearlyFits
	air    float64
}

func (a *answer) fit(distances []float64, least, most float64) {
	a.fits, a.nearly, a.air = 0, 0, 0
	var air []float64
	for _, d := range distances {
		gap := d - a.host - a.other
		if gap >= least && gap <= most {
			air = append(air, gap)
		}
		if gap >= least-nearlyFits && gap <= most+nearlyFits {
			a.nearly++
		}
	}
	if a.fits = len(air); a.fits > 0 {
		a.air = kit.Median(air)
	}
}

// chosen is the best of the answers that fit, with what the others would make of the air.
func chosen(answers []answer, fit func(*answer)) (joint, bool) {
	most := 0
	for i := range answers {
		fit(&answers[i])
		most = max(most, answers[i].fits)
	}
	if most == 0 {
		return joint{}, false
	}
	some := func(n int) bool { return float64(n) >= float64(alsoFits*float64(most)) }
	best := slices.MinFunc(answers, func(a, b answer) int {
		return cmp.Or(kit.CountIf(some(b.fits))-kit.CountIf(some(a.fits)),
			kit.CountIf(b.Sides == SidesByNormals)-kit.CountIf(a.Sides == SidesByNormals),
			cmp.Compare(math.Abs(a.air), math.Abs(b.air)), cmp.Compare(a.host, b.host))
	})
	for _, a := range answers {
		if some(a.nearly) {
			more := best.host + best.other - a.host - a.other
			best.May = [2]float64{min(best.May[0], more), max(best.May[1], more)}
		}
	}
	if best.May[1]-best.May[0] < kit.Rounding {
		best.Sides = SidesKnown
	}
	return best.joint, true
}

// amount is how much of a sheet's metal may lie before its mesh.
type amount struct {
	metal     float64
	byNormals bool
}

// amounts lists what may lie between the mesh of a sheet and another: what is stated, or none or all of an open skin's; between
// says that it is all where facets are turned away from the metal.
func amounts(p *surface.Panel, stated float64, between bool) []amount {
	if !p.IsOpen() {
		return []amount{{stated, true}}
	}
	return []amount{{0, !between}, {p.Thickness, between}}
}

// metalBefore is how much metal of a host lies on one side of its mesh.
func metalBefore(p *surface.Panel, side int) float64 {
	behind, before := p.Metal(false)
	if side == Lower {
		return behind
	}
	return before
}

// metalBetween is how much metal of the host and of the first sheet on one of its sides lies between their meshes. of is
// what is already known of the host's, or not a number.
func (h *Host) metalBetween(host int, c contact, side int, distance, of float64) (before, near float64, at int) {
	if at = h.skins.at(c.sheet, side, c.facing); at >= 0 && math.IsNaN(of) {
		return h.skins.joints[at].host, h.skins.joints[at].other, at
	}
	if before = of; math.IsNaN(of) {
		before = metalBefore(h.Panels[host], side)
	}
	return before, h.nearMetal(c, side, distance-before, false), at
}

// nearMetal is how much metal of a sheet lies on the side of its mesh from which it is met, with so much room for it and the
// air; amid says that another sheet follows, so that it need not be what is stated of an outermost one.
func (h *Host) nearMetal(c contact, side int, room float64, amid bool) float64 {
	p := h.Panels[c.sheet]
	if p.IsOpen() || amid && p.Surface == surface.Skin {
		if math.Abs(room-p.Thickness) < math.Abs(room) && room-p.Thickness >= -deepestSkins {
			return p.Thickness
		}
		return 0
	}
	near, far := p.Metal(c.facing)
	if side == Lower {
		return far
	}
	return near
}

// sameLayer says whether the places of a sheet above a place and below it are of one layer, which noise, or a skin on a
// skin, has on both sides of the host: two layers of a sheet folded round the host have its metal between them.
func (h *Host) sameLayer(host int, found *hits, n r3.Vector) bool {
	const leastApart = 0.1 // mm, where the thickness is not known
	if found[Upper].Tri < 0 || found[Lower].Tri < 0 {
		return false
	}
	apart := math.Abs(found[Upper].Point.Sub(found[Lower].Point).Dot(n)) // both may lie on one side, of a skin whose metal is thick
	return apart < max(leastApart, h.Panels[host].Thickness/2)
}
