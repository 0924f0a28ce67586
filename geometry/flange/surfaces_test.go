package flange_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// surface is a smooth surface: the map of a plane onto it, its nearest point to p, and its normal there.
type surface struct {
	name    string
	onto    func(x, y float64) r3.Vector
	nearest func(p r3.Vector) r3.Vector
	normal  func(p r3.Vector) r3.Vector
}

func planeSurface(float64) surface {
	return surface{
		name:    "plane",
		onto:    func(x, y float64) r3.Vector { return vec(x, y, 0) },
		nearest: func(p r3.Vector) r3.Vector { return vec(p.X, p.Y, 0) },
		normal:  func(r3.Vector) r3.Vector { return vec(0, 0, 1) },
	}
}

func cylinderSurface(r float64) surface {
	return surface{
		name: "cylinder",
		onto: func(x, y float64) r3.Vector { return vec(r*math.Sin(x/r), y, r*math.Cos(x/r)) },
		nearest: func(p r3.Vector) r3.Vector {
			k := r / math.Hypot(p.X, p.Z)
			return vec(p.X*k, p.Y, p.Z*k)
		},
		normal: func(p r3.Vector) r3.Vector { return vec(p.X, 0, p.Z).Normalize() },
	}
}

func sphereSurface(r float64) surface {
	return surface{
		name: "sphere",
		onto: func(x, y float64) r3.Vector { // stereographic
			k := 4 * r * r / (x*x + y*y + 4*r*r)
			return vec(k*x, k*y, 2*r*k-r)
		},
		nearest: func(p r3.Vector) r3.Vector { return p.Normalize().Mul(r) },
		normal:  func(p r3.Vector) r3.Vector { return p.Normalize() },
	}
}

// saddleSurface is z = (x² - y²) / 2r.
func saddleSurface(r float64) surface {
	normal := func(p r3.Vector) r3.Vector { return vec(-p.X/r, p.Y/r, 1).Normalize() }
	return surface{
		name: "saddle",
		onto: func(x, y float64) r3.Vector { return vec(x, y, (x*x-y*y)/(2*r)) },
		nearest: func(p r3.Vector) r3.Vector {
			for range 20 {
				n := normal(p)
				p = p.Sub(n.Mul((p.Z - (p.X*p.X-p.Y*p.Y)/(2*r)) * n.Z))
			}
			return p
		},
		normal: normal,
	}
}

// plan is the course of a flange in the plane that is laid onto a surface, by a length and a radius in mm.
type plan struct {
	name   string
	closed bool
	at     func(u, length, radius float64) (x, y float64) // u from 0 to 1
}

var plans = []plan{
	{"straight", false, func(u, length, _ float64) (float64, float64) { return length * (u - .5), length * (u - .5) * 0.3 }},
	{"ring", true, func(u, _, radius float64) (float64, float64) {
		sin, cos := math.Sincos(2 * math.Pi * u)
		return radius * cos, radius * sin
	}},
	{"spiral", false, func(u, length, radius float64) (float64, float64) {
		angle, r := u*length/radius, radius*(1+.3*u)
		return r*math.Cos(angle) - radius, r * math.Sin(angle)
	}},
	{"S", false, func(u, length, radius float64) (float64, float64) {
		k := 2 * math.Pi / length // the curvature of a sine's crest is height times k squared
		return length * (u - .5), math.Sin(k*length*u) / (k * k * radius)
	}},
	{"helix", false, func(u, length, _ float64) (float64, float64) { return length * (u - .5) * .8, length * (u - .5) * .6 }},
}

// on makes a seam of a plan laid onto a surface, measured along its length.
func on(s surface, at func(u float64) (x, y float64), closed bool) seam {
	const n = 8000
	sums := make([]float64, n+1)
	place := func(u float64) r3.Vector { return s.onto(at(u)) }
	for i := 1; i <= n; i++ {
		sums[i] = sums[i-1] + place(float64(i)/n).Sub(place(float64(i-1)/n)).Norm()
	}
	return seam{length: sums[n], closed: closed, at: func(d float64) (r3.Vector, r3.Vector, r3.Vector) {
		lo, hi := 0, n
		for hi-lo > 1 {
			if mid := (lo + hi) / 2; sums[mid] <= d {
				lo = mid
			} else {
				hi = mid
			}
		}
		u := (float64(lo) + (d-sums[lo])/(sums[hi]-sums[lo])) / n
		p := place(u)
		axis := s.normal(p)
		along := place(u + 1e-5).Sub(place(u - 1e-5))
		return p, along.Sub(axis.Mul(along.Dot(axis))).Normalize(), axis
	}}
}

