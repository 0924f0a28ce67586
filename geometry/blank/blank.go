// Package blank measures how large a flat sheet a pressed panel is made from.
//
// A panel is cut by planes along its length and across it, and each cut is drawn out straight; the longest of each
// direction are the sides of the least rectangle that holds the panel laid flat. That is exact for what is bent along
// straight lines. Where sheet is drawn, it is stretched as well, and the rectangle comes out too large by as much as it thins:
// a few per cent, which a works that buys sheet is glad of. Openings count as sheet: the blank has them, too.
//
//	size := blank.Of(m, 1)
//	fmt.Println(size.Length, size.Width)
package blank

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"

	"seamwright/geometry/mesh"
)

// cuts is how many planes are laid through a panel each way. Chosen: on a panel of 1.5 m one to every 40 mm.
const cuts = 37

// Size is the sides of a rectangle, mm; the length is the longer one.
type Size struct{ Length, Width float64 }

// Of is the size of a panel's blank. Skins is how many surfaces of the sheet the mesh has: 1, or 2 of a closed solid. A mesh
// without area has the zero size.
func Of(m *mesh.Mesh, skins int) Size {
	frame, ok := axes(m)
	if !ok {
		return Size{}
	}
	along, across := drawnOut(m, frame, 0, skins), drawnOut(m, frame, 1, skins)
	return Size{math.Max(along, across), math.Min(along, across)}
}

// axes are the panel's own directions: along, across, and that in which it is least spread, by the area's second moments.
func axes(m *mesh.Mesh) ([3]r3.Vector, bool) {
	var middle r3.Vector
	total := 0.0
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		area := areaOf(a, b, c)
		total, middle = total+area, middle.Add(a.Add(b).Add(c).Mul(area/3))
	}
	if !(total > 0) {
		return [3]r3.Vector{}, false
	}
	middle = middle.Mul(1 / total)
	// Over a facet the mean of v vT is (a aT + b bT + c cT + s sT) / 12 with s = a + b + c: exact, however large the facets are.
	var second [9]float64 // above the diagonal
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		weight := areaOf(a, b, c) / 12
		a, b, c = a.Sub(middle), b.Sub(middle), c.Sub(middle)
		for _, d := range [4]r3.Vector{a, b, c, a.Add(b).Add(c)} {
			x, y, z := weight*d.X, weight*d.Y, weight*d.Z
			second[0], second[1], second[2] = second[0]+float64(x*d.X), second[1]+float64(x*d.Y), second[2]+float64(x*d.Z)
			second[4], second[5], second[8] = second[4]+float64(y*d.Y), second[5]+float64(y*d.Z), second[8]+float64(z*d.Z)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(mat.NewSymDense(3, second[:]), true) {
		return [3]r3.Vector{}, false
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	var out [3]r3.Vector
	for k := range out { // values grow
		col := 2 - k
		out[k] = r3.Vector{X: vectors.At(0, col), Y: vectors.At(1, col), Z: vectors.At(2, col)}
	}
	return out, true
}

func areaOf(a, b, c r3.Vector) float64 { return b.Sub(a).Cross(c.Sub(a)).Norm() / 2 }

// drawnOut is the longest cut that runs along a direction of the frame.
func drawnOut(m *mesh.Mesh, frame [3]r3.Vector, along, skins int) float64 {
	normal := frame[1-along]
	low, high := math.Inf(1), math.Inf(-1)
	height := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		height[i] = v.Dot(normal)
		low, high = math.Min(low, height[i]), math.Max(high, height[i])
	}
	longest := 0.0
	for _, pieces := range cutBy(m, height, low, high) {
		longest = math.Max(longest, length(pieces, frame[along], skins))
	}
	return longest
}

// piece is where a plane cuts a triangle.
type piece struct{ a, b r3.Vector }

// cutBy is where each of the planes cuts the mesh.
func cutBy(m *mesh.Mesh, height []float64, low, high float64) (out [cuts][]piece) {
	if !(high > low) {
		return out
	}
	var at [cuts]float64
	for k := range at {
		at[k] = low + float64((high-low)*(float64(k)+0.5)/cuts)
	}
	perHeight := cuts / (high - low)
	for _, t := range m.Triangles {
		least := min(height[t[0]], height[t[1]], height[t[2]])
		most := max(height[t[0]], height[t[1]], height[t[2]])
		for k := max(0, int((least-low)*perHeight-0.5)); k < cuts && at[k] <= most; k++ { // of two planes that rounding leaves open
			if least < at[k] {
				out[k] = append(out[k], cut(m, t, height, at[k]))
			}
		}
	}
	return out
}

// cut is where a plane cuts a triangle that has corners on both sides of it.
func cut(m *mesh.Mesh, t [3]int32, height []float64, at float64) piece {
	var p [2]r3.Vector
	n := 0
	for k := range 3 {
		i, j := t[k], t[(k+1)%3]
		if (height[i] < at) != (height[j] < at) {
			f := (at - height[i]) / (height[j] - height[i])
			p[n] = m.Vertices[i].Add(m.Vertices[j].Sub(m.Vertices[i]).Mul(f))
			n++
		}
	}
	return piece{p[0], p[1]}
}

// length is how long a cut is when drawn out: its pieces, and straight over what lies open between them.
func length(pieces []piece, along r3.Vector, skins int) float64 {
	sum := 0.0
	type stretch struct{ from, to float64 }
	var covered []stretch
	for _, p := range pieces {
		sum += p.a.Distance(p.b)
		a, b := p.a.Dot(along), p.b.Dot(along)
		covered = append(covered, stretch{math.Min(a, b), math.Max(a, b)})
	}
	sum /= float64(skins)
	slices.SortFunc(covered, func(a, b stretch) int { return cmp.Compare(a.from, b.from) })
	for i := 1; i < len(covered); i++ {
		sum += math.Max(0, covered[i].from-covered[i-1].to)
		covered[i].to = math.Max(covered[i].to, covered[i-1].to)
	}
	return sum
}
