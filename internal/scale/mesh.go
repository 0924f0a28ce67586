package main

import (
	"encoding/binary"
	"math"
)

type vec [3]float64

// place turns a place of a tray, x round the axis, y along it, z outward, to where the tray stands.
func (h *hull) place(i, band int, x, y, z float64) vec {
	sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(h.around))
	q := h.out + z
	return vec{(float64(band)+.5)*edge + y, cos*q - sin*x, sin*q + cos*x + h.out + 500}
}

// base is a corner of the squares of the tray's crowned bottom.
func (h *hull) base(a, b int) (x, y, z float64) {
	u, v := 2*float64(a)/float64(h.side)-1, 2*float64(b)/float64(h.side)-1
	return u * h.x.from, v * h.y.from, crown * (1 - u*u) * (1 - u*u) * (1 - v*v) * (1 - v*v)
}

// mesh is a tray as a binary STL file.
func (h *hull) mesh(i, band int) []byte {
	n := h.side
	out := make([]byte, 84, 84+50*(2*n*n+8*n*rows))
	binary.LittleEndian.PutUint32(out[80:], uint32(cap(out)-84)/50)
	triangle := func(a, b, c vec) {
		out = append(out, make([]byte, 12)...)
		for _, p := range [3]vec{a, b, c} {
			for _, v := range p {
				out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(v)))
			}
		}
		out = append(out, 0, 0)
	}
	square := func(at func(a, b int) vec, a, b int, turned bool) {
		p, q, r, s := at(a, b), at(a+1, b), at(a+1, b+1), at(a, b+1)
		if turned {
			q, s = s, q
		}
		triangle(p, q, r)
		triangle(p, r, s)
	}
	for a := range n {
		for b := range n {
			square(func(a, b int) vec {
				x, y, z := h.base(a, b)
				return h.place(i, band, x, y, z)
			}, a, b, false)
		}
	}
	for _, sign := range []float64{1, -1} {
		ends := func(a, row int) vec {
			x, z := h.x.at(row)
			_, y, _ := h.base(0, a)
			return h.place(i, band, sign*x, y, z)
		}
		sides := func(a, row int) vec {
			y, z := h.y.at(row)
			x, _, _ := h.base(a, 0)
			return h.place(i, band, x, sign*y, z)
		}
		for a := range n {
			for row := range rows {
				square(ends, a, row, sign > 0)
				square(sides, a, row, sign < 0)
			}
		}
	}
	return out
}
