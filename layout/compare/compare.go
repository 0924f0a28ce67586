// Package compare says what changed from one plan to another: welds added, gone and moved, tools and settings, time and
// money, and findings new and mended.
//
//	report, err := compare.Plans(old, new, compare.Options{})
//	fmt.Println(len(report.Added), len(report.Gone), len(report.Moved))
//
// Welds are matched within their joint, one to one, at the least total of squared distances: numbers mean nothing, as
// they follow the order of welding. Lengths in mm, time in minutes, money in the plans' currency.
package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/assign"
)

// Options steer Plans. Zero means what is said beside it.
type Options struct {
	Tolerance float64 // mm from which a weld counts as moved; DefaultTolerance
	Reach     float64 // mm up to which a weld is taken for a moved one; half the joint's mean pitch, 6 to 25
}

// DefaultTolerance is the least move that is told, mm: well below what anybody marks to.
const DefaultTolerance = 0.1

// The bounds of a reach that is not stated. Chosen.
const (
	leastReach = 6.0
	mostReach  = 25.0
)

// Report is what changed.
type Report struct {
	Old      Named         `json:"old" about:"the old plan"`
	New      Named         `json:"new" about:"the new plan"`
	Same     int           `json:"same" about:"welds neither moved nor changed"`
	Added    []Weld        `json:"added" about:"welds that are new"`
	Gone     []Weld        `json:"gone" about:"welds that are no more"`
	Moved    []Moved       `json:"moved" about:"welds that lie elsewhere"`
	Changed  []Changed     `json:"changed" about:"in place or moved, but with another gun, tip, setting, step, station or sheets"`
	Numbers  int           `json:"renumbered" about:"welds that have another number only"`
	Joints   []Joint       `json:"joints" about:"those that differ"`
	Seams    []Seam        `json:"rollers" about:"roller seams that differ"`
	Figures  []Difference  `json:"figures" about:"of the shell: welds, time, money"`
	Stations []Difference  `json:"stations" about:"man-minutes by station"`
	Time     []Difference  `json:"time" about:"man-minutes a shell by kind of work"`
	Cost     []Difference  `json:"cost" about:"money a shell by kind"`
	Findings FindingChange `json:"findings" about:"findings new, mended and changed"`
	Notes    []string      `json:"notes" about:"what to know when comparing"`
}

// Named is one of the two plans.
type Named struct {
	Shell    string `json:"shell" about:"name of the shell"`
	Revision string `json:"revision" about:"revision index"`
	Input    string `json:"input" about:"SHA-256 of the shell file and of every file that it names"`
	Welds    int    `json:"welds" about:"spots"`
}

// Weld is one weld of either plan.
type Weld struct {
	Station string     `json:"station" about:"id of the station"`
	Number  int        `json:"number" about:"of the weld at its station"`
	Joint   string     `json:"joint" about:"id of the joint"`
	Flange  string     `json:"flange" about:"id of the flange"`
	At      layout.Vec `json:"at" about:"centre in the shell's frame" unit:"mm"`
}

// Moved is a weld that is somewhere else.
type Moved struct {
	Old      Weld    `json:"old" about:"as it was"`
	New      Weld    `json:"new" about:"as it is"`
	Distance float64 `json:"distance" about:"between the two" unit:"mm"`
}

// Changed is a weld that is made otherwise.
type Changed struct {
	Old  Weld   `json:"old" about:"as it was"`
	New  Weld   `json:"new" about:"as it is"`
	What string `json:"what" about:"in words: gun A to B, tip …"`
}

// Joint is a joint whose welds differ.
type Joint struct {
	Joint string `json:"joint" about:"id of the joint"`
	Was   string `json:"was" about:"its id in the old plan; empty: it is new"`
	Old   int    `json:"old_welds" about:"spots before"`
	New   int    `json:"new_welds" about:"spots now"`
	Added int    `json:"added" about:"welds that are new"`
	Gone  int    `json:"gone" about:"welds that are no more"`
	Moved int    `json:"moved" about:"welds that lie elsewhere"`
}

