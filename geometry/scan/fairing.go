package scan

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

// Scans carry noise that tilts single facets by ten degrees and more, so that no facet says which way its sheet faces, and a
// way along the facets is longer than along the sheet. Such a mesh is faired before anything is asked of it: low-pass
// filtering that does not shrink (Taubin, A Signal Processing Approach to Fair Surface Design, 1995; from memory), each step
// towards the mean of the neighbours followed by a slightly longer one back. What is longer than fairLength stays. Corners
// on a free edge move with their neighbours on that edge only, and where it turns sharply they stay.
const (
	noisyTilt   = 3.   // degrees: the median tilt between neighbouring facets of a noisy mesh
	noisyWide   = 1.5  // the same, of facets wider than wideFacet: the noise of a scan tilts them less
	wideFacet   = 1.   // mm
	noisyFacet  = 2.5  // mm: the median side of one; wider facets are tilted little by the noise of a scan
	fairLength  = 5.   // mm: shorter waves are noise, longer ones shape
	fairSides   = 7.   // the same, in sides of a facet, where these are long
	fairSteps   = 40   // pairs of steps
	fairStep    = 0.6  // of the way to the neighbours' mean
	mostSampled = 2000 // edges that tell whether a mesh is noisy
	cornerTurn  = 40.  // degrees by which a free edge turns at a corner, seen over cornerReach
	cornerReach = 2.   // mm
	leastPass   = 0.02 // the filter's pass-band, in terms of the neighbours' mean: below, it would take more steps
)

// sampling is the step from one facet to the next that tells whether a mesh is noisy.
func sampling(m *mesh.Mesh) int { return 1 + len(m.Triangles)/mostSampled }

// anyFine says whether any of the facets that are asked has a side as short as those of a noisy scan: most panels have none, and need
// no topology to say that they are none.
func anyFine(m *mesh.Mesh) bool {
	for t := 0; t < len(m.Triangles); t += sampling(m) {
		if a, b, c := m.Corners(t); min(b.Sub(a).Norm(), c.Sub(b).Norm(), a.Sub(c).Norm()) < noisyFacet {
			return true
		}
	}
	return false
}

// noisy says whether a mesh is a noisy scan, and how long its edges are: by most of its facets, and by those that make up most of
// it. A scan is noisy all over, while the many narrow facets of a drawn part's rounded edges tilt, too, and are little of it.
func noisy(m *mesh.Mesh, topo *mesh.Topology) (side float64, is bool) {
	var sides, tilts []kit.Weighted
	for t := 0; t < len(m.Triangles); t += sampling(m) {
		a, b, c := m.Corners(t)
		area, normal := b.Sub(a).Cross(c.Sub(a)).Norm(), m.Normal(t)
		for k := range 3 {
			o := topo.Across(int32(t), k)
			if o == mesh.None {
				continue
			}
			tri := m.Triangles[t]
			sides = append(sides, kit.Weighted{Value: m.Vertices[tri[k]].Sub(m.Vertices[tri[(k+1)%3]]).Norm(), Weight: area})
			tilts = append(tilts, kit.Weighted{Value: math.Abs(normal.Dot(m.Normal(int(o)))), Weight: area})
		}
	}
	if len(sides) < 300 {
		return 0, false
	}
	tilted := func() bool {
		if !medianBelow(sides, noisyFacet) {
			return false
		}
		limit := noisyWide
		if medianBelow(sides, math.Nextafter(wideFacet, 2*wideFacet)) {
			limit = noisyTilt
		}
		return medianBelow(tilts, kit.CosDegrees(limit))
	}
	if !tilted() {
		return 0, false
	}
	for i := range sides {
		sides[i].Weight, tilts[i].Weight = 1, 1
	}
	return kit.MedianByWeight(sides), tilted()
}

// medianBelow says whether the median by weight is below a limit. Unless it is near to that there is no need to sort.
func medianBelow(list []kit.Weighted, limit float64) bool {
	below, whole := 0.0, 0.0
	for _, x := range list {
		if whole += x.Weight; x.Value < limit {
			below += x.Weight
		}
	}
	const rounding = 1e-9
	if math.Abs(2*below-whole) > rounding*whole {
		return 2*below > whole
	}
	return kit.MedianByWeight(list) < limit
}

