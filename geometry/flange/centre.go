package flange

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/near"
)

const (
	rounds      = 12   // of moving the line into the middle; 4 to 6 are used on panels
	settled     = 1e-3 // mm: the line is in the middle when no station moves more
	endCosine   = 0.6  // a border that runs more across the strip than this is its end, not its side
	widestTrace = 500. // mm: no flange is wider; stops a trace that goes round a tube
)

// centring moves a rough line into the middle of a strip.
type centring struct {
	f      *finder
	r      *region
	tree   *near.Tree
	closed bool
	step   float64
	width  float64 // rough width of the strip
}

// section is a cut across the strip at one station.
type section struct {
	at            place
	along, across r3.Vector
	normal        r3.Vector
	left, right   trace
	leftSide      bool // the left trace ends at a side of the strip rather than at its end
	rightSide     bool
}

// run returns the stations' sections along the middle of the strip, equally spaced, the ends included.
func (c *centring) run(points []r3.Vector) []section {
	var sections []section
	if n := len(points); !c.closed && n >= 4 {
		points = points[1 : n-1] // the bands at the ends lie askew
	}
	for round := range rounds {
		line := curve.New(points, c.closed)
		if !(line.Length() > 0) {
			points = c.stretched(points)
			if line = curve.New(points, c.closed); !(line.Length() > 0) {
				return nil
			}
		}
		sections = c.sections(line)
		c.quieten(sections)
		moved := c.center(sections, line.Length())
		points = points[:0:0]
		for _, s := range sections {
			points = append(points, s.at.point)
		}
		c.unfold(points)
		if !c.closed {
			points = c.reachEnds(points, round < 3)
		}
		if moved < settled {
			break
		}
	}
	line := curve.New(points, c.closed)
	sections = c.sections(line)
	c.quieten(sections)
	if !c.closed {
		c.fillEnds(sections)
	}
	return sections
}

// stretched turns a single point, or several at one place, into a short line along the region's longest extent.
func (c *centring) stretched(points []r3.Vector) []r3.Vector {
	at, far := points[0], points[0]
	for _, v := range c.r.mesh.Vertices {
		if v.Sub(at).Norm2() > far.Sub(at).Norm2() {
			far = v
		}
	}
	half := far.Sub(at).Mul(0.25)
	return []r3.Vector{at.Sub(half), at.Add(half)}
}

// sections cuts the strip at equally spaced places of the line.
func (c *centring) sections(line *curve.Line) []section {
	length := line.Length()
	n := max(2, int(math.Ceil(length/c.step)))
	count := n + 1
	if c.closed {
		n = max(8, n)
		count = n
	}
	out := make([]section, 0, count)
	for i := range count {
		s := length * float64(i) / float64(n)
		out = append(out, c.section(line, s))
	}
	return out
}

func (c *centring) section(line *curve.Line, s float64) section {
	p := line.At(s)
	hit, _ := c.tree.Closest(p, math.Inf(1))
	at := place{hit.Point, hit.Tri}
	normal := c.r.normalAt(at)
	along := c.tangent(line, s)
	along = along.Sub(normal.Mul(along.Dot(normal))).Normalize()
	across := normal.Cross(along)
	sec := section{at: at, along: along, across: across, normal: normal}
	sec.left = c.r.trace(at, along, across, widestTrace)
	sec.right = c.r.trace(at, along, across.Mul(-1), widestTrace)
	sec.leftSide = c.isSide(sec.left, along)
	sec.rightSide = c.isSide(sec.right, along)
	return sec
}

// tangent is the direction between two places of the line half a width apart: the line's own segments are
// rougher than the strip.
func (c *centring) tangent(line *curve.Line, s float64) r3.Vector {
	reach := math.Max(c.step, c.width/4)
	a, b := s-reach, s+reach
	if !c.closed {
		a, b = math.Max(0, a), math.Min(line.Length(), b)
	}
	return line.At(b).Sub(line.At(a))
}

