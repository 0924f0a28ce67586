package planner

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/arming"
	"seamwright/layout/joining"
	"seamwright/layout/laying"
	"seamwright/layout/order"
	"seamwright/layout/stations"
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
func sequence(ctx context.Context, b joining.Basis, m joining.Means, at *joining.Placed, j *joining.Joined, r *laying.Rolled,
	s *laying.Set, all []arming.Armed) ([]ordered, error) {
	n := len(at.Stations)
	out := make([]ordered, n)
	var mu sync.Mutex
	done := 0
	err := work.Each(ctx, m.Workers, n, func(k int) (err error) {
		i := n - 1 - k // the last ones hold most of the work
		x := sequencing{Basis: b, Means: m, at: at, Joined: j, set: s, station: at.Stations[i], own: all[i].Welds,
			blocked: all[i].Blocked, turns: all[i].Turns}
		for _, s := range r.Seams {
			if s.Station == i {
				x.seams = append(x.seams, s)
			}
		}
		if out[i], err = x.ordered(ctx); err != nil {
			return fmt.Errorf("station %s: %w", at.Stations[i].ID, err)
		}
		mu.Lock()
		defer mu.Unlock()
		done++
		m.Progress("order the work", done, n)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// sequencing is one station whose work is put in order.
type sequencing struct {
	joining.Basis
	joining.Means
	*joining.Joined
	at      *joining.Placed
	set     *laying.Set
	station layout.Station
	own     []*arming.ArmedWeld
	blocked []arming.Blocked
	turns   []string
	seams   []*laying.Seam
}

// fillMiddle is the shell file's word for filling from the middle outwards, which is also what happens where it says nothing.
const fillMiddle = "middle-out"

// stationWork is what is done at one station, in the order of its stops.
type stationWork struct {
	stops []order.Stop
	welds []*arming.ArmedWeld // nil where the stop is no weld
	seams []*laying.Seam
}

func (w *stationWork) add(stop order.Stop, weld *arming.ArmedWeld, seam *laying.Seam) {
	w.stops, w.welds, w.seams = append(w.stops, stop), append(w.welds, weld), append(w.seams, seam)
}

func (x *sequencing) ordered(ctx context.Context) (ordered, error) {
	if err := ctx.Err(); err != nil {
		return ordered{}, err
	}
	work, e := x.work(), x.Shell.Elements
	opt := order.Options{WalkSpeed: e.MoveSpeed, GunChange: e.TakeGun, TipChange: e.TipChange, SetChange: e.SetChange, Posture: e.Posture,
		OneByOne: x.station.OneByOne,
		Pairs:    slices.Concat(x.earlyPairs(work), x.workPairs(work), x.clampPairs(work))}
	key := x.Cache.KeyOf("order", cache.Input{Name: "stops", Value: work.stops}, cache.Input{Name: "options", Value: opt})
	plan, err := cache.Get(x.Cache, key, func() (order.Plan, error) { return order.Sequence(ctx, work.stops, opt) })
	if err != nil {
		return ordered{}, err
	}
	return x.written(work, plan), nil
}

func (x *sequencing) work() stationWork {
	var out stationWork
	loads, _ := stations.LoadPhases(x.station.Arrives, x.Joints, x.Shell.PanelsOf, arming.EarlyWelds(x.own, x.Joints))
	for _, h := range x.station.HoldPoints {
		out.add(order.Stop{ID: holdStop(h.ID), Step: order.Hold, Position: joining.Point(h.At), Joints: h.Joints,
			Joint: unresolved(h)}, nil, nil)
	}
	at := map[int]loading{} // by joint: a station may have a thousand welds and ten joints
	for _, w := range x.own {
		if w.Apart {
			continue
		}
		joint := w.Strip.Joint
		if _, ok := at[joint]; !ok {
			at[joint] = x.loadingOf(loads, joint)
		}
		stop := order.Stop{
			ID: fmt.Sprintf("weld %s at %.0f mm", w.Strip.ID, w.Spot.S), Step: order.Step(w.Step), Position: w.Spot.Position, Axis: w.Spot.Axis,
			Joint: x.Joints[w.Strip.Joint].ID, Flange: w.Strip.ID, Along: w.Spot.S, Setting: w.Setting, Clamps: w.Spot.Clamps,
			Gun: arming.GunID(w.Gun), Tip: arming.TipID(w.Tip),
		}
		stop.Phase, stop.Loaded = at[joint].phase, at[joint].part
		if fill := x.Shell.Joints[w.Strip.Joint].Fill; fill != fillMiddle && w.Step != layout.Tack {
			stop.Pattern = order.Pattern(fill)
		}
		if w.Step == layout.Tack {
			_, stop.Pattern = x.tackRule(w.Strip)
			if w.Strip.Flange.Closed {
				stop.Around = w.Strip.Flange.Length
			}
		}
		if w.Step != layout.Tack && len(w.LoadedAfter()) == 0 {
			stop.Phase = loads.Phases() - 1 // filled once all is loaded and tacked
		}
		out.add(stop, w, nil)
	}
	for _, s := range x.seams {
		out.add(order.Stop{
			Phase: loads.Phases() - 1,
			ID:    "roller seam " + s.Strip.ID, Step: order.Roll, Position: s.Path[0], End: s.Path[len(s.Path)-1], Closed: s.Strip.Flange.Closed,
			Joint: x.Joints[s.Strip.Joint].ID, Flange: s.Strip.ID, Gun: s.Roller.ID, Setting: x.set.Rolling[s].ID,
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
	j := x.Joints[joint]
	phase := loads.Joint(j)
	if phase == 0 {
		return loading{}
	}
	for _, id := range loads.In(phase) {
		held := slices.ContainsFunc(x.own, func(w *arming.ArmedWeld) bool { return w.Early != nil && w.Early.Part == id })
		if joining.Common(j.Panels, x.Shell.PanelsOf(id)) && !held {
			return loading{phase, x.at.PartName(id)}
		}
	}
	return loading{phase: phase}
}

// written is the station's work as its order says.
func (x *sequencing) written(work stationWork, plan order.Plan) ordered {
	out := ordered{turns: arming.ClampIDs(x.turns), order: layout.Order{Travel: plan.Travel, GunChanges: plan.GunChanges,
		TipChanges: plan.TipChanges,
		Postures:   plan.Postures, Seconds: plan.Seconds,
		Proven: plan.Proven}}
	run := make([]int, len(plan.Order))
	for i, r := range plan.Runs {
		for k := r.From; k < r.From+r.Count; k++ {
			run[k] = i + 1
		}
	}
	runs := map[int]int{}            // run of the order to run of the station
	last := map[*joining.Strip]int{} // number of the last weld on a strip so far
	for place, stop := range plan.Order {
		if s := work.seams[stop]; s != nil {
			out.seams = append(out.seams, x.seamOf(s, plan.Runs[run[place]-1].Backwards, last[s.Of]))
		}
		w := work.welds[stop]
		if w == nil {
			continue
		}
		number := len(out.welds) + 1
		last[w.Strip] = number
		if _, known := runs[run[place]]; !known {
			out.runs = append(out.runs, layout.Run{
				ID: len(out.runs) + 1, Station: x.station.ID, Joint: x.Joints[w.Strip.Joint].ID, Flange: w.Strip.ID, From: number,
				Gun: arming.GunID(w.Gun), Tip: arming.TipID(w.Tip), Setting: w.Setting, Step: w.Step,
			})
			r := &out.runs[len(out.runs)-1]
			if w.Step == layout.Tack {
				r.Tacks, _ = x.tackRule(w.Strip)
			}
			if x.station.OneByOne && w.Step == layout.Released {
				r.Clamps = arming.ClampIDs(w.Spot.Clamps)
			}
			runs[run[place]] = len(out.runs)
		}
		r := &out.runs[runs[run[place]]-1]
		r.To = number
		r.Count++
		out.guns, out.tips = append(out.guns, arming.GunID(w.Gun)), append(out.tips, arming.TipID(w.Tip))
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
func (x *sequencing) weldOf(w *arming.ArmedWeld, number, run int) layout.Weld {
	return layout.Weld{
		Number: number, Station: x.station.ID, Joint: x.Joints[w.Strip.Joint].ID, Flange: w.Strip.ID, Run: run,
		Position: joining.Vec(w.Spot.Position), Axis: joining.Vec(w.Spot.Axis), Along: w.Spot.S, Sheets: w.Strip.Panels,
		WeldDiameter: w.Strip.Limits.WeldDiameter.Value, Gun: arming.GunID(w.Gun), Tip: arming.TipID(w.Tip), Turn: w.Turn, Tilt: w.Tilt,
		Clearance: w.Air,
		Setting:   w.Setting, Step: w.Step, Left: w.Spot.Left, Right: w.Spot.Right, Air: w.Spot.Gap, Row: w.Spot.Row,
		Before: w.LoadedAfter(), Unreached: w.Apart,
	}
}

// addApart numbers the welds that no gun at hand reaches after all others: they are in no step.
func (x *sequencing) addApart(out *ordered) {
	for _, b := range x.blocked {
		first := x.own[b.Welds[0]]
		r := layout.Run{ID: len(out.runs) + 1, Station: x.station.ID, Joint: x.Joints[first.Strip.Joint].ID, Flange: first.Strip.ID,
			From: len(out.welds) + 1, Count: len(b.Welds), Gun: arming.GunID(first.Gun), Tip: arming.TipID(first.Tip), Setting: first.Setting,
			Step:    first.Step,
			Blocked: true}
		for _, i := range b.Welds {
			out.welds = append(out.welds, x.weldOf(x.own[i], len(out.welds)+1, r.ID))
		}
		r.To = len(out.welds)
		out.runs = append(out.runs, r)
		out.apart = append(out.apart, layout.Unreached{Run: r.ID, Joint: r.Joint, Flange: r.Flange, From: r.From, To: r.To, Count: r.Count,
			Why: b.Why, Would: b.Would, Measures: b.Measures, Helps: b.Helps, Force: b.Force})
	}
}

// seamOf is a roller seam as it is rolled, after the welds up to a number.
func (x *sequencing) seamOf(s *laying.Seam, backwards bool, after int) layout.Seam {
	set := x.set.Rolling[s]
	out := layout.Seam{
		ID: s.ID, Station: x.station.ID, Joint: x.Joints[s.Strip.Joint].ID, Flange: s.Strip.ID,
		Roller: s.Roller.ID, Setting: set.ID, Closed: s.Strip.Flange.Closed, Length: s.Length, Speed: set.Speed, Time: set.Seconds,
		After: after,
	}
	for i := range s.Path {
		out.Path, out.Normals = append(out.Path, joining.Vec(s.Path[i])), append(out.Normals, joining.Vec(s.Normals[i]))
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
