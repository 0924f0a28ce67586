package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/rule"
)

// fixture is a ball that welds keep clear of.
type fixture struct {
	name   string
	at     r3.Vector
	radius float64
	opens  bool // a clamp that is open by the time released welds are made
}

// fixturesOf lists what stands in the way of a strip's welds: the station's clamps and dowels, the joint's keep-outs.
// Holes are judged as edges. Keep-outs drawn on panels are not in the plan.
func (c *checker) fixturesOf(s *strip) []fixture {
	var out []fixture
	if k := slices.IndexFunc(c.plan.Stations, func(st layout.Station) bool { return st.ID == s.station }); k >= 0 {
		for _, f := range c.plan.Stations[k].Clamps {
			out = append(out, fixture{"clamp " + f.ID, vector(f.At), f.Radius, f.Release != "end"})
		}
		for _, f := range c.plan.Stations[k].Dowels {
			out = append(out, fixture{"dowel " + f.ID, vector(f.At), f.Radius, false})
		}
	}
	for i, k := range s.stated.KeepOuts {
		name := k.Why
		if name == "" {
			name = fmt.Sprintf("keep-out %d", i+1)
		}
		out = append(out, fixture{name, r3.Vector{X: k.At[0], Y: k.At[1], Z: k.At[2]}, k.Radius, false})
	}
	return out
}

// fixtures judges that welds are clear of what is shut or stands when they are made.
func (c *checker) fixtures() {
	for _, s := range c.strips {
		if len(s.welds) == 0 {
			continue
		}
		l := c.limit("keep.clear.least", s.stack, rule.Given{})
		for _, f := range c.fixturesOf(s) {
			for _, w := range s.welds {
				if f.opens && w.Step == "released" {
					continue
				}
				clear := vector(w.Position).Distance(f.at) - f.radius - w.WeldDiameter/2
				if clear > 100 { // elsewhere in the jig
					continue
				}
				at := place{words: fmt.Sprintf("flange %s: weld %d is %s mm clear of %s", s.flange.ID, w.Number, tenths(clear), f.name), at: vector(w.Position), strip: s, weld: w.Number}
				if !c.keeps(l, clear, slackSide, func() string { return at.words }) {
					c.find(l, clear, s.stack, rule.Given{}, at)
				}
			}
		}
	}
	c.unchecked("keep-outs drawn on a panel's outline: the plan does not hold them; the layout keeps welds out of them")
}

// because names what covers a part of the weld line, in brackets, or is empty.
func (c *checker) because(s *strip, from, to float64) string {
	var names []string
	rim := s.limits.WeldDiameter.Value/2 + c.limit("keep.clear.least", s.stack, rule.Given{}).Value
	covers := func(at r3.Vector, radius float64) bool {
		const step = 2.0
		for a := from; ; a += step {
			if s.at(min(a, to)).Distance(at) < radius+rim {
				return true
			}
			if a >= to {
				return false
			}
		}
	}
	for _, f := range c.fixturesOf(s) {
		if covers(f.at, f.radius) {
			names = append(names, f.name)
		}
	}
	for _, h := range s.flange.Holes {
		if covers(vector(h.At), h.Radius) {
			names = append(names, "hole")
		}
	}
	slices.Sort(names)
	if names = slices.Compact(names); len(names) == 0 {
		return ""
	}
	return " (" + strings.Join(names, ", ") + " in the way)"
}
