// Package survey compares a plan with weld points measured on an original part: which welds are there, which are
// missing, extra or somewhere else.
//
//	points, notes, err := survey.ReadFile("points.csv", space.Unstated)
//	report, err := survey.Compare(plan, points, survey.Options{})
//	fmt.Println(len(report.Matched), len(report.Missing), report.RMS)
//
// The points may be measured in any frame: they are brought onto the planned welds by the best rigid motion, pairs that do
// not belong left out, and then paired with the welds of their flange one to one at the least total of squared distances.
// Lengths in mm.
package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/layout"
	"seamwright/layout/assign"
)

// Options steer Compare. Zero means what is said beside it.
type Options struct {
	Tolerance float64 // mm up to which a weld counts as being in its place; DefaultTolerance
	Reach     float64 // mm up to which a point is taken for a displaced weld; half the flange's mean pitch, at most 25
	Fixed     bool    // the points are in the shell's frame: do not move them
}

// DefaultTolerance is what a hand-welded spot may be off. Common practice, no source.
const DefaultTolerance = 5.0

// The bounds of a reach that is not stated, and how far from a weld line a point still belongs to it. Chosen.
const (
	leastReach = 6.0
	mostReach  = 25.0
	lineReach  = 30.0
)

// Report is what came of comparing.
type Report struct {
	Shell     string        `json:"shell" about:"name of the shell"`
	Welds     int           `json:"welds" about:"spots planned"`
	Points    int           `json:"points" about:"points measured"`
	Tolerance float64       `json:"tolerance" about:"from which a weld counts as displaced" unit:"mm"`
	RMS       float64       `json:"rms" about:"mm, of the distances of what is matched"`
	Fit       Fit           `json:"fit" about:"how the points were laid on the plan"`
	Matched   []Pair        `json:"matched" about:"in place"`
	Displaced []Pair        `json:"displaced" about:"found, but further off than the tolerance"`
	Missing   []Weld        `json:"missing" about:"planned, not measured, on flanges of which something was"`
	Extra     []Extra       `json:"extra" about:"measured, not planned"`
	Flanges   []FlangeCount `json:"flanges" about:"counts and pitch by flange"`

	NotMeasured []string `json:"not_measured" about:"flanges with welds and without any point: their welds are not called missing"`
	Notes       []string `json:"notes" about:"what to know when comparing"`
}

// Fit is how the points were brought into the shell's frame.
type Fit struct {
	Turn   [3][3]float64 `json:"turn" about:"rotation matrix, rows"`
	Move   layout.Vec    `json:"move" about:"mm, after the turn"`
	Angle  float64       `json:"angle" about:"degrees of the turn"`
	Used   int           `json:"used" about:"pairs that it rests on"`
	Left   int           `json:"left_out" about:"pairs left out as not belonging"`
	How    string        `json:"how" about:"the start that led to it"`
	Unique bool          `json:"unique" about:"false: another pose fits nearly as well"`
}

// Weld is one planned weld.
type Weld struct {
	Station string     `json:"station" about:"id of the station"`
	Number  int        `json:"number" about:"of the weld at its station"`
	Joint   string     `json:"joint" about:"id of the joint"`
	Flange  string     `json:"flange" about:"id of the flange"`
	At      layout.Vec `json:"at" about:"centre in the shell's frame" unit:"mm"`
}

// Pair is a weld and the point that was taken for it.
type Pair struct {
	Weld
	Point    string     `json:"point" about:"name of the point in the file"`
	Line     int        `json:"line" about:"of the file"`
	Measured layout.Vec `json:"measured" about:"in the shell's frame"`
	Distance float64    `json:"distance" about:"from planned to measured" unit:"mm"`
	Along    float64    `json:"along" about:"mm along the weld line from the planned place; to the end is positive"`
}

// Extra is a point without a weld.
type Extra struct {
	Point    string     `json:"point" about:"name of the point in the file"`
	Line     int        `json:"line" about:"of the file"`
	Measured layout.Vec `json:"measured" about:"in the shell's frame"`
	Joint    string     `json:"joint" about:"id of the joint"`
	Flange   string     `json:"flange" about:"nearest weld line; empty: far from all"`
	Along    float64    `json:"along" about:"mm along it"`
	Off      float64    `json:"off" about:"mm from it"`
}

