package flange

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// quieten takes the roughness of a noisy mesh off the sides that end at a bend: there the length of a trace is
// the median of those of the points about it, unless the line itself swerves. Free edges keep their notches.
func (c *centring) quieten(sections []section) {
	left, right := c.lengths(sections)
	for _, side := range [2]struct {
		of      func(s *section) *trace
		is      []float64
		across  []float64
		lengths []float64
	}{
		{func(s *section) *trace { return &s.left }, left, right, make([]float64, len(left))},
		{func(s *section) *trace { return &s.right }, right, left, make([]float64, len(left))},
	} {
		for i := range sections {
			side.lengths[i] = math.NaN()
			if t := side.of(&sections[i]); !math.IsNaN(side.is[i]) && !sections[i].over && c.f.edgeEnd(c.r, t.edge[0], t.edge[1]).why == Bend {
				side.lengths[i] = t.length
			}
		}
		for i, length := range side.lengths {
			if math.IsNaN(length) {
				continue
			}
			window := c.about(side.lengths, i)
			if len(window) < 3 {
				continue
			}
			usual := median(window)
			if math.Abs(length-usual) <= shallow || !swerves(length-usual, side.across[i]-c.usual(side.across, i)) {
				side.of(&sections[i]).length = usual
			}
		}
	}
}

// swerves says whether a side is nearer by as much as the one across is farther away: then it is the line that is not
// where it should be.
func swerves(more, across float64) bool {
	return math.Abs(more+across) < float64(alikeDips*math.Max(math.Abs(more), math.Abs(across)))
}

// usual is the median of the known lengths about point i.
func (c *centring) usual(lengths []float64, i int) float64 {
	if about := c.about(lengths, i); len(about) > 0 {
		return median(about)
	}
	return math.NaN()
}

// quietReach is how many points to both sides say how wide a strip is at a bend.
const quietReach = 6

// about is the known lengths of point i and of those near it.
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
	d := c.rim.direction(t.edge)
	return math.Abs(d.Dot(along)) >= endCosine*d.Norm()
}

// legWidths is how many times wider than the strip a section is that runs on into the other leg of a sharp corner.
const legWidths = 1.7

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

// reaches are how far the strip reaches to the left and to the right of every point, as far as the line minds:
// notches and tabs that it runs straight past are levelled. Not a number where a section does not end at a side.
//
// A notch on one side with as large a tab across it is neither: there it is the line that swerves, and beside a bend
// nothing else would show it.
func (c *centring) reaches(sections []section) (left, right []float64) {
	left, right = c.lengths(sections)
	l, r := c.level(left), c.level(right)
	for i := range l {
		if l[i] != left[i] && swerves(left[i]-l[i], right[i]-r[i]) && c.isBeside(&sections[i], Bend) {
			l[i], r[i] = left[i], right[i]
		}
	}
	return l, r
}

// isBeside says whether a section ends at something on one side.
func (c *centring) isBeside(s *section, why Edge) bool {
	return c.f.edgeEnd(c.r, s.left.edge[0], s.left.edge[1]).why == why || c.f.edgeEnd(c.r, s.right.edge[0], s.right.edge[1]).why == why
}

// lengths are how far the strip reaches, as measured.
func (c *centring) lengths(sections []section) (left, right []float64) {
	left, right = make([]float64, len(sections)), make([]float64, len(sections))
	for i, s := range sections {
		left[i], right[i] = math.NaN(), math.NaN()
		if s.leftSide {
			left[i] = s.left.length + s.metal
		}
		if s.rightSide {
			right[i] = s.right.length - s.metal
		}
	}
	return left, right
}

const (
	bridgeWidths = 1.25 // half of the longest notch or tab that a line runs straight past, in widths of the strip
	shallow      = 0.5  // mm: the line follows what is less deep
	// of a side against the line: what falls off less is a change of width, not a notch; nor does the line swerve more
	// sharply
	steep     = 0.45
	atRim     = 0.05 // mm of depth at which a notch begins
	alikeDips = 0.3  // of the larger of a notch and a tab across it by which they differ at most if the line swerves
	atMouth   = 0.2  // mm of depth from which to which it is wide: more than a side bows across a slot
)

// level takes notches and tabs off a side.
func (c *centring) level(x []float64) []float64 {
	half := int(bridgeWidths*c.width/c.step + whole)
	return c.ramp(negative(c.bridge(negative(c.bridge(x, half)), half)))
}

// ramp narrows a side before a step in it, so that the line swerves no more sharply than by steep.
func (c *centring) ramp(x []float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range x {
		if out[i] = x[i]; math.IsNaN(x[i]) {
			out[i] = math.Inf(1)
		}
	}
	most, laps := steep*c.step, 1
	if c.closed {
		laps = 2
	}
	for i := 1; i < laps*n; i++ {
		out[i%n] = min(out[i%n], out[(i-1)%n]+most)
	}
	for i := laps*n - 2; i >= 0; i-- {
		out[i%n] = min(out[i%n], out[(i+1)%n]+most)
	}
	for i := range x {
		if math.IsNaN(x[i]) {
			out[i] = x[i]
		}
	}
	return out
}

