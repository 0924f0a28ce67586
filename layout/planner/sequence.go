package planner

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/order"
	"seamwright/layout/stations"
	"seamwright/seams/shell"
)

// ordered is the work of one station in order. Its runs are numbered from 1; in the plan they go on from those of the stations
// before.
type ordered struct {
	order layout.Order
	turns []string // ids of clamps that open one by one, in that order
	apart []layout.Unreached
	welds []layout.Weld // in welding order
	runs  []layout.Run
	seams []layout.Seam
	guns  []string // that are used
	tips  []string
}

// sequence puts each station's work in order and numbers its welds, several stations at once.
func sequence(ctx context.Context, b basis, m means, at *placed, j *joined, r *rolled, s *set, all []armed) ([]ordered, error) {
	n := len(at.stations)
	out := make([]ordered, n)
	var mu sync.Mutex
	done := 0
	err := work.Each(ctx, m.workers, n, func(k int) (err error) {
		i := n - 1 - k // the last ones hold most of the work
		x := sequencing{basis: b, means: m, at: at, joined: j, set: s, station: at.stations[i], own: all[i].welds,
			blocked: all[i].blocked, turns: all[i].turns}
		for _, s := range r.seams {
			if s.station == i {
				x.seams = append(x.seams, s)
			}
		}
		if out[i], err = x.ordered(ctx); err != nil {
			return fmt.Errorf("station %s: %w", at.stations[i].ID, err)
		}
		mu.Lock()
		defer mu.Unlock()
		done++
		m.progress("order the work", done, n)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// sequencing is one station whose work is put in order.
type sequencing struct {
	basis
	means
	*joined
	at      *placed
	set     *set
	station layout.Station
	own     []*armedWeld
	blocked []blocked
	turns   []string
	seams   []*seam
}

// fillMiddle is the shell file's word for filling from the middle outwards, which is also what happens where it says nothing.
const fillMiddle = "middle-out"

// stationWork is what is done at one station, in the order of its stops.
type stationWork struct {
	stops []order.Stop
	welds []*armedWeld // nil where the stop is no weld
	seams []*seam
}

func (w *stationWork) add(stop order.Stop, weld *armedWeld, seam *seam) {
	w.stops, w.welds, w.seams = append(w.stops, stop), append(w.welds, weld), append(w.seams, seam)
}

func (x *sequencing) ordered(ctx context.Context) (ordered, error) {
	if err := ctx.Err(); err != nil {
		return ordered{}, err
	}
	work, e := x.work(), x.shell.Elements
	opt := order.Options{WalkSpeed: e.MoveSpeed, GunChange: e.TakeGun, TipChange: e.TipChange, SetChange: e.SetChange, Posture: e.Posture,
		OneByOne: x.station.OneByOne,
		Pairs:    slices.Concat(x.earlyPairs(work), x.workPairs(work), x.clampPairs(work))}
	key := x.cache.KeyOf("order", cache.Input{Name: "stops", Value: work.stops}, cache.Input{Name: "options", Value: opt})
	plan, err := cache.Get(x.cache, key, func() (order.Plan, error) { return order.Sequence(ctx, work.stops, opt) })
	if err != nil {
		return ordered{}, err
	}
	return x.written(work, plan), nil
}

func (x *sequencing) work() stationWork {
	var out stationWork
	loads, _ := stations.LoadPhases(x.station.Arrives, x.joints, x.shell.PanelsOf, earlyWelds(x.own, x.joints))
	for _, h := range x.station.HoldPoints {
		out.add(order.Stop{ID: holdStop(h.ID), Step: order.Hold, Position: point(h.At), Joints: h.Joints,
			Joint: unresolved(h)}, nil, nil)
	}
	at := map[int]loading{} // by joint: a station may have a thousand welds and ten joints
	for _, w := range x.own {
		if w.apart {
			continue
		}
		joint := w.strip.joint
		if _, ok := at[joint]; !ok {
			at[joint] = x.loadingOf(loads, joint)
		}
		stop := order.Stop{
			ID: fmt.Sprintf("weld %s at %.0f mm", w.strip.id, w.spot.S), Step: order.Step(w.step), Position: w.spot.Position, Axis: w.spot.Axis,
			Joint: x.joints[w.strip.joint].ID, Flange: w.strip.id, Along: w.spot.S, Setting: w.setting, Clamps: w.spot.Clamps,
			Gun: gunID(w.gun), Tip: tipID(w.tip),
		}
		stop.Phase, stop.Loaded = at[joint].phase, at[joint].part
		if fill := x.shell.Joints[w.strip.joint].Fill; fill != fillMiddle && w.step != layout.Tack {
			stop.Pattern = order.Pattern(fill)
		}
		if w.step == layout.Tack {
			_, stop.Pattern = x.tackRule(w.strip)
			if w.strip.flange.Closed {
				stop.Around = w.strip.flange.Length
			}
		}
		if w.step != layout.Tack && len(w.loadedAfter()) == 0 {
			stop.Phase = loads.Phases() - 1 // filled once all is loaded and tacked
		}
		out.add(stop, w, nil)
	}
	for _, s := range x.seams {
		out.add(order.Stop{
			Phase: loads.Phases() - 1,
			ID:    "roller seam " + s.strip.id, Step: order.Roll, Position: s.path[0], End: s.path[len(s.path)-1], Closed: s.strip.flange.Closed,
			Joint: x.joints[s.strip.joint].ID, Flange: s.strip.id, Gun: s.roller.ID, Setting: x.set.rolling[s].id,
		}, nil, s)
	}
	return out
}

// loading is the phase of loading in which a joint is worked on, and the part that it waits for then.
type loading struct {
	phase int
	part  string
}

// loadingOf is that of a joint. Parts behind a hold point are told of with that.
func (x *sequencing) loadingOf(loads stations.Loads, joint int) loading {
	j := x.joints[joint]
	phase := loads.Joint(j)
	if phase == 0 {
		return loading{}
	}
	for _, id := range loads.In(phase) {
		held := slices.ContainsFunc(x.own, func(w *armedWeld) bool { return w.early != nil && w.early.part == id })
		if common(j.Panels, x.shell.PanelsOf(id)) && !held {
			return loading{phase, x.at.partName(id)}
		}
	}
	return loading{phase: phase}
}

// written is the station's work as its order says.
func (x *sequencing) written(work stationWork, plan order.Plan) ordered {
	out := ordered{turns: clampIDs(x.turns), order: layout.Order{Travel: plan.Travel, GunChanges: plan.GunChanges, TipChanges: plan.TipChanges,
		Postures: plan.Postures, Seconds: plan.Seconds,
		Proven: plan.Proven}}
	run := make([]int, len(plan.Order))
	for i, r := range plan.Runs {
		for k := r.From; k < r.From+r.Count; k++ {
			run[k] = i + 1
		}
	}
	runs := map[int]int{}    // run of the order to run of the station
	last := map[*strip]int{} // number of the last weld on a strip so far
	for place, stop := range plan.Order {
		if s := work.seams[stop]; s != nil {
			out.seams = append(out.seams, x.seamOf(s, plan.Runs[run[place]-1].Backwards, last[s.of]))
		}
		w := work.welds[stop]
		if w == nil {
			continue
		}
		number := len(out.welds) + 1
		last[w.strip] = number
		if _, known := runs[run[place]]; !known {
			out.runs = append(out.runs, layout.Run{
				ID: len(out.runs) + 1, Station: x.station.ID, Joint: x.joints[w.strip.joint].ID, Flange: w.strip.id, From: number,
				Gun: gunID(w.gun), Tip: tipID(w.tip), Setting: w.setting, Step: w.step,
			})
			r := &out.runs[len(out.runs)-1]
			if w.step == layout.Tack {
				r.Tacks, _ = x.tackRule(w.strip)
			}
			if x.station.OneByOne && w.step == layout.Released {
				r.Clamps = clampIDs(w.spot.Clamps)
			}
			runs[run[place]] = len(out.runs)
		}
		r := &out.runs[runs[run[place]]-1]
		r.To = number
		r.Count++
		out.guns, out.tips = append(out.guns, gunID(w.gun)), append(out.tips, tipID(w.tip))
		weld := x.weldOf(w, number, r.ID)
		weld.Waits = plan.Waits[stop]
		out.welds = append(out.welds, weld)
	}
	x.addApart(&out)
	for i := range out.runs {
		out.runs[i].Pitch = runPitch(out.runs[i], out.welds)
	}
	return out
}

// weldOf is a weld with its number and run.
func (x *sequencing) weldOf(w *armedWeld, number, run int) layout.Weld {
	return layout.Weld{
		Number: number, Station: x.station.ID, Joint: x.joints[w.strip.joint].ID, Flange: w.strip.id, Run: run,
		Position: vec(w.spot.Position), Axis: vec(w.spot.Axis), Along: w.spot.S, Sheets: w.strip.panels,
		WeldDiameter: w.strip.limits.WeldDiameter.Value, Gun: gunID(w.gun), Tip: tipID(w.tip), Turn: w.turn, Tilt: w.tilt, Clearance: w.air,
		Setting: w.setting, Step: w.step, Left: w.spot.Left, Right: w.spot.Right, Air: w.spot.Gap, Row: w.spot.Row,
		Before: w.loadedAfter(), Unreached: w.apart,
	}
}

// addApart numbers the welds that no gun at hand reaches after all others: they are in no step.
func (x *sequencing) addApart(out *ordered) {
	for _, b := range x.blocked {
		first := x.own[b.welds[0]]
		r := layout.Run{ID: len(out.runs) + 1, Station: x.station.ID, Joint: x.joints[first.strip.joint].ID, Flange: first.strip.id,
			From: len(out.welds) + 1, Count: len(b.welds), Gun: gunID(first.gun), Tip: tipID(first.tip), Setting: first.setting, Step: first.step,
			Blocked: true}
		for _, i := range b.welds {
			out.welds = append(out.welds, x.weldOf(x.own[i], len(out.welds)+1, r.ID))
		}
		r.To = len(out.welds)
		out.runs = append(out.runs, r)
		out.apart = append(out.apart, layout.Unreached{Run: r.ID, Joint: r.Joint, Flange: r.Flange, From: r.From, To: r.To, Count: r.Count,
			Why: b.why, Would: b.would, Measures: b.measures, Helps: b.helps, Force: b.force})
	}
}

func gunID(g *shell.Gun) string {
	if g == nil {
		return ""
	}
	return g.ID
}

func tipID(t *shell.Tip) string {
	if t == nil {
		return ""
	}
	return t.ID
}

// seamOf is a roller seam as it is rolled, after the welds up to a number.
func (x *sequencing) seamOf(s *seam, backwards bool, after int) layout.Seam {
	set := x.set.rolling[s]
	out := layout.Seam{
		ID: s.id, Station: x.station.ID, Joint: x.joints[s.strip.joint].ID, Flange: s.strip.id,
		Roller: s.roller.ID, Setting: set.id, Closed: s.strip.flange.Closed, Length: s.length, Speed: set.speed, Time: set.seconds,
		After: after,
	}
	for i := range s.path {
		out.Path, out.Normals = append(out.Path, vec(s.path[i])), append(out.Normals, vec(s.normals[i]))
	}
	if backwards {
		slices.Reverse(out.Path)
		slices.Reverse(out.Normals)
	}
	return out
}

// runPitch is the pitch between neighbouring welds of a row of the run's flange within the stretch that the run covers.
func runPitch(r layout.Run, welds []layout.Weld) layout.Range {
	var out layout.Range
	n := 0
	last := 1
	for i := range welds {
		last = max(last, welds[i].Row)
	}
	for row := 1; row <= last; row++ {
		var all, own []float64
		for i := range welds {
			w := &welds[i]
			if w.Flange != r.Flange || max(1, w.Row) != row {
				continue
			}
			all = append(all, w.Along)
			if w.Run == r.ID {
				own = append(own, w.Along)
			}
		}
		if len(own) < 2 {
			continue
		}
		slices.Sort(all)
		from, to := slices.Min(own), slices.Max(own)
		for i := 1; i < len(all); i++ {
			if all[i-1] < from || all[i] > to {
				continue
			}
			d := all[i] - all[i-1]
			if n == 0 {
				out.Least = d
			}
			out.Least, out.Greatest, out.Mean = min(out.Least, d), max(out.Greatest, d), out.Mean+d
			n++
		}
	}
	out.Mean /= float64(max(n, 1))
	return out
}