// quieten takes the roughness of a noisy mesh off the sides that end at a bend: there the length of a trace is
// the median of those of the stations about it. Free edges keep their notches.
func (c *centring) quieten(sections []section) {
	for _, side := range [2]func(s *section) *trace{
		func(s *section) *trace { return &s.left }, func(s *section) *trace { return &s.right },
	} {
		lengths := make([]float64, len(sections))
		for i := range sections {
			lengths[i] = math.NaN()
			t := side(&sections[i])
			if t.ok && c.isSide(*t, sections[i].along) && c.f.edgeEnd(c.r, t.edge[0], t.edge[1]).why == Bend {
				lengths[i] = t.length
			}
		}
		for i := range sections {
			if window := c.about(lengths, i); !math.IsNaN(lengths[i]) && len(window) >= 3 {
				side(&sections[i]).length = median(window)
			}
		}
	}
}

// quietReach is how many stations to both sides say how wide a strip is at a bend.
const quietReach = 6

// about is the known lengths of station i and of those near it.
func (c *centring) about(lengths []float64, i int) []float64 {
	var out []float64
	for k := i - quietReach; k <= i+quietReach; k++ {
		at := k
		if c.closed {
			at = (k + len(lengths)) % len(lengths)
		}
		if at >= 0 && at < len(lengths) && !math.IsNaN(lengths[at]) {
			out = append(out, lengths[at])
		}
	}
	return out
}

