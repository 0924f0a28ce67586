package flange

import (
	"math"

	"seamwright/geometry/curve"
)

// Sections lie a step apart and pass the tip of a dart by. So the least width is measured at the corners of the border too that
// stand nearer to the line than its sections say.
const (
	nearerCorner = 0.1 // mm
	offEnds      = 0.5 // mm from the ends of a line within which corners are those of the strip
)

// leastAtCorners is the least width of the strip at corners of its border; infinite where its sections tell it.
func (c *centring) leastAtCorners(fl *Flange, kept []section, loops [][]int32) float64 {
	least := math.Inf(1)
	line := curve.New(places(kept), c.closed)
	if n := len(kept); n < 3 || !(line.Length() > 2*offEnds) {
		return least
	}
	steps := len(kept) - 1 + boolean(c.closed)
	for _, loop := range loops {
		for _, v := range loop {
			p := c.r.mesh.Vertices[v]
			s, _ := line.Nearest(p)
			if !c.closed && (s < offEnds || s > line.Length()-offEnds) {
				continue
			}
			i := min(int(s/line.Length()*float64(steps)), steps-1)
			a, b := &kept[i], &kept[(i+1)%len(kept)]
			d := p.Sub(line.At(s))
			off := d.Dot(a.across)
			left, right := min(a.left.length, b.left.length), min(a.right.length, b.right.length)
			if off >= 0 && off > left-nearerCorner || off < 0 && -off > right-nearerCorner || math.Abs(d.Dot(a.normal)) > steepRise*math.Abs(off) {
				continue
			}
			at := []section{c.section(line, s)}
			if c.shorten(at); !at[0].left.ok || !at[0].right.ok {
				continue
			}
			if a.left.parts { // a bend ends it before its trace does
				at[0].left.length = left
			}
			if a.right.parts {
				at[0].right.length = right
			}
			stretch := (fl.Line[i].Left + fl.Line[i].Right) / max(a.left.length+a.right.length, rounding) // of the faying surface
			least = min(least, (at[0].left.length+at[0].right.length)*stretch)
		}
	}
	return least
}
