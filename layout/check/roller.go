package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// stretched is a stretch of a strip that is joined: rolled, or a weld.
type stretched struct {
	from, to float64
	weld     *layout.Weld // nil: rolled
}

// joined judges the stretches between what is rolled and spotted of strips that are to be rolled.
func (c *checker) joined() {
	for _, s := range c.strips {
		if s.kind != layout.RollerJoint {
			continue
		}
		all := c.stretchedOf(s)
		if len(all) == 0 {
			continue
		}
		c.leastPitch(s, s.pitchesOf(s.welds))
		for i, a := range all {
			switch {
			case i+1 < len(all):
				c.openStretch(s, a, all[i+1])
			case s.flange.Closed:
				c.openStretch(s, a, stretched{all[0].from + s.flange.Length, all[0].to, all[0].weld})
			}
		}
	}
}

// stretchedOf lists what joins a strip, by growing place.
func (c *checker) stretchedOf(s *strip) []stretched {
	var out []stretched
	for _, r := range c.plan.Seams {
		if r.Flange != s.flange.ID || len(r.Path) < 2 {
			continue
		}
		if r.Closed {
			return []stretched{{0, s.flange.Length, nil}}
		}
		from, _ := s.line.Nearest(r.Path[0].R3())
		to, _ := s.line.Nearest(r.Path[len(r.Path)-1].R3())
		if to < from && s.flange.Closed {
			to += s.line.Length()
		}
		out = append(out, stretched{from, to, nil})
	}
	for _, w := range s.welds {
		out = append(out, stretched{w.Along, w.Along, w})
	}
	slices.SortStableFunc(out, func(a, b stretched) int { // a spot on the end of a seam is outside of it
		return cmp.Or(cmp.Compare(math.Round(a.from), math.Round(b.from)), cmp.Compare(a.to, b.to))
	})
	return out
}

// openStretch judges what is left open between two.
func (c *checker) openStretch(s *strip, a, b stretched) {
	l := s.limits.PitchBound
	name := func(x stretched) string {
		if x.weld == nil {
			return "the roller seam"
		}
		return fmt.Sprintf("weld %d", x.weld.Number)
	}
	open := math.Max(0, b.from-a.to)
	at := place{words: fmt.Sprintf("flange %s: %s mm are neither rolled nor spotted between %s and %s", s.flange.ID, tenths(open), name(a),
		name(b)),
		at: s.at(math.Mod((a.to+b.from)/2, s.flange.Length)), strip: s}
	if !c.keeps(l, open, slackPlan, func() string { return at.words }) {
		c.find(l, open, s.stack, rule.Given{}, at)
	}
}

// rollers judges every roller seam: its setting, the wheel's seat on the strip, the overlap, the turns of its path.
func (c *checker) rollers() {
	for i := range c.plan.Seams {
		r := &c.plan.Seams[i]
		s := c.stripOf(r.Flange)
		w, ok := c.shell.Roller(r.Roller)
		if s == nil || !ok {
			c.unchecked("roller seam %s: the shell has no flange %s or no roller %s", r.ID, r.Flange, r.Roller)
			continue
		}
		c.rollerSetting(r, s, w)
		c.rollerOverlap(s)
		c.rollerSeat(r, s, w)
		c.rollerTurns(r, s, w)
	}
}

func (c *checker) rollerSetting(r *layout.Seam, s *strip, w *shell.Roller) {
	l := c.limit("setting.found.least", s.stack, rule.Given{})
	at := place{words: fmt.Sprintf("roller seam %s: stack %s", r.ID, s.stack), at: s.at(s.flange.Length / 2), strip: s, seam: r.ID}
	set, err := roller.Set(s.stack, c.in.Roller(w))
	found := 1.0
	if err != nil {
		found = 0
		at.remedy = err.Error() + ": find a setting by test"
	}
	if !c.keeps(l, found, 0, func() string { return at.words }) {
		c.find(l, found, s.stack, rule.Given{}, at)
		return
	}
	at.words = fmt.Sprintf("roller %s on seam %s", w.ID, r.ID)
	c.unstated(supplyOfRoller(w))
	c.current(supplyOfRoller(w), setting.Setting{Current: set.Current, Weld: set.On}, s, at)
	c.rollerDuty(supplyOfRoller(w), set, s.stack, at)
	pitch := c.limit("roller.pitch.greatest", s.stack, rule.Given{})
	at.words = fmt.Sprintf("roller seam %s: nuggets %s mm apart", r.ID, brief(set.Pitch))
	if !c.keeps(pitch, set.Pitch, slackPlan, func() string { return at.words }) {
		c.find(pitch, set.Pitch, s.stack, rule.Given{}, at)
	}
}

