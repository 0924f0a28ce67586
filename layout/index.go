package layout

import (
	"cmp"
	"math"
	"slices"
)

// Index is what belongs to what in a finished plan, worked out once for all that show it. It shares the plan's lists and
// follows no later change of them.
type Index struct {
	Plan     *Plan
	stations map[string]*AtStation
	joints   map[string]Joint
	flanges  map[string]*OfFlange
	runs     map[int][]Weld
	panels   map[string]int
	settings map[string]int
	guns     map[string]int
	tips     map[string]int
	made     map[string]int // sub-assemblies
}

// AtStation is what belongs to a station.
type AtStation struct {
	Station  Station
	Welds    []Weld // by number
	Runs     []Run
	Seams    []Seam    // as they are rolled
	Flanges  []Flange  // that are welded here, in the plan's order
	Findings []Finding // about it, or what is welded here, the worst first
	Settings []Setting // of its welds and seams, in the plan's order
	Lines    []Line    // of labour
	Labour   StationLabour
	Look     []int   // numbers of the welds to look at: the last of every so many, and the very last
	Coupons  float64 // test coupons a shell
	Rolled   float64 // mm of roller seam a shell
	Tools    []ToolUse
}

// ToolUse is the work of a gun with one tip at a station.
type ToolUse struct {
	Gun   string
	Tip   Tip
	Welds []int // numbers, as they are made
}

// OfFlange is what lies on a flange.
type OfFlange struct {
	Flange Flange
	Welds  []Weld
	Seams  []Seam
}

// NewIndex works out what belongs to what.
func NewIndex(p *Plan) *Index {
	x := &Index{Plan: p, stations: map[string]*AtStation{}, joints: map[string]Joint{}, flanges: map[string]*OfFlange{},
		runs: map[int][]Weld{}, panels: map[string]int{}, settings: map[string]int{}, guns: map[string]int{}, tips: map[string]int{},
		made: map[string]int{}}
	for i, v := range p.Panels {
		x.panels[v.ID] = i
	}
	for i, v := range p.Settings {
		x.settings[v.ID] = i
	}
	for i, v := range p.Guns {
		x.guns[v.ID] = i
	}
	for i, v := range p.Tips {
		x.tips[v.ID] = i
	}
	for i, v := range p.Subassemblies {
		x.made[v.ID] = i
	}
	for _, s := range p.Stations {
		x.stations[s.ID] = &AtStation{Station: s}
	}
	for _, j := range p.Joints {
		x.joints[j.ID] = j
	}
	for _, f := range p.Flanges {
		x.flanges[f.ID] = &OfFlange{Flange: f}
	}
	x.work()
	for _, s := range x.stations {
		x.about(s)
		s.inspection()
		x.tools(s)
	}
	return x
}

// work deals welds, runs and seams out.
func (x *Index) work() {
	for _, w := range x.Plan.Welds {
		x.runs[w.Run] = append(x.runs[w.Run], w)
		if s := x.stations[w.Station]; s != nil {
			s.Welds = append(s.Welds, w)
		}
		if f := x.flanges[w.Flange]; f != nil {
			f.Welds = append(f.Welds, w)
		}
	}
	for _, r := range x.Plan.Runs {
		if s := x.stations[r.Station]; s != nil {
			s.Runs = append(s.Runs, r)
		}
	}
	for _, r := range x.Plan.Seams {
		if s := x.stations[r.Station]; s != nil {
			s.Seams = append(s.Seams, r)
			s.Rolled += r.Length
		}
		if f := x.flanges[r.Flange]; f != nil {
			f.Seams = append(f.Seams, r)
		}
	}
	for _, l := range x.Plan.Labour.Lines {
		if s := x.stations[l.Station]; s != nil {
			s.Lines = append(s.Lines, l)
		}
	}
	for _, l := range x.Plan.Labour.Stations {
		if s := x.stations[l.Station]; s != nil {
			s.Labour = l
		}
	}
}

