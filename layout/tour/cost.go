package tour

import "github.com/golang/geo/r3"

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

func newCosts(groups []Group, prices Prices) *costs {
	c := &costs{speed: prices.Speed, gain: Alike / prices.Speed, start: prices.Start, gunChange: prices.Gun, posture: prices.Posture}
	type dress struct{ tip, setting string }
	guns, dresses, kits := map[string]int{}, map[dress]int{}, map[string]int{}
	var list []dress
	first := map[string]int{} // by gun: its first dress
	for _, g := range groups {
		var entry, exit [2]end
		var inner [2]float64
		for w := range 2 {
			way := g.Ways[min(w, len(g.Ways)-1)]
			entry[w], exit[w], inner[w] = endAt(way.Entry.At, way.Entry.Axis), endAt(way.Exit.At, way.Exit.Axis), way.Seconds
		}
		c.entry, c.exit, c.inner = append(c.entry, entry), append(c.exit, exit), append(c.inner, inner)
		if _, known := guns[g.Gun]; !known {
			guns[g.Gun] = len(guns)
		}
		c.gun = append(c.gun, guns[g.Gun])
		d := dress{g.Tip, g.Setting}
		if prices.Tip == 0 {
			d.tip = ""
		}
		if prices.Setting == 0 {
			d.setting = ""
		}
		if _, known := dresses[d]; !known {
			dresses[d] = len(list)
			list = append(list, d)
		}
		c.dress = append(c.dress, dresses[d])
		if before, known := first[g.Gun]; !known {
			first[g.Gun] = dresses[d]
		} else if _, numbered := kits[g.Gun]; before != dresses[d] && !numbered {
			kits[g.Gun] = len(kits)
		}
	}
	for _, g := range groups {
		if k, ok := kits[g.Gun]; ok {
			c.kit = append(c.kit, k)
		} else {
			c.kit = append(c.kit, -1)
		}
	}
	c.kits = len(kits)
	for i, a := range list {
		c.change = append(c.change, nil)
		for _, b := range list {
			c.change[i] = append(c.change[i], prices.dressing(a.tip, a.setting, b.tip, b.setting))
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

// dressing is the seconds from one tip and setting on a gun to the next on the same gun.
func (p Prices) dressing(tip, setting, nextTip, nextSetting string) float64 {
	cost := 0.0
	if tip != nextTip {
		cost += p.Tip
	}
	if setting != nextSetting {
		cost += p.Setting
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
