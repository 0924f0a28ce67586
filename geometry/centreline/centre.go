package centreline

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/kit"
	"seamwright/geometry/medial"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/tangent"
)

const (
	rounds      = 60   // of moving the line into the middle
	roughRounds = 2    // of them that straighten ends that set off askew
	ringRounds  = 3    // likewise of a closed line, whose corners take longer
	coarsest    = 0.25 // of a strip's width between points of the first of these, as long as a tangent's reach to one side
	calmRounds  = 20   // after which points move less and less
	straightish = 0.93 // of a stretch of line its chord is longer, unless there is a corner
	settled     = 2e-5 // mm: the line is in the middle when no point moves more, nor a side by as much as it turns
	inward      = 0.25 // mm from the ends of a strip at which its first and last section are taken
	whole       = 1e-3 // of a step: a length that is so little over a number of steps is that number
	endCosine   = 0.6  // a border that runs more across the strip than this is its end, not its side
	WidestTrace = 500. // mm: no flange is wider; stops a trace that goes round a tube
)

// Line moves a rough line into the middle of a strip.
type Line struct {
	r           *region.Region
	tree        *near.Tree
	chain       medial.Chain // the rough line
	Closed      bool
	ringCorners []r3.Vector // places about corners of the line's ring
	step        float64
	count       int       // of steps of the line, once it has settled; 0 before
	width       float64   // rough width of the strip
	middle      r3.Vector // of the sheets' metal: tells a line's start
	rim         *region.Rim
	hint        int32 // the triangle of the last point
	cut         []region.Place
	room        [2][]region.Place // for traces of two rounds
	flat        []r2.Point
	tangents    tangent.Finder
	anchor      int32         // vertex of the region near which a closed line starts
	meets       [2]*r3.Vector // where the line's start and its end meet others, once that is known
	arms        [2]arm
	Sections    []Section
	slotted     bool    // the line runs over slots
	Share       float64 // mm² of the region that lies nearest to the line
	Kept        float64 // the share of the area where the sheets have not parted yet
}

// Section is a cut across the strip at one point.
type Section struct {
	At            region.Place
	Along, Across r3.Vector
	Normal        r3.Vector
	Left, Right   region.Trace
	leftSide      bool // the left trace ends at a side of the strip rather than at its end
	rightSide     bool
	Nested        bool    // all sheets go round a bend together at one of its sides
	over          bool    // the place lies over a slot; the traces set off from the metal beside it
	metal         float64 // mm to the left at which that is
}

// run returns the points' sections along the middle of the strip, equally spaced, the ends included.
func (c *Line) run() []Section {
	points := c.chain.Points
	if n := len(points); !c.Closed && n >= 4 {
		points = points[1 : n-1] // the bands at the ends lie askew
	}
	var last standing
	var settledAt []Section
	c.count = 0
	own, step, rough := c.r.Places, c.step, c.rough()
	for round := range rounds {
		if c.step = step; !c.Closed && round < rough-1 {
			c.step = max(step, coarsest*c.width)
		}
		if round == rough && !c.Closed && c.runsBackward(points) { // or, once settled, it would all be cut again the other way
			c.reverse(points)
			last = standing{}
		}
		line := curve.New(points, c.Closed)
		if !(line.Length() > 0) {
			points = c.stretched(points)
			if line = curve.New(points, c.Closed); !(line.Length() > 0) {
				c.r.Places, c.step = own, step
				return nil
			}
		}
		line = c.fromAnchor(line)
		if n := c.steps(line.Length()); round == rough+2 || c.count > 0 && (n < c.count-1 || n > c.count+1) {
			c.count = n
		}
		now := c.again(line, last)
		if c.count > 0 && farthestApart(places(last.sections), places(now.sections)) < settled {
			points, settledAt = line.Points, now.sections
			break
		}
		last, points = now, c.moved(slices.Clone(now.sections), line.Length(), round)
	}
	c.r.Places = own
	for i := range settledAt {
		settledAt[i] = c.copied(&settledAt[i])
	}
	if round, some := c.roundCorners(points, settledAt); some {
		return c.finish(round, nil)
	}
	return c.finish(points, settledAt)
}

// rough is how many rounds take off what a rough line has of its own.
func (c *Line) rough() int {
	if c.Closed {
		return ringRounds
	}
	return roughRounds
}

// reverse lets the line run the other way, of which the points are given.
func (c *Line) reverse(points []r3.Vector) {
	slices.Reverse(points)
	slices.Reverse(c.chain.Points)
	c.chain.Forks[0], c.chain.Forks[1] = c.chain.Forks[1], c.chain.Forks[0]
	c.meets[0], c.meets[1] = c.meets[1], c.meets[0]
}

