package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/spots"
	"seamwright/layout/strips"
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
// Holes are judged as edges, keep-outs drawn on panels by their outlines.
func (c *checker) fixturesOf(s *strips.Strip) []fixture {
	var out []fixture
	if k := slices.IndexFunc(c.Plan.Stations, func(st layout.Station) bool { return st.ID == s.Station }); k >= 0 {
		for _, f := range c.Plan.Stations[k].Clamps {
			out = append(out, fixture{"clamp " + f.ID, f.At.R3(), f.Radius, f.Release != layout.AtEnd})
		}
		for _, f := range c.Plan.Stations[k].Dowels {
			out = append(out, fixture{"dowel " + f.ID, f.At.R3(), f.Radius, false})
		}
	}
	for i, k := range s.Stated.KeepOuts {
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
	for _, s := range c.Strips {
		if len(s.Welds) == 0 {
			continue
		}
		l := c.Limit("keep.clear.least", s.Stack, rule.Given{})
		for _, f := range c.fixturesOf(s) {
			for _, w := range s.Welds {
				if f.opens && w.Step == layout.Released {
					continue
				}
				clear := w.Position.R3().Distance(f.at) - f.radius - w.WeldDiameter/2
				if clear > 100 { // elsewhere in the jig
					continue
				}
				c.clearOf(s, w, l, clear, "weld", f.name)
			}
		}
	}
	c.drawnKeepOuts()
}

// drawnOn lists the keep-outs drawn on the sheets of a strip.
func (c *checker) drawnOn(s *strips.Strip) (names []string, outlines []spots.Outline) {
	for _, p := range c.Plan.Panels {
		if !slices.Contains(s.Flange.Panels, p.ID) {
			continue
		}
		for _, o := range p.KeepOuts {
			names, outlines = append(names, spots.Drawn+p.ID), append(outlines, spots.Outline{Points: vectors(o.Points), Closed: o.Closed})
		}
	}
	return names, outlines
}

// drawnKeepOuts judges that neither a weld nor the electrode face comes too near to a drawn keep-out.
func (c *checker) drawnKeepOuts() {
	for _, s := range c.Strips {
		names, outlines := c.drawnOn(s)
		for i, o := range outlines {
			for _, w := range s.Welds {
				distance := o.Distance(w.Position.R3())
				if distance > 100 { // elsewhere on the panel
					continue
				}
				l := c.Limit("keep.clear.least", s.Stack, rule.Given{})
				c.clearOf(s, w, l, distance-w.WeldDiameter/2, "weld", names[i])
				l.Value = 0
				c.clearOf(s, w, l, distance-c.Face(s, w)/2, "the electrode face of weld", names[i])
			}
		}
	}
}

// clearOf judges how far a weld, or what of it, is clear of a keep-out; below zero it stands over it.
func (c *checker) clearOf(s *strips.Strip, w *layout.Weld, l rule.Limit, clear float64, what, from string) {
	how := fmt.Sprintf("is %s mm clear of", finding.Tenths(clear))
	if clear < 0 {
		how = fmt.Sprintf("stands %s mm over", finding.Tenths(-clear))
	}
	words := fmt.Sprintf("flange %s: %s %d %s %s", s.Flange.ID, what, w.Number, how, from)
	at := ledger.Place{Words: words, At: w.Position.R3(), Strip: s, Weld: w.Number}
	if !c.Keeps(l, clear, slackSide, func() string { return words }) {
		c.Find(l, clear, s.Stack, rule.Given{}, at)
	}
}

// ball gives the distance from a ball's surface.
func ball(at r3.Vector, radius float64) func(r3.Vector) float64 {
	return func(p r3.Vector) float64 { return p.Distance(at) - radius }
}

// because names what covers a part of the weld line, in brackets, or is empty.
func (c *checker) because(s *strips.Strip, from, to float64) string {
	var names []string
	rim := s.Limits.WeldDiameter.Value/2 + c.Limit("keep.clear.least", s.Stack, rule.Given{}).Value
	const step = 2.0
	places := []r3.Vector{s.Line.At(min(from, to))}
	for a := from; a < to; a += step {
		places = append(places, s.Line.At(min(a+step, to)))
	}
	covers := func(distance func(r3.Vector) float64) bool {
		return slices.ContainsFunc(places, func(p r3.Vector) bool { return distance(p) < rim })
	}
	for _, f := range c.fixturesOf(s) {
		if covers(ball(f.at, f.radius)) {
			names = append(names, f.name)
		}
	}
	drawn, outlines := c.drawnOn(s)
	for i, o := range outlines {
		if covers(o.Distance) {
			names = append(names, drawn[i])
		}
	}
	for _, h := range s.Flange.Holes {
		if covers(ball(h.At.R3(), h.Radius)) {
			names = append(names, "hole")
		}
	}
	slices.Sort(names)
	if names = slices.Compact(names); len(names) == 0 {
		return ""
	}
	return " (" + strings.Join(names, ", ") + " in the way)"
}

func vectors(points []layout.Vec) []r3.Vector {
	out := make([]r3.Vector, len(points))
	for i, p := range points {
		out[i] = p.R3()
	}
	return out
}
