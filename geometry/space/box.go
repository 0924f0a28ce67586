// Package space holds what golang/geo leaves out of three-dimensional work: axis-aligned boxes,
// rigid placements and units of length.
//
//	inch, _ := space.ParseUnit("inch")
//	b := space.EmptyBox().Add(r3.Vector{X: inch.Millimetres()})
package space

import (
	"math"

	"github.com/golang/geo/r3"
)

// Box is an axis-aligned box in millimetres. Its zero value holds the origin; start from EmptyBox.
type Box struct {
	Min, Max r3.Vector
}

// EmptyBox holds nothing; adding a point to it gives that point's box.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{r3.Vector{X: inf, Y: inf, Z: inf}, r3.Vector{X: -inf, Y: -inf, Z: -inf}}
}

// IsEmpty reports whether the box holds no point.
func (b Box) IsEmpty() bool {
	return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y || b.Min.Z > b.Max.Z
}

// Add returns the least box that holds b and p.
func (b Box) Add(p r3.Vector) Box {
	return Box{
		r3.Vector{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y), Z: min(b.Min.Z, p.Z)},
		r3.Vector{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y), Z: max(b.Max.Z, p.Z)},
	}
}

// Hold widens the box to hold p, too. It is Add for coordinates that are numbers, in place: its plain comparisons take a third of the time
// of those that mind what is not a number and the sign of zero.
func (b *Box) Hold(p r3.Vector) {
	if p.X < b.Min.X {
		b.Min.X = p.X
	}
	if p.X > b.Max.X {
		b.Max.X = p.X
	}
	if p.Y < b.Min.Y {
		b.Min.Y = p.Y
	}
	if p.Y > b.Max.Y {
		b.Max.Y = p.Y
	}
	if p.Z < b.Min.Z {
		b.Min.Z = p.Z
	}
	if p.Z > b.Max.Z {
		b.Max.Z = p.Z
	}
}

// BoxOf returns the least box that holds three points whose coordinates are numbers.
func BoxOf(p, q, r r3.Vector) Box {
	x, xx := ends(p.X, q.X, r.X)
	y, yy := ends(p.Y, q.Y, r.Y)
	z, zz := ends(p.Z, q.Z, r.Z)
	return Box{r3.Vector{X: x, Y: y, Z: z}, r3.Vector{X: xx, Y: yy, Z: zz}}
}

// ends are the least and the greatest of three numbers; of a zero and a minus zero the first.
func ends(a, b, c float64) (low, high float64) {
	low, high = a, a
	if b < low {
		low = b
	}
	if b > high {
		high = b
	}
	if c < low {
		low = c
	}
	if c > high {
		high = c
	}
	return low, high
}

// Union returns the least box that holds both.
func (b Box) Union(c Box) Box {
	return Box{
		r3.Vector{X: min(b.Min.X, c.Min.X), Y: min(b.Min.Y, c.Min.Y), Z: min(b.Min.Z, c.Min.Z)},
		r3.Vector{X: max(b.Max.X, c.Max.X), Y: max(b.Max.Y, c.Max.Y), Z: max(b.Max.Z, c.Max.Z)},
	}
}

// Grow returns the box with every face moved out by d.
func (b Box) Grow(d float64) Box {
	v := r3.Vector{X: d, Y: d, Z: d}
	return Box{b.Min.Sub(v), b.Max.Add(v)}
}

// Overlaps reports whether the two boxes share a point; touching counts.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X &&
		b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y &&
		b.Min.Z <= c.Max.Z && c.Min.Z <= b.Max.Z
}

// Distance2 is the squared distance from p to the box, zero inside.
func (b Box) Distance2(p r3.Vector) float64 {
	x := max(0, max(b.Min.X-p.X, p.X-b.Max.X))
	y := max(0, max(b.Min.Y-p.Y, p.Y-b.Max.Y))
	z := max(0, max(b.Min.Z-p.Z, p.Z-b.Max.Z))
	return float64(x*x) + float64(y*y) + float64(z*z)
}

// Size is the box's extent along each axis; zero for an empty box.
func (b Box) Size() r3.Vector {
	if b.IsEmpty() {
		return r3.Vector{}
	}
	return b.Max.Sub(b.Min)
}

// Center is the middle of the box; not a number for an empty box.
func (b Box) Center() r3.Vector { return b.Min.Add(b.Max).Mul(0.5) }
