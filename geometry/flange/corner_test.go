package flange_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/mesh"
)

// corner runs straight, round an arc of a radius to the left by an angle in degrees, and straight on.
func corner(leg, radius, angle float64) seam {
	turn := angle * math.Pi / 180
	return seam{length: 2*leg + radius*turn, at: func(s float64) (r3.Vector, r3.Vector, r3.Vector) {
		up := vec(0, 0, 1)
		if s < leg {
			return vec(s-leg, 0, 0), vec(1, 0, 0), up
		}
		a := math.Min((s-leg)/radius, turn)
		sin, cos := math.Sincos(a)
		rest := math.Max(0, s-leg-radius*turn)
		return vec(radius*sin+rest*cos, radius*(1-cos)+rest*sin, 0), vec(cos, sin, 0), up
	}}
}

// Round a tight corner the line keeps to the middle, with the bend outside or inside.
func TestTightCorner(t *testing.T) {
	for _, radius := range []float64{18, 20, 22, 30} {
		for _, angle := range []float64{55, 60, 90} {
			for _, side := range []float64{1, -1} {
				t.Run(fmt.Sprintf("radius %g, %g degrees, bend %g", radius, angle, side), func(t *testing.T) {
					wall := func(height, up float64, rows int) profile {
						var p profile
						for i := 0; i <= rows; i++ {
							p = append(p, [2]float64{side * (8 - 16*float64(i)/float64(rows)), height})
						}
						return append(p, [2]float64{-8 * side, height + up*12}, [2]float64{-8 * side, height + up*24})
					}
					c, rng := corner(120, radius, angle), rand.New(rand.NewPCG(uint64(radius), uint64(angle)))
					f := one(t, sheetOf("a", sweep(c, wall(1, 1, 8), 2, rng), 1), sheetOf("b", sweep(c, wall(0, -1, 6), 2.5, rng), 1))
					truth := trueLine(c, 0, c.length, 0.5)
					for _, s := range f.Line {
						if _, d := truth.Nearest(s.Point); d > 0.3 || !(math.Abs(s.Left+s.Right-16) <= 0.2) {
							t.Fatalf("at %.1f the line lies %.2f mm beside the middle, %.2f and %.2f mm wide", s.S, d, s.Left, s.Right)
						}
					}
				})
			}
		}
	}
}

// A U with sharp corners on a curved panel, free on both sides: the line comes near to both corners.
func TestSharpCornersOfU(t *testing.T) {
	const radius = 800.
	onto := func(m *mesh.Mesh, height float64) *mesh.Mesh {
		for i, v := range m.Vertices {
			sin, cos := math.Sincos(v.X / radius)
			m.Vertices[i] = vec((radius+height)*sin, v.Y, (radius+height)*cos)
		}
		return m
	}
	steps := func(from, to, step float64) (out []float64) {
		for x := from; x < to+step/2; x += step {
			out = append(out, x)
		}
		return out
	}
	for _, cell := range []float64{4, 2, 8} {
		u := rectangles(steps(0, 304, cell), steps(0, 200, cell), func(x, y float64) bool { return y < 16 || x < 16 || x > 288 })
		panel := rectangles(steps(-60, 370, 5), steps(-60, 260, 5), func(x, y float64) bool { return true })
		f := one(t, sheetOf("u", onto(u, 1), 1), sheetOf("panel", onto(panel, 0), 1))
		line := curve.New(points(f), false)
		for _, x := range []float64{8, 296} {
			sin, cos := math.Sincos(x / radius)
			if _, d := line.Nearest(vec((radius+0.5)*sin, 8, (radius+0.5)*cos)); d > 4 {
				t.Errorf("cells of %g: the line passes the corner at x = %g by %.2f mm", cell, x, d)
			}
		}
	}
}
