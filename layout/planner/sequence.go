package planner

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/order"
	"seamwright/layout/stations"
	"seamwright/seams/shell"
)

// order puts each station's work in order and numbers its welds.
func (b *builder) order(ctx context.Context) error {
	works, plans, err := b.sequences(ctx)
	if err != nil {
		return err
	}
	for i := range b.plan.Stations {
		b.orderStation(i, works[i], plans[i])
	}
	for _, w := range b.welds {
		b.plan.Joints[w.strip.joint].Welds++
	}
	b.listGear()
	return nil
}

// fillMiddle is the shell file's word for filling from the middle outwards, which is also what happens where it says nothing.
const fillMiddle = "middle-out"

// stationWork is what is done at one station, in the order of its stops.
type stationWork struct {
	stops []order.Stop
	welds []*weld // nil where the stop is no weld
	seams []*seam
}

func (b *builder) work(station int) stationWork {
	var out stationWork
	st := b.plan.Stations[station]
	loads, _ := stations.LoadPhases(b.plan, st, b.earlyWelds(station))
	for _, h := range st.HoldPoints {
		out.add(order.Stop{ID: holdStop(h.ID), Step: order.Hold, Position: point(h.At), Joint: h.Before}, nil, nil)
	}
	for _, w := range b.welds {
		if w.station != station {
			continue
		}
		stop := order.Stop{
			ID: fmt.Sprintf("weld %s at %.0f mm", w.strip.id, w.spot.S), Step: order.Step(w.step), Position: w.spot.Position,
			Joint: b.plan.Joints[w.strip.joint].ID, Flange: w.strip.id, Along: w.spot.S, Setting: w.setting, Clamps: w.spot.Clamps,
		}
		stop.Phase, stop.Loaded = b.phaseOf(loads, w.strip.joint)
		if fill := b.Shell.Joints[w.strip.joint].Fill; fill != fillMiddle {
			stop.Pattern = order.Pattern(fill)
		}
		if w.step != layout.Tack && len(w.loadedAfter()) == 0 {
			stop.Phase = loads.Phases() - 1 // filled once all is loaded and tacked
		}
		if w.gun != nil {
			stop.Gun = w.gun.ID
		}
		if w.tip != nil {
			stop.Tip = w.tip.ID
		}
		out.add(stop, w, nil)
	}
	for _, s := range b.seams {
		if s.station == station {
			out.add(order.Stop{
				Phase: loads.Phases() - 1,
				ID:    "roller seam " + s.strip.id, Step: order.Roll, Position: s.path[0], End: s.path[len(s.path)-1], Closed: s.strip.flange.Closed,
				Joint: b.plan.Joints[s.strip.joint].ID, Flange: s.strip.id, Gun: s.roller.ID, Setting: s.setting,
			}, nil, s)
		}
	}
	return out
}

// phaseOf is the phase of loading in which a joint is worked on, and the part that it waits for then. Parts behind a hold
// point are told of with that.
func (b *builder) phaseOf(loads stations.Loads, joint int) (phase int, part string) {
	j := b.plan.Joints[joint]
	phase = loads.Joint(j)
	if phase == 0 {
		return 0, ""
	}
	for _, id := range loads.In(phase) {
		held := slices.ContainsFunc(b.welds, func(w *weld) bool { return w.early != nil && w.early.part == id })
		if common(j.Panels, b.plan.PanelsOf(id)) && !held {
			return phase, b.partName(id)
		}
	}
	return phase, ""
}

func (w *stationWork) add(stop order.Stop, weld *weld, seam *seam) {
	w.stops, w.welds, w.seams = append(w.stops, stop), append(w.welds, weld), append(w.seams, seam)
}

// sequences finds the order of every station's work, several stations at once.
func (b *builder) sequences(ctx context.Context) ([]stationWork, []order.Plan, error) {
	n := len(b.plan.Stations)
	works, plans := make([]stationWork, n), make([]order.Plan, n)
	e := b.Shell.Elements
	failed := make([]error, n)
	var group errgroup.Group
	group.SetLimit(cmp.Or(b.Workers, runtime.GOMAXPROCS(0)))
	var mu sync.Mutex
	done := 0
	for i := n - 1; i >= 0; i-- { // the last ones hold most of the work
		group.Go(func() error {
			if failed[i] = ctx.Err(); failed[i] != nil {
				return nil
			}
			works[i] = b.work(i)
			opt := order.Options{WalkSpeed: e.MoveSpeed, GunChange: e.TakeGun, TipChange: e.TipChange,
				SetChange: e.SetChange, Pairs: b.earlyPairs(works[i])}
			key := b.Cache.KeyOf("order", cache.Input{Name: "stops", Value: works[i].stops}, cache.Input{Name: "options", Value: opt})
			plans[i], failed[i] = cache.Get(b.Cache, key, func() (order.Plan, error) { return order.Sequence(works[i].stops, opt) })
			mu.Lock()
			defer mu.Unlock()
			done++
			b.progress("order the work", done, n)
			return nil
		})
	}
	_ = group.Wait() // no task fails: the first station's error is told, whichever came first
	for i, err := range failed {
		if err != nil {
			return nil, nil, fmt.Errorf("station %s: %w", b.plan.Stations[i].ID, err)
		}
	}
	return works, plans, nil
}

