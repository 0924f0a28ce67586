package stations

import (
	"slices"

	"seamwright/layout"
)

// Early says that welds of a joint are made before a part is loaded, which would keep every gun off them.
type Early struct{ Joint, Part string }

// Loads says in how many goes the parts of one station are loaded, with welding in between: those of phase 0 before any
// weld. Parts that nothing holds back are of phase 0.
type Loads struct {
	joints   []layout.Joint
	panelsOf func(part string) []string
	parts    []string // that arrive, in the stated order
	phase    map[string]int
}

// LoadPhases finds the earliest phase of every part such that each joint with early welds has all its panels before the
// part in their way is loaded; panelsOf tells what a part that arrives is made of. Where parts wait for each other in a
// circle there is no such order: circle is then the early welds that make it, in turn.
func LoadPhases(arrives []string, joints []layout.Joint, panelsOf func(part string) []string, early []Early) (l Loads, circle []Early) {
	l = Loads{joints: joints, panelsOf: panelsOf, parts: arrives, phase: map[string]int{}}
	return l, l.putOff(early)
}

// putOff lets parts wait for the joints with early welds; it returns a circle where they wait for each other.
func (l Loads) putOff(early []Early) (circle []Early) {
	set := map[string]Early{} // by part: what put it where it is
	for again := true; again; {
		again = false
		for _, e := range early {
			at := slices.IndexFunc(l.joints, func(j layout.Joint) bool { return j.ID == e.Joint })
			if at < 0 || !slices.Contains(l.parts, e.Part) {
				continue
			}
			next := l.Joint(l.joints[at]) + 1
			if next <= l.phase[e.Part] {
				continue
			}
			l.phase[e.Part], set[e.Part], again = next, e, true
			if next > 2*len(l.parts) { // a part can be put off once by a hold point and once by each other part
				return l.circle(e, set)
			}
		}
	}
	return nil
}

// circle goes back from a part to the one that put it off, until it comes round.
func (l Loads) circle(e Early, set map[string]Early) []Early {
	var way []Early
	for !slices.Contains(way, e) {
		way = append(way, e)
		e = set[l.last(e.Joint)]
	}
	way = way[slices.Index(way, e):]
	slices.Reverse(way)
	return way
}

// last is the part of a joint that is loaded last.
func (l Loads) last(joint string) string {
	out := ""
	for _, j := range l.joints {
		if j.ID != joint {
			continue
		}
		for _, part := range l.parts {
			if Touches(j, l.panelsOf(part)) && (out == "" || l.phase[part] > l.phase[out]) {
				out = part
			}
		}
	}
	return out
}

// Part is the phase of a part, Joint that of the last part that brings panels of a joint, and so of its welds.
func (l Loads) Part(part string) int { return l.phase[part] }

// Joint is the phase in which a joint is welded.
func (l Loads) Joint(j layout.Joint) int {
	phase := 0
	for _, part := range l.parts {
		if Touches(j, l.panelsOf(part)) {
			phase = max(phase, l.phase[part])
		}
	}
	return phase
}

// In are the parts of a phase, in the stated order.
func (l Loads) In(phase int) []string {
	return slices.DeleteFunc(slices.Clone(l.parts), func(part string) bool { return l.phase[part] != phase })
}

// Phases is how many there are.
func (l Loads) Phases() int {
	n := 1
	for _, part := range l.parts {
		n = max(n, l.phase[part]+1)
	}
	return n
}

// EarlyWelds lists what the welds of a station say about parts that are loaded after them, each once.
func EarlyWelds(p *layout.Plan, station string) []Early {
	var out []Early
	for _, w := range p.Welds {
		if w.Station != station {
			continue
		}
		for _, part := range w.Before {
			if e := (Early{w.Joint, part}); !slices.Contains(out, e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// LoadsOf is the phases of a finished plan, in which no circle is left: parts also wait for the hold points that keep
// them out.
func LoadsOf(p *layout.Plan, s layout.Station) Loads {
	l := Loads{joints: p.Joints, panelsOf: p.PanelsOf, parts: s.Arrives, phase: map[string]int{}}
	for part := range HeldBack(p, s) {
		l.phase[part] = 1
	}
	l.putOff(EarlyWelds(p, s.ID))
	return l
}

// HeldBack are the parts of a finished plan that hold points keep out, with the joint before which they are loaded.
func HeldBack(p *layout.Plan, s layout.Station) map[string]string {
	joints := map[string]layout.Joint{}
	for _, j := range p.Joints {
		joints[j.ID] = j
	}
	return lateParts(p, s, RunsOf(p, s), joints)
}

// ClampPhases says in which phase each clamp of a station can be closed: when the first joint under it can be welded.
func (l Loads) ClampPhases(p *layout.Plan, s layout.Station) map[string]int {
	under := underClamps(p, s)
	out := map[string]int{}
	for _, c := range s.Clamps {
		for k, id := range under[c.ID] {
			at := slices.IndexFunc(l.joints, func(j layout.Joint) bool { return j.ID == id })
			phase := l.Joint(l.joints[at])
			if k == 0 || phase < out[c.ID] {
				out[c.ID] = phase
			}
		}
	}
	return out
}
