package strips

import (
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Strip is one flange of a joint with all that is judged on it.
type Strip struct {
	Flange   *layout.Flange
	Stated   *shell.Joint     // empty for a joint that the shell file does not state
	Kind     layout.JointKind // of the joint: spot, roller or spot+roller
	Station  string
	Stack    rule.Stack
	Limits   rule.Limits
	Carries  strength.Options         // how the resistance of its welds is found, but for their distances
	Line     *curve.Line              // the weld line
	Along    []float64                // mm along it, at each of its points
	Measured bool                     // the plan holds its sides and gaps
	Welds    []*layout.Weld           // by growing Along
	LastRow  int                      // number of the leftmost row; 0: no weld stands in rows
	Onto     [2]*Strip                // what the stack goes on as beyond the start, beyond the end; nil: it ends there
	ends     []layout.Side            // what ends it on either side, stretch by stretch
	pairs    map[[2]*layout.Weld]bool // neighbours in a row
}

// reach is how near the weld lines of two strips of the same sheets come where one goes on as the other: about half
// a strip's width, by which the middle may jump where a third sheet begins.
func (s *Strip) reach() float64 { return math.Max(5, 0.75*s.Flange.Width.Mean) }

// Beside reports whether both are rows over one broad contact: neither goes on as the other.
func (s *Strip) Beside(o *Strip) bool {
	a, b := s.Flange, o.Flange
	return a.Patch && b.Patch && a.Joint == b.Joint && len(a.Outline) > 0 && len(b.Outline) > 0 && slices.Equal(a.Outline[0], b.Outline[0])
}

// bridged reports whether the line of another strip begins straight on from an end, over a joggle.
func (s *Strip) bridged(end int, o *Strip) bool {
	if o.Flange.Closed {
		return false
	}
	p, out := s.endOf(end)
	for e := range 2 {
		q, back := o.endOf(e)
		if GoesOn(p, out, q, back, math.Max(s.Limits.GreatestPitch.Value, o.Limits.GreatestPitch.Value)) {
			return true
		}
	}
	return false
}

// endOf is the place of an end of the line and the direction out of it.
func (s *Strip) endOf(end int) (at, out r3.Vector) {
	n := len(s.Line.Points)
	if end == 0 {
		return s.Line.Points[0], s.Line.Points[0].Sub(s.Line.Points[1]).Normalize()
	}
	return s.Line.Points[n-1], s.Line.Points[n-1].Sub(s.Line.Points[n-2]).Normalize()
}

// straightOn is the cosine of how far a line that goes on beyond a change of stack may turn, and how far aside its start may
// lie: 30 degrees. Chosen.
const straightOn = 0.866

// GoesOn reports whether the line that ends at p, with the direction out of it, goes on at q, the end of another line with
// the direction out of that one, no farther than reach mm.
func GoesOn(p, out, q, back r3.Vector, reach float64) bool {
	way := q.Sub(p)
	d := way.Norm()
	if d > reach || out.Dot(back) > -straightOn {
		return false
	}
	return d < 5 || way.Dot(out) > straightOn*d // so near to each other, the middles of strips of unlike width may lie aside
}

func common(a, b []string) int {
	n := 0
	for _, x := range a {
		if slices.Contains(b, x) {
			n++
		}
	}
	return n
}

// Sides says what ends the strip at a length along its line.
func (s *Strip) Sides(along float64) (left, right layout.Edge) {
	for _, side := range s.ends {
		if along <= side.To+1e-6 {
			return side.Left, side.Right
		}
	}
	if n := len(s.ends); n > 0 {
		return s.ends[n-1].Left, s.ends[n-1].Right
	}
	return layout.UnknownEdge, layout.UnknownEdge
}

// Nearest is the weld nearest to a length along the line, of equally near ones the first; nil when the strip has none. As welds stand by
// growing length, it is among the first after, the first of those that stand just before and, round a closed line, the two at its ends.
func (s *Strip) Nearest(along float64) *layout.Weld {
	if len(s.Welds) == 0 {
		return nil
	}
	firstAt := func(along float64) int {
		return sort.Search(len(s.Welds), func(i int) bool { return s.Welds[i].Along >= along })
	}
	after := firstAt(along)
	before := firstAt(s.Welds[max(0, after-1)].Along)
	last := firstAt(s.Welds[len(s.Welds)-1].Along)
	best := s.Welds[0]
	for _, i := range []int{before, min(after, last), last} {
		if w := s.Welds[i]; s.Apart(w.Along, along) < s.Apart(best.Along, along) {
			best = w
		}
	}
	return best
}

// Apart is the length in mm along the line between two places of it, the shorter way round on a closed one.
func (s *Strip) Apart(a, b float64) float64 {
	d := math.Abs(a - b)
	if s.Flange.Closed {
		d = math.Min(d, s.Flange.Length-d)
	}
	return d
}

// Spotted reports whether the strip is to have spots.
func (s *Strip) Spotted() bool {
	return s.Kind != layout.RollerJoint && !(s.Flange.Patch && s.Stated.Count == 0 && s.Stated.RowPitch == 0)
}

// Step is the mean distance in mm between the points of the weld line.
func (s *Strip) Step() float64 { return s.Flange.Length / float64(max(1, len(s.Along)-1)) }

// NearEnd reports whether a length along the line is within so many mm of an end of an open strip.
func (s *Strip) NearEnd(along, within float64) bool {
	return !s.Flange.Closed && (along < within || along > s.Flange.Length-within)
}

// Index is the point of the weld line at or before a length along it.
func (s *Strip) Index(along float64) int {
	return max(0, sort.Search(len(s.Along), func(i int) bool { return s.Along[i] > along+1e-9 })-1)
}

// Offset is how far in mm a place lies off the weld line, to the left of its way.
func (s *Strip) Offset(p r3.Vector, along float64) float64 {
	axis := s.Flange.Line[s.Index(along)].Normal.R3()
	return p.Sub(s.Line.At(along)).Dot(axis.Cross(s.Line.Tangent(along)))
}

// Width of the strip in mm at a length along its line.
func (s *Strip) Width(along float64) float64 {
	k := s.Index(along)
	return s.Flange.Line[k].Left + s.Flange.Line[k].Right
}
