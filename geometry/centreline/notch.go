package centreline

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/dip"
)

// Notch is a place where a side of a strip is set back so steeply and shortly that the weld line runs straight past.
type Notch struct {
	From, To float64   // mm along the weld line
	Depth    float64   // mm from where the side would run without it
	Left     bool      // on the left side, rather than on the right
	Center   r3.Vector // amid its corners
}

// atMouth is the depth, in mm, from which to which a notch is wide: more than a side bows across a slot.
const atMouth = 0.2

// Notches lists the notches in the strip's sides. Where they are is told from the points, how large from the
// corners of the border.
func (c *Line) Notches(loops [][]int32) []Notch {
	line := curve.New(places(c.Sections), c.Closed)
	if len(c.Sections) < 2 || !(line.Length() > 0) {
		return nil
	}
	left, right := c.lengths(c.Sections)
	var out []Notch
	for _, side := range []struct {
		is, across []float64
		sign       float64
	}{{left, right, 1}, {right, left, -1}} {
		would := c.side().Bridge(side.is, c.across(c.Sections, side.across, side.sign < 0))
		var corners []corner
		for i := 0; i < len(would); i++ {
			if !(would[i] > side.is[i]+dip.Rim) && !(math.IsNaN(side.is[i]) && !math.IsNaN(would[i])) {
				continue
			}
			from := i
			for i < len(would) && (would[i] > side.is[i]+dip.Rim || math.IsNaN(side.is[i]) && !math.IsNaN(would[i])) {
				i++
			}
			dip.Straighten(would, side.is, from, i)
			if corners == nil {
				corners = c.corners(line, loops, side.sign)
			}
			if n, ok := c.notch(line, corners, would, c.side().Bridge(side.across, c.across(c.Sections, side.is, side.sign > 0)), from, i-1); ok {
				n.Left = side.sign > 0
				out = append(out, n)
			}
		}
	}
	return out
}

// corner is a vertex of the border, in terms of the line.
type corner struct {
	p      r3.Vector
	s, off float64 // along the line, and beside it on the side that is looked at
	first  bool    // no corner comes before it on its loop
}

func (c *Line) corners(line *curve.Line, loops [][]int32, sign float64) []corner {
	var out []corner
	n, steps := len(c.Sections), c.count
	if steps == 0 {
		steps = c.steps(line.Length())
	}
	for _, loop := range loops {
		for k := range len(loop) + 1 {
			p := c.r.Mesh.Vertices[loop[k%len(loop)]]
			s, _ := line.Nearest(p)
			at := int(s/line.Length()*float64(steps) + 0.5)
			out = append(out, corner{p, s, p.Sub(line.At(s)).Dot(c.Sections[at%n].Across) * sign, k == 0})
		}
	}
	return out
}

// notch measures the notch about the points from to to, in a side that would run at a distance from the line; the
// other side runs across it.
func (c *Line) notch(line *curve.Line, corners []corner, would, across []float64, from, to int) (Notch, bool) {
	step := line.Length() / float64(max(1, c.count))
	low, high := float64(from-1)*step, float64(to+1)*step
	value := func(x []float64, s float64) float64 {
		i := min(max(int(s/step), 0), len(x)-1)
		j := min(i+1, len(x)-1)
		part := s/step - float64(i)
		return x[i]*(1-part) + x[j]*part
	}
	rim := func(s float64) float64 { return value(would, s) }
	isOn := func(p corner) bool { // this side of the strip, though the notch may reach over the line
		beyond := value(across, p.s)
		if math.IsNaN(beyond) {
			beyond = c.width / 2
		}
		return p.off >= 0 || p.off > dip.Shallow-beyond
	}
	n := Notch{From: math.Inf(1), To: math.Inf(-1)}
	sum, count := r3.Vector{}, 0.0
	for i, at := range corners {
		if at.first || !isOn(at) {
			continue
		}
		before := corners[i-1]
		if max(at.s, before.s) < low-step || min(at.s, before.s) > high+step {
			continue
		}
		a, b := rim(before.s)-before.off, rim(at.s)-at.off
		if isOn(before) && (a > atMouth) != (b > atMouth) {
			s := before.s + (at.s-before.s)*(atMouth-a)/(b-a)
			n.From, n.To = math.Min(n.From, s), math.Max(n.To, s)
		}
		if b > dip.Rim && at.s >= low-step && at.s <= high+step {
			n.Depth = math.Max(n.Depth, b)
			sum, count = sum.Add(at.p), count+1
		}
	}
	if !(n.From < n.To) || n.Depth < dip.Shallow {
		return n, false
	}
	n.Center = sum.Mul(1 / count)
	return n, true
}
