package crews

import (
	"context"
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/stations"
	"seamwright/layout/words"
	"seamwright/seams/shell"
)

// Duty is a piece of work that one crew does in one go: loading a part, closing the clamps, gauging, a joint's spots or
// seams, lifting out.
type Duty struct {
	Text       string
	Jig        string  // id of the station of the plan whose jig it is done in
	Joint      string  // id of the joint; empty for handling
	ManMinutes float64 // averaged over the batch
	After      []int   // indices of the duties that come before it
	spots      bool
}

// Duties cuts the plan's work into duties with what each must wait for: a part made at another jig for its lifting out
// there; clamps for all parts; a joint for the parts that bring its panels, the clamps, the tools with their test coupons
// (taken up once the first part lies in the jig) and the hold points before it; a part that would keep guns off some welds
// for the joints of these welds, and what hangs on that part for it; a roller seam for the joint's spots; lifting out for
// everything at the jig. A part that a hold point keeps out waits for that. The minutes add up to those of the labour,
// but for its rounding.
//
// Errors are those of labour.Accounts.
func Duties(ctx context.Context, p *layout.Plan, sh *shell.Shell) ([]Duty, error) {
	accounts, err := labour.Accounts(ctx, p, sh)
	if err != nil {
		return nil, err
	}
	pace, err := labour.PaceOf(sh)
	if err != nil {
		return nil, fmt.Errorf("duties: %w", err)
	}
	d := dealer{plan: p, shell: sh, pace: pace, leaves: map[string]int{}}
	for i := range p.Stations {
		d.jig(i, accounts)
	}
	d.awaitParts()
	return d.list, nil
}

// dealer makes the duties, jig after jig.
type dealer struct {
	plan   *layout.Plan
	shell  *shell.Shell
	pace   labour.Pace
	list   []Duty
	leaves map[string]int // sub-assembly to the duty with which it leaves its jig
	parts  []loading
}

// loading is the duty that brings a part.
type loading struct {
	duty int
	part string
}

func (d *dealer) add(duty Duty) int {
	d.list = append(d.list, duty)
	return len(d.list) - 1
}

// handling is the man-minutes of a station's handling by the moment at which it is done.
type handling struct{ load, carry, clamp, gauge, tools, lift float64 }

func (d *dealer) handling(a labour.Account) handling {
	var h handling
	for _, p := range a.Work {
		t := d.pace.Seconds(p, d.shell) / 60
		switch p.Kind {
		case layout.WorkLoad:
			h.load += t
		case layout.WorkCarry:
			h.carry += t
		case layout.WorkPeg, layout.WorkClamp:
			h.clamp += t
		case layout.WorkOther: // duties of their own
		case layout.WorkGauge:
			h.gauge += t
		case layout.WorkRelease, layout.WorkLiftOut:
			h.lift += t
		default:
			h.tools += t
		}
	}
	return h
}

// jig adds the duties of one station of the plan.
func (d *dealer) jig(i int, accounts []labour.Account) {
	s := d.plan.Stations[i]
	var h handling
	var own []labour.Account
	for _, a := range accounts {
		switch {
		case a.Station != s.ID:
		case a.Kind == labour.Handling:
			h = d.handling(a)
		default:
			own = append(own, a)
		}
	}
	first := len(d.list)
	in := d.loadAndClamp(s, h)
	loads := in.loads
	var tools []int
	if h.tools > 0 {
		tools = []int{d.add(Duty{Text: "take the tools, prove them on test coupons", Jig: s.ID, ManMinutes: h.tools,
			After: loads[:min(1, len(loads))]})}
	}
	gauges := d.gauges(s, h.gauge, in)
	for _, a := range own {
		joint := d.plan.Joints[slices.IndexFunc(d.plan.Joints, func(j layout.Joint) bool { return j.ID == a.Joint })]
		after := slices.Concat(tools, gauges[""], gauges[a.Joint])
		if phase := in.phases.Joint(joint); in.clamped {
			after = append(after, in.ready[phase]...)
		} else {
			after = append(after, d.bringing(loads, joint)...)
		}
		d.joint(a, after)
	}
	d.loadAfter(in, s, first, gauges)
	d.work(s, in, first)
	var all []int
	for k := first; k < len(d.list); k++ {
		all = append(all, k)
	}
	lift := d.add(Duty{Text: "open the clamps and lift out", Jig: s.ID, ManMinutes: h.lift, After: all})
	if s.Makes != "" {
		d.leaves[s.Makes] = lift
	}
}