func (b *builder) orderStation(station int, work stationWork, plan order.Plan) {
	st := &b.plan.Stations[station]
	st.Order = layout.Order{Travel: plan.Travel, GunChanges: plan.GunChanges, TipChanges: plan.TipChanges, Seconds: plan.Seconds,
		Proven: plan.Proven}
	run := make([]int, len(plan.Order))
	for i, r := range plan.Runs {
		for k := r.From; k < r.From+r.Count; k++ {
			run[k] = i + 1
		}
	}
	runs := map[int]int{} // run of the order to run of the plan
	for place, stop := range plan.Order {
		if s := work.seams[stop]; s != nil {
			if plan.Runs[run[place]-1].Backwards {
				slices.Reverse(s.path)
				slices.Reverse(s.normals)
			}
			b.plan.Seams = append(b.plan.Seams, b.planRoller(s))
		}
		w := work.welds[stop]
		if w == nil {
			continue
		}
		st.Welds++
		w.number, w.waits = st.Welds, plan.Waits[stop]
		if _, known := runs[run[place]]; !known {
			b.plan.Runs = append(b.plan.Runs, b.newRun(st.ID, w))
			runs[run[place]] = len(b.plan.Runs)
		}
		w.run = runs[run[place]]
		r := &b.plan.Runs[w.run-1]
		r.To = w.number
		r.Count++
	}
	b.planWelds(station)
	for i := range b.plan.Runs {
		if b.plan.Runs[i].Station == st.ID {
			b.plan.Runs[i].Pitch = b.runPitch(b.plan.Runs[i])
		}
	}
}

func (b *builder) newRun(station string, w *weld) layout.Run {
	return layout.Run{
		ID: len(b.plan.Runs) + 1, Station: station, Joint: b.plan.Joints[w.strip.joint].ID, Flange: w.strip.id, From: w.number,
		Gun: gunID(w.gun), Tip: tipID(w.tip), Setting: w.setting, Step: w.step,
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

// planWelds writes the station's welds into the plan, in welding order.
func (b *builder) planWelds(station int) {
	var own []*weld
	for _, w := range b.welds {
		if w.station == station {
			own = append(own, w)
		}
	}
	slices.SortFunc(own, func(a, c *weld) int { return a.number - c.number })
	for _, w := range own {
		b.plan.Welds = append(b.plan.Welds, layout.Weld{
			Number: w.number, Station: b.plan.Stations[station].ID, Joint: b.plan.Joints[w.strip.joint].ID, Flange: w.strip.id, Run: w.run,
			Position: vec(w.spot.Position), Axis: vec(w.spot.Axis), Along: w.spot.S, Sheets: w.strip.panels,
			WeldDiameter: w.strip.limits.WeldDiameter.Value, Gun: gunID(w.gun), Tip: tipID(w.tip), Turn: w.turn, Tilt: w.tilt, Clearance: w.air,
			Setting: w.setting, Step: w.step, Waits: w.waits, Left: w.spot.Left, Right: w.spot.Right, Air: w.spot.Gap, Row: w.spot.Row,
			Before: w.loadedAfter(),
		})
	}
}

// listGear names the guns and tips that the plan uses, in the order of the shell file.
func (b *builder) listGear() {
	for _, g := range b.Shell.Guns {
		if slices.ContainsFunc(b.welds, func(w *weld) bool { return gunID(w.gun) == g.ID }) {
			b.plan.Guns = append(b.plan.Guns, layout.Gun{ID: g.ID, Letter: g.Letter, Name: g.Name})
		}
	}
	for _, t := range b.Shell.Tips {
		if slices.ContainsFunc(b.welds, func(w *weld) bool { return tipID(w.tip) == t.ID }) {
			b.plan.Tips = append(b.plan.Tips, layout.Tip{ID: t.ID, Name: t.Name, Shape: t.Shape, Face: t.Face, Dress: t.Dress})
		}
	}
}
