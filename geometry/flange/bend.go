package flange

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// A sheet that turns away from the others leaves them where its bend begins, at the tangent line. The angle at which
// the stack ends, or the gap, comes later, by as much as the bend's facets are long; a facet that begins on the flat
// makes it come sooner. So the bend is measured: its section is laid against the flange's, and the circle that
// touches the flange and passes through the bend's corners says where it begins, however it is meshed. The bounds below are
// of our own choosing: with them the closed forms of TestBendBegins hold.
const (
	bendWindow  = 12.0 // mm of a flange before the bend that say how it runs on
	bendMargin  = 0.3  // mm before the bend's supposed start where the flange ends for that
	leastRise   = 0.06 // mm above the flange from which a corner is one of the bend: above what noise makes
	sureRise    = 0.25 // mm that a bend rises at least
	mainTurn    = 0.2  // of the sharpest corner's turn: less is a diagonal of a facet, or noise
	shortFacets = 0.6  // mm that two facets are long together, below which all corners count: noise turns them as it likes
	offCircle   = 0.05 // mm, and
	offRadius   = 0.03 // of the radius: that corners of a bend may leave its circle
	widestBend  = 30.0 // mm of radius; the wider are left to the air between the sheets
	sharpCrease = 0.6  // of a bend's turn: where the sheet leaves the flange at so much it is a crease
	leastTurn   = 8.   // degrees that a bend turns
	mostTurn    = 100. // degrees that a bend is followed
	nestedApart = 0.5  // mm between the starts of two bends that turn the same way and are one
	// mm beyond a strip's border that a bend of all sheets may begin and still be what ends it: facets that begin on the flat lean
	nestedBeyond = 3.
)

// bend is where a sheet begins to turn, seen along a section.
type bend struct {
	start float64 // mm along the section
	flat  float64 // mm along the section: the last corner that is not one of the bend
	slope float64 // of the sheet there, against the section's normal
	up    float64 // 1 or -1; 0 for no bend
}

// turnsAway is how far along a trace each sheet of the stack begins to bend away from the one beside it; not a number
// for those that do not.
func (c *centring) turnsAway(s *section, t trace, dir r3.Vector) (starts [maxStack]float64, some bool) {
	for k := range starts {
		starts[k] = math.NaN()
	}
	sheets := c.r.stack.s[:c.r.stack.n]
	if len(t.path) < 2 {
		return starts, false
	}
	from, length := t.path[0].point, t.way()
	var layers [maxStack]bend
	var heights [maxStack]float64
	order := make([]int, len(sheets))
	for i, sheet := range sheets {
		if slices.Contains(sheets[:i], sheet) {
			return starts, false // a hem
		}
		line, height, ok := c.sectionOf(int(sheet), s, from, dir, length)
		if !ok {
			return starts, false
		}
		layers[i], heights[i], order[i] = bendOf(line, length), height, i
		layers[i].start += height * layers[i].slope // as seen from the host, along its normal there
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(heights[a], heights[b]) })
	for i := 1; i < len(order); i++ {
		lower, upper := layers[order[i-1]], layers[order[i]]
		if upper.leaves(lower, 1) && upper.start > partingReach*length {
			starts[order[i]], some = upper.start, true
		}
		if lower.leaves(upper, -1) && lower.start > partingReach*length {
			starts[order[i-1]], some = lower.start, true
		}
	}
	if !some && nestedIn(layers[:len(sheets)], length) {
		for i := range sheets {
			starts[i] = layers[i].start
		}
		s.nested = true
		return starts, true
	}
	return starts, some
}

// nestedIn says whether all sheets turn the same way at the end of a trace of a length, as in a bend that they lie in together.
func nestedIn(layers []bend, length float64) bool {
	for _, l := range layers {
		if l.up == 0 || l.up != layers[0].up || !(l.start > partingReach*length && l.start < length+nestedBeyond) {
			return false
		}
	}
	return len(layers) > 1
}

// leaves says whether a sheet turns away from another, up or down, rather than going with it.
func (b bend) leaves(other bend, up float64) bool {
	return b.up == up && !(other.up == up && other.start < b.start+nestedApart)
}

// followed is how far beyond a strip's border its sheets are followed, mm: no farther than what is left of the panels.
func (f *finder) followed() float64 { return 2*f.thickest + facingReach }

