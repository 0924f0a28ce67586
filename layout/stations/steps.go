package stations

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
)

// Steps writes the work at station i of the plan, in order: prove, load, peg, clamp, mark out, fit, gauge, tack, release, fill,
// roll, dress, inspect, lift out; what is paid for and no welding by the lines of the plan's labour, which is reckoned first. Runs
// are taken in the order of their weld numbers; roller seams come after the spots, in the plan's order. One weld in inspectEvery is
// looked at; 0 leaves the number to the works.
//
// A part whose first joint waits for a hold point is loaded after that hold point, so that an opening is gauged
// before what closes it goes on; a part that would keep guns off some welds is loaded after those. A clamp is closed once
// a joint whose weld line passes under it has all its panels, and one that opens after tacks does so once every such
// joint is tacked.
func Steps(p *layout.Plan, i, inspectEvery int) []layout.Step {
	w := newWriter(p, i)
	w.prove()
	for _, part := range w.station.Arrives {
		if !w.late[part] {
			w.load(part)
		}
	}
	w.fixtures(layout.DoPeg, "Peg with dowel", w.station.Dowels)
	w.clamp()
	w.ready()
	w.gauge(layout.HoldPoint.First)
	w.weld()
	w.gauge(func(layout.HoldPoint) bool { return true }) // those whose joints have no spots here
	w.loadRest()
	w.roll()
	w.dress()
	w.workRest()
	w.inspect(inspectEvery)
	w.liftOut()
	return w.steps
}

// writer gathers the steps of one station.
type writer struct {
	plan    *layout.Plan
	station layout.Station
	runs    []layout.Run
	joints  map[string]layout.Joint
	names   map[string]string // of panels and sub-assemblies
	late    map[string]bool   // arriving parts that are loaded before the first run that needs them
	shut    map[string]bool   // clamps closed
	gauged  map[string]bool   // hold points done
	open    map[string]bool   // clamps opened
	loaded  map[string]bool   // parts loaded
	welded  map[int]bool      // runs made
	rolled  map[string]bool   // seams rolled
	worked  map[string]bool   // work besides welding done
	done    map[doneAt]bool   // joints marked out and fitted
	set     map[string]string // the setting that a gun is at, by gun
	under   map[string][]string
	steps   []layout.Step
}

func newWriter(p *layout.Plan, i int) *writer {
	w := &writer{plan: p, station: p.Stations[i], joints: map[string]layout.Joint{}, names: names(p), gauged: map[string]bool{},
		open: map[string]bool{}, shut: map[string]bool{}, late: map[string]bool{}, done: map[doneAt]bool{}, set: map[string]string{},
		loaded: map[string]bool{}, welded: map[int]bool{}, rolled: map[string]bool{}, worked: map[string]bool{}}
	w.runs = RunsOf(p, w.station)
	for _, j := range p.Joints {
		w.joints[j.ID] = j
	}
	loads := LoadsOf(p, w.station)
	for _, part := range w.station.Arrives {
		w.late[part] = loads.Part(part) > 0
	}
	w.under = underClamps(p, w.station)
	return w
}

// doneAt is a joint and what is done along it.
type doneAt struct {
	do    layout.StepKind
	joint string
}

// RunsOf are a station's runs in welding order.
func RunsOf(p *layout.Plan, s layout.Station) []layout.Run {
	var runs []layout.Run
	for _, r := range p.Runs {
		if r.Station == s.ID && !r.Blocked {
			runs = append(runs, r)
		}
	}
	slices.SortStableFunc(runs, func(a, b layout.Run) int { return cmp.Compare(a.From, b.From) })
	return runs
}

func (w *writer) add(do layout.StepKind, text string, runs ...int) {
	w.steps = append(w.steps, layout.Step{Do: do, Text: text, Runs: runs})
}

func (w *writer) load(part string) {
	w.workBefore(part, false)
	w.loaded[part] = true
	defer w.workReady()
	panels := w.plan.PanelsOf(part)
	mass := 0.0
	for _, p := range w.plan.Panels {
		if slices.Contains(panels, p.ID) {
			mass += p.Mass
		}
	}
	text := "Load " + w.name(part)
	if w.names[part] != "" && !strings.EqualFold(w.names[part], part) {
		text += " (" + part + ")"
	}
	if mass > 0 {
		text += ", " + words.Mass(mass)
	}
	w.add(layout.DoLoad, text+".")
	w.steps[len(w.steps)-1].Parts = []string{part}
}

func (w *writer) fixtures(do layout.StepKind, verb string, list []layout.Fixture) {
	if len(list) == 0 {
		return
	}
	w.add(do, verb+ids(list)+".")
	for _, f := range list {
		w.steps[len(w.steps)-1].Fixtures = append(w.steps[len(w.steps)-1].Fixtures, f.ID)
	}
}