func negative(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = -x[i]
	}
	return out
}

// bridge fills dips that are no longer than twice half (a closing, Serra, Image Analysis and Mathematical Morphology,
// 1982; from memory) if they begin and end steeply.
func (c *centring) bridge(x []float64, half int) []float64 {
	filled := c.widest(x, half, 1)
	filled = c.widest(filled, half, -1)
	out := slices.Clone(x)
	deep := func(i int) bool { return !(filled[i]-x[i] <= atRim) }
	n := len(x)
	start := 0
	for c.closed && start < n && deep(start) {
		start++
	}
	for i := start; i < start+n; i++ {
		if !deep(i % n) {
			continue
		}
		to := i
		for to < start+n && deep(to%n) {
			to++
		}
		if c.closed && start < n || i > 0 && to < n {
			c.fillDip(out, x, filled, i, to)
		}
		i = to
	}
	return out
}

// fillDip fills points from to to, counted on round a closed line, if they are a notch.
func (c *centring) fillDip(out, x, filled []float64, from, to int) {
	n := len(x)
	depth, fall, rise := 0.0, 0.0, 0.0
	for i := from - 1; i < to; i++ {
		a, b := x[(i+n)%n], x[(i+1)%n]
		if math.IsNaN(filled[(i+n)%n]) || math.IsInf(filled[(i+n)%n], 0) {
			return
		}
		if math.IsNaN(a) || math.IsNaN(b) {
			depth, fall, rise = math.Inf(1), max(fall, float64(boolean(math.IsNaN(b)))), max(rise, float64(boolean(math.IsNaN(a))))
			continue
		}
		depth, fall, rise = max(depth, filled[(i+n)%n]-a), max(fall, (a-b)/c.step), max(rise, (b-a)/c.step)
	}
	if depth < shallow || fall < steep || rise < steep {
		return
	}
	for i := from; i < to; i++ {
		out[i%n] = filled[i%n]
	}
}

func boolean(b bool) int {
	if b {
		return 1
	}
	return 0
}

// widest is the greatest (the least, for a sign of -1) of the known values within half points of each.
func (c *centring) widest(x []float64, half int, sign float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range x {
		best := math.Inf(-1)
		from, to := i-half, i+half
		if !c.closed {
			from, to = max(from, 0), min(to, n-1)
		}
		for k := from; k <= to; k++ {
			at := k
			if c.closed {
				at = ((k % n) + n) % n
			}
			if signed := sign * x[at]; signed > best { // not where it is not a number
				best = signed
			}
		}
		out[i] = sign * best
	}
	return out
}

// trimLegs ends sections that run on into another leg where the strip's side would go on.
func (c *centring) trimLegs(sections []section) {
	width := usualWidth(sections)
	left, right := c.reaches(sections)
	for i := range sections {
		if s := &sections[i]; s.left.length+s.right.length > legWidths*width {
			if left[i] < s.left.length {
				s.left.length = left[i]
			}
			if right[i] < s.right.length {
				s.right.length = right[i]
			}
		}
	}
}

const (
	besideStep = 1e-3 // mm before and after a section
	sideStep   = 0.1  // mm by which a side there must differ to be stepped
)

// shorten takes the shorter of the two lengths of a side where a section runs along a step in it, as at the flank of a
// notch: which of them is measured there, rounding would decide.
func (c *centring) shorten(sections []section) {
	for i := range sections {
		s := &sections[i]
		for _, side := range [2]*trace{&s.left, &s.right} {
			if c.r.isEven(side, s) {
				continue
			}
			dir := s.across
			if side == &s.right {
				dir = dir.Mul(-1)
			}
			from := s.at
			if len(side.path) > 0 {
				from = side.path[0]
			}
			for _, off := range [2]float64{-besideStep, besideStep} {
				hit, _ := c.tree.Closest(from.point.Add(s.along.Mul(off)), math.Inf(1))
				beside := c.r.trace(place{hit.Point, hit.Tri}, s.along, dir, widestTrace)
				if beside.ok && len(beside.path) > 1 && beside.length < side.length-sideStep {
					*side = beside
				}
			}
		}
		s.leftSide, s.rightSide = c.isSide(s.left, s.along), c.isSide(s.right, s.along)
	}
}

// isEven says whether a trace just beside a section's is sure to have the same length but for less than sideStep: no
// corner lies between the two, so that they pass through the same triangles, and the edge at their end is not steep.
func (r *region) isEven(t *trace, s *section) bool {
	if !t.ok || t.clear < 2*besideStep {
		return false
	}
	edge := r.mesh.Vertices[t.edge[1]].Sub(r.mesh.Vertices[t.edge[0]])
	return besideStep*math.Abs(edge.Dot(s.across)) < sideStep/2*math.Abs(edge.Dot(s.along))
}