// rollerDuty judges the part of the time with current on, which a seam keeps up without a pause, against the rating.
func (c *checker) rollerDuty(s supply, set roller.Setting, stack rule.Stack, at place) {
	apparent := s.apparent(set.Current)
	if !(s.rating > 0) || !(apparent > 0) {
		return
	}
	l := c.limit("gun.duty.greatest", stack, rule.Given{})
	l.Value, l.Unit = l.Value*100*math.Min(1, 0.5*s.rating/apparent*s.rating/apparent), "% of the time"
	duty := 100 * set.On / (set.On + set.Off)
	words := fmt.Sprintf("%s: %s kVA drawn with current on", at.words, brief(apparent))
	at.words = fmt.Sprintf("%s, the rating of %s kVA at 50 %% duty is passed while rolling", words, brief(s.rating))
	at.remedy = "roll with longer pauses of current, or take a larger head"
	if !c.keeps(l, duty, 1e-6, func() string { return words }) {
		c.find(l, duty, stack, rule.Given{}, at)
	}
}

func (c *checker) rollerOverlap(s *strip) {
	if !s.measure {
		return
	}
	l := c.limit("roller.overlap.least", s.stack, rule.Given{})
	g := stretches{strip: s}
	for i, along := range s.along {
		width := s.flange.Line[i].Left + s.flange.Line[i].Right
		if s.nearEnd(along, width/2) || c.keeps(l, width, slackSide, func() string {
			return fmt.Sprintf("flange %s at %s mm", s.flange.ID,
				brief(along))
		}) {
			g.kept()
			continue
		}
		g.miss(along, width, l.Value, l.Value-width)
	}
	for _, t := range g.close(0) {
		c.find(l, t.value, s.stack, rule.Given{}, t.place(s, fmt.Sprintf("the sheets lie on each other over %s mm under the roller, for %s mm "+
			"from %s mm", tenths(t.value), brief(t.to-t.from), brief(t.from))))
	}
}

// rollerSeat judges the room for the wheel beside the path: half its width, and at a bend the clearance as well.
func (c *checker) rollerSeat(r *layout.Seam, s *strip, w *shell.Roller) {
	if !s.measure || !(w.Wheel > 0) {
		return
	}
	l := c.limit("roller.seat.least", s.stack, rule.Given{})
	half := l.Value * w.Wheel
	g := stretches{strip: s}
	for i := range r.Path {
		p := r.Path[i].R3()
		along, _ := s.line.Nearest(p)
		k := s.index(along)
		off := s.offset(p, along)
		left, right := s.sides(along)
		room := math.Min(s.flange.Line[k].Left-off-c.wheelClear(s, left), s.flange.Line[k].Right+off-c.wheelClear(s, right))
		l.Value, l.Unit = half, "mm"
		if s.nearEnd(along, w.Wheel) || c.keeps(l, room, slackSide, func() string {
			return fmt.Sprintf("roller seam %s at %s mm", r.ID,
				brief(along))
		}) {
			g.kept()
			continue
		}
		g.miss(along, room, half, half-room)
	}
	for _, t := range g.close(0) {
		l.Value = t.limit
		at := t.place(s, fmt.Sprintf("half the wheel of roller %s has %s mm beside the seam, for %s mm from %s mm", w.ID, tenths(t.value),
			brief(t.to-t.from), brief(t.from)))
		at.seam = r.ID
		c.find(l, t.value, s.stack, rule.Given{}, at)
	}
}

func (c *checker) wheelClear(s *strip, side layout.Edge) float64 {
	if side == layout.Bend {
		return s.limits.BendClearance.Value
	}
	return 0
}

// index is the point of the weld line at or before a length along it.
func (s *strip) index(along float64) int {
	return max(0, sort.Search(len(s.along), func(i int) bool { return s.along[i] > along+1e-9 })-1)
}

// offset is how far a place lies off the weld line, to the left of its way.
func (s *strip) offset(p r3.Vector, along float64) float64 {
	axis := s.flange.Line[s.index(along)].Normal.R3()
	return p.Sub(s.at(along)).Dot(axis.Cross(s.tangent(along)))
}