// finish returns the sections of a settled line, of which those in the line's own direction may be known.
func (c *Line) finish(points []r3.Vector, sections []Section) []Section {
	backward := !c.Closed && c.runsBackward(points)
	if backward {
		slices.Reverse(points)
	}
	if backward || sections == nil {
		sections = c.sections(curve.New(points, c.Closed))
	}
	c.shorten(sections)
	c.smoothSides(sections)
	c.Kept = 1
	sections = c.part(sections)
	if !c.Closed {
		c.blankForks(sections)
		c.fillEnds(sections)
	}
	c.trimLegs(sections)
	return sections
}

func places(sections []Section) []r3.Vector {
	out := make([]r3.Vector, len(sections))
	for i, s := range sections {
		out[i] = s.At.Point
	}
	return out
}

// moved is the line with every point moved to the middle of the strip, and its ends to the strip's.
func (c *Line) moved(sections []Section, length float64, round int) []r3.Vector {
	c.smoothSides(sections)
	share := 1.0
	if round >= calmRounds {
		share = 0.5 * math.Pow(0.8, float64(round-calmRounds)) // points that swing about the middle come to rest
	}
	c.center(sections, length, share)
	points := places(sections)
	if round < c.rough()-1 {
		points = c.eased(points)
	}
	c.unfold(points)
	if !c.Closed {
		points = c.reachEnds(points, round < c.rough())
	}
	return points
}

// eased is the line with the swerves taken off that notches give a rough one, or they would stay in it: a line that
// follows a notch sees one on either side. Every point goes amid those about it, but
// for those at corners of the strip.
func (c *Line) eased(points []r3.Vector) []r3.Vector {
	n, half := len(points), c.side().Half()
	out := make([]r3.Vector, n)
	for i := range points {
		reach := half
		if !c.Closed {
			reach = min(half, i, n-1-i)
		}
		at := func(k int) r3.Vector { return points[((k%n)+n)%n] }
		sum, way := r3.Vector{}, 0.0
		for k := i - reach; k <= i+reach; k++ {
			sum = sum.Add(at(k))
			if k > i-reach {
				way += at(k).Sub(at(k - 1)).Norm()
			}
		}
		if out[i] = points[i]; at(i+reach).Sub(at(i-reach)).Norm() > straightish*way {
			out[i] = sum.Mul(1 / float64(2*reach+1))
		}
	}
	return out
}

// farthestApart is the greatest distance between points of the same number.
func farthestApart(a, b []r3.Vector) float64 {
	if len(a) != len(b) {
		return math.Inf(1)
	}
	most := 0.0
	for i := range a {
		most = max(most, a[i].Sub(b[i]).Norm2())
	}
	return math.Sqrt(most)
}

// stretched turns a single point, or several at one place, into a short line along the region's longest extent.
func (c *Line) stretched(points []r3.Vector) []r3.Vector {
	at, far := points[0], points[0]
	for _, v := range c.r.Mesh.Vertices {
		if v.Sub(at).Norm2() > far.Sub(at).Norm2() {
			far = v
		}
	}
	half := far.Sub(at).Mul(0.25)
	return []r3.Vector{at.Sub(half), at.Add(half)}
}

// steps is the number of steps between the points of a line of a length.
func (c *Line) steps(length float64) int {
	least := 2
	if c.Closed {
		least = 8
	}
	return max(least, int(math.Ceil(length/c.step-whole)))
}

// stands is where a section is taken: at a place of a line that runs on in a direction.
type stands struct{ at, dir r3.Vector }

func (c *Line) standsAt(line *curve.Line, s float64) stands {
	return stands{line.At(s), c.tangent(line, s).Normalize()}
}

// standing is a line's sections as they were taken, and where.
type standing struct {
	stands   []stands
	sections []Section
}

// again takes the sections of a line that has moved. Where it has not, they are those of before: most of a line settles soon, its ends
// and corners late, so that this spares most of the work; elsewhere a point is looked for where it was.
func (c *Line) again(line *curve.Line, last standing) standing {
	at := c.spaced(line)
	now := standing{make([]stands, len(at)), make([]Section, len(at))}
	c.room[0], c.room[1] = c.room[1], c.room[0] // of the round before the last no section is asked again
	c.r.Places = c.room[0][:0]
	for i, s := range at {
		now.stands[i] = c.standsAt(line, s)
		if len(last.stands) == len(at) {
			if now.stands[i].near(&last.stands[i], c.width) {
				now.stands[i], now.sections[i] = last.stands[i], c.copied(&last.sections[i])
				continue
			}
			c.hint = last.sections[i].At.Tri
		}
		now.sections[i] = c.section(line, s, now.stands[i])
	}
	c.room[0] = c.r.Places
	return now
}

// near says whether what is cut across a strip of a width is the same but for what is too little to mind.
func (s *stands) near(o *stands, width float64) bool {
	return s.at.Sub(o.at).Norm2() < settled*settled && s.dir.Sub(o.dir).Norm2()*width*width < settled*settled
}

// copied is a section with its traces in the room that is being written to.
func (c *Line) copied(s *Section) Section {
	out := *s
	for _, t := range [2]*region.Trace{&out.Left, &out.Right} {
		from := len(c.r.Places)
		c.r.Places = append(c.r.Places, t.Path...)
		t.Path = c.r.Places[from:len(c.r.Places):len(c.r.Places)]
	}
	return out
}