// about gathers the flanges, settings and findings of a station.
func (x *Index) about(s *AtStation) {
	slices.SortStableFunc(s.Welds, func(a, b Weld) int { return cmp.Compare(a.Number, b.Number) })
	flanges, settings := map[string]bool{}, map[string]bool{}
	for _, w := range s.Welds {
		flanges[w.Flange], settings[w.Setting] = true, true
	}
	for _, r := range s.Seams {
		flanges[r.Flange], settings[r.Setting] = true, true
	}
	for _, f := range x.Plan.Flanges {
		if flanges[f.ID] {
			s.Flanges = append(s.Flanges, f)
		}
	}
	for _, v := range x.Plan.Settings {
		if settings[v.ID] {
			s.Settings = append(s.Settings, v)
		}
	}
	for _, f := range x.Plan.Findings {
		if x.concerns(f, s.Station.ID) {
			s.Findings = append(s.Findings, f)
		}
	}
	worst := Severities()
	slices.SortStableFunc(s.Findings, func(a, b Finding) int {
		return cmp.Compare(slices.Index(worst, a.Severity), slices.Index(worst, b.Severity))
	})
}

// concerns reports whether a finding is about a station, or a joint or flange that is welded there.
func (x *Index) concerns(f Finding, station string) bool {
	if x.at(f.Station, f.Joint, f.Flange, station) {
		return true
	}
	return slices.ContainsFunc(f.Also, func(s Subject) bool { return x.at(s.Station, s.Joint, s.Flange, station) })
}

func (x *Index) at(at, joint, flange, station string) bool {
	if at != "" {
		return at == station
	}
	if f := x.flanges[flange]; joint == "" && f != nil {
		joint = f.Flange.Joint
	}
	j, known := x.joints[joint]
	return known && j.Station == station
}

// inspection is what the plan's labour counts of looking and testing.
func (s *AtStation) inspection() {
	looked := 0.0
	for _, l := range s.Lines {
		switch l.Kind {
		case WorkInspect:
			looked += l.Quantity
		case WorkCoupon:
			s.Coupons += l.Quantity
		}
	}
	made := s.Made()
	if !(looked > 0) || len(made) == 0 {
		return
	}
	every := max(1, int(math.Round(float64(len(made))/looked)))
	for i := every - 1; i < len(made); i += every {
		s.Look = append(s.Look, made[i].Number)
	}
	if len(made)%every != 0 {
		s.Look = append(s.Look, made[len(made)-1].Number)
	}
}

// Made are the welds that a gun reaches, by number; the others come after them.
func (s *AtStation) Made() []Weld {
	return slices.DeleteFunc(slices.Clone(s.Welds), func(w Weld) bool { return w.Unreached })
}

// tools lists guns with their tips in the order of their first weld.
func (x *Index) tools(s *AtStation) {
	for _, w := range s.Made() {
		k := slices.IndexFunc(s.Tools, func(t ToolUse) bool { return t.Gun == w.Gun && t.Tip.ID == w.Tip })
		if k < 0 {
			k = len(s.Tools)
			s.Tools = append(s.Tools, ToolUse{Gun: w.Gun, Tip: x.Tip(w.Tip)})
		}
		s.Tools[k].Welds = append(s.Tools[k].Welds, w.Number)
	}
}

// Station is what belongs to a station; nil for one that the plan does not have.
func (x *Index) Station(id string) *AtStation { return x.stations[id] }

// Accepted is the diameter in mm from which a coupon of a setting, peeled or chiselled, is good here: what the welds made with it must
// come to. 0: no weld has it.
func (s *AtStation) Accepted(setting string) float64 {
	most := 0.0
	for _, w := range s.Welds {
		if w.Setting == setting {
			most = max(most, w.Accepted)
		}
	}
	return most
}

// Flange is what lies on a flange; nil for one that the plan does not have.
func (x *Index) Flange(id string) *OfFlange { return x.flanges[id] }

// Run lists the welds of a run, by number.
func (x *Index) Run(id int) []Weld { return x.runs[id] }

// Panel is a panel of the plan; one that it does not have is its id and no more.
func (x *Index) Panel(id string) Panel {
	if k, ok := x.panels[id]; ok {
		return x.Plan.Panels[k]
	}
	return Panel{ID: id, Name: id}
}

// HasPanel reports whether the plan has a panel.
func (x *Index) HasPanel(id string) bool {
	_, ok := x.panels[id]
	return ok
}