// gauge writes the hold points that are due.
func (w *writer) gauge(due func(layout.HoldPoint) bool) {
	for _, h := range w.station.HoldPoints {
		if !w.gauged[h.ID] && due(h) {
			w.workBefore(h.ID, false)
			w.gauged[h.ID] = true
			w.add(layout.DoGauge, "Hold point "+h.ID+": "+holdPoint(h)+" Weld on only when it is right.")
			w.steps[len(w.steps)-1].Hold = h.ID
			w.workReady()
		}
	}
}

func holdPoint(h layout.HoldPoint) string {
	text := strings.TrimSuffix(h.Text, ".")
	if h.Kind == layout.Symmetry {
		if h.Value != 0 {
			text += fmt.Sprintf(", %s mm", words.Number(h.Value, 2))
		}
		return fmt.Sprintf("%s, within %s mm of what %s measures.", text, words.Number(h.Tolerance, 2), h.With)
	}
	value, tolerance := words.Hold(h)
	if h.Value != 0 {
		text += ", " + value + " mm"
	}
	if h.Tolerance != 0 {
		text += " " + tolerance + " mm"
	}
	return text + "."
}

// weld walks the runs; neighbours alike in step, gun and tip become one step.
func (w *writer) weld() {
	for at := 0; at < len(w.runs); {
		w.before(at)
		w.workBefore(w.runs[at].Joint, w.runs[at].Step == layout.Tack)
		if w.runs[at].Step == layout.Released {
			w.releaseFor(at)
		}
		end := at + 1
		for end < len(w.runs) && alike(w.runs[at], w.runs[end]) && !w.waits(end) {
			end++
		}
		w.welds(w.runs[at:end])
		w.workReady()
		switch next := end < len(w.runs); {
		case next && w.station.OneByOne && w.runs[end].Step == layout.Released: // opened one by one
		case (w.runs[at].Step == layout.Tack || len(w.runs[at].Clamps) > 0) && (!next || w.runs[end].Step != w.runs[at].Step):
			w.releaseTacked(end)
		}
		at = end
	}
}

func tacks(runs []layout.Run) bool {
	return slices.ContainsFunc(runs, func(r layout.Run) bool { return r.Step == layout.Tack })
}

// clamp closes the clamps of which a joint under them has all its panels, and those with none under them.
func (w *writer) clamp() {
	var now []layout.Fixture
	for _, c := range w.station.Clamps {
		joints := w.under[c.ID]
		ready := slices.ContainsFunc(joints, func(id string) bool { return !w.wantsPart(w.joints[id]) })
		if !w.shut[c.ID] && (len(joints) == 0 || ready) {
			w.shut[c.ID] = true
			now = append(now, c)
		}
	}
	w.fixtures(layout.DoClamp, "Close clamp", now)
}

// wantsPart says whether a part that brings panels of the joint is not loaded yet.
func (w *writer) wantsPart(j layout.Joint) bool {
	return slices.ContainsFunc(w.station.Arrives, func(part string) bool { return w.late[part] && Touches(j, w.plan.PanelsOf(part)) })
}

// alike says whether two runs make one step: a step holds one gun, one tip and one setting.
func alike(a, b layout.Run) bool {
	return a.Step == b.Step && a.Gun == b.Gun && a.Tip == b.Tip && a.Setting == b.Setting && slices.Equal(a.Clamps, b.Clamps)
}

// waits says whether something must be done before run i that is not welding.
func (w *writer) waits(i int) bool {
	for _, h := range w.station.HoldPoints {
		if h.Holds(w.runs[i].Joint) && !w.gauged[h.ID] {
			return true
		}
	}
	return w.wantsPart(w.joints[w.runs[i].Joint]) || w.holdsBack(w.runs[i])
}

// before writes the hold points and late loads that run i waits for.
func (w *writer) before(i int) {
	joint := w.runs[i].Joint
	w.gauge(func(h layout.HoldPoint) bool { return h.Holds(joint) })
	if !w.wantsPart(w.joints[joint]) {
		return
	}
	w.loadLate(func(part string) bool { return Touches(w.joints[joint], w.plan.PanelsOf(part)) })
}

// loadRest loads what no run of the station needs, for its roller seams or for another station.
func (w *writer) loadRest() { w.loadLate(func(string) bool { return true }) }

func (w *writer) loadLate(wanted func(part string) bool) {
	for _, part := range w.station.Arrives {
		if w.late[part] && wanted(part) {
			w.late[part] = false
			w.load(part)
		}
	}
	w.clamp()
	w.ready()
}