// Seam is a roller seam that differs, in mm of length and s of rolling; zeros where a plan has none.
type Seam struct {
	Flange    string  `json:"flange" about:"id of the flange"`
	OldLength float64 `json:"old_length" about:"length before" unit:"mm"`
	NewLength float64 `json:"new_length" about:"length now" unit:"mm"`
	OldTime   float64 `json:"old_time" about:"rolling time before" unit:"s"`
	NewTime   float64 `json:"new_time" about:"rolling time now" unit:"s"`
}

// Difference is one figure of both plans.
type Difference struct {
	What   string  `json:"what" about:"what is compared"`
	Unit   string  `json:"unit" about:"unit"`
	Old    float64 `json:"old" about:"value before"`
	New    float64 `json:"new" about:"value now"`
	Change float64 `json:"change" about:"new less old"`
}

// Plans compares two plans. It fails for tolerances that are none.
func Plans(before, after *layout.Plan, opt Options) (*Report, error) {
	if !(opt.Tolerance >= 0) || !(opt.Reach >= 0) || math.IsInf(opt.Tolerance, 0) || math.IsInf(opt.Reach, 0) {
		return nil, fmt.Errorf("compare: a tolerance of %g mm and a reach of %g mm are none", opt.Tolerance, opt.Reach)
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = DefaultTolerance
	}
	c := &comparison{before: before, after: after, opt: opt, report: &Report{
		Old: named(before), New: named(after), Added: []Weld{}, Gone: []Weld{}, Moved: []Moved{}, Changed: []Changed{},
		Joints: []Joint{}, Seams: []Seam{}, Notes: []string{},
	}}
	c.notes()
	c.joints()
	c.rollers()
	c.figures()
	c.findings()
	return c.report, nil
}

func named(p *layout.Plan) Named {
	return Named{Shell: p.Shell.Name, Revision: p.Shell.Revision, Input: p.Shell.Input, Welds: len(p.Welds)}
}

type comparison struct {
	before, after *layout.Plan
	opt           Options
	report        *Report
}

func (c *comparison) note(format string, args ...any) {
	c.report.Notes = append(c.report.Notes, fmt.Sprintf(format, args...))
}

func (c *comparison) notes() {
	if a, b := c.before.Shell, c.after.Shell; a.Name != b.Name {
		c.note("the plans are of two shells: %s and %s", a.Name, b.Name)
	} else if a.Input == b.Input && a.Input != "" {
		c.note("both plans come from the same files")
	}
	if a, b := c.before.Cost.Currency, c.after.Cost.Currency; a != b {
		c.note("money is in two currencies, %s and %s: it is not compared", a, b)
	}
	if a, b := c.before.Cost.Batch, c.after.Cost.Batch; a != b {
		c.note("the batch went from %d to %d: jig preparation is shared over another number", a, b)
	}
}

// pair is a joint of both plans; an empty id means that a plan has none.
type pair struct{ before, after string }

// joints matches joints by their ids, and those left over by their panels: a joint that was renamed.
func (c *comparison) joints() {
	var pairs []pair
	renamed := map[string]bool{}
	for _, j := range c.after.Joints {
		p := pair{after: j.ID}
		if has(c.before.Joints, j.ID) {
			p.before = j.ID
		} else if was := c.byPanels(j, renamed); was != "" {
			p.before = was
			renamed[was] = true
			c.note("joint %s is called %s now: the same panels", was, j.ID)
		}
		pairs = append(pairs, p)
	}
	for _, j := range c.before.Joints {
		if !has(c.after.Joints, j.ID) && !renamed[j.ID] {
			pairs = append(pairs, pair{before: j.ID})
		}
	}
	for _, p := range pairs {
		c.joint(p)
	}
}

func has(joints []layout.Joint, id string) bool {
	return slices.ContainsFunc(joints, func(j layout.Joint) bool { return j.ID == id })
}

// byPanels is the one old joint of the same panels that has no namesake in the new plan.
func (c *comparison) byPanels(j layout.Joint, taken map[string]bool) string {
	was := ""
	for _, o := range c.before.Joints {
		if panels(o) != panels(j) || has(c.after.Joints, o.ID) || taken[o.ID] {
			continue
		}
		if was != "" {
			return "" // two: no telling
		}
		was = o.ID
	}
	return was
}

