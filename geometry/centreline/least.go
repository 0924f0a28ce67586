package centreline

import (
	"math"

	"seamwright/geometry/curve"
	"seamwright/geometry/kit"
)

// Sections lie a step apart and pass the tip of a dart by. So the least width is measured at the corners of the border too that
// stand nearer to the line than its sections say.
const (
	nearerCorner = 0.1 // mm
	offEnds      = 0.5 // mm from the ends of a line within which corners are those of the strip
)

// LeastAtCorners is the least width of the strip at corners of its border; infinite where its sections tell it.
func (c *Line) LeastAtCorners(widths []float64, kept []Section, loops [][]int32) float64 {
	least := math.Inf(1)
	line := curve.New(places(kept), c.Closed)
	if n := len(kept); n < 3 || !(line.Length() > 2*offEnds) {
		return least
	}
	steps := len(kept) - 1 + kit.CountIf(c.Closed)
	for _, loop := range loops {
		for _, v := range loop {
			p := c.r.Mesh.Vertices[v]
			s, _ := line.Nearest(p)
			if !c.Closed && (s < offEnds || s > line.Length()-offEnds) {
				continue
			}
			i := min(int(s/line.Length()*float64(steps)), steps-1)
			a, b := &kept[i], &kept[(i+1)%len(kept)]
			d := p.Sub(line.At(s))
			off := d.Dot(a.Across)
			left, right := min(a.Left.Length+a.metal, b.Left.Length+b.metal), min(a.Right.Length-a.metal, b.Right.Length-b.metal)
			if off >= 0 && off > left-nearerCorner || off < 0 && -off > right-nearerCorner || math.Abs(d.Dot(a.Normal)) > steepRise*math.Abs(off) {
				continue
			}
			at := []Section{c.section(line, s, c.standsAt(line, s))}
			if c.shorten(at); !at[0].Left.Ok || !at[0].Right.Ok {
				continue
			}
			at[0].setOffFrom(off)
			if a.Left.Parts { // a bend ends it before its trace does
				at[0].Left.Length = left
			}
			if a.Right.Parts {
				at[0].Right.Length = right
			}
			stretch := widths[i] / max(a.Left.Length+a.Right.Length, kit.Rounding) // of the faying surface
			least = min(least, (at[0].Left.Length+at[0].Right.Length)*stretch)
		}
	}
	return least
}

// setOffFrom sets the traces off from a corner so far to the left of the line, instead of from the metal beside a place over a slot, where
// that was found before the corner: beside a dart's flank, close to its tip.
func (s *Section) setOffFrom(corner float64) {
	if !s.over || corner*s.metal <= 0 || math.Abs(corner) <= math.Abs(s.metal) {
		return
	}
	if corner > 0 {
		s.Left.Length, s.Right.Length = max(0, s.Left.Length+s.metal-corner), 0
	} else {
		s.Left.Length, s.Right.Length = 0, max(0, s.Right.Length-s.metal+corner)
	}
}
