package wide

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/internal/plates"
)

// section is a sheet's middle across its path, points as across and up.
type section []r2.Point

// line is a section that is straight between points, given as x and y in turn.
func line(xy ...float64) section {
	var s section
	for i := 0; i < len(xy); i += 2 {
		s = append(s, r2.Point{X: xy[i], Y: xy[i+1]})
	}
	return s
}

// bent goes on with a bend by an angle in degrees, to the left above zero, and a straight leg.
func (s section) bent(radius, degrees, leg float64) section {
	n := len(s)
	d := s[n-1].Sub(s[n-2]).Normalize()
	left := r2.Point{X: -d.Y, Y: d.X}.Mul(math.Copysign(1, degrees))
	p := s[n-1]
	steps := int(math.Ceil(math.Abs(degrees) / 10))
	for i := 1; i <= steps; i++ {
		sin, cos := math.Sincos(math.Abs(degrees) * float64(i) / float64(steps) * math.Pi / 180)
		s = append(s, p.Add(d.Mul(radius*sin)).Add(left.Mul(radius*(1-cos))))
	}
	sin, cos := math.Sincos(math.Abs(degrees) * math.Pi / 180)
	return append(s, s[len(s)-1].Add(d.Mul(leg*cos)).Add(left.Mul(leg*sin)))
}

// raised is the section moved up.
func (s section) raised(by float64) section {
	out := make(section, len(s))
	for i, p := range s {
		out[i] = r2.Point{X: p.X, Y: p.Y + by}
	}
	return out
}

// frame is a place on a path, with what is across it and up.
type frame struct{ at, along, across, up r3.Vector }

// path is where sections stand.
type path []frame

// course is a path of a length that turns in the plane, is curved up, and twists by so many radians a millimetre.
func course(length float64, n int, turn func(s float64) (plane, up, twist float64)) path {
	const parts = 8
	f := frame{along: r3.Vector{X: 1}, across: r3.Vector{Y: 1}, up: r3.Vector{Z: 1}}
	p := path{f}
	step := length / float64(n*parts)
	for i := range n * parts {
		plane, up, twist := turn((float64(i) + .5) * step)
		f.at = f.at.Add(f.along.Mul(step / 2))
		f = f.turned(plane*step, up*step, twist*step)
		f.at = f.at.Add(f.along.Mul(step / 2))
		if i%parts == parts-1 {
			p = append(p, f)
		}
	}
	return p
}

func (f frame) turned(plane, up, twist float64) frame {
	spin := func(a, b r3.Vector, by float64) (r3.Vector, r3.Vector) {
		sin, cos := math.Sincos(by)
		return a.Mul(cos).Add(b.Mul(sin)), b.Mul(cos).Sub(a.Mul(sin))
	}
	f.along, f.across = spin(f.along, f.across, plane)
	f.along, f.up = spin(f.along, f.up, up)
	f.across, f.up = spin(f.across, f.up, twist)
	return f
}

// place is a place of a section on the path, by share of its length.
func (p path) place(share, x, y float64) r3.Vector {
	at := share * float64(len(p)-1)
	i := min(int(at), len(p)-2)
	a, b := p[i].of(r2.Point{X: x, Y: y}), p[i+1].of(r2.Point{X: x, Y: y})
	return a.Add(b.Sub(a).Mul(at - float64(i)))
}

func (f frame) of(p r2.Point) r3.Vector { return f.at.Add(f.across.Mul(p.X)).Add(f.up.Mul(p.Y)) }

// skin is a sheet to be written: a section along a path.
type skin struct {
	path    path
	section func(i int) section // at each place of the path
	surface string              // as the shell file has it; empty: the middle
	thick   float64             // of a solid
	noise   float64
	closed  bool // the path meets itself
	without func(i, j int) bool
}

// plain is a sheet of one section all along.
func plain(p path, s section) skin { return skin{path: p, section: func(int) section { return s }} }

func (s skin) quads() [][4]plates.Point {
	var rows [][]r3.Vector
	solid := s.surface == "solid"
	for i, f := range s.path {
		var row []r3.Vector
		of := s.section(i)
		if solid {
			upper, lower := plates.Beside(of, s.thick/2), plates.Beside(of, -s.thick/2)
			for j := range lower {
				upper = append(upper, lower[len(lower)-1-j])
			}
			of = append(upper, upper[0])
		}
		for _, p := range of {
			row = append(row, f.of(p))
		}
		rows = append(rows, row)
	}
	var out [][4]plates.Point
	for i := range len(rows) - 1 {
		for j := range len(rows[i]) - 1 {
			if s.without != nil && s.without(i, j) {
				continue
			}
			out = append(out, [4]plates.Point{point(rows[i][j]), point(rows[i+1][j]), point(rows[i+1][j+1]), point(rows[i][j+1])})
		}
	}
	if solid && !s.closed {
		for _, end := range []int{0, len(rows) - 1} {
			row := rows[end]
			n := len(row) - 1
			for j := range n/2 - 1 {
				q := [4]plates.Point{point(row[j]), point(row[j+1]), point(row[n-2-j]), point(row[n-1-j])}
				if end > 0 {
					q[1], q[3] = q[3], q[1]
				}
				out = append(out, q)
			}
		}
	}
	return out
}

func point(p r3.Vector) plates.Point { return plates.Point{p.X, p.Y, p.Z} }

// stl is the file of the sheet where the bay stands.
func (s skin) stl(m *maker) []byte {
	quads := s.quads()
	moved := map[plates.Point]plates.Point{}
	for i := range quads {
		for k, c := range quads[i] {
			to, ok := moved[c]
			if !ok {
				v := r3.Vector{X: c[0], Y: c[1], Z: c[2]}
				if s.noise > 0 {
					v.Z += s.noise * m.rng.NormFloat64()
				}
				to = point(m.placed(v))
				moved[c] = to
			}
			quads[i][k] = to
		}
	}
	return plates.STL(quads...)
}
