package check

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/layout/supply"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// rollers judges every roller seam: its setting, the wheel's seat on the strip, the overlap, the turns of its path.
func (c *checker) rollers() {
	for i := range c.Plan.Seams {
		r := &c.Plan.Seams[i]
		s := c.Of(r.Flange)
		w, ok := c.Shell.Roller(r.Roller)
		if s == nil || !ok {
			c.Unchecked("roller seam %s: the shell has no flange %s or no roller %s", r.ID, r.Flange, r.Roller)
			continue
		}
		c.rollerSetting(r, s, w)
		c.rollerOverlap(s)
		c.rollerSeat(r, s, w)
		c.rollerTurns(r, s, w)
	}
}

func (c *checker) rollerSetting(r *layout.Seam, s *strips.Strip, w *shell.Roller) {
	l := c.Limit("setting.found.least", s.Stack, rule.Given{})
	at := ledger.Place{Words: fmt.Sprintf("roller seam %s: stack %s", r.ID, s.Stack), At: s.Line.At(s.Flange.Length / 2), Strip: s, Seam: r.ID}
	set, err := roller.Set(s.Stack, c.Rules.Roller(w))
	found := 1.0
	if err != nil {
		found = 0
		at.Remedy = err.Error() + ": find a setting by test"
	}
	if !c.Keeps(l, found, 0, func() string { return at.Words }) {
		c.Find(l, found, s.Stack, rule.Given{}, at)
		return
	}
	at.Words = fmt.Sprintf("roller %s on seam %s", w.ID, r.ID)
	c.Unstated(supply.OfRoller(w))
	c.Current(supply.OfRoller(w), setting.Setting{Current: set.Current, Weld: set.On}, s, at)
	c.rollerDuty(supply.OfRoller(w), set, s.Stack, at)
	pitch := c.Limit("roller.pitch.greatest", s.Stack, rule.Given{})
	at.Words = fmt.Sprintf("roller seam %s: nuggets %s mm apart", r.ID, finding.Brief(set.Pitch))
	if !c.Keeps(pitch, set.Pitch, ledger.SlackPlan, func() string { return at.Words }) {
		c.Find(pitch, set.Pitch, s.Stack, rule.Given{}, at)
	}
}

// rollerDuty judges the part of the time with current on, which a seam keeps up without a pause, against the rating.
func (c *checker) rollerDuty(s supply.Supply, set roller.Setting, stack rule.Stack, at ledger.Place) {
	apparent := s.Apparent(set.Current)
	if !(s.Rating > 0) || !(apparent > 0) {
		return
	}
	l := c.Limit("gun.duty.greatest", stack, rule.Given{})
	l.Value, l.Unit = l.Value*100*math.Min(1, 0.5*s.Rating/apparent*s.Rating/apparent), "% of the time"
	duty := 100 * set.On / (set.On + set.Off)
	words := fmt.Sprintf("%s: %s kVA drawn with current on", at.Words, finding.Brief(apparent))
	at.Words = fmt.Sprintf("%s, the rating of %s kVA at 50 %% duty is passed while rolling", words, finding.Brief(s.Rating))
	at.Remedy = "roll with longer pauses of current, or take a larger head"
	if !c.Keeps(l, duty, 1e-6, func() string { return words }) {
		c.Find(l, duty, stack, rule.Given{}, at)
	}
}

func (c *checker) rollerOverlap(s *strips.Strip) {
	if !s.Measured {
		return
	}
	l := c.Limit("roller.overlap.least", s.Stack, rule.Given{})
	g := stretches{strip: s}
	for i, along := range s.Along {
		width := s.Flange.Line[i].Left + s.Flange.Line[i].Right
		if s.NearEnd(along, width/2) || c.Keeps(l, width, slackSide, func() string {
			return fmt.Sprintf("flange %s at %s mm", s.Flange.ID,
				finding.Brief(along))
		}) {
			g.kept()
			continue
		}
		g.miss(along, width, l.Value, l.Value-width)
	}
	for _, t := range g.close(0) {
		c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, fmt.Sprintf("the sheets lie on each other over %s mm under the roller, for %s mm "+
			"from %s mm", finding.Tenths(t.value), finding.Brief(t.to-t.from), finding.Brief(t.from))))
	}
}

// rollerSeat judges the room for the wheel beside the path: half its width, and at a bend the clearance as well.
func (c *checker) rollerSeat(r *layout.Seam, s *strips.Strip, w *shell.Roller) {
	if !s.Measured || !(w.Wheel > 0) {
		return
	}
	l := c.Limit("roller.seat.least", s.Stack, rule.Given{})
	half := l.Value * w.Wheel
	g := stretches{strip: s}
	for i := range r.Path {
		p := r.Path[i].R3()
		along, _ := s.Line.Nearest(p)
		k := s.Index(along)
		off := s.Offset(p, along)
		left, right := s.Sides(along)
		room := math.Min(s.Flange.Line[k].Left-off-c.wheelClear(s, left), s.Flange.Line[k].Right+off-c.wheelClear(s, right))
		l.Value, l.Unit = half, "mm"
		if s.NearEnd(along, w.Wheel) || c.Keeps(l, room, slackSide, func() string {
			return fmt.Sprintf("roller seam %s at %s mm", r.ID,
				finding.Brief(along))
		}) {
			g.kept()
			continue
		}
		g.miss(along, room, half, half-room)
	}
	for _, t := range g.close(0) {
		l.Value = t.limit
		at := t.place(s, fmt.Sprintf("half the wheel of roller %s has %s mm beside the seam, for %s mm from %s mm", w.ID, finding.Tenths(t.value),
			finding.Brief(t.to-t.from), finding.Brief(t.from)))
		at.Seam = r.ID
		c.Find(l, t.value, s.Stack, rule.Given{}, at)
	}
}