// loaded is the loading and clamping of a station.
type loaded struct {
	phases  stations.Loads
	held    map[string]string // parts that hold points keep out: joint before which they are loaded
	loads   []int             // duties, in the order of loading
	parts   []string
	ready   [][]int // by phase: what must be done before its welds
	clamped bool
}

// loadAndClamp adds the loading of each part, phase after phase in the stated order, and the closing of the clamps.
func (d *dealer) loadAndClamp(s layout.Station, h handling) loaded {
	in := loaded{phases: stations.LoadsOf(d.plan, s), held: stations.HeldBack(d.plan, s), clamped: len(s.Clamps)+len(s.Dowels) > 0}
	closed := in.phases.ClampPhases(d.plan, s)
	seconds := d.shell.Elements
	bare := float64(len(s.Clamps))*seconds.Clamp + float64(len(s.Dowels))*seconds.Dowel
	for phase := range in.phases.Phases() {
		for _, part := range in.phases.In(phase) {
			duty := Duty{Text: "load " + part, Jig: s.ID, ManMinutes: d.loadMinutes(s, h, part)}
			if last := len(in.loads) - 1; last >= 0 {
				duty.After = []int{in.loads[last]}
			}
			in.loads, in.parts = append(in.loads, d.add(duty)), append(in.parts, part)
			d.parts = append(d.parts, loading{in.loads[len(in.loads)-1], part})
		}
		text, own := "clamp "+words.And(in.phases.In(phase)), 0.0
		for _, c := range s.Clamps {
			if closed[c.ID] == phase {
				own += seconds.Clamp
			}
		}
		if phase == 0 {
			text, own = "peg and clamp", own+float64(len(s.Dowels))*seconds.Dowel
		}
		ready := slices.Clone(in.loads)
		if in.clamped && (own > 0 || phase == 0) {
			share := 1.0
			if bare > 0 {
				share = own / bare
			}
			ready = []int{d.add(Duty{Text: text, Jig: s.ID, ManMinutes: h.clamp * share, After: ready})}
		}
		in.ready = append(in.ready, ready)
	}
	return in
}

// before is the phase in which a hold point before a joint can be gauged: while the parts that it keeps out are away.
func (in loaded) before(j layout.Joint) int {
	phase := in.phases.Joint(j)
	for _, part := range in.parts {
		if in.held[part] == j.ID {
			phase = min(phase, in.phases.Part(part)-1)
		}
	}
	return phase
}

// loadMinutes is the man-minutes of loading one part: its share of the parts and of their mass.
func (d *dealer) loadMinutes(s layout.Station, h handling, part string) float64 {
	mass := func(part string) float64 {
		sum := 0.0
		for _, id := range d.plan.PanelsOf(part) {
			for _, p := range d.plan.Panels {
				if p.ID == id {
					sum += p.Mass
				}
			}
		}
		return sum
	}
	all := 0.0
	for _, p := range s.Arrives {
		all += mass(p)
	}
	t := h.load / float64(len(s.Arrives))
	if all > 0 {
		t += h.carry * mass(part) / all
	}
	return t
}

// loadAfter lets each part that is loaded between welds wait for the joints with welds that it would keep guns off, and
// for the hold points that keep it out.
func (d *dealer) loadAfter(in loaded, s layout.Station, first int, gauges map[string][]int) {
	for k, part := range in.parts {
		if joint, held := in.held[part]; held {
			d.list[in.loads[k]].After = append(d.list[in.loads[k]].After, gauges[joint]...)
		}
	}
	for _, e := range stations.EarlyWelds(d.plan, s.ID) {
		at := slices.Index(in.parts, e.Part)
		if at < 0 {
			continue
		}
		for k := first; k < len(d.list); k++ {
			if d.list[k].Joint == e.Joint && d.list[k].spots && !slices.Contains(d.list[in.loads[at]].After, k) {
				d.list[in.loads[at]].After = append(d.list[in.loads[at]].After, k)
			}
		}
	}
}