// median of an even number is the mean of the two in the middle.
func median(x []float64) float64 {
	slices.Sort(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

func (c *centring) isSide(t trace, along r3.Vector) bool {
	if !t.ok {
		return false
	}
	d := c.r.mesh.Vertices[t.edge[1]].Sub(c.r.mesh.Vertices[t.edge[0]])
	return math.Abs(d.Dot(along)) >= endCosine*d.Norm()
}

// center moves every station to the middle of its section and returns the greatest move. Where one side
// is cut off by the strip's end, the other side and the width of the nearest whole section decide.
func (c *centring) center(sections []section, length float64) float64 {
	moved, width := 0.0, usualWidth(sections)
	for i := range sections {
		s := &sections[i]
		end := c.nearEnd(i, len(sections), length)
		if !end && runsIntoLeg(sections, i, width) {
			s.at.point = sections[i-1].at.point.Add(sections[i+1].at.point).Mul(0.5)
			continue
		}
		shift := 0.0 // to the left
		switch {
		case s.leftSide && s.rightSide:
			shift = (s.left.length - s.right.length) / 2
		case s.leftSide:
			if half, ok := halfWidth(sections, i); ok {
				shift = s.left.length - half
			}
		case s.rightSide:
			if half, ok := halfWidth(sections, i); ok {
				shift = half - s.right.length
			}
		}
		if !end {
			shift = math.Max(-width/3, math.Min(shift, width/3)) // more than that is another leg
		}
		if shift > 0 {
			s.at = s.left.along(shift)
		} else if shift < 0 {
			s.at = s.right.along(-shift)
		}
		if !end {
			moved = math.Max(moved, math.Abs(shift))
		}
	}
	return moved
}

// unfold lets points at which the line turns back or sharply go half way between their neighbours: the moves of
// stations on both sides of a sharp corner may cross.
func (c *centring) unfold(points []r3.Vector) {
	const passes, sharp = 8, 0.7
	for range passes {
		turned := false
		for i := 1; i+1 < len(points); i++ {
			if c.nearEnd(i, len(points), c.step*float64(len(points)-1)) {
				continue
			}
			a, b := points[i].Sub(points[i-1]), points[i+1].Sub(points[i])
			if a.Dot(b) < sharp*a.Norm()*b.Norm() {
				points[i], turned = points[i-1].Add(points[i+1]).Mul(0.5), true
			}
		}
		if !turned {
			return
		}
	}
}

// legWidths is how many times wider than the strip a section is that runs on into the other leg of a sharp corner.
const legWidths = 1.7

// runsIntoLeg says whether station i, which is not the first or the last, lies so near to a sharp corner that its
// section says nothing about the strip's middle: it then goes half way between its neighbours.
func runsIntoLeg(sections []section, i int, width float64) bool {
	s := &sections[i]
	return i > 0 && i+1 < len(sections) && s.left.length+s.right.length > legWidths*width
}

// usualWidth is the median width of the sections that reach both sides, or infinite when none does.
func usualWidth(sections []section) float64 {
	var widths []float64
	for _, s := range sections {
		if s.leftSide && s.rightSide {
			widths = append(widths, s.left.length+s.right.length)
		}
	}
	if len(widths) == 0 {
		return math.Inf(1)
	}
	return median(widths)
}

func (c *centring) nearEnd(i, n int, length float64) bool {
	at := float64(i) / float64(n-1) * length
	return !c.closed && (at < c.width || at > length-c.width)
}

// halfWidth is half the width of the whole section nearest to station i.
func halfWidth(sections []section, i int) (float64, bool) {
	for d := 1; d < len(sections); d++ {
		for _, k := range [2]int{i - d, i + d} {
			if k >= 0 && k < len(sections) && sections[k].leftSide && sections[k].rightSide {
				return (sections[k].left.length + sections[k].right.length) / 2, true
			}
		}
	}
	return 0, false
}

// reachEnds drops the stations at the very ends and lets the line run straight on to the strip's border.
// While the line is rough that is half a width at each end, so that an end that set off askew comes right.
func (c *centring) reachEnds(points []r3.Vector, rough bool) []r3.Vector {
	drop := 1
	if rough {
		drop = int(c.width / 2 / c.step)
	}
	if drop = max(1, drop); len(points) > 2*drop+3 {
		points = points[drop : len(points)-drop]
	} else if len(points) > 3 {
		points = points[1 : len(points)-1]
	}
	back := max(1, int(c.width/2/c.step))
	back = min(back, len(points)-1)
	head, okHead := c.runOn(points[0], points[0].Sub(points[back]))
	tail, okTail := c.runOn(points[len(points)-1], points[len(points)-1].Sub(points[len(points)-1-back]))
	if okHead {
		points = append([]r3.Vector{head}, points...)
	}
	if okTail {
		points = append(points, tail)
	}
	return points
}

// runOn goes on from p along the surface in a direction until the border.
func (c *centring) runOn(p, dir r3.Vector) (r3.Vector, bool) {
	hit, _ := c.tree.Closest(p, math.Inf(1))
	at := place{hit.Point, hit.Tri}
	normal := c.r.normalAt(at)
	dir = dir.Sub(normal.Mul(dir.Dot(normal))).Normalize()
	t := c.r.trace(at, normal.Cross(dir), dir, widestTrace)
	if !t.ok || t.length < 1e-6 {
		return p, false
	}
	return t.path[len(t.path)-1].point, true
}

// fillEnds gives stations whose section is cut off by the strip's end the widths of the nearest whole one.
func (c *centring) fillEnds(sections []section) {
	for i := range sections {
		s := &sections[i]
		if s.leftSide && s.rightSide {
			continue
		}
		if half, ok := halfWidth(sections, i); ok {
			s.left.length, s.right.length = half, half
			if k := nearestWhole(sections, i); k >= 0 {
				s.left.edge, s.right.edge = sections[k].left.edge, sections[k].right.edge
				s.left.ok, s.right.ok = true, true
			}
		}
	}
}

func nearestWhole(sections []section, i int) int {
	for d := 1; d < len(sections); d++ {
		for _, k := range [2]int{i - d, i + d} {
			if k >= 0 && k < len(sections) && sections[k].leftSide && sections[k].rightSide {
				return k
			}
		}
	}
	return -1
}