// sections cuts the strip at equally spaced places of the line.
func (c *Line) sections(line *curve.Line) []Section {
	at := c.spaced(line)
	out := make([]Section, len(at))
	for i, s := range at {
		out[i] = c.section(line, s, c.standsAt(line, s))
	}
	return out
}

// spaced are equally spaced lengths along a line.
func (c *Line) spaced(line *curve.Line) []float64 {
	length, n := line.Length(), c.count
	if n == 0 {
		n = c.steps(length)
	}
	out := make([]float64, n+1-kit.CountIf(c.Closed))
	for i := range out {
		out[i] = length * float64(i) / float64(n)
	}
	return out
}

// section cuts the strip at a length along a line, where it stands.
func (c *Line) section(line *curve.Line, s float64, is stands) Section {
	p := is.at
	hit, _ := c.tree.ClosestFrom(c.hint, p, math.Inf(1), nil)
	c.hint = hit.Tri
	at := region.Place{Point: hit.Point, Tri: hit.Tri}
	normal := c.r.NormalAt(at)
	along := is.dir.Sub(normal.Mul(is.dir.Dot(normal))).Normalize()
	across := normal.Cross(along)
	sec := Section{At: at, Along: along, Across: across, Normal: normal}
	from := c.within(line, s, at)
	if c.slotted {
		if metal, off, ok := c.beside(p, &sec); ok {
			sec.over, sec.metal, sec.At, from = true, off, region.Place{Point: p, Tri: metal.Tri}, metal
		}
	}
	sec.Left = c.r.Trace(from, along, across, WidestTrace)
	sec.Right = c.r.Trace(from, along, across.Mul(-1), WidestTrace)
	sec.leftSide = c.isSide(sec.Left, along)
	sec.rightSide = c.isSide(sec.Right, along)
	return sec
}

// within is the place itself, or, for the ends of an open line, which lie on the strip's border, one just inside.
func (c *Line) within(line *curve.Line, s float64, at region.Place) region.Place {
	if c.Closed || s >= inward && s <= line.Length()-inward || line.Length() < 4*inward {
		return at
	}
	hit, _ := c.tree.Closest(line.At(min(max(s, inward), line.Length()-inward)), math.Inf(1))
	return region.Place{Point: hit.Point, Tri: hit.Tri}
}

// tangent is the direction between two places of the line half a width apart: the line's own segments are
// rougher than the strip.
func (c *Line) tangent(line *curve.Line, s float64) r3.Vector {
	reach := math.Max(c.step, c.width/4)
	a, b := s-reach, s+reach
	if !c.Closed {
		a, b = math.Max(0, a), math.Min(line.Length(), b)
	}
	return line.At(b).Sub(line.At(a))
}

// center moves every point a share of the way to the middle of its section. Where one side is cut off by the
// strip's end, the other side and the width of the nearest whole section decide.
func (c *Line) center(sections []Section, length, share float64) {
	width := usualWidth(sections)
	left, right := c.reaches(sections)
	n := len(sections)
	for i := range sections {
		s := &sections[i]
		end := c.nearEnd(i, n, length)
		if !end && (c.Closed || i > 0 && i+1 < n) && left[i]+right[i] > legWidths*width {
			s.At.Point = sections[(i+n-1)%n].At.Point.Add(sections[(i+1)%n].At.Point).Mul(0.5)
			continue
		}
		shift := 0.0 // to the left
		switch {
		case !math.IsNaN(left[i]) && !math.IsNaN(right[i]):
			shift = (left[i] - right[i]) / 2
		case !math.IsNaN(left[i]):
			if half, ok := halfWidth(left, right, i); ok {
				shift = left[i] - half
			}
		case !math.IsNaN(right[i]):
			if half, ok := halfWidth(left, right, i); ok {
				shift = half - right[i]
			}
		}
		if !end {
			shift = math.Max(-width/3, math.Min(shift, width/3)) // more than that is another leg
		}
		if shift *= share; shift > 0 {
			s.At = s.Left.Along(shift)
		} else if shift < 0 {
			s.At = s.Right.Along(-shift)
		}
	}
}

// unfold lets points at which the line turns back or sharply go half way between their neighbours: the moves of
// points on both sides of a sharp corner may cross.
func (c *Line) unfold(points []r3.Vector) {
	const passes, sharp = 8, 0.7
	n := len(points)
	for range passes {
		turned := false
		for i := range points {
			if !c.Closed && (i == 0 || i+1 == n) || c.nearEnd(i, n, c.step*float64(n-1)) {
				continue
			}
			before, after := points[(i+n-1)%n], points[(i+1)%n]
			a, b := points[i].Sub(before), after.Sub(points[i])
			if a.Dot(b) < sharp*a.Norm()*b.Norm() {
				points[i], turned = before.Add(after).Mul(0.5), true
			}
		}
		if !turned {
			return
		}
	}
}