// form draws a sheet along a seam on a surface: the flange follows the surface to both sides, at a height above
// it, and beyond bend it turns up or down by way of a bend into a wall. Rows are about pitch apart both ways.
func form(s surface, c seam, half, height, up, pitch float64, rng *rand.Rand) *mesh.Mesh {
	rows := max(1, int(math.Round(2*half/pitch)))
	var bend profile
	section := flat(half, 0, up, 1)[2:]
	bend = append(bend, section...)
	n := max(1, int(math.Round(c.length/pitch)))
	m := &mesh.Mesh{}
	lines := n + 1
	if c.closed {
		lines = n
	}
	k := rows + 1 + len(bend)
	for i := range lines {
		d := c.length * float64(i) / float64(n)
		if i > 0 && i < n {
			d += c.length / float64(n) * 0.3 * (rng.Float64() - .5)
		}
		p, along, axis := c.at(d)
		across := axis.Cross(along)
		for j := range rows + 1 {
			q := s.nearest(p.Add(across.Mul(half - 2*half*float64(j)/float64(rows))))
			m.Vertices = append(m.Vertices, q.Add(s.normal(q).Mul(height)))
		}
		q := s.nearest(p.Add(across.Mul(-half)))
		n := s.normal(q)
		side := n.Cross(along).Normalize()
		for _, b := range bend {
			m.Vertices = append(m.Vertices, q.Add(side.Mul(b[0]+half)).Add(n.Mul(height+b[1])))
		}
	}
	for i := range n {
		for j := range k - 1 {
			a, b := int32(i*k+j), int32((i+1)%lines*k+j)
			if rng.IntN(2) == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, a + 1}, [3]int32{b, b + 1, a + 1})
			}
		}
	}
	return m
}

// shake moves every vertex by up to amount along each axis.
func shake(m *mesh.Mesh, amount float64, rng *rand.Rand) {
	for i := range m.Vertices {
		m.Vertices[i] = m.Vertices[i].Add(vec(rng.Float64()*2-1, rng.Float64()*2-1, rng.Float64()*2-1).Mul(amount))
	}
}

// trueArea is the area of the strip of the seam on its surface, at a height.
func trueArea(s surface, c seam, half, height float64) float64 {
	const n, rows = 2000, 16
	at := func(i, j int) r3.Vector {
		p, along, axis := c.at(c.length * float64(i) / n)
		q := s.nearest(p.Add(axis.Cross(along).Mul(half - 2*half*float64(j)/rows)))
		return q.Add(s.normal(q).Mul(height))
	}
	sum := 0.0
	var last, row [rows + 1]r3.Vector
	for i := range n + 1 {
		for j := range row {
			row[j] = at(i, j)
		}
		for j := 0; i > 0 && j < rows; j++ {
			a, b, c, d := last[j], row[j], last[j+1], row[j+1]
			sum += b.Sub(a).Cross(c.Sub(a)).Norm()/2 + c.Sub(d).Cross(b.Sub(d)).Norm()/2
		}
		last = row
	}
	return sum
}

// trueWidth is the width of the strip at a part of its length, at a height.
func trueWidth(s surface, c seam, half, height, part float64) float64 {
	const rows = 16
	p, along, axis := c.at(c.length * part)
	at := func(j int) r3.Vector {
		q := s.nearest(p.Add(axis.Cross(along).Mul(half - 2*half*float64(j)/rows)))
		return q.Add(s.normal(q).Mul(height))
	}
	sum := 0.0
	for j := range rows {
		sum += at(j + 1).Sub(at(j)).Norm()
	}
	return sum
}

// worst keeps the greatest errors of many strips.
type worst struct{ length, width, centre, area, gap float64 }

func (w *worst) take(f flange.Flange, truth *curve.Line, width func(part float64) float64, area, gap float64) (one worst) {
	one.length = math.Abs(f.Length/truth.Length() - 1)
	for _, s := range f.Line {
		at, d := truth.Nearest(s.Point)
		one.centre = math.Max(one.centre, d)
		one.width = math.Max(one.width, math.Abs(s.Left+s.Right-width(at/truth.Length())))
	}
	if !f.Closed {
		line := curve.New(points(f), false)
		for _, p := range []r3.Vector{truth.At(0), truth.At(truth.Length())} {
			_, d := line.Nearest(p)
			one.centre = math.Max(one.centre, d)
		}
	}
	one.area = math.Abs(f.Area/area - 1)
	one.gap = math.Abs(f.Gap.Mean - gap)
	w.length, w.width, w.centre = math.Max(w.length, one.length), math.Max(w.width, one.width), math.Max(w.centre, one.centre)
	w.area, w.gap = math.Max(w.area, one.area), math.Max(w.gap, one.gap)
	return one
}

// narrowest says where a strip is narrowest.
func narrowest(f flange.Flange) string {
	least := f.Line[0]
	for _, s := range f.Line {
		if s.Left+s.Right < least.Left+least.Right {
			least = s
		}
	}
	return fmt.Sprintf("at %.1f of %.1f: %.2f (%s) and %.2f (%s)", least.S, f.Length, least.Left, least.LeftEdge, least.Right, least.RightEdge)
}

