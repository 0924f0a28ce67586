package order

import (
	"cmp"
	"math"

	"github.com/golang/geo/r3"
)

// costs tells what one group after another costs, in seconds. Walking and the change of gun hang on two neighbours; tip
// and setting stay on a gun that is put down, so that their change hangs on the group that used the gun before, however
// long ago. Guns whose groups differ in tip or setting are kits; the others need no memory.
type costs struct {
	entry, exit [][2]end     // by group and way; a group with one way has it twice
	inner       [][2]float64 // seconds within the group
	gun         []int        // by group
	dress       []int        // by group: tip and setting on its gun, as far as a change of them costs anything
	kit         []int        // by group: its kit, -1 where its gun is always dressed alike
	kits        int
	change      [][]float64 // by dress
	gunChange   float64
	posture     float64
	speed       float64
	gain        float64 // the least saving in seconds that counts
	start       *r3.Vector
	links       []float64 // from step to step by their numbers, unless there are too many
	wide        int       // steps in the table
}

// end is where a group begins or ends: its place and the axis of the weld there.
type end struct {
	at, axis r3.Vector
	length   float64 // of the axis
}

func endAt(at, axis r3.Vector) end { return end{at, axis, axis.Norm()} }

// Alike is the way in mm by which two orders, places or heights must differ to count as different. What lies below it is
// noise of meshes and of rounding, which must not decide: the one found first stands, and what is looked at first goes by step,
// flange and place along it.
const Alike = 0.01

func newCosts(groups []group, stops []Stop, opt Options) *costs {
	c := &costs{speed: opt.WalkSpeed, gain: Alike / opt.WalkSpeed, start: opt.Start, gunChange: opt.GunChange, posture: opt.Posture}
	type dress struct{ tip, setting string }
	guns, dresses, kits := map[string]int{}, map[dress]int{}, map[string]int{}
	var list []dress
	first := map[string]int{} // by gun: its first dress
	for _, g := range groups {
		var entry, exit [2]end
		var inner [2]float64
		for w := range 2 {
			way := g.ways[min(w, len(g.ways)-1)]
			last := way.runs[len(way.runs)-1]
			entry[w], exit[w] = endAt(way.entry, stops[way.runs[0][0]].Axis), endAt(way.exit, stops[last[len(last)-1]].Axis)
			inner[w] = way.travel / opt.WalkSpeed
			for k := 1; k < len(way.runs); k++ {
				a, b := stops[way.runs[k-1][len(way.runs[k-1])-1]], stops[way.runs[k][0]]
				if AnotherPosture(a.Position, a.Axis, b.Position, b.Axis) {
					inner[w] += opt.Posture
				}
			}
		}
		c.entry, c.exit, c.inner = append(c.entry, entry), append(c.exit, exit), append(c.inner, inner)
		if _, known := guns[g.key.gun]; !known {
			guns[g.key.gun] = len(guns)
		}
		c.gun = append(c.gun, guns[g.key.gun])
		d := dress{g.key.tip, g.key.setting}
		if opt.TipChange == 0 {
			d.tip = ""
		}
		if opt.SetChange == 0 {
			d.setting = ""
		}
		if _, known := dresses[d]; !known {
			dresses[d] = len(list)
			list = append(list, d)
		}
		c.dress = append(c.dress, dresses[d])
		if before, known := first[g.key.gun]; !known {
			first[g.key.gun] = dresses[d]
		} else if _, numbered := kits[g.key.gun]; before != dresses[d] && !numbered {
			kits[g.key.gun] = len(kits)
		}
	}
	for _, g := range groups {
		if k, ok := kits[g.key.gun]; ok {
			c.kit = append(c.kit, k)
		} else {
			c.kit = append(c.kit, -1)
		}
	}
	c.kits = len(kits)
	for i, a := range list {
		c.change = append(c.change, nil)
		for _, b := range list {
			c.change[i] = append(c.change[i], opt.dressCost(a.tip, a.setting, b.tip, b.setting))
		}
	}
	c.tabulate(len(groups))
	return c
}

// mostTabled is of up to how many groups all links are worked out beforehand: the search asks for each hundreds of times.
const mostTabled = 256

