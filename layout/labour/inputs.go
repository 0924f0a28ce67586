package labour

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/tour"
	"seamwright/seams/shell"
)

// weld is a weld with the straight way to it from the weld before at its station, in mm; the first has none. It turns when it
// begins a run and asks for another posture than the weld before; so does the first.
type weld struct {
	layout.Weld
	move  float64
	turns bool
}

// anew says whether a weld asks for another posture than the one before it.
func anew(before, after layout.Weld) bool {
	return tour.AnotherPosture(before.Position.R3(), before.Axis.R3(), after.Position.R3(), after.Axis.R3())
}

// estimator holds the inputs by id and the book.
type estimator struct {
	plan     *layout.Plan
	shell    *shell.Shell
	settings map[string]layout.Setting
	guns     map[string]shell.Gun
	tips     map[string]shell.Tip
	rollers  map[string]shell.Roller
	stations map[string]int
	joints   map[string]int
	welds    [][]weld      // by station, in the order of their numbers
	practice float64       // factor on hand work
	again    float64       // welds made again, as a share
	extra    float64       // allowances, as a share
	runs     map[int]ticks // time of each run
	byHand   []float64     // seconds of hand work by station, before practice and allowances
	book     book
}

func newEstimator(p *layout.Plan, sh *shell.Shell) (*estimator, error) {
	if err := checkNumbers(sh); err != nil {
		return nil, err
	}
	factor, err := PracticeOf(sh).Average(sh.Batch)
	if err != nil {
		return nil, err
	}
	a := sh.Allowances
	e := &estimator{
		plan: p, shell: sh, practice: factor,
		again:    a.Rework / 100,
		extra:    allowances(sh),
		settings: map[string]layout.Setting{}, guns: map[string]shell.Gun{}, tips: map[string]shell.Tip{}, rollers: map[string]shell.Roller{},
		stations: map[string]int{}, joints: map[string]int{},
		welds: make([][]weld, len(p.Stations)), runs: map[int]ticks{}, byHand: make([]float64, len(p.Stations)),
		book: book{plan: p, stations: make([]sums, len(p.Stations)), joints: make([]sums, len(p.Joints))},
	}
	e.index()
	return e, e.check()
}

func (e *estimator) index() {
	for _, s := range e.plan.Settings {
		e.settings[s.ID] = s
	}
	for _, g := range e.shell.Guns {
		e.guns[g.ID] = g
	}
	for _, t := range e.shell.Tips {
		e.tips[t.ID] = t
	}
	for _, r := range e.shell.Rollers {
		e.rollers[r.ID] = r
	}
	for i, s := range e.plan.Stations {
		e.stations[s.ID] = i
	}
	for i, j := range e.plan.Joints {
		e.joints[j.ID] = i
	}
}

// check looks at the plan, and sorts its welds by station.
func (e *estimator) check() error {
	for _, s := range e.plan.Stations {
		if s.Crew < 1 {
			return fmt.Errorf("station %s: crew is %d: at least one person works there", s.ID, s.Crew)
		}
	}
	for _, w := range e.plan.Welds {
		if err := e.checkWeld(w); err != nil {
			return fmt.Errorf("weld %d at station %q: %w", w.Number, w.Station, err)
		}
		if w.Unreached { // nobody makes it
			continue
		}
		e.welds[e.stations[w.Station]] = append(e.welds[e.stations[w.Station]], weld{Weld: w})
	}
	for _, welds := range e.welds {
		slices.SortStableFunc(welds, func(a, b weld) int { return a.Number - b.Number })
		for k := range welds {
			if k == 0 {
				welds[k].turns = true
				continue
			}
			welds[k].move = distance(welds[k-1].Position, welds[k].Position)
			welds[k].turns = welds[k].Run != welds[k-1].Run && anew(welds[k-1].Weld, welds[k].Weld)
		}
		if len(welds) > 1 && e.shell.Elements.MoveSpeed == 0 {
			return errors.New("elements: move_mm_per_s is 0: state how fast a gun moves from weld to weld")
		}
	}
	for _, r := range e.plan.Seams {
		if err := e.checkSeam(r); err != nil {
			return fmt.Errorf("roller seam %s: %w", r.ID, err)
		}
	}
	return e.checkMasses()
}

