package hardpanels

import (
	"bytes"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/internal/plates"
)

// profile is a sheet's section, the middle of its metal: from the free edge on the flange, which it leaves along x, onwards.
// On its left lies the other sheet.
type profile []r2.Point

// flat is a profile that runs straight on, from the edge at x.
func flat(x, length, toward, z float64) profile {
	return profile{{X: x, Y: z}, {X: x + toward*length, Y: z}}
}

// bent adds a bend by an angle in degrees, to the right, and a wall beyond.
func (p profile) bent(radius, angle, wall float64) profile {
	n := len(p)
	d := p[n-1].Sub(p[n-2]).Normalize()
	right := r2.Point{X: d.Y, Y: -d.X}
	center := p[n-1].Add(right.Mul(radius))
	steps := max(2, int(math.Ceil(angle/6)))
	for i := 1; i <= steps; i++ {
		sin, cos := math.Sincos(angle * float64(i) / float64(steps) * math.Pi / 180)
		p = append(p, center.Sub(right.Mul(radius*cos)).Add(d.Mul(radius*sin)))
	}
	sin, cos := math.Sincos(angle * math.Pi / 180)
	return append(p, p[len(p)-1].Add(d.Mul(wall*cos)).Add(right.Mul(wall*sin)))
}

// fine cuts long parts into pieces of about a length.
func (p profile) fine(size float64) profile {
	out := profile{p[0]}
	for i := 1; i < len(p); i++ {
		n := max(1, int(math.Round(p[i].Sub(p[i-1]).Norm()/size)))
		for k := 1; k <= n; k++ {
			out = append(out, p[i-1].Add(p[i].Sub(p[i-1]).Mul(float64(k)/float64(n))))
		}
	}
	return out
}

// edging is how the rim of a solid is rounded or chamfered.
type edging struct {
	size    float64 // mm: radius or chamfer; 0 for square
	chamfer bool
	steps   int
}

// around closes the profile into the section of a solid: its left side forth, the far rim, its right side back, the
// near rim. Points of both sides stand opposite.
func (p profile) around(t float64, e edging) (loop profile, side int) {
	shift := func(q profile) profile { // the sides are shorter than the sheet by the rounding
		d := q[1].Sub(q[0]).Normalize()
		q[0] = q[0].Add(d.Mul(e.size))
		n := len(q)
		d = q[n-2].Sub(q[n-1]).Normalize()
		q[n-1] = q[n-1].Add(d.Mul(e.size))
		return q
	}
	left, right := shift(plates.Beside(p, t/2)), shift(plates.Beside(p, -t/2))
	n := len(p)
	loop = append(loop, left...)
	loop = append(loop, e.rim(left[n-1], right[n-1], p[n-1].Sub(p[n-2]).Normalize(), t)...)
	for i := n - 1; i >= 0; i-- {
		loop = append(loop, right[i])
	}
	return append(loop, e.rim(right[0], left[0], p[0].Sub(p[1]).Normalize(), t)...), n
}

// rim is the points between the ends of two sides, rounded out along a direction.
func (e edging) rim(from, to, out r2.Point, t float64) profile {
	if e.size == 0 {
		return nil
	}
	down := to.Sub(from).Mul(1 / t)
	at := func(center r2.Point, angle float64) r2.Point {
		sin, cos := math.Sincos(angle)
		return center.Add(out.Mul(e.size * cos)).Add(down.Mul(e.size * sin))
	}
	steps := e.steps
	if e.chamfer {
		steps = 1
	}
	var points profile
	first, second := from.Add(down.Mul(e.size)), to.Sub(down.Mul(e.size))
	for i := 1; i <= steps; i++ {
		points = append(points, at(first, -math.Pi/2*(1-float64(i)/float64(steps))))
	}
	for i := 0; i < steps; i++ {
		if i == 0 && t-2*e.size < 1e-9 {
			continue // the two roundings meet
		}
		points = append(points, at(second, math.Pi/2*float64(i)/float64(steps)))
	}
	return points
}