func (w *writer) welds(runs []layout.Run) {
	var numbers []int
	var joints []string
	count := 0
	for _, r := range runs {
		numbers = append(numbers, r.ID)
		w.welded[r.ID] = true
		count += r.Count
		if !slices.Contains(joints, r.Joint) {
			joints = append(joints, r.Joint)
		}
	}
	first, last := runs[0], runs[len(runs)-1]
	do, verb := layout.DoFill, "Fill"
	switch first.Step {
	case layout.Tack:
		do, verb = layout.DoTack, "Tack"
	case layout.Released:
		verb = "Weld where the clamps were,"
		if len(first.Clamps) > 0 {
			verb = "Weld where clamp" + numbered(first.Clamps) + ","
		}
	}
	text := fmt.Sprintf("%s welds %d to %d (%d)", verb, first.From, last.To, count)
	if first.From == last.To {
		text = fmt.Sprintf("%s weld %d", verb, first.From)
	}
	w.add(do, text+" on joint"+several(joints)+w.tool(first)+w.tackRules(runs)+".", numbers...)
}

func (w *writer) tool(r layout.Run) string {
	if r.Gun == "" {
		return ": which gun is not known, as the station has none"
	}
	text := ": gun " + w.letter(r.Gun)
	if r.Tip != "" {
		text += ", tip " + r.Tip
	}
	switch was := w.set[r.Gun]; {
	case r.Setting == "":
	case was != "" && was != r.Setting:
		text += ", change from setting " + was + " to " + r.Setting
	default:
		text += ", setting " + r.Setting
	}
	w.set[r.Gun] = r.Setting
	return text
}

// releaseFor opens what the run at a place waits for: where clamps open one by one, its own.
func (w *writer) releaseFor(at int) {
	if own := w.runs[at].Clamps; len(own) > 0 {
		before := len(w.open)
		w.release(func(c layout.Fixture) bool { return w.shut[c.ID] && slices.Contains(own, c.ID) })
		if turns := w.station.ClampTurns; len(turns) > 1 && before == 0 && len(w.open) > 0 {
			s := &w.steps[len(w.steps)-1]
			s.Text = strings.TrimSuffix(s.Text, ".") + ": they open in the order " + strings.Join(turns, ", ") + ", the shortest way past them."
		}
		return
	}
	w.releaseTacked(at)
}

// tackRules says how tacks are gone through, where that is not from end to end.
func (w *writer) tackRules(runs []layout.Run) string {
	var words []string
	for _, r := range runs {
		if said := r.Tacks.Said(r.Count); said != "" && !slices.Contains(words, said) {
			words = append(words, said)
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "; " + strings.Join(words, ", ")
}

// releaseTacked opens the clamps whose joints are tacked by the runs before at.
func (w *writer) releaseTacked(at int) {
	rest := w.runs[at:]
	w.release(func(c layout.Fixture) bool {
		joints := w.under[c.ID]
		shut := slices.ContainsFunc(rest, func(r layout.Run) bool { return r.Step == layout.Tack && slices.Contains(joints, r.Joint) })
		return w.shut[c.ID] && c.Release == layout.AfterTacks && !shut && (len(joints) > 0 || !tacks(rest))
	})
}

// release opens the shut clamps that ready picks.
func (w *writer) release(ready func(layout.Fixture) bool) {
	var now []layout.Fixture
	for _, c := range w.station.Clamps {
		if !w.open[c.ID] && ready(c) {
			w.open[c.ID] = true
			now = append(now, c)
		}
	}
	w.fixtures(layout.DoRelease, "Open clamp", now)
}

func (w *writer) roll() {
	for _, r := range w.plan.Seams {
		if r.Station != w.station.ID {
			continue
		}
		w.workBefore(r.Joint, false)
		w.rolled[r.ID] = true
		w.add(layout.DoRoll, fmt.Sprintf("Roll seam %s on joint %s: %.2f m with roller %s at %.2f m/min, %.0f s.", r.ID, r.Joint,
			r.Length/1000, w.roller(r.Roller), r.Speed*60/1000, r.Time))
		w.steps[len(w.steps)-1].Seam = r.ID
		w.workReady()
	}
}

// roller is a roller head as maps name it: by its letter, where the plan has it.
func (w *writer) roller(id string) string {
	for _, r := range w.plan.Rollers {
		if r.ID == id && r.Letter != "" {
			return r.Letter
		}
	}
	return id
}

func (w *writer) inspect(every int) {
	welds := 0
	for _, r := range w.runs {
		welds += r.Count
	}
	switch {
	case welds == 0:
		w.add(layout.DoInspect, "Look over the work.")
	case every > 1:
		w.add(layout.DoInspect, fmt.Sprintf("Look at one weld in %d (%d of %d) and count them all.", every, (welds+every-1)/every, welds))
	default:
		w.add(layout.DoInspect, fmt.Sprintf("Look at all %d welds and count them.", welds))
	}
}

func (w *writer) liftOut() {
	w.release(func(c layout.Fixture) bool { return w.shut[c.ID] })
	product := "the shell"
	if w.station.Makes != "" {
		product = w.name(w.station.Makes)
	}
	w.add(layout.DoLiftOut, "Lift out "+product+".")
}