// work adds what is done besides welding, between what it waits for and what waits for it.
func (d *dealer) work(s layout.Station, in loaded, first int) {
	own := map[string]int{}
	for _, w := range s.Work {
		own[w.ID] = d.add(Duty{Text: w.Name, Jig: s.ID, ManMinutes: d.pace.Seconds(labour.Piece{Kind: layout.WorkOther, Count: float64(w.Crew),
			Each: 60 * w.Minutes}, d.shell) / 60})
	}
	last := len(d.list) - len(s.Work)
	meant := func(id string) []int {
		var out []int
		if k, ok := own[id]; ok {
			out = append(out, k)
		}
		if at := slices.Index(in.parts, id); at >= 0 {
			out = append(out, in.loads[at])
		}
		for k := first; k < last; k++ {
			if d.list[k].Joint == id || d.list[k].Text == "gauge "+id || id == layout.Tacks && d.list[k].spots {
				out = append(out, k)
			}
		}
		return out
	}
	for _, w := range s.Work {
		for _, id := range w.After {
			if id != layout.Tacks { // tacks are no duty of their own
				d.list[own[w.ID]].After = append(d.list[own[w.ID]].After, meant(id)...)
			}
		}
		for _, id := range w.Before {
			for _, k := range meant(id) {
				d.list[k].After = append(d.list[k].After, own[w.ID])
			}
		}
	}
}

// gauges adds the hold points, by the joint that waits for them; those that every joint waits for stand under "".
func (d *dealer) gauges(s layout.Station, minutes float64, in loaded) map[string][]int {
	out := map[string][]int{}
	for _, h := range s.HoldPoints {
		phase := -1
		var held []string
		for _, j := range d.plan.Joints {
			if j.Station == s.ID && h.Holds(j.ID) {
				if held = append(held, j.ID); phase < 0 || in.before(j) < phase {
					phase = in.before(j)
				}
			}
		}
		if len(held) == 0 {
			held, phase = h.Stated(), 0
		}
		if h.First() {
			held = []string{""}
		}
		duty := d.add(Duty{Text: "gauge " + h.ID, Jig: s.ID, ManMinutes: minutes / float64(len(s.HoldPoints)),
			After: slices.Clone(in.ready[phase])})
		for _, id := range held {
			out[id] = append(out[id], duty)
		}
	}
	return out
}

// bringing are those of the loadings after which all panels of the joint lie in the jig.
func (d *dealer) bringing(loads []int, joint layout.Joint) []int {
	var out []int
	for _, l := range d.parts {
		if slices.Contains(loads, l.duty) && stations.Touches(joint, d.plan.PanelsOf(l.part)) {
			out = append(out, l.duty)
		}
	}
	return out
}

// joint adds a joint's spots or seams; seams come after the joint's spots at the same jig, which stand just before.
func (d *dealer) joint(a labour.Account, after []int) {
	text := "weld " + a.Joint
	if a.Kind == labour.Rolling {
		text = "roll " + a.Joint
		if last := len(d.list) - 1; last >= 0 && d.list[last].Joint == a.Joint && d.list[last].Jig == a.Station {
			after = append(after, last)
		}
	}
	d.add(Duty{Text: text, Jig: a.Station, Joint: a.Joint, ManMinutes: d.pace.Minutes(a, d.shell), After: after,
		spots: a.Kind == labour.Spots})
}

// awaitParts lets the loading of a sub-assembly wait until it has left its jig.
func (d *dealer) awaitParts() {
	for _, l := range d.parts {
		if leaves, ok := d.leaves[l.part]; ok {
			d.list[l.duty].After = append(d.list[l.duty].After, leaves)
		}
	}
}