// stations are places along a panel, about a size apart.
func stations(from, to, size float64) []float64 {
	n := max(1, int(math.Round((to-from)/size)))
	out := make([]float64, n+1)
	for i := range out {
		out[i] = from + (to-from)*float64(i)/float64(n)
	}
	return out
}

// sweep draws a section along y; the section's x and y become x and z. A closed one is capped at both ends, its two sides being
// of so many points each.
func sweep(section profile, along []float64, closed bool, side int, rng *rand.Rand) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := len(section)
	for _, y := range along {
		for _, p := range section {
			m.Vertices = append(m.Vertices, r3.Vector{X: p.X, Y: y, Z: p.Y})
		}
	}
	mode := rng.IntN(3) // of the diagonals: one way, the other, mixed
	last := n - 1
	if closed {
		last = n
	}
	for i := range len(along) - 1 {
		for j := range last {
			a, b := int32(i*n+j), int32(i*n+(j+1)%n)
			c, d := a+int32(n), b+int32(n)
			if mode == 0 || mode == 2 && rng.IntN(2) == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{b, d, c})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{a, d, c})
			}
		}
	}
	if closed {
		front := caps(n, side, 0)
		m.Triangles = append(m.Triangles, front...)
		for _, t := range caps(n, side, int32((len(along)-1)*n)) {
			m.Triangles = append(m.Triangles, [3]int32{t[0], t[2], t[1]})
		}
	}
	return m
}

// caps fills a closed section: between the two sides, and the rims by fans.
func caps(n, side int, at int32) [][3]int32 {
	var out [][3]int32
	far := (n - 2*side) / 2 // points of one rim
	right := func(i int) int32 { return at + int32(2*side+far-1-i) }
	for i := range side - 1 {
		a, b := at+int32(i), at+int32(i+1)
		out = append(out, [3]int32{a, right(i), b}, [3]int32{b, right(i), right(i + 1)})
	}
	fan := func(from, first, points int32, to int32) {
		previous := first
		for k := range points - 1 {
			out = append(out, [3]int32{from, previous, previous + 1})
			previous = first + k + 1
		}
		if points > 0 {
			out = append(out, [3]int32{from, first + points - 1, to})
		}
	}
	fan(at+int32(side-1), at+int32(side), int32(far), right(side-1))
	fan(right(0), right(0)+1, int32(far), at)
	return out
}

// shake moves every vertex along z by normal noise.
func shake(m *mesh.Mesh, sigma float64, rng *rand.Rand) {
	for i := range m.Vertices {
		m.Vertices[i].Z += sigma * rng.NormFloat64()
	}
}

// shuffle puts triangles into any order and begins each at any corner.
func shuffle(m *mesh.Mesh, rng *rand.Rand) {
	rng.Shuffle(len(m.Triangles), func(i, j int) { m.Triangles[i], m.Triangles[j] = m.Triangles[j], m.Triangles[i] })
	for i, t := range m.Triangles {
		k := rng.IntN(3)
		m.Triangles[i] = [3]int32{t[k], t[(k+1)%3], t[(k+2)%3]}
	}
}

// turnOver turns every triangle round.
func turnOver(m *mesh.Mesh) {
	for i := range m.Triangles {
		t := &m.Triangles[i]
		t[1], t[2] = t[2], t[1]
	}
}

// anywhere is a place some way off, turned any way; one in four stays square with the axes.
func anywhere(rng *rand.Rand) space.Place {
	if rng.IntN(4) == 0 {
		return space.Place{}
	}
	draw := func(within float64) r3.Vector {
		return r3.Vector{X: within * (2*rng.Float64() - 1), Y: within * (2*rng.Float64() - 1), Z: within * (2*rng.Float64() - 1)}
	}
	return space.Place{Turn: draw(180), Move: draw(1500)}
}

