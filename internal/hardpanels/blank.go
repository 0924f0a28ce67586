package hardpanels

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

// blank is a flat rectangle in x and y with openings, meshed in facets of about one size, and then formed.
type blank struct {
	x0, y0, x1, y1 float64
	facet          float64 // mm
	// how far a place lies within the metal, mm: below zero in an opening or beyond an edge; nil: all is metal
	in     func(x, y float64) float64
	form   func(x, y float64) r3.Vector
	noise  float64 // mm, the deviation of white noise on every corner
	smooth float64 // mm over which the noise is smoothed; 0: white
}

// mesh makes facets of squares, of which each row is cut one way or the other. Corners beside an opening move onto its rim.
func (b blank) mesh(rng *rand.Rand) *mesh.Mesh {
	nx, ny := max(1, int(math.Round((b.x1-b.x0)/b.facet))), max(1, int(math.Round((b.y1-b.y0)/b.facet)))
	xs, ys := make([]float64, (nx+1)*(ny+1)), make([]float64, (nx+1)*(ny+1))
	keep := make([]bool, len(xs))
	at := func(i, j int) int { return i*(ny+1) + j }
	for i := range nx + 1 {
		for j := range ny + 1 {
			x, y := b.x0+(b.x1-b.x0)*float64(i)/float64(nx), b.y0+(b.y1-b.y0)*float64(j)/float64(ny)
			k := at(i, j)
			if xs[k], ys[k], keep[k] = x, y, true; b.in == nil {
				continue
			}
			d := b.in(x, y)
			if math.Abs(d) < 0.71*b.facet { // onto the rim, down the slope of the distance
				const h = 1e-4
				gx, gy := (b.in(x+h, y)-b.in(x-h, y))/(2*h), (b.in(x, y+h)-b.in(x, y-h))/(2*h)
				if g := gx*gx + gy*gy; g > 0.25 {
					xs[k], ys[k], d = x-d*gx/g, y-d*gy/g, 0
				}
			}
			keep[k] = d >= 0
		}
	}
	m := &mesh.Mesh{}
	number := map[[2]float64]int32{} // corners from both sides of a rim may come to the same place
	corner := func(k int) int32 {
		place := [2]float64{math.Round(xs[k] * 1e6), math.Round(ys[k] * 1e6)}
		i, known := number[place]
		if !known {
			i = int32(len(m.Vertices))
			number[place] = i
			m.Vertices = append(m.Vertices, b.form(xs[k], ys[k]))
		}
		return i
	}
	add := func(a, c, d int) {
		area := (xs[c]-xs[a])*(ys[d]-ys[a]) - (xs[d]-xs[a])*(ys[c]-ys[a])
		if !keep[a] || !keep[c] || !keep[d] || area < 1e-4*b.facet*b.facet {
			return
		}
		if b.in != nil && b.in((xs[a]+xs[c]+xs[d])/3, (ys[a]+ys[c]+ys[d])/3) < 0 {
			return
		}
		m.Triangles = append(m.Triangles, [3]int32{corner(a), corner(c), corner(d)})
	}
	for i := range nx {
		for j := range ny {
			p, q, r, s := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			rising := rng.IntN(2) == 0
			if kit.CountIf(keep[p])+kit.CountIf(keep[q])+kit.CountIf(keep[r])+kit.CountIf(keep[s]) == 3 {
				rising = !keep[q] || !keep[s] // else metal within the rim is left out
			}
			if rising {
				add(p, q, r)
				add(p, r, s)
			} else {
				add(p, q, s)
				add(q, r, s)
			}
		}
	}
	b.shake(m, rng)
	return m
}

// shake moves every corner: by white noise along all axes, or by noise that is smoothed over a length along z.
func (b blank) shake(m *mesh.Mesh, rng *rand.Rand) {
	if b.noise == 0 {
		return
	}
	if b.smooth == 0 {
		for i := range m.Vertices {
			m.Vertices[i] = m.Vertices[i].Add(r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(),
				Z: rng.NormFloat64()}.Mul(b.noise / math.Sqrt(3)))
		}
		return
	}
	const waves = 24
	var w [waves][4]float64
	for i := range w {
		turn := 2 * math.Pi * rng.Float64()
		k := 2 * math.Pi / (b.smooth * (2 + 2*rng.Float64()))
		w[i] = [4]float64{k * math.Cos(turn), k * math.Sin(turn), 2 * math.Pi * rng.Float64(), b.noise * math.Sqrt(2./waves)}
	}
	for i, v := range m.Vertices {
		for _, c := range w {
			m.Vertices[i].Z += c[3] * math.Sin(c[0]*v.X+c[1]*v.Y+c[2])
		}
	}
}

// flatAt is a blank that stays flat at a height.
func flatAt(z float64) func(x, y float64) r3.Vector {
	return func(x, y float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
}

// rule is a straight line along x.
func rule(x0, x1, y, z float64) []r3.Vector {
	return []r3.Vector{{X: x0, Y: y, Z: z}, {X: x1, Y: y, Z: z}}
}