// sectionOf cuts a sheet along a section: x along it, y along the section's normal, from half the length before
// the place to some way beyond the length.
func (c *centring) sectionOf(sheet int, s *section, from, dir r3.Vector, length float64) (line []r2.Point, height float64, ok bool) {
	p := c.f.panels[sheet]
	var hit near.Hit
	if sheet == c.r.host {
		hit, ok = p.tree.Closest(from, 1)
	} else {
		hit, ok = p.parallelTo(s.normal, from, c.f.reach(c.r.host, sheet), c.f.cosLimit)
	}
	if !ok {
		return nil, 0, false
	}
	at := place{hit.Point, hit.Tri}
	cut := &region{mesh: p.Mesh, topo: p.topo}
	back := cut.trace(at, s.along, dir.Mul(-1), length/2)
	ahead := cut.trace(at, s.along, dir, length+c.f.followed())
	ahead = cut.trace(at, s.along, dir, ahead.length*(1+alikeTo)) // and one triangle on, for by how much the last corner turns
	flat := func(q place) r2.Point {
		d := q.point.Sub(from)
		return r2.Point{X: d.Dot(dir), Y: d.Dot(s.normal)}
	}
	for i := len(back.path) - 1; i > 0; i-- {
		line = append(line, flat(back.path[i]))
	}
	for _, q := range ahead.path {
		line = append(line, flat(q))
	}
	return line, flat(at).Y, true
}

// bendOf finds the bend in a sheet's section that ends a strip of a length.
func bendOf(line []r2.Point, length float64) bend {
	until := length / 2
	found := bend{start: length}
	for pass := range 4 {
		run, ok := parabola(line, max(-length/2, until-bendWindow), until)
		if !ok {
			return bend{}
		}
		if found, ok = run.bend(line, until, found.start, length); !ok {
			return bend{}
		}
		if until = max(length/4, found.start-bendMargin); pass > 0 {
			until = max(length/4, min(until, found.flat)) // a facet may begin on the flat
		}
	}
	return found
}

// course is how a flange runs, continued: a + b x + c x².
type course struct{ a, b, c float64 }

// from is a section as it is seen from the course at a place: x straight on from there, y beside the course until there
// and beside that straight line from there.
func (k course) from(x float64, line []r2.Point) []r2.Point {
	at := func(x float64) float64 { return k.a + float64(x*(k.b+float64(k.c*x))) }
	slope := k.b + 2*k.c*x
	on := r2.Point{X: 1, Y: slope}.Normalize()
	o := r2.Point{X: x, Y: at(x)}
	out := make([]r2.Point, len(line))
	for i, p := range line {
		d := p.Sub(o)
		out[i] = r2.Point{X: d.Dot(on), Y: on.Cross(d)}
		if p.X < x {
			out[i].Y = (p.Y - at(p.X)) * on.X
		}
	}
	return out
}

// parabola is laid through a section between two places, by least squares.
func parabola(line []r2.Point, from, to float64) (course, bool) {
	var m [5]float64 // sums of x^n
	var v [3]float64 // sums of y x^n
	middle := (from + to) / 2
	for i := 1; i < len(line); i++ {
		p, q := line[i-1], line[i]
		lo, hi := max(p.X, from), min(q.X, to)
		if !(hi > lo) {
			continue
		}
		for _, at := range [3][2]float64{{lo, 1}, {(lo + hi) / 2, 4}, {hi, 1}} { // Simpson's rule
			x, w := at[0]-middle, at[1]*(hi-lo)
			y := p.Y + (q.Y-p.Y)*(at[0]-p.X)/(q.X-p.X)
			for n := range m {
				m[n] += w
				if n < 3 {
					v[n] += w * y
				}
				w *= x
			}
		}
	}
	det := m[0]*(m[2]*m[4]-m[3]*m[3]) - m[1]*(m[1]*m[4]-m[2]*m[3]) + m[2]*(m[1]*m[3]-m[2]*m[2])
	if !(det > 1e-9*m[0]*m[2]*m[4]) {
		return course{}, false
	}
	a := (v[0]*(m[2]*m[4]-m[3]*m[3]) - m[1]*(v[1]*m[4]-m[3]*v[2]) + m[2]*(v[1]*m[3]-m[2]*v[2])) / det
	b := (m[0]*(v[1]*m[4]-v[2]*m[3]) - v[0]*(m[1]*m[4]-m[2]*m[3]) + m[2]*(m[1]*v[2]-v[1]*m[2])) / det
	k := (m[0]*(m[2]*v[2]-v[1]*m[3]) - m[1]*(m[1]*v[2]-v[1]*m[2]) + v[0]*(m[1]*m[3]-m[2]*m[2])) / det
	return course{a - b*middle + k*middle*middle, b - 2*k*middle, k}, true
}