// Faired is the mesh of a scan with the noise taken off it, and what that did to it. side is the usual length of its edges, mm, as
// Noise tells it.
func Faired(m *mesh.Mesh, side float64) (*mesh.Mesh, Fairing) {
	topo := m.Topology()
	done := Fairing{Facet: side, Wave: max(fairLength, fairSides*side)}
	wave := 2 * math.Pi * side / done.Wave
	pass := max(wave*wave/4, leastPass) // what a step takes off such a wave on a mesh of equal triangles
	back := 1 / (pass - 1/fairStep)
	f := fairing{start: make([]int32, len(m.Vertices)+1)}
	f.connect(m, topo)
	out := *m
	out.Vertices = slices.Clone(m.Vertices)
	f.hold(&out)
	moved := make([]r3.Vector, len(out.Vertices))
	for range fairSteps {
		f.step(out.Vertices, moved, fairStep)
		f.step(moved, out.Vertices, back)
	}
	var ways []float64
	for v, p := range m.Vertices {
		way := out.Vertices[v].Sub(p).Norm()
		if ways = append(ways, way); way > done.Most {
			done.Most, done.Place = way, p
		}
	}
	if len(ways) > 0 { // without the specks a scan may be near to nothing
		done.Usual = kit.Median(ways)
	}
	return &out, done
}

// fairing is what each corner of a mesh is drawn towards.
type fairing struct {
	start, next []int32
	held        []bool
	onRim       []bool
}

// connect lists the neighbours of every corner; of one on a free edge, those along the edge.
func (f *fairing) connect(m *mesh.Mesh, topo *mesh.Topology) {
	f.onRim, f.held = make([]bool, len(m.Vertices)), make([]bool, len(m.Vertices))
	for _, e := range topo.Edges {
		if e.Free() {
			f.onRim[e.V[0]], f.onRim[e.V[1]] = true, true
		}
	}
	lists := make([][]int32, len(m.Vertices))
	for _, e := range topo.Edges {
		for k := range 2 {
			if v := e.V[k]; !f.onRim[v] || e.Free() {
				lists[v] = append(lists[v], e.V[1-k])
			}
		}
	}
	for v, list := range lists {
		slices.Sort(list)
		f.next = append(f.next, list...)
		f.start[v+1] = int32(len(f.next))
	}
}

// hold keeps the corners of free edges where they are.
func (f *fairing) hold(m *mesh.Mesh) {
	ahead := func(v, w int32) r3.Vector { // the place cornerReach from v by way of w
		at, last := m.Vertices[v], v
		for left := cornerReach; ; {
			step := m.Vertices[w].Sub(m.Vertices[last])
			if left -= step.Norm(); left <= 0 {
				return m.Vertices[w].Sub(at)
			}
			on := f.next[f.start[w]:f.start[w+1]]
			if len(on) != 2 {
				return m.Vertices[w].Sub(at)
			}
			last, w = w, on[kit.CountIf(on[0] == last)]
		}
	}
	type turn struct {
		v     int32
		sharp float64
	}
	var turns []turn
	for v := range m.Vertices {
		if !f.onRim[v] {
			continue
		}
		about := f.next[f.start[v]:f.start[v+1]]
		if len(about) != 2 {
			f.held[v] = true
			continue
		}
		a, b := ahead(int32(v), about[0]), ahead(int32(v), about[1])
		if sharp := -a.Dot(b) / (a.Norm() * b.Norm()); sharp < kit.CosDegrees(cornerTurn) {
			turns = append(turns, turn{int32(v), sharp})
		}
	}
	slices.SortFunc(turns, func(a, b turn) int { // the sharpest of those near to each other is the corner
		if a.sharp != b.sharp {
			if a.sharp < b.sharp {
				return -1
			}
			return 1
		}
		return int(a.v - b.v)
	})
	corners := kit.NewScattered(cornerReach)
	for _, t := range turns {
		p := m.Vertices[t.v]
		if !corners.AnyWithin(p, cornerReach, func(int32) bool { return true }) {
			corners.Add(p)
			f.held[t.v] = true
		}
	}
}

// step moves every corner by a share of the way to the mean of its neighbours.
func (f *fairing) step(from, to []r3.Vector, share float64) {
	for v, p := range from {
		about := f.next[f.start[v]:f.start[v+1]]
		if to[v] = p; f.held[v] || len(about) == 0 {
			continue
		}
		sum := r3.Vector{}
		for _, w := range about {
			sum = sum.Add(from[w])
		}
		to[v] = p.Add(sum.Mul(1 / float64(len(about))).Sub(p).Mul(share))
	}
}