func (c *costs) tabulate(groups int) {
	if groups > mostTabled {
		return
	}
	var steps []step
	for g := int32(-1); g < int32(groups); g++ {
		steps = append(steps, step{g, 0}, step{g, 1})
	}
	c.wide = len(steps)
	c.links = make([]float64, 0, c.wide*c.wide)
	for _, a := range steps {
		for _, b := range steps {
			c.links = append(c.links, c.reckoned(a, b))
		}
	}
}

// dressCost is the seconds from one tip and setting on a gun to the next on the same gun.
func (opt Options) dressCost(tip, setting, nextTip, nextSetting string) float64 {
	cost := 0.0
	if tip != nextTip {
		cost += opt.TipChange
	}
	if setting != nextSetting {
		cost += opt.SetChange
	}
	return cost
}

// step is a group gone through one way.
type step struct {
	group int32
	way   uint8
}

// none stands before the first and after the last step.
var none = step{group: -1}

// link is the cost from one step to the next, without what is within them and without tips and settings.
func (c *costs) link(a, b step) float64 {
	if c.links != nil {
		return c.links[a.number()*c.wide+b.number()]
	}
	return c.reckoned(a, b)
}

// number is the step's place in the table of links; none comes first.
func (s step) number() int { return 2*int(s.group+1) + int(s.way) }

func (c *costs) reckoned(a, b step) float64 {
	switch {
	case b.group < 0:
		return 0
	case a.group < 0:
		if c.start == nil {
			return 0
		}
		return c.start.Distance(c.entry[b.group][b.way].at) / c.speed
	}
	from, to := &c.exit[a.group][a.way], &c.entry[b.group][b.way]
	cost := from.at.Distance(to.at) / c.speed
	if c.gun[a.group] != c.gun[b.group] {
		cost += c.gunChange
	}
	if c.posture > 0 && from.anotherPosture(to) {
		cost += c.posture
	}
	return cost
}

// What asks for another posture. Common practice, no source: a gun turned by so much is gripped anew, and between welds so
// far apart in height one kneels or rises.
const (
	PostureAngle = 30.0  // degrees between the axes of two welds, whichever way they point
	PostureRise  = 400.0 // mm

	postureCosine = 0.8660254037844387 - 1e-5 // of PostureAngle, and a thousandth of a degree
)

// AnotherPosture says whether a weld asks for another posture than the one before it, by their places and their axes, of any length. One
// without an axis, such as a roller seam, asks for none.
func AnotherPosture(before, axisBefore, after, axisAfter r3.Vector) bool {
	from, to := endAt(before, axisBefore), endAt(after, axisAfter)
	return from.anotherPosture(&to)
}

func (e *end) anotherPosture(next *end) bool {
	both := e.length * next.length
	if both == 0 {
		return false
	}
	return math.Abs(next.at.Z-e.at.Z) > PostureRise+Alike || math.Abs(e.axis.Dot(next.axis)) < postureCosine*both
}

// dressing is the cost of making the gun ready for group b after it was used for group a.
func (c *costs) dressing(a, b int32) float64 { return c.change[c.dress[a]][c.dress[b]] }

func (c *costs) within(s step) float64 { return c.inner[s.group][s.way] }

// total is the cost of an order. Each gun is dressed for its first group again at the end, for the next shell.
func (c *costs) total(seq []step) float64 {
	sum, last := 0.0, none
	first, latest := make([]int32, c.kits), make([]int32, c.kits)
	for k := range first {
		first[k], latest[k] = -1, -1
	}
	for _, s := range seq {
		sum += c.link(last, s) + c.within(s)
		last = s
		k := c.kit[s.group]
		if k < 0 {
			continue
		}
		if first[k] < 0 {
			first[k] = s.group
		} else {
			sum += c.dressing(latest[k], s.group)
		}
		latest[k] = s.group
	}
	for k := range first {
		sum += c.dressing(latest[k], first[k])
	}
	return sum
}

func (s step) turned() step { return step{s.group, 1 - s.way} }

func orDefault[T cmp.Ordered](v, otherwise T) T {
	var zero T
	if v == zero {
		return otherwise
	}
	return v
}