// put places the sheets and the truth, and reads the meshes from STL as the product does.
func (c *Case) put(at space.Place) Case {
	for i := range c.Sheets {
		s := &c.Sheets[i]
		var stl bytes.Buffer
		m := s.Mesh.Placed(at)
		m.Name = s.Name
		err := mesh.WriteSTL(&stl, m)
		if err == nil {
			s.Mesh, _, err = mesh.Read(bytes.NewReader(stl.Bytes()), int64(stl.Len()), s.Name, mesh.Options{Unit: space.Millimetre, Name: s.Name})
		}
		if err != nil {
			panic(err) // the generator's own fault
		}
	}
	for i := range c.Want {
		for k, p := range c.Want[i].Line {
			c.Want[i].Line[k] = at.Apply(p)
		}
	}
	return *c
}

// lap is two sheets that lie on each other along y: the edge of A is at x = width, of B at x = 0, and A lies above.
type lap struct {
	length, width, gap float64
	a, b               sheet
}

// sheet is how one of the two is made.
type sheet struct {
	thickness float64
	surface   flange.Surface
	shape     int     // 0: flat, 1: L, 2: hat
	size      float64 // mm: of facets across and along
	along     float64 // the same along; 0: as across
	beyond    float64 // mm longer than the other at both ends
	edge      edging
	faying    bool    // of a skin: the mesh is the face that touches
	inward    bool    // of a skin: its facets are turned to the metal
	noise     float64 // mm, standard deviation
}

// profileOf is the section of a sheet whose flange leaves its edge at x toward -1 or 1, with its middle at a height.
func (s sheet) profileOf(x, toward, z, width float64) profile {
	run := width + 1.5
	switch s.shape {
	case 1:
		return flat(x, run, toward, z).bent(2*s.thickness, 90, 18)
	case 2:
		p := flat(x, run, toward, z).bent(2.5*s.thickness, 70, 14)
		return p
	}
	return flat(x, width+24, toward, z)
}

func (s sheet) mesh(p profile, length float64, rng *rand.Rand) *mesh.Mesh {
	p = p.fine(s.size)
	along := stations(-s.beyond, length+s.beyond, orElse(s.along, s.size))
	var m *mesh.Mesh
	switch s.surface {
	case flange.Solid:
		section, side := p.around(s.thickness, s.edge)
		m = sweep(section, along, true, side, rng)
	case flange.Skin:
		by := -s.thickness / 2
		if s.faying {
			by = s.thickness / 2
		}
		m = sweep(plates.Beside(p, by), along, false, 0, rng)
		if s.faying == s.inward { // as swept, the facets of a profile are turned to its right
			turnOver(m)
		}
	default:
		m = sweep(p, along, false, 0, rng)
	}
	shake(m, s.noise, rng)
	shuffle(m, rng)
	return m
}

// make draws the two sheets. No more than one of them goes beyond the other at their ends.
func (l lap) make(name string, rng *rand.Rand) Case {
	if l.a.beyond > 0 {
		l.b.beyond = 0
	}
	a := l.a.profileOf(l.width, -1, l.gap+l.a.thickness/2, l.width)
	b := l.b.profileOf(0, 1, -l.b.thickness/2, l.width)
	c := Case{Name: name, Sheets: []flange.Sheet{
		{Name: "A", Mesh: l.a.mesh(a, l.length, rng), Thickness: l.a.thickness, Surface: l.a.surface},
		{Name: "B", Mesh: l.b.mesh(b, l.length, rng), Thickness: l.b.thickness, Surface: l.b.surface},
	}}
	middle := func(y float64) r3.Vector { return r3.Vector{X: l.width / 2, Y: y, Z: l.gap / 2} }
	c.Want = []Strip{{Line: []r3.Vector{middle(0), middle(l.length)}, Width: l.width, Gap: l.gap}}
	return c.put(anywhere(rng))
}

// of draws one of some values.
func of[T any](rng *rand.Rand, values ...T) T { return values[rng.IntN(len(values))] }

// between draws a number, with awkward decimals.
func between(rng *rand.Rand, from, to float64) float64 { return from + (to-from)*rng.Float64() }