// Subassembly is a sub-assembly of the plan, if it has it.
func (x *Index) Subassembly(id string) (Subassembly, bool) {
	if k, ok := x.made[id]; ok {
		return x.Plan.Subassemblies[k], true
	}
	return Subassembly{}, false
}

// Joint is a joint of the plan, if it has it.
func (x *Index) Joint(id string) (Joint, bool) {
	j, ok := x.joints[id]
	return j, ok
}

// Tip is a tip of the plan; one that it does not have is its id and no more.
func (x *Index) Tip(id string) Tip {
	if k, ok := x.tips[id]; ok {
		return x.Plan.Tips[k]
	}
	return Tip{ID: id, Name: id}
}

// Gun is a gun of the plan; one that it does not have is its id and no more.
func (x *Index) Gun(id string) Gun {
	if k, ok := x.guns[id]; ok {
		return x.Plan.Guns[k]
	}
	return Gun{ID: id, Name: id, Letter: id}
}

// Roller is a roller head of the plan; one that it does not have is its id and no more.
func (x *Index) Roller(id string) Roller {
	if k := slices.IndexFunc(x.Plan.Rollers, func(r Roller) bool { return r.ID == id }); k >= 0 {
		return x.Plan.Rollers[k]
	}
	return Roller{ID: id, Name: id, Letter: id}
}

// TipsWith are the tips that welds of a setting are made with, in the plan's order.
func (x *Index) TipsWith(setting string) []Tip {
	used := map[string]bool{}
	for _, w := range x.Plan.Welds {
		if w.Setting == setting {
			used[w.Tip] = true
		}
	}
	var out []Tip
	for _, t := range x.Plan.Tips {
		if used[t.ID] {
			out = append(out, t)
		}
	}
	return out
}

// Setting is a setting of the plan, if it has it.
func (x *Index) Setting(id string) (Setting, bool) {
	k, ok := x.settings[id]
	if !ok {
		return Setting{}, false
	}
	return x.Plan.Settings[k], true
}

// FirstShells are when each station begins and ends its work on the first shells: as soon as what arrives is there and the
// shell before is out, as the plan's flow has it. Minutes by station, in the plan's order, and shell; stations that feed
// each other in a circle have zeros.
func (x *Index) FirstShells(shells int) (from, to [][]float64) {
	stations := x.Plan.Stations
	makes := map[string]int{}
	for i, s := range stations {
		if s.Makes != "" {
			makes[s.Makes] = i
		}
	}
	n := len(stations)
	from, to = make([][]float64, n), make([][]float64, n)
	done := make([]bool, n)
	for range n { // stations stand in the order of work, but nothing holds a plan by another hand to that
		for i, s := range stations {
			feeders := feedersOf(s, i, makes)
			if done[i] || slices.ContainsFunc(feeders, func(k int) bool { return !done[k] }) {
				continue
			}
			done[i] = true
			free := 0.0
			for shell := range shells {
				at := free
				for _, k := range feeders {
					at = math.Max(at, to[k][shell])
				}
				free = at + x.shellMinutes(s.ID, shell+1)
				from[i], to[i] = append(from[i], at), append(to[i], free)
			}
		}
	}
	for i := range from {
		if !done[i] {
			from[i], to[i] = make([]float64, shells), make([]float64, shells)
		}
	}
	return from, to
}

// shellMinutes are those at the jig for the n-th shell of the batch.
func (x *Index) shellMinutes(station string, n int) float64 {
	for i, l := range x.Plan.Labour.Stations {
		if l.Station == station && !x.Plan.Labour.Practice.None() {
			return x.Plan.ShellMinutes(i, n)
		}
	}
	return x.stations[station].Minutes()
}

// feedersOf are the stations that make what arrives at station i.
func feedersOf(s Station, i int, makes map[string]int) []int {
	var out []int
	for _, p := range s.Arrives {
		if k, ok := makes[p]; ok && k != i {
			out = append(out, k)
		}
	}
	return out
}

// Minutes are those at the jig for a shell, by the plan's labour where it has been reckoned.
func (s *AtStation) Minutes() float64 {
	if s.Labour.Station != "" {
		return s.Labour.Minutes
	}
	return s.Station.Minutes
}
