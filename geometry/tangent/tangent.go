package tangent

import (
	"math"

	"github.com/golang/geo/r2"
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
	flatBeyond  = 4.0  // mm: a facet that is longer, and so many times longer than those of the bend before it,
	flatTimes   = 3.0  // is the flat beyond the bend: where another bend follows, its corners are no more of this one
	offCircle   = 0.05 // mm, and
	offRadius   = 0.03 // of the radius: that corners of a bend may leave its circle
	widestBend  = 30.0 // mm of radius; the wider are left to the air between the sheets
	sharpCrease = 0.6  // of a bend's turn: where the sheet leaves the flange at so much it is a crease
	leastTurn   = 8.   // degrees that a bend turns
	mostTurn    = 100. // degrees that a bend is followed
	standsStill = 1e-6 // mm: a bend that is found so near to where it was before is not looked for again
	nestedApart = 0.5  // mm between the starts of two bends that turn the same way and are one
	// mm beyond a strip's border that a bend of all sheets may begin and still be what ends it: facets that begin on the flat lean
	NestedBeyond = 3.
)

// Bend is where a sheet begins to turn, seen along a section.
type Bend struct {
	Start float64 // mm along the section
	flat  float64 // mm along the section: the last corner that is not one of the bend
	Slope float64 // of the sheet there, against the section's normal
	Up    float64 // 1 or -1; 0 for no bend
}

// Leaves says whether a sheet turns away from another, up or down, rather than going with it.
func (b Bend) Leaves(other Bend, up float64) bool {
	return b.Up == up && !(other.Up == up && other.Start < b.Start+nestedApart)
}

// Finder finds bends, one after another in the same memory.
type Finder struct {
	rise    []r2.Point
	heading []float64 // of the rise's facets from the one before the bend's first corner on
}

// Find finds the bend in a sheet's section that ends a strip of a length.
func (f *Finder) Find(line []r2.Point, length float64) Bend {
	until := length / 2
	found := Bend{Start: length}
	for pass := range 4 {
		run, ok := parabola(line, max(-length/2, until-bendWindow), until)
		if !ok {
			return Bend{}
		}
		before, from := until, found.Start
		if found, ok = f.bend(run, line, until, found.Start, length); !ok {
			return Bend{}
		}
		if until = max(length/4, found.Start-bendMargin); pass > 0 {
			until = max(length/4, min(until, found.flat)) // a facet may begin on the flat
		}
		if math.Abs(until-before)+math.Abs(found.Start-from) < standsStill {
			break
		}
	}
	return found
}

// course is how a flange runs, continued: a + b x + c x².
type course struct{ a, b, c float64 }

// from is a section as it is seen from the course at a place: x straight on from there, y beside the course until there
// and beside that straight line from there.
func (k course) from(x float64, line, out []r2.Point) []r2.Point {
	at := func(x float64) float64 { return k.a + float64(x*(k.b+float64(k.c*x))) }
	slope := k.b + 2*k.c*x
	on := r2.Point{X: 1, Y: slope}.Normalize()
	o := r2.Point{X: x, Y: at(x)}
	for _, p := range line {
		d := p.Sub(o)
		q := r2.Point{X: d.Dot(on), Y: on.Cross(d)}
		if p.X < x {
			q.Y = (p.Y - at(p.X)) * on.X
		}
		out = append(out, q)
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
func (f *Finder) bend(k course, line []r2.Point, after, from, length float64) (Bend, bool) {
	f.rise = k.from(from, line, f.rise[:0])
	rise := f.rise
	sure := -1
	for i, p := range rise {
		if line[i].X > after && math.Abs(p.Y) >= sureRise {
			sure = i
			break
		}
	}
	if sure < 1 {
		return Bend{}, false
	}
	up := math.Copysign(1, rise[sure].Y)
	for i := range rise {
		rise[i].Y *= up
	}
	first := sure
	for first > 1 && rise[first-1].Y >= leastRise {
		first--
	}
	corners, turned := f.arcCorners(rise, first)
	if turned < leastTurn*math.Pi/180 {
		return Bend{}, false
	}
	a, b := rise[first-1], rise[first]
	start := b.X - (b.X-a.X)*b.Y/(b.Y-a.Y)
	if s, radius, ok := touching(corners); ok {
		if radius > widestBend {
			return Bend{}, false
		}
		start = s
	}
	slope := k.b + 2*k.c*from
	found := Bend{from + start/math.Sqrt(1+slope*slope), line[first-1].X, slope, up}
	return found, found.Start < 2*length
}