func points(f flange.Flange) []r3.Vector {
	var out []r3.Vector
	for _, s := range f.Line {
		out = append(out, s.Point)
	}
	return out
}

func (w worst) String() string {
	return fmt.Sprintf("length %.3f %%, width %.3f mm, centre %.3f mm, area %.3f %%, gap %.3f mm", 100*w.length, w.width, w.centre,
		100*w.area, w.gap)
}

// Straight, round, spiral, S-curved and helical flanges on every surface, from edges of 0.5 to 40 mm, shaken, at
// gaps of 0 to 1 mm. The radii grow with the edges, so that a chord leaves its arc by no more than 0.1 mm.
func TestFlangesOnSurfaces(t *testing.T) {
	const ta, tb, half = 0.9, 1.2, 8.
	for _, test := range []struct{ pitch, length, radius, noise float64 }{
		{0.5, 60, 60, 0.02}, {1, 90, 60, 0.02}, {2, 120, 80, 0.02}, {6, 240, 160, 0.02}, {15, 600, 900, 0.02}, {40, 900, 5000, 0.02},
		{4, 150, 100, 0},
	} {
		for i, shape := range []func(float64) surface{planeSurface, cylinderSurface, sphereSurface, saddleSurface} {
			s := shape(2 * test.radius)
			var all worst
			for k, plan := range plans {
				if plan.closed && (test.pitch > 10 || test.pitch < 1) {
					continue // a ring of such a radius is many metres round, or of 200,000 triangles
				}
				if test.pitch < 1 && (k+i)%2 == 1 {
					continue // half of them, for the time that they take
				}
				t.Run(fmt.Sprintf("%s on a %s, edges %g", plan.name, s.name, test.pitch), func(t *testing.T) {
					gap := []float64{0, 0.25, 0.5, 0.75, 1}[k]
					c := on(s, func(u float64) (float64, float64) { return plan.at(u, test.length, test.radius) }, plan.closed)
					rng := rand.New(rand.NewPCG(1, uint64(k)))
					a := form(s, c, half, (ta+tb)/2+gap, 1, test.pitch, rng)
					b := form(s, c, half, 0, -1, test.pitch*1.31, rng)
					shake(a, test.noise, rng)
					shake(b, test.noise, rng)
					found := find(t, flange.Options{GapLimit: 1.2}, flange.Sheet{Name: "a", Mesh: a, Thickness: ta}, flange.Sheet{Name: "b", Mesh: b,
						Thickness: tb})
					if len(found.Flanges) != 1 {
						for _, f := range found.Flanges {
							t.Logf("length %.1f of %.1f, width %+v, gap %+v, closed %v", f.Length, c.length, f.Width, f.Gap, f.Closed)
						}
						t.Fatalf("%d flanges, want 1", len(found.Flanges))
					}
					f := found.Flanges[0]
					height := tb/2 + gap/2
					width := func(part float64) float64 { return trueWidth(s, c, half, height, part) }
					one := all.take(f, trueLine(c, 0, c.length, height), width, trueArea(s, c, half, height), gap)
					if one.length > 0.003 || one.width > 0.2 || one.centre > 0.3 || one.area > 0.005 || one.gap > 0.05 || f.Closed != plan.closed {
						t.Errorf("%s; width %+v, narrowest %s", one, f.Width, narrowest(f))
					}
				})
			}
			t.Logf("worst on a %s, edges %g mm, noise %g mm: %s", s.name, test.pitch, test.noise, all)
		}
	}
}

// A ring of half a millimetre's edges, shaken, is held to the same limits.
func TestFineRing(t *testing.T) {
	const ta, tb, half = 0.9, 1.2, 5.
	for _, s := range []surface{planeSurface(0), sphereSurface(80)} {
		c := on(s, func(u float64) (float64, float64) { return plans[1].at(u, 0, 24) }, true)
		rng := rand.New(rand.NewPCG(1, 3))
		a, b := form(s, c, half, (ta+tb)/2, 1, 0.5, rng), form(s, c, half, 0, -1, 0.6, rng)
		shake(a, 0.02, rng)
		shake(b, 0.02, rng)
		f := one(t, sheetOf("a", a, ta), sheetOf("b", b, tb))
		height := tb / 2
		var all worst
		w := all.take(f, trueLine(c, 0, c.length, height), func(part float64) float64 { return trueWidth(s, c, half, height, part) },
			trueArea(s, c, half, height), 0)
		t.Logf("%s: %s", s.name, w)
		if w.length > 0.003 || w.width > 0.2 || w.centre > 0.3 || w.area > 0.005 || w.gap > 0.05 || !f.Closed {
			t.Errorf("on a %s: %s; narrowest %s", s.name, w, narrowest(f))
		}
	}
}
