package check

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/seams/rule"
)

// spot is a weld with its strip.
type spot struct {
	weld  *layout.Weld
	strip *strip
	index int // on the strip
}

// close is two welds nearer in space than the least pitch.
type near struct {
	a, b     spot
	distance float64
}

// spacing judges the distance along the sheets between all welds that share one, those of other strips, joints and stations
// included: whichever is made second loses current through the first. Neighbours on one weld line are judged along it
// (pitches), as current runs along the sheets.
func (c *checker) spacing() {
	var spots []spot
	cell := 1.0
	for _, s := range c.strips {
		for i, w := range s.welds {
			spots = append(spots, spot{w, s, i})
		}
		cell = math.Max(cell, s.limits.LeastPitch.Value)
	}
	grid := newGrid(spots, cell)
	pairs := map[[2]*strip][]near{}
	for i := range spots {
		grid.around(i, func(j int) {
			if j <= i {
				return
			}
			a, b := spots[i], spots[j]
			if common(a.weld.Sheets, b.weld.Sheets) == 0 || a.strip == b.strip && a.strip.follow(a.weld, b.weld) {
				return
			}
			l := pairLimit(a, b)
			distance := c.apart(a.weld, b.weld)
			if !c.keeps(l, distance, slackPlan, func() string { return pairWords(a, b) }) {
				key := [2]*strip{a.strip, b.strip}
				pairs[key] = append(pairs[key], near{a, b, distance})
			}
		})
	}
	c.nearFindings(pairs)
}

// pairKey names two welds, by station and number.
type pairKey [2]struct {
	station string
	number  int
}

// gatherNear files what the plan holds of distances along sheets, either way round.
func (c *checker) gatherNear() {
	c.near = map[pairKey]float64{}
	for _, n := range c.plan.NearWelds {
		c.near[pairKey{{n.Station, n.Weld}, {n.OtherStation, n.Other}}] = n.Along
		c.near[pairKey{{n.OtherStation, n.Other}, {n.Station, n.Weld}}] = n.Along
	}
}

// apart is the distance between two welds: along the sheet where the plan holds that, else straight, which is never longer.
func (c *checker) apart(a, b *layout.Weld) float64 {
	straight := a.Position.R3().Distance(b.Position.R3())
	return math.Max(straight, c.near[pairKey{{a.Station, a.Number}, {b.Station, b.Number}}])
}

// pairLimit is the greater least pitch of two welds.
func pairLimit(a, b spot) rule.Limit {
	if b.strip.limits.LeastPitch.Value > a.strip.limits.LeastPitch.Value {
		return b.strip.limits.LeastPitch
	}
	return a.strip.limits.LeastPitch
}

func pairWords(a, b spot) string {
	if a.strip == b.strip {
		return fmt.Sprintf("flange %s: weld %d and weld %d", a.strip.flange.ID, a.weld.Number, b.weld.Number)
	}
	other := ""
	if a.weld.Station != b.weld.Station {
		other = " at station " + b.weld.Station
	}
	return fmt.Sprintf("flange %s weld %d and flange %s weld %d%s", a.strip.flange.ID, a.weld.Number, b.strip.flange.ID, b.weld.Number, other)
}

// nearFindings says each pair of strips once, with its nearest welds.
func (c *checker) nearFindings(pairs map[[2]*strip][]near) {
	keys := slices.SortedFunc(maps.Keys(pairs), func(x, y [2]*strip) int {
		return cmp.Or(cmp.Compare(x[0].flange.ID, y[0].flange.ID), cmp.Compare(x[1].flange.ID, y[1].flange.ID))
	})
	for _, key := range keys {
		list := pairs[key]
		worst := slices.MinFunc(list, func(x, y near) int {
			return cmp.Or(cmp.Compare(x.distance, y.distance), cmp.Compare(x.a.weld.Number, y.a.weld.Number),
				cmp.Compare(x.b.weld.Number, y.b.weld.Number))
		})
		words := pairWords(worst.a, worst.b) + fmt.Sprintf(": %s mm apart", tenths(worst.distance))
		if len(list) > 1 {
			words += fmt.Sprintf(", the nearest of %d pairs", len(list))
		}
		s := worst.a.strip
		if pairLimit(worst.a, worst.b) == worst.b.strip.limits.LeastPitch {
			s = worst.b.strip
		}
		at := place{words: words, at: worst.a.weld.Position.R3(), strip: worst.a.strip}
		if len(list) == 1 {
			at.weld, at.other = worst.a.weld.Number, worst.b.weld
		}
		c.find(s.limits.LeastPitch, worst.distance, s.stack, rule.Given{}, at)
	}
}

// grid finds spots near each other.
type grid struct {
	spots []spot
	cell  float64
	cells map[[3]int][]int
}

func newGrid(spots []spot, cell float64) *grid {
	g := &grid{spots, cell, map[[3]int][]int{}}
	for i := range spots {
		k := g.key(i)
		g.cells[k] = append(g.cells[k], i)
	}
	return g
}

func (g *grid) key(i int) [3]int {
	p := g.spots[i].weld.Position
	return [3]int{int(math.Floor(p[0] / g.cell)), int(math.Floor(p[1] / g.cell)), int(math.Floor(p[2] / g.cell))}
}

// around visits every spot in the same cell as spot i and in the 26 about it, in a fixed order.
func (g *grid) around(i int, visit func(j int)) {
	k := g.key(i)
	for x := -1; x <= 1; x++ {
		for y := -1; y <= 1; y++ {
			for z := -1; z <= 1; z++ {
				for _, j := range g.cells[[3]int{k[0] + x, k[1] + y, k[2] + z}] {
					visit(j)
				}
			}
		}
	}
}
