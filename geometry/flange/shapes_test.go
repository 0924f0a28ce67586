package flange_test

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// seam is a true weld line with the frame of the flange along it.
type seam struct {
	length float64
	closed bool
	at     func(s float64) (p, along, axis r3.Vector)
}

// profile is a sheet's section: points (across to the left, along the axis).
type profile [][2]float64

// flat is a section of two straight flanges' worth of sheet at a height, with a bend and a wall at one side:
// free edge at +half, bend from -half, wall 30 mm up (or down).
func flat(half, height, up float64, rows int) profile {
	var p profile
	for i := 0; i <= rows; i++ {
		p = append(p, [2]float64{half - 2*half*float64(i)/float64(rows), height})
	}
	const radius, facets = 3.5, 4
	for i := 1; i <= facets; i++ {
		a := math.Pi / 2 * float64(i) / facets
		p = append(p, [2]float64{-half - radius*math.Sin(a), height + up*radius*(1-math.Cos(a))})
	}
	end := p[len(p)-1]
	return append(p, [2]float64{end[0], end[1] + up*15}, [2]float64{end[0], end[1] + up*30})
}

// sweep draws a section along a seam with rows about pitch apart, jittered.
func sweep(c seam, section profile, pitch float64, rng *rand.Rand) *mesh.Mesh {
	n := max(1, int(math.Round(c.length/pitch)))
	m := &mesh.Mesh{}
	rows := n + 1
	if c.closed {
		rows = n
	}
	for i := range rows {
		s := c.length * float64(i) / float64(n)
		if i > 0 && i < n {
			s += c.length / float64(n) * 0.3 * (rng.Float64() - .5)
		}
		p, along, axis := c.at(s)
		across := axis.Cross(along)
		for _, q := range section {
			m.Vertices = append(m.Vertices, p.Add(across.Mul(q[0])).Add(axis.Mul(q[1])))
		}
	}
	k := len(section)
	for i := range n {
		for j := range k - 1 {
			a, b := int32(i*k+j), int32((i+1)%rows*k+j)
			if rng.IntN(2) == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, a + 1}, [3]int32{b, b + 1, a + 1})
			}
		}
	}
	return m
}

func straight(length float64) seam {
	return seam{length: length, at: func(s float64) (r3.Vector, r3.Vector, r3.Vector) {
		return vec(s, 0, 0), vec(1, 0, 0), vec(0, 0, 1)
	}}
}

func ring(radius float64) seam {
	return seam{length: 2 * math.Pi * radius, closed: true, at: func(s float64) (r3.Vector, r3.Vector, r3.Vector) {
		a := s / radius
		return vec(radius*math.Cos(a), radius*math.Sin(a), 0), vec(-math.Sin(a), math.Cos(a), 0), vec(0, 0, 1)
	}}
}

// coneRing is a ring whose flange leans: its axis points out of a cone of the given half angle in degrees.
func coneRing(radius, lean float64) seam {
	sin, cos := math.Sincos(lean * math.Pi / 180)
	return seam{length: 2 * math.Pi * radius, closed: true, at: func(s float64) (r3.Vector, r3.Vector, r3.Vector) {
		a := s / radius
		out := vec(math.Cos(a), math.Sin(a), 0)
		return out.Mul(radius), vec(-math.Sin(a), math.Cos(a), 0), out.Mul(sin).Add(vec(0, 0, cos))
	}}
}

// helix climbs round a cylinder with the flange lying on the cylinder.
func helix(radius, climb, turns float64) seam {
	per := math.Hypot(2*math.Pi*radius, climb)
	return seam{length: turns * per, at: func(s float64) (r3.Vector, r3.Vector, r3.Vector) {
		a := 2 * math.Pi * s / per
		out := vec(math.Cos(a), math.Sin(a), 0)
		along := vec(-radius*math.Sin(a), radius*math.Cos(a), climb/(2*math.Pi)).Normalize()
		return out.Mul(radius).Add(vec(0, 0, climb*a/(2*math.Pi))), along, out
	}}
}

// sCurve is two arcs of opposite sense in a plane, each of the given radius and angle.
func sCurve(radius, angle float64) seam {
	half := radius * angle
	return seam{length: 2 * half, at: func(s float64) (r3.Vector, r3.Vector, r3.Vector) {
		if s <= half {
			a := s / radius
			return vec(radius*math.Sin(a), radius*(1-math.Cos(a)), 0), vec(math.Cos(a), math.Sin(a), 0), vec(0, 0, 1)
		}
		a := (s - half) / radius
		mid, dir := vec(radius*math.Sin(angle), radius*(1-math.Cos(angle)), 0), angle-a
		// The centre of the second arc lies to the right of the way.
		center := mid.Add(vec(math.Sin(angle), -math.Cos(angle), 0).Mul(radius))
		return center.Add(vec(-math.Sin(dir), math.Cos(dir), 0).Mul(radius)), vec(math.Cos(dir), math.Sin(dir), 0), vec(0, 0, 1)
	}}
}