func (c *checker) wheelClear(s *strips.Strip, side layout.Edge) float64 {
	if side == layout.Bend {
		return s.Limits.BendClearance.Value
	}
	return 0
}

// rollerTurns judges the path's turns in the plane of the sheets and its hollows out of it.
func (c *checker) rollerTurns(r *layout.Seam, s *strips.Strip, w *shell.Roller) {
	wheel := roller.Wheel{Width: w.Wheel, LeastRadius: w.LeastRadius}
	limit, err := wheel.Radius(c.Rules.Book)
	if err != nil {
		c.Unchecked("roller %s: %v", w.ID, err)
		return
	}
	bends, err := roller.Bends(vectors(r.Path), vectors(r.Normals), r.Closed, 0)
	if err != nil {
		c.Unchecked("roller seam %s: %v", r.ID, err)
		return
	}
	c.tight(r, s, limit, bends, "turns", func(b roller.Bend) float64 { return b.Side })
	if w.Diameter > 0 {
		hollow := c.Limit("roller.hollow.least", s.Stack, rule.Given{})
		hollow.Value, hollow.Unit = hollow.Value*w.Diameter/2, "mm"
		c.tight(r, s, hollow, bends, "bends out of the sheets' plane", func(b roller.Bend) float64 { return math.Abs(b.Up) })
	}
}

// straight is the radius in mm above which a path counts as straight: what is judged stays a number that can be printed.
const straight = 1e6

func (c *checker) tight(r *layout.Seam, s *strips.Strip, l rule.Limit, bends []roller.Bend, does string, of func(roller.Bend) float64) {
	g := stretches{strip: s}
	for i, b := range bends {
		radius := 1 / math.Max(of(b), 1/straight)
		if c.Keeps(l, radius, 1e-6*l.Value, func() string { return fmt.Sprintf("roller seam %s at %s mm", r.ID, finding.Brief(b.Along)) }) {
			g.kept()
			continue
		}
		g.miss(float64(i), radius, l.Value, l.Value-radius)
	}
	for _, t := range g.list {
		from, to := bends[int(t.from)].Along, bends[int(t.to)].Along
		words := fmt.Sprintf("roller seam %s: the path %s with a radius of %s mm, for %s mm from %s mm", r.ID, does, finding.Brief(t.value),
			finding.Brief(to-from), finding.Brief(from))
		c.Find(l, t.value, s.Stack, rule.Given{}, ledger.Place{Words: words, At: r.Path[int(t.worst)].R3(), Strip: s, Seam: r.ID})
	}
}

// corners judges where a bent flange turns in the plane of the sheets without a notch.
func (c *checker) corners() {
	for _, s := range c.Strips {
		if !s.Measured {
			continue
		}
		l := c.Limit("corner.relief.least", s.Stack, rule.Given{})
		bends, err := roller.Bends(s.Line.Points, vectors(s.Flange.Normals()), s.Flange.Closed, 0)
		if err != nil {
			c.Unchecked("flange %s: %v", s.Flange.ID, err)
			continue
		}
		c.corner(s, l, bends)
	}
}

func (c *checker) corner(s *strips.Strip, l rule.Limit, bends []roller.Bend) {
	g := stretches{strip: s}
	for i, b := range bends {
		along := s.Along[i]
		width := s.Flange.Line[i].Left + s.Flange.Line[i].Right
		left, right := s.Sides(along)
		if left != layout.Bend && right != layout.Bend || !(width > 0) || relieved(s, s.Line.Points[i], width) {
			g.kept()
			continue
		}
		times := 1 / math.Max(b.Side, 1/straight) / width
		if c.Keeps(l, times, 0.02, func() string { return fmt.Sprintf("flange %s at %s mm", s.Flange.ID, finding.Brief(along)) }) {
			g.kept()
			continue
		}
		g.miss(along, times, l.Value, l.Value-times)
	}
	for _, t := range g.close(0) {
		c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, fmt.Sprintf("it turns with a radius of %s mm, %s times its width, %s mm from its "+
			"start", finding.Brief(t.value*s.Width(t.worst)), finding.Brief(t.value), finding.Brief(t.worst))))
	}
}

// relieved reports whether a notch or hole lies within a flange's width of a place.
func relieved(s *strips.Strip, at r3.Vector, width float64) bool {
	for _, h := range s.Flange.Holes {
		if h.At.R3().Distance(at) <= h.Radius+width {
			return true
		}
	}
	return false
}