// FlangeCount is one flange's welds against the plan.
type FlangeCount struct {
	Flange    string  `json:"flange" about:"id of the flange"`
	Joint     string  `json:"joint" about:"id of the joint"`
	Planned   int     `json:"planned" about:"welds planned"`
	Measured  int     `json:"measured" about:"points measured on it"`
	Matched   int     `json:"matched" about:"welds in place"`
	Displaced int     `json:"displaced" about:"welds found, but out of place"`
	Missing   int     `json:"missing" about:"welds not found"`
	Extra     int     `json:"extra" about:"points without a weld"`
	Pitch     float64 `json:"mean_pitch_planned" about:"mean pitch planned" unit:"mm"`
	Found     float64 `json:"mean_pitch_measured" about:"mean pitch measured" unit:"mm"`
}

// Compare pairs measured points with the plan's welds. It fails for a plan without welds, and for points that do not fit
// it in any pose.
func Compare(p *layout.Plan, points []Point, opt Options) (*Report, error) {
	if len(p.Welds) == 0 {
		return nil, fmt.Errorf("survey of %s: the plan has no spot welds to compare with", p.Shell.Name)
	}
	if !(opt.Tolerance >= 0) || !(opt.Reach >= 0) || math.IsInf(opt.Tolerance, 0) || math.IsInf(opt.Reach, 0) {
		return nil, fmt.Errorf("survey of %s: a tolerance of %g mm and a reach of %g mm are none", p.Shell.Name, opt.Tolerance, opt.Reach)
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = DefaultTolerance
	}
	c := newComparison(p, points, opt)
	c.unknownJoints()
	if err := c.bring(); err != nil {
		return nil, fmt.Errorf("survey of %s: %w", p.Shell.Name, err)
	}
	return c.report(), nil
}

// comparison is one call of Compare.
type comparison struct {
	plan   *layout.Plan
	points []Point
	opt    Options
	lines  []*line
	pose   Pose
	fit    Fit
	moved  []r3.Vector // points in the shell's frame
	home   []int       // of each point: index into lines, or -1
	along  []float64   // of each point: mm along that line
	off    []float64   // and from it
	weld   []int       // of each point: index of its weld in the plan, or -1
	notes  []string
}

// line is a flange with its welds.
type line struct {
	flange *layout.Flange
	curve  *curve.Line
	welds  []int // indices into the plan's, by growing Along
	reach  float64
	near   r3.Vector // a ball that holds the line
	radius float64
}

func newComparison(p *layout.Plan, points []Point, opt Options) *comparison {
	c := &comparison{plan: p, points: points, opt: opt}
	for i := range p.Flanges {
		f := &p.Flanges[i]
		if f.Joint == "" || len(f.Line) < 2 {
			continue
		}
		l := &line{flange: f, curve: f.Curve()}
		for k, w := range p.Welds {
			if w.Flange == f.ID {
				l.welds = append(l.welds, k)
			}
		}
		slices.SortStableFunc(l.welds, func(a, b int) int { return cmp.Compare(p.Welds[a].Along, p.Welds[b].Along) })
		l.near = mean(l.curve.Points)
		for _, q := range l.curve.Points {
			l.radius = math.Max(l.radius, q.Distance(l.near))
		}
		l.reach = opt.Reach
		if l.reach == 0 {
			l.reach = math.Max(math.Max(opt.Tolerance, leastReach), math.Min(mostReach, l.meanPitch(p)/2))
		}
		c.lines = append(c.lines, l)
	}
	return c
}

// unknownJoints says which joints of the file the plan does not weld.
func (c *comparison) unknownJoints() {
	count := map[string]int{}
	var order []string
	for _, p := range c.points {
		known := p.Joint == "" || slices.ContainsFunc(c.lines, func(l *line) bool { return l.flange.Joint == p.Joint })
		if !known {
			if count[p.Joint] == 0 {
				order = append(order, p.Joint)
			}
			count[p.Joint]++
		}
	}
	for _, j := range order {
		c.note("%d points are of joint %s, which the plan has no flange of", count[j], j)
	}
}

func (l *line) meanPitch(p *layout.Plan) float64 {
	along := make([]float64, len(l.welds))
	for i, k := range l.welds {
		along[i] = p.Welds[k].Along
	}
	return meanPitch(along, l.flange)
}

// meanPitch of places along a line, sorted; 0 below two. A closed line has as many gaps as places.
func meanPitch(along []float64, f *layout.Flange) float64 {
	n := len(along)
	switch {
	case n < 2:
		return 0
	case f.Closed:
		return f.Length / float64(n)
	}
	return (along[n-1] - along[0]) / float64(n-1)
}