// bend is where a section leaves the course, which runs straight on from a place.
func (k course) bend(line []r2.Point, after, from, length float64) (bend, bool) {
	rise := k.from(from, line)
	sure := -1
	for i, p := range rise {
		if line[i].X > after && math.Abs(p.Y) >= sureRise {
			sure = i
			break
		}
	}
	if sure < 1 {
		return bend{}, false
	}
	up := math.Copysign(1, rise[sure].Y)
	for i := range rise {
		rise[i].Y *= up
	}
	first := sure
	for first > 1 && rise[first-1].Y >= leastRise {
		first--
	}
	corners, turned := arcCorners(rise, first)
	if turned < leastTurn*math.Pi/180 {
		return bend{}, false
	}
	a, b := rise[first-1], rise[first]
	start := b.X - (b.X-a.X)*b.Y/(b.Y-a.Y)
	if s, radius, ok := touching(corners); ok {
		if radius > widestBend {
			return bend{}, false
		}
		start = s
	}
	slope := k.b + 2*k.c*from
	found := bend{from + start/math.Sqrt(1+slope*slope), line[first-1].X, slope, up}
	return found, found.start < 2*length
}

// arcCorners are the corners of a bend from one on, and by how much it turns.
func arcCorners(rise []r2.Point, first int) (out []r2.Point, turned float64) {
	heading := func(i int) float64 { return math.Atan2(rise[i+1].Y-rise[i].Y, rise[i+1].X-rise[i].X) }
	most := 0.0
	last := first
	for ; last+1 < len(rise) && heading(last-1) < mostTurn*math.Pi/180; last++ {
		most = max(most, heading(last)-heading(last-1))
		turned = max(turned, heading(last-1))
	}
	turned = max(turned, heading(last-1))
	if heading(first-1) > sharpCrease*turned {
		return nil, turned // what goes straight on from it is no arc, though rounding may turn it a little
	}
	for i := first; i < last; i++ {
		turn := heading(i) - heading(i-1)
		if rise[i+1].Sub(rise[i-1]).Norm() < shortFacets {
			out = append(out, rise[i])
			continue
		}
		if turn < -mainTurn*2*most {
			break
		}
		if turn >= mainTurn*most {
			out = append(out, rise[i])
		}
	}
	return out, turned
}

// touching is the circle that touches the x axis and passes through the first of the points, as many as lie on one.
func touching(points []r2.Point) (start, radius float64, ok bool) {
	for n := 2; n <= len(points); n++ {
		s, r, found := touchingAll(points[:n])
		if !found {
			if n > 4 {
				break
			}
			continue
		}
		start, radius, ok = s, r, true
	}
	return start, radius, ok
}

func touchingAll(points []r2.Point) (start, radius float64, ok bool) {
	a, b := points[0], points[len(points)-1]
	// (a.X-s)²/a.Y + a.Y = (b.X-s)²/b.Y + b.Y, both twice the radius
	p, q := 1/a.Y-1/b.Y, a.X/a.Y-b.X/b.Y
	t := a.X*a.X/a.Y - b.X*b.X/b.Y + a.Y - b.Y
	if !(p > 0) || !(q*q-p*t >= 0) {
		return 0, 0, false
	}
	s := (q - math.Sqrt(q*q-p*t)) / p
	r := ((a.X-s)*(a.X-s)/a.Y + a.Y) / 2
	for range 12 {
		var ss, sr, rr, sv, rv float64
		for _, at := range points {
			d := math.Hypot(at.X-s, at.Y-r)
			if !(d > 0) {
				return 0, 0, false
			}
			e, ds, dr := d-r, -(at.X-s)/d, -(at.Y-r)/d-1
			ss, sr, rr, sv, rv = ss+ds*ds, sr+ds*dr, rr+dr*dr, sv+ds*e, rv+dr*e
		}
		det := ss*rr - sr*sr
		if !(det > 0) {
			break
		}
		ms, mr := (sr*rv-rr*sv)/det, (sr*sv-ss*rv)/det
		s, r = s+ms, r+mr
		if math.Abs(ms)+math.Abs(mr) < 1e-9 {
			break
		}
	}
	for _, at := range points {
		if e := math.Hypot(at.X-s, at.Y-r) - r; !(math.Abs(e) <= max(offCircle, offRadius*r)) {
			return 0, 0, false
		}
	}
	return s, r, r > 0 && s < a.X
}