// rollerTurns judges the path's turns in the plane of the sheets and its hollows out of it.
func (c *checker) rollerTurns(r *layout.Seam, s *strip, w *shell.Roller) {
	wheel := roller.Wheel{Width: w.Wheel, LeastRadius: w.LeastRadius}
	limit, err := wheel.Radius(c.in.Book)
	if err != nil {
		c.unchecked("roller %s: %v", w.ID, err)
		return
	}
	bends, err := roller.Bends(vectors(r.Path), vectors(r.Normals), r.Closed, 0)
	if err != nil {
		c.unchecked("roller seam %s: %v", r.ID, err)
		return
	}
	c.tight(r, s, limit, bends, "turns", func(b roller.Bend) float64 { return b.Side })
	if w.Diameter > 0 {
		hollow := c.limit("roller.hollow.least", s.stack, rule.Given{})
		hollow.Value, hollow.Unit = hollow.Value*w.Diameter/2, "mm"
		c.tight(r, s, hollow, bends, "bends out of the sheets' plane", func(b roller.Bend) float64 { return math.Abs(b.Up) })
	}
}

// straight is the radius in mm above which a path counts as straight: what is judged stays a number that can be printed.
const straight = 1e6

func (c *checker) tight(r *layout.Seam, s *strip, l rule.Limit, bends []roller.Bend, does string, of func(roller.Bend) float64) {
	g := stretches{strip: s}
	for i, b := range bends {
		radius := 1 / math.Max(of(b), 1/straight)
		if c.keeps(l, radius, 1e-6*l.Value, func() string { return fmt.Sprintf("roller seam %s at %s mm", r.ID, brief(b.Along)) }) {
			g.kept()
			continue
		}
		g.miss(float64(i), radius, l.Value, l.Value-radius)
	}
	for _, t := range g.list {
		from, to := bends[int(t.from)].Along, bends[int(t.to)].Along
		words := fmt.Sprintf("roller seam %s: the path %s with a radius of %s mm, for %s mm from %s mm", r.ID, does, brief(t.value),
			brief(to-from), brief(from))
		c.find(l, t.value, s.stack, rule.Given{}, place{words: words, at: r.Path[int(t.worst)].R3(), strip: s, seam: r.ID})
	}
}

// corners judges where a bent flange turns in the plane of the sheets without a notch.
func (c *checker) corners() {
	for _, s := range c.strips {
		if !s.measure {
			continue
		}
		l := c.limit("corner.relief.least", s.stack, rule.Given{})
		bends, err := roller.Bends(s.line.Points, vectors(s.flange.Normals()), s.flange.Closed, 0)
		if err != nil {
			c.unchecked("flange %s: %v", s.flange.ID, err)
			continue
		}
		c.corner(s, l, bends)
	}
}

func (c *checker) corner(s *strip, l rule.Limit, bends []roller.Bend) {
	g := stretches{strip: s}
	for i, b := range bends {
		along := s.along[i]
		width := s.flange.Line[i].Left + s.flange.Line[i].Right
		left, right := s.sides(along)
		if left != layout.Bend && right != layout.Bend || !(width > 0) || s.relieved(s.line.Points[i], width) {
			g.kept()
			continue
		}
		times := 1 / math.Max(b.Side, 1/straight) / width
		if c.keeps(l, times, 0.02, func() string { return fmt.Sprintf("flange %s at %s mm", s.flange.ID, brief(along)) }) {
			g.kept()
			continue
		}
		g.miss(along, times, l.Value, l.Value-times)
	}
	for _, t := range g.close(0) {
		c.find(l, t.value, s.stack, rule.Given{}, t.place(s, fmt.Sprintf("it turns with a radius of %s mm, %s times its width, %s mm from its "+
			"start", brief(t.value*s.widthAt(t.worst)), brief(t.value), brief(t.worst))))
	}
}

// relieved reports whether a notch or hole lies within a flange's width of a place.
func (s *strip) relieved(at r3.Vector, width float64) bool {
	for _, h := range s.flange.Holes {
		if h.At.R3().Distance(at) <= h.Radius+width {
			return true
		}
	}
	return false
}

func (s *strip) widthAt(along float64) float64 {
	k := s.index(along)
	return s.flange.Line[k].Left + s.flange.Line[k].Right
}
