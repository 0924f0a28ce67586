package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// strip is one flange of a joint with all that is judged on it.
type strip struct {
	flange  *layout.Flange
	stated  *shell.Joint     // empty for a joint that the shell file does not state
	kind    layout.JointKind // spot, roller or spot+roller
	station string
	stack   rule.Stack
	limits  rule.Limits
	ends    []layout.Side    // what ends it on either side, stretch by stretch
	carries strength.Options // how the resistance of its welds is found, but for their distances
	line    *curve.Line
	along   []float64                // mm along the weld line, at each of its points
	welds   []*layout.Weld           // by growing Along
	goesOn  [2]bool                  // the stack goes on with another strip beyond the start, beyond the end
	onto    [2]*strip                // that strip
	measure bool                     // the plan holds its sides and gaps
	pairs   map[[2]*layout.Weld]bool // neighbours in a row
	lastRow int                      // number of the leftmost row; 0: no weld stands in rows
}

// gather makes the strips, in the plan's order.
func (c *checker) gather() error {
	strips := make([]*strip, len(c.plan.Flanges))
	err := work.Each(c.ctx, 0, len(strips), func(i int) (err error) {
		f := &c.plan.Flanges[i]
		if f.Joint == "" {
			return nil
		}
		if strips[i], err = c.strip(f); err != nil {
			return fmt.Errorf("flange %s: %w", f.ID, err)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, s := range strips {
		if s == nil {
			continue
		}
		c.strips = append(c.strips, s)
		if !s.measure {
			c.unchecked("flange %s: the plan holds no sides along its weld line, so its widths, gaps and edge distances are not judged", s.flange.ID)
		}
	}
	for i := range c.plan.Welds {
		w := &c.plan.Welds[i]
		s := c.stripOf(w.Flange)
		if s == nil {
			return fmt.Errorf("weld %d at %s: there is no flange %s", w.Number, w.Station, w.Flange)
		}
		s.welds, s.lastRow = append(s.welds, w), max(s.lastRow, w.Row)
	}
	for _, s := range c.strips {
		slices.SortStableFunc(s.welds, func(a, b *layout.Weld) int { return cmp.Compare(a.Along, b.Along) })
		s.pairs = map[[2]*layout.Weld]bool{}
		for _, g := range s.pitchesOf(s.welds) {
			s.pairs[[2]*layout.Weld{g.a, g.b}] = true
		}
	}
	c.join()
	c.gatherNear()
	return nil
}

func (c *checker) strip(f *layout.Flange) (*strip, error) {
	if len(f.Line) < 2 || !(f.Length > 0) {
		return nil, fmt.Errorf("its weld line of %d points and %v mm is none", len(f.Line), f.Length)
	}
	s := &strip{flange: f, stated: &shell.Joint{ID: f.Joint}, kind: layout.SpotJoint}
	if j, ok := c.shell.Joint(f.Joint); ok {
		s.stated = j
	}
	if k := slices.IndexFunc(c.plan.Joints, func(j layout.Joint) bool { return j.ID == f.Joint }); k >= 0 {
		s.kind, s.station = c.plan.Joints[k].Kind, c.plan.Joints[k].Station
	}
	var err error
	if s.stack, err = c.in.Stack(f.Panels); err != nil {
		return nil, err
	}
	s.limits = c.in.Limits(s.stack, s.stated)
	s.carries = c.in.Strength(s.stack, s.stated)
	s.line, s.ends = f.Curve(), f.Sides()
	for _, p := range f.Line {
		s.along = append(s.along, p.Along)
		s.measure = s.measure || p.Left+p.Right > 0
	}
	return s, nil
}

func vectors(points []layout.Vec) []r3.Vector {
	out := make([]r3.Vector, len(points))
	for i, p := range points {
		out[i] = p.R3()
	}
	return out
}

func (c *checker) stripOf(id string) *strip {
	for _, s := range c.strips {
		if s.flange.ID == id {
			return s
		}
	}
	return nil
}

// reach is how near the weld lines of two strips of the same sheets come where one goes on as the other: about half
// a strip's width, by which the middle may jump where a third sheet begins.
func (s *strip) reach() float64 { return math.Max(5, 0.75*s.flange.Width.Mean) }

// join finds the ends beyond which two of the sheets go on as another strip: such an end is no edge of a sheet.
func (c *checker) join() {
	for _, s := range c.strips {
		if s.flange.Closed {
			continue
		}
		for end, at := range []r3.Vector{s.line.Points[0], s.line.Points[len(s.line.Points)-1]} {
			for _, o := range c.strips {
				if o == s || common(s.flange.Panels, o.flange.Panels) < 2 || s.beside(o) {
					continue
				}
				if _, d := o.line.Nearest(at); d <= s.reach() || s.bridged(end, o) {
					s.goesOn[end], s.onto[end] = true, o
					break
				}
			}
		}
	}
}

// beside reports whether both are rows over one broad contact: neither goes on as the other.
func (s *strip) beside(o *strip) bool {
	a, b := s.flange, o.flange
	return a.Patch && b.Patch && a.Joint == b.Joint && len(a.Outline) > 0 && len(b.Outline) > 0 && slices.Equal(a.Outline[0], b.Outline[0])
}

// bridged reports whether the line of another strip begins straight on from an end, over a joggle.
func (s *strip) bridged(end int, o *strip) bool {
	if o.flange.Closed {
		return false
	}
	p, out := s.endOf(end)
	for e := range 2 {
		q, back := o.endOf(e)
		if GoesOn(p, out, q, back, math.Max(s.limits.GreatestPitch.Value, o.limits.GreatestPitch.Value)) {
			return true
		}
	}
	return false
}

// endOf is the place of an end of the line and the direction out of it.
func (s *strip) endOf(end int) (at, out r3.Vector) {
	n := len(s.line.Points)
	if end == 0 {
		return s.line.Points[0], s.line.Points[0].Sub(s.line.Points[1]).Normalize()
	}
	return s.line.Points[n-1], s.line.Points[n-1].Sub(s.line.Points[n-2]).Normalize()
}

// straightOn is the cosine of how far a line that goes on beyond a change of stack may turn, and how far aside its start may
// lie: 30 degrees. Chosen.
const straightOn = 0.866

// GoesOn reports whether the line that ends at p, with the direction out of it, goes on at q, the end of another line with
// the direction out of that one, no farther than reach.
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

// sides says what ends the strip at a length along its line.
func (s *strip) sides(along float64) (left, right layout.Edge) {
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

// at is the place on the weld line at a length along it.
func (s *strip) at(along float64) r3.Vector {
	return s.line.At(along)
}

// tangent is the line's direction there.
func (s *strip) tangent(along float64) r3.Vector {
	return s.line.Tangent(along)
}

// nearest is the weld nearest to a length along the line, of equally near ones the first; nil when the strip has none. As welds stand by
// growing length, it is among the first after, the first of those that stand just before and, round a closed line, the two at its ends.
func (s *strip) nearest(along float64) *layout.Weld {
	if len(s.welds) == 0 {
		return nil
	}
	firstAt := func(along float64) int {
		return sort.Search(len(s.welds), func(i int) bool { return s.welds[i].Along >= along })
	}
	after := firstAt(along)
	before := firstAt(s.welds[max(0, after-1)].Along)
	last := firstAt(s.welds[len(s.welds)-1].Along)
	best := s.welds[0]
	for _, i := range []int{before, min(after, last), last} {
		if w := s.welds[i]; s.apart(w.Along, along) < s.apart(best.Along, along) {
			best = w
		}
	}
	return best
}

// apart is the length along the line between two places of it, the shorter way round on a closed one.
func (s *strip) apart(a, b float64) float64 {
	d := math.Abs(a - b)
	if s.flange.Closed {
		d = math.Min(d, s.flange.Length-d)
	}
	return d
}

// spotted reports whether the strip is to have spots.
func (s *strip) spotted() bool {
	return s.kind != layout.RollerJoint && !(s.flange.Patch && s.stated.Count == 0 && s.stated.RowPitch == 0)
}

// tip is the tip that a weld is made with; nil where the plan names none.
func (c *checker) tip(w *layout.Weld) *shell.Tip {
	if w == nil {
		return nil
	}
	t, ok := c.shell.Tip(w.Tip)
	if !ok {
		return nil
	}
	return t
}

// face is the electrode face at a weld: the rule's where no tip is chosen.
func (c *checker) face(s *strip, w *layout.Weld) float64 {
	if t := c.tip(w); t != nil {
		return t.Face
	}
	return s.limits.TipFace.Value
}
