package order

import (
	"cmp"

	"github.com/golang/geo/r3"
)

// costs tells what one group after another costs, in seconds.
type costs struct {
	entry, exit [][2]r3.Vector // by group and way; a group with one way has it twice
	inner       [][2]float64   // seconds within the group
	class       []int          // by group: gun, tip and setting
	change      [][]float64    // by class
	speed       float64
	start       *r3.Vector
}

func newCosts(groups []group, opt Options) *costs {
	c := &costs{speed: opt.WalkSpeed, start: opt.Start}
	type tool struct{ gun, tip, setting string }
	classes := map[tool]int{}
	var tools []tool
	for _, g := range groups {
		var entry, exit [2]r3.Vector
		var inner [2]float64
		for w := range 2 {
			way := g.ways[min(w, len(g.ways)-1)]
			entry[w], exit[w], inner[w] = way.entry, way.exit, way.travel/opt.WalkSpeed
		}
		c.entry, c.exit, c.inner = append(c.entry, entry), append(c.exit, exit), append(c.inner, inner)
		t := tool{g.key.gun, g.key.tip, g.key.setting}
		if _, known := classes[t]; !known {
			classes[t] = len(tools)
			tools = append(tools, t)
		}
		c.class = append(c.class, classes[t])
	}
	c.change = make([][]float64, len(tools))
	for i, a := range tools {
		for _, b := range tools {
			c.change[i] = append(c.change[i], opt.changeCost(a.gun, a.tip, a.setting, b.gun, b.tip, b.setting))
		}
	}
	return c
}

// changeCost is the seconds from one gun, tip and setting to the next. Another gun comes with its own tip
// and setting.
func (opt Options) changeCost(gun, tip, setting, nextGun, nextTip, nextSetting string) float64 {
	if gun != nextGun {
		return opt.GunChange
	}
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

// link is the cost from one step to the next, without what is within them.
func (c *costs) link(a, b step) float64 {
	switch {
	case b.group < 0:
		return 0
	case a.group < 0:
		if c.start == nil {
			return 0
		}
		return c.start.Distance(c.entry[b.group][b.way]) / c.speed
	}
	return c.exit[a.group][a.way].Distance(c.entry[b.group][b.way])/c.speed + c.change[c.class[a.group]][c.class[b.group]]
}

func (c *costs) within(s step) float64 { return c.inner[s.group][s.way] }

func (c *costs) total(seq []step) float64 {
	sum, last := 0.0, none
	for _, s := range seq {
		sum += c.link(last, s) + c.within(s)
		last = s
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