// bring finds the pose and the pairs. The pairs of one pose give a better pose, until they stay.
func (c *comparison) bring() error {
	c.pose = Identity()
	c.fit.Unique = true
	if c.opt.Fixed {
		c.fit.How = "not moved"
		c.attribute()
		c.pair()
		return nil
	}
	welds, points := make([]r3.Vector, len(c.plan.Welds)), make([]r3.Vector, len(c.points))
	for i, w := range c.plan.Welds {
		welds[i] = r3.Vector{X: w.Position[0], Y: w.Position[1], Z: w.Position[2]}
	}
	for i, p := range c.points {
		points[i] = p.At
	}
	if len(points) < 3 {
		return fmt.Errorf("%d points leave the pose open: measure more welds, or say that the points are in the shell's frame", len(points))
	}
	best, other := register(welds, points, math.Max(8, c.opt.Tolerance))
	if best.share < leastShare {
		return fmt.Errorf("only %.0f %% of the points come near a planned weld in any pose: check the unit, and that this is the same part",
			100*best.share)
	}
	c.pose, c.fit.How = best.pose, best.how
	if c.fit.Unique = other.share < 0.9*best.share; !c.fit.Unique {
		c.note("the pose is not unique: turned by %.0f degrees %.0f %% of the points fit, as taken %.0f %%; measure points that tell the "+
			"sides apart, or say that the points are in the shell's frame", other.pose.Angle(), 100*other.share, 100*best.share)
	}
	for range 10 {
		c.attribute()
		before := slices.Clone(c.weld)
		c.pair()
		if slices.Equal(before, c.weld) {
			break
		}
		if err := c.refit(welds, points); err != nil {
			return err
		}
	}
	c.attribute()
	c.pair()
	return nil
}

// leastShare of the points must come near a weld for a pose to mean anything. Chosen.
const leastShare = 0.3

func (c *comparison) note(format string, args ...any) {
	c.notes = append(c.notes, fmt.Sprintf(format, args...))
}

// refit fits the pose to the pairs.
func (c *comparison) refit(welds, points []r3.Vector) error {
	var from, to []r3.Vector
	for i, k := range c.weld {
		if k >= 0 {
			from, to = append(from, points[i]), append(to, welds[k])
		}
	}
	pose, used, err := robust(from, to, 1)
	if err != nil {
		return fmt.Errorf("%w: measure welds beside it, or say that the points are in the shell's frame", err)
	}
	c.pose = pose
	c.fit.Used, c.fit.Left = 0, 0
	for _, u := range used {
		if u {
			c.fit.Used++
		} else {
			c.fit.Left++
		}
	}
	return nil
}

// attribute gives every point the weld line that it is nearest to. A joint that the file names is kept to.
func (c *comparison) attribute() {
	n := len(c.points)
	c.moved, c.home, c.along, c.off = make([]r3.Vector, n), make([]int, n), make([]float64, n), make([]float64, n)
	for i, p := range c.points {
		at := c.pose.Apply(p.At)
		c.moved[i], c.home[i], c.off[i] = at, -1, lineReach
		for k, l := range c.lines {
			if p.Joint != "" && l.flange.Joint != p.Joint || at.Distance(l.near)-l.radius > c.off[i] {
				continue
			}
			if s, d := l.curve.Nearest(at); d < c.off[i] {
				c.home[i], c.off[i], c.along[i] = k, d, s
			}
		}
	}
}

// pair assigns points to welds, flange by flange; what is left over at places where flanges meet is paired across them.
func (c *comparison) pair() {
	c.weld = make([]int, len(c.points))
	for i := range c.weld {
		c.weld[i] = -1
	}
	taken := make([]bool, len(c.plan.Welds))
	widest := 0.0
	for k, l := range c.lines {
		var points []int
		for i, home := range c.home {
			if home == k {
				points = append(points, i)
			}
		}
		c.assign(l.welds, points, l.reach, taken)
		widest = math.Max(widest, l.reach)
	}
	var welds, points []int
	for k := range c.plan.Welds {
		if !taken[k] {
			welds = append(welds, k)
		}
	}
	for i, k := range c.weld {
		if k < 0 && c.home[i] >= 0 && c.points[i].Joint == "" {
			points = append(points, i)
		}
	}
	c.assign(welds, points, math.Min(widest, leastReach), taken)
}

func (c *comparison) assign(welds, points []int, reach float64, taken []bool) {
	for a, b := range assign.Match(len(welds), len(points), reach, func(i, j int) float64 { return c.distance(welds[i], points[j]) }) {
		if b != assign.None {
			c.weld[points[b]] = welds[a]
			taken[welds[a]] = true
		}
	}
}

func (c *comparison) distance(weld, point int) float64 {
	p := c.plan.Welds[weld].Position
	return c.moved[point].Distance(r3.Vector{X: p[0], Y: p[1], Z: p[2]})
}
