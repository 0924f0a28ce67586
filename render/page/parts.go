package page

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"seamwright/layout"
)

// Doors are the pages, and what the names of the parts begin with that each of them shows.
var doors = map[string][]string{
	"engineer":  {"head", "findings", "jig/", "lines/"},
	"station":   {"head", "jig/", "lines/", "steps/"},
	"estimator": {"head", "money"},
}

// Parts is a plan as the pages show it: a fortieth of the whole, in parts of which only those are sent that somebody has not yet. What is
// counted through all stations, places in the plan's list of welds and ids of runs, stands in one part, so that a change at one
// station leaves the parts of the others as they are.
type Parts struct {
	names []string
	texts map[string][]byte
	sums  Sums
}

// Sums tell the parts of one plan from those of another, by the parts' names.
type Sums map[string]string

// Version is one for all parts.
func (s Sums) Version(names []string) string {
	h := sha256.New()
	for _, n := range names {
		fmt.Fprintln(h, n, s[n])
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// PartsOf takes a plan apart.
func PartsOf(plan *layout.Plan) (*Parts, error) {
	p := &Parts{texts: map[string][]byte{}, sums: Sums{}}
	d := divided(plan)
	errs := []error{p.add("head", headOf(plan, d)), p.add("findings", orEmpty(plan.Findings)), p.add("money", moneyOf(plan))}
	for _, j := range d {
		errs = append(errs, p.add("jig/"+j.id, jigOf(j)), p.add("lines/"+j.id, linesOf(j)))
		if j.station != nil {
			errs = append(errs, p.add("steps/"+j.id, stepsOf(j.station)))
		}
	}
	return p, errors.Join(errs...)
}

func (p *Parts) add(name string, part any) error {
	text, err := json.Marshal(part)
	if err != nil {
		return fmt.Errorf("part %s of the page: %w", name, err)
	}
	sum := sha256.Sum256(text)
	p.names, p.texts[name], p.sums[name] = append(p.names, name), text, hex.EncodeToString(sum[:8])
	return nil
}

// Version tells these parts from those of another plan.
func (p *Parts) Version() string { return p.sums.Version(p.names) }

// Sums are those of the parts.
func (p *Parts) Sums() Sums { return p.sums }

// Since are the parts that a door shows and that are not those of before, as JSON; before is nil for all of them. Which of its parts a
// reader still needs is said by the part head.
func (p *Parts) Since(before Sums, door string) ([]byte, error) {
	show, ok := doors[door]
	if !ok {
		return nil, fmt.Errorf("there is no door %q: name engineer, station or estimator", door)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `{"version":%q,"all":%t,"parts":{`, p.Version(), before == nil)
	first := true
	for _, n := range p.names {
		if before[n] == p.sums[n] || !startsWithAny(n, show) {
			continue
		}
		if !first {
			b.WriteByte(',')
		}
		first = false
		name, err := json.Marshal(n)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(p.texts[n])
	}
	b.WriteString("}}")
	return b.Bytes(), nil
}

func startsWithAny(s string, with []string) bool {
	for _, w := range with {
		if strings.HasPrefix(s, w) {
			return true
		}
	}
	return false
}

// jigged is what belongs to one station; the last one holds what belongs to none.
type jigged struct {
	id                  string
	station             *layout.Station // nil: what belongs to none
	joints              []*layout.Joint
	flanges             []*layout.Flange
	runs                []*layout.Run
	seams               []*layout.Seam
	firstWeld, firstRun int
	welds               []layout.Weld
}

// divided puts everything to its station.
func divided(plan *layout.Plan) []*jigged {
	var out []*jigged
	at := map[string]*jigged{}
	for i := range plan.Stations {
		j := &jigged{id: plan.Stations[i].ID, station: &plan.Stations[i]}
		out, at[j.id] = append(out, j), j
	}
	rest := &jigged{}
	of := func(id string) *jigged { return cmp.Or(at[id], rest) }
	joints := map[string]*jigged{}
	for i := range plan.Joints {
		j := &plan.Joints[i]
		joints[j.ID] = of(j.Station)
		joints[j.ID].joints = append(joints[j.ID].joints, j)
	}
	for i := range plan.Flanges {
		f := &plan.Flanges[i]
		j := cmp.Or(joints[f.Joint], rest)
		j.flanges = append(j.flanges, f)
	}
	for i := range plan.Runs {
		j := of(plan.Runs[i].Station)
		if len(j.runs) == 0 {
			j.firstRun = plan.Runs[i].ID
		}
		j.runs = append(j.runs, &plan.Runs[i])
	}
	for i := range plan.Seams {
		j := of(plan.Seams[i].Station)
		j.seams = append(j.seams, &plan.Seams[i])
	}
	for from := 0; from < len(plan.Welds); { // a station's stand together
		to := from
		for to < len(plan.Welds) && plan.Welds[to].Station == plan.Welds[from].Station {
			to++
		}
		j := of(plan.Welds[from].Station)
		j.firstWeld, j.welds = from, plan.Welds[from:to]
		from = to
	}
	return append(out, rest)
}

type object = map[string]any

func headOf(plan *layout.Plan, all []*jigged) any {
	s := plan.Shell
	panels := make([]object, len(plan.Panels))
	for i, p := range plan.Panels {
		panels[i] = object{"id": p.ID, "name": p.Name}
	}
	jigs := make([]object, len(all))
	for i, j := range all {
		jigs[i] = object{"id": j.id, "weld": j.firstWeld, "run": j.firstRun}
	}
	broken, doubt := 0, 0
	for _, f := range plan.Findings {
		switch f.Severity {
		case layout.Broken:
			broken++
		case layout.Doubt:
			doubt++
		}
	}
	return object{
		"shell":  object{"name": s.Name, "revision": s.Revision, "batch": s.Batch, "status": s.Status, "input": s.Input},
		"panels": panels, "subassemblies": orEmpty(plan.Subassemblies), "settings": orEmpty(plan.Settings), "jigs": jigs,
		"broken": broken, "doubt": doubt,
		"cost": object{"currency": plan.Cost.Currency, "minutes_per_shell": plan.Cost.MinutesPerShell,
			"cost_per_shell": plan.Cost.CostPerShell, "cost_per_batch": plan.Cost.CostPerBatch, "batch": plan.Cost.Batch},
	}
}

func moneyOf(plan *layout.Plan) any {
	stations := make([]object, len(plan.Labour.Stations))
	for i, s := range plan.Labour.Stations {
		stations[i] = object{"station": s.Station, "name": s.Name, "man_minutes": s.ManMinutes}
	}
	return object{"lines": orEmpty(plan.Cost.Lines), "spread": plan.Cost.Spread, "stations": stations}
}

func stepsOf(s *layout.Station) any {
	steps := make([]object, len(s.Steps))
	for i, st := range s.Steps {
		steps[i] = object{"text": st.Text, "runs": orEmpty(st.Runs)}
	}
	return steps
}

// linesOf are the weld lines at a jig, each point its distance along the line and its place.
func linesOf(j *jigged) any {
	out := make([]object, len(j.flanges))
	for i, f := range j.flanges {
		line := []float64{}
		for _, p := range thinned(f.Line) {
			line = append(line, to(p.Along, 3), to(p.At[0], 3), to(p.At[1], 3), to(p.At[2], 3))
		}
		out[i] = object{"id": f.ID, "joint": f.Joint, "panels": f.Panels, "closed": f.Closed, "length": f.Length,
			"wide": to(f.Width.Mean, 2), "line": line}
	}
	return out
}

// thinned leaves out points of a line that lie within Fine of the straight between those that stay. How far a straight goes is sought by
// halves, so that no point is looked at more than some ten times.
func thinned(line []layout.LinePoint) []layout.LinePoint {
	if len(line) < 3 {
		return line
	}
	out := line[:1:1]
	for from := 0; from < len(line)-1; {
		to := from + 1
		for step := 128; step > 0; step /= 2 {
			if to+step < len(line) && straight(line[from:to+step+1]) {
				to += step
			}
		}
		out = append(out, line[to])
		from = to
	}
	return out
}

// straight says whether all points lie on the straight from the first to the last, each where its distance along the line says.
func straight(line []layout.LinePoint) bool {
	first, last := line[0], line[len(line)-1]
	way := last.At.R3().Sub(first.At.R3())
	long := last.Along - first.Along
	if !(long > 0) {
		return false
	}
	for _, p := range line[1 : len(line)-1] {
		if first.At.R3().Add(way.Mul((p.Along-first.Along)/long)).Sub(p.At.R3()).Norm() > Fine {
			return false
		}
	}
	return true
}

// words are texts that are said often: each once, and its place for every time that it is said.
type words struct {
	list []string
	at   map[string]int
}

func (w *words) place(s string) int {
	i, ok := w.at[s]
	if !ok {
		if w.at == nil {
			w.at = map[string]int{}
		}
		i = len(w.list)
		w.list, w.at[s] = append(w.list, s), i
	}
	return i
}

// columns are the welds of a jig in their order, so that each name of a member stands once rather than once for each weld: numbers of
// flanges and runs are places among those of the jig, of words places among words.
type columns struct {
	Words    []string  `json:"words"`
	Flange   []int     `json:"flange"`
	Run      []int     `json:"run"`
	Position []float64 `json:"position"` // three for each
	Axis     []float64 `json:"axis"`     // three for each
	Along    []float64 `json:"along"`
	Diameter []float64 `json:"weld_diameter"`
	Gun      []int     `json:"gun"`
	Tip      []int     `json:"tip"`
	Setting  []int     `json:"setting"`
	Step     []int     `json:"step"`
	Pose     []float64 `json:"pose"`      // turn, tilt and clearance
	Waits    []int     `json:"waits"`     // places of welds that do
	Missed   []int     `json:"unreached"` // places of welds that no gun reaches
}

func jigOf(j *jigged) any {
	joints := make([]object, len(j.joints))
	for i, x := range j.joints {
		joints[i] = object{"id": x.ID, "name": x.Name, "station": x.Station, "flanges": orEmpty(x.Flanges), "welds": x.Welds, "length": x.Length}
	}
	runs := make([]object, len(j.runs))
	for i, r := range j.runs {
		runs[i] = object{"id": r.ID - j.firstRun, "flange": r.Flange, "step": r.Step, "gun": r.Gun, "setting": r.Setting}
	}
	seams := make([]object, len(j.seams))
	for i, s := range j.seams {
		path := []float64{}
		for _, p := range thinnedPath(s.Path) {
			path = append(path, to(p[0], 2), to(p[1], 2), to(p[2], 2))
		}
		seams[i] = object{"id": s.ID, "station": s.Station, "flange": s.Flange, "closed": s.Closed, "length": s.Length, "roller": s.Roller,
			"setting": s.Setting, "path": path}
	}
	out := object{"joints": joints, "runs": runs, "seams": seams, "welds": columnsOf(j)}
	if s := j.station; s != nil {
		out["name"], out["present"], out["minutes"], out["guns"] = s.Name, orEmpty(s.Present), s.Minutes, orEmpty(s.Guns)
		out["clamps"], out["dowels"], out["hold_points"] = orEmpty(s.Clamps), orEmpty(s.Dowels), orEmpty(s.HoldPoints)
	}
	return out
}

func columnsOf(j *jigged) *columns {
	flanges, runs := map[string]int{}, map[int]int{}
	for i, f := range j.flanges {
		flanges[f.ID] = i
	}
	for i, r := range j.runs {
		runs[r.ID] = i
	}
	n := len(j.welds)
	c := &columns{Flange: make([]int, n), Run: make([]int, n), Position: make([]float64, 0, 3*n), Axis: make([]float64, 0, 3*n),
		Along: make([]float64, n), Diameter: make([]float64, n), Gun: make([]int, n), Tip: make([]int, n), Setting: make([]int, n),
		Step: make([]int, n), Pose: make([]float64, 0, 3*n), Waits: []int{}, Missed: []int{}}
	var said words
	for i, w := range j.welds {
		c.Flange[i], c.Run[i] = place(flanges, w.Flange), place(runs, w.Run)
		for k := range 3 {
			c.Position, c.Axis = append(c.Position, to(w.Position[k], 2)), append(c.Axis, to(w.Axis[k], 4))
		}
		c.Along[i], c.Diameter[i] = w.Along, w.WeldDiameter
		c.Gun[i], c.Tip[i], c.Setting[i] = said.place(w.Gun), said.place(w.Tip), said.place(w.Setting)
		c.Step[i] = said.place(string(w.Step))
		c.Pose = append(c.Pose, w.Turn, w.Tilt, to(w.Clearance, 1))
		if w.Waits != "" {
			c.Waits = append(c.Waits, i)
		}
		if w.Unreached {
			c.Missed = append(c.Missed, i)
		}
	}
	c.Words = orEmpty(said.list)
	return c
}

// place is that of a key; -1 where there is none.
func place[K comparable](at map[K]int, key K) int {
	if i, ok := at[key]; ok {
		return i
	}
	return -1
}

// thinnedPath leaves out points of a seam that lie within Fine of the straight between those that stay.
func thinnedPath(path []layout.Vec) []layout.Vec {
	line := make([]layout.LinePoint, len(path))
	for i, p := range path {
		line[i].At = p
		if i > 0 {
			line[i].Along = line[i-1].Along + p.R3().Sub(path[i-1].R3()).Norm()
		}
	}
	out := []layout.Vec{}
	for _, p := range thinned(line) {
		out = append(out, p.At)
	}
	return out
}

// to rounds to so many digits.
func to(v float64, digits int) float64 {
	f := math.Pow10(digits)
	return math.Round(v*f) / f
}

// orEmpty writes a list that is nil as one without entries.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