func panels(j layout.Joint) string {
	ids := slices.Clone(j.Panels)
	slices.Sort(ids)
	return strings.Join(ids, "\x00")
}

func weldsOf(p *layout.Plan, joint string) []*layout.Weld {
	var out []*layout.Weld
	for i := range p.Welds {
		if p.Welds[i].Joint == joint && joint != "" {
			out = append(out, &p.Welds[i])
		}
	}
	return out
}

// joint matches the welds of one joint.
func (c *comparison) joint(p pair) {
	before, after := weldsOf(c.before, p.before), weldsOf(c.after, p.after)
	out := Joint{Joint: p.after, Was: p.before, Old: len(before), New: len(after)}
	if p.after == "" {
		out.Joint = p.before
	}
	partner := assign.Match(len(before), len(after), c.reach(p, max(len(before), len(after))),
		func(i, j int) float64 { return distance(before[i], after[j]) })
	taken := make([]bool, len(after))
	for i, j := range partner {
		if j == assign.None {
			c.report.Gone = append(c.report.Gone, weld(before[i]))
			out.Gone++
			continue
		}
		taken[j] = true
		out.Moved += c.both(before[i], after[j])
	}
	for j, w := range after {
		if !taken[j] {
			c.report.Added = append(c.report.Added, weld(w))
			out.Added++
		}
	}
	if out.Added+out.Gone+out.Moved > 0 || p.before != p.after {
		c.report.Joints = append(c.report.Joints, out)
	}
}

// reach for a joint of so many welds: half its mean pitch.
func (c *comparison) reach(p pair, welds int) float64 {
	if c.opt.Reach > 0 {
		return c.opt.Reach
	}
	length := 0.0
	for _, plan := range []struct {
		joints []layout.Joint
		id     string
	}{{c.before.Joints, p.before}, {c.after.Joints, p.after}} {
		for _, j := range plan.joints {
			if j.ID == plan.id {
				length = math.Max(length, j.Length)
			}
		}
	}
	return math.Min(mostReach, math.Max(leastReach, length/float64(max(1, welds))/2))
}

// both tells what became of a weld that both plans have; 1 when it moved.
func (c *comparison) both(a, b *layout.Weld) int {
	moved := 0
	if d := distance(a, b); d > c.opt.Tolerance {
		c.report.Moved = append(c.report.Moved, Moved{Old: weld(a), New: weld(b), Distance: round(d)})
		moved = 1
	}
	if a.Number != b.Number || a.Station != b.Station {
		c.report.Numbers++
	}
	if what := c.otherwise(a, b); what != "" {
		c.report.Changed = append(c.report.Changed, Changed{Old: weld(a), New: weld(b), What: what})
	} else if moved == 0 {
		c.report.Same++
	}
	return moved
}

// otherwise words what is different about how a weld is made.
func (c *comparison) otherwise(a, b *layout.Weld) string {
	var words []string
	say := func(what, from, to string) {
		if from != to {
			words = append(words, fmt.Sprintf("%s %s to %s", what, orNone(from), orNone(to)))
		}
	}
	say("station", a.Station, b.Station)
	say("sheets", strings.Join(a.Sheets, "+"), strings.Join(b.Sheets, "+"))
	say("gun", a.Gun, b.Gun)
	say("tip", a.Tip, b.Tip)
	say("setting", setting(c.before, a.Setting), setting(c.after, b.Setting))
	say("step", string(a.Step), string(b.Step))
	return strings.Join(words, ", ")
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// setting is a setting by what it sets: its id may be another in each plan.
func setting(p *layout.Plan, id string) string {
	for _, s := range p.Settings {
		if s.ID == id {
			return fmt.Sprintf("%s: %.0f N, %.0f A, %.3f s", s.Stack, s.Force, s.Current, s.Weld)
		}
	}
	return ""
}

func weld(w *layout.Weld) Weld {
	return Weld{Station: w.Station, Number: w.Number, Joint: w.Joint, Flange: w.Flange, At: w.Position}
}

func distance(a, b *layout.Weld) float64 { return a.Position.R3().Distance(b.Position.R3()) }

func round(v float64) float64 { return math.Round(v*1e4)/1e4 + 0 }