func (e *estimator) checkWeld(w layout.Weld) error {
	for _, v := range w.Position {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("position %v is no place", w.Position)
		}
	}
	s := e.settings[w.Setting]
	if err := sound("setting "+w.Setting, s.Squeeze, s.Weld, s.Hold); err != nil {
		return err
	}
	return first(known("station", w.Station, e.stations, false), known("joint", w.Joint, e.joints, false),
		known("setting", w.Setting, e.settings, true), known("gun", w.Gun, e.guns, true), known("tip", w.Tip, e.tips, true))
}

func (e *estimator) checkSeam(r layout.Seam) error {
	s := e.settings[r.Setting]
	if err := sound("length, time or setting", r.Length, r.Time, s.Weld, s.Hold); err != nil {
		return err
	}
	return first(known("station", r.Station, e.stations, false), known("joint", r.Joint, e.joints, false),
		known("setting", r.Setting, e.settings, true), known("roller", r.Roller, e.rollers, true))
}

func (e *estimator) checkMasses() error {
	for _, p := range e.plan.Panels {
		if err := sound("panel "+p.ID+": mass", p.Mass); err != nil {
			return err
		}
	}
	for _, f := range e.plan.Flanges {
		if err := sound("flange "+f.ID+": length", f.Length); err != nil {
			return err
		}
	}
	return nil
}

func distance(a, b layout.Vec) float64 {
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

// known refuses an id that is not in the list; an empty one is allowed where nothing could be chosen.
func known[T any](what, id string, list map[string]T, empty bool) error {
	if _, ok := list[id]; ok || (empty && id == "") {
		return nil
	}
	return fmt.Errorf("%s %q is not known", what, id)
}

// first is the first error of a list.
func first(list ...error) error {
	for _, err := range list {
		if err != nil {
			return err
		}
	}
	return nil
}

func sound(what string, values ...float64) error {
	for _, v := range values {
		if !(v >= 0) || math.IsInf(v, 1) {
			return fmt.Errorf("%s is %v: it must be a number of 0 or more", what, v)
		}
	}
	return nil
}

// checkNumbers looks at every number of the shell file that an estimate uses.
func checkNumbers(sh *shell.Shell) error {
	if sh.Batch < 1 {
		return fmt.Errorf("batch is %d: it must be at least 1", sh.Batch)
	}
	groups := []struct {
		name  string
		value any
	}{{"rates", sh.Rates}, {"allowances", sh.Allowances}, {"elements", sh.Elements}}
	for _, g := range groups {
		if err := checkGroup(g.name, reflect.ValueOf(g.value)); err != nil {
			return err
		}
	}
	for _, g := range sh.Guns {
		if err := sound("guns: "+g.ID+": power_kva", g.Power); err != nil {
			return err
		}
	}
	for _, t := range sh.Tips {
		if err := sound("tips: "+t.ID+": price, dress_every or dressings", t.Price, float64(t.Dress), float64(t.Dressings)); err != nil {
			return err
		}
	}
	for _, r := range sh.Rollers {
		if err := sound("rollers: "+r.ID+": price, power_kva, dress_every_m or wheel_life_m", r.Price, r.Power, r.Dress, r.Wheels); err != nil {
			return err
		}
	}
	for _, s := range sh.Stations {
		if err := sound("stations: "+s.ID+": prepare_min", s.Prepare); err != nil {
			return err
		}
	}
	return nil
}

// checkGroup looks at each number of a struct whose keys are its mapstructure names.
func checkGroup(name string, v reflect.Value) error {
	for i := range v.NumField() {
		key, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("mapstructure"), ",")
		var err error
		switch v.Field(i).Kind() {
		case reflect.Float64:
			err = sound(name+": "+key, v.Field(i).Float())
		case reflect.Int:
			err = sound(name+": "+key, float64(v.Field(i).Int()))
		}
		if err != nil {
			return err
		}
	}
	return nil
}
