package check

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

// close is two welds nearer in space than the least pitch.
type near struct {
	a, b     strips.Spot
	distance float64
}

// spacing judges the distance along the sheets between all welds that share one, those of other strips, joints and stations
// included: whichever is made second loses current through the first. Neighbours on one weld line are judged along it
// (pitches), as current runs along the sheets.
func (c *checker) spacing() {
	var spots []strips.Spot
	cell := 1.0
	for _, s := range c.Strips {
		for i := range s.Welds {
			spots = append(spots, s.Spot(i))
		}
		cell = math.Max(cell, s.Limits.LeastPitch.Value)
	}
	grid := newGrid(spots, cell)
	pairs := map[[2]*strips.Strip][]near{}
	for i := range spots {
		grid.around(i, func(j int) {
			if j <= i {
				return
			}
			a, b := spots[i], spots[j]
			if !share(a.Weld, b.Weld) || a.Strip == b.Strip && a.Strip.Follow(a.Weld, b.Weld) {
				return
			}
			l := pairLimit(a, b)
			distance := c.Between(a.Weld, b.Weld)
			if !c.Keeps(l, distance, ledger.SlackPlan, func() string { return pairWords(a, b) }) {
				key := [2]*strips.Strip{a.Strip, b.Strip}
				pairs[key] = append(pairs[key], near{a, b, distance})
			}
		})
	}
	c.nearFindings(pairs)
}

// share reports whether two welds have a sheet in common.
func share(a, b *layout.Weld) bool {
	return slices.ContainsFunc(a.Sheets, func(id string) bool { return slices.Contains(b.Sheets, id) })
}

// pairLimit is the greater least pitch of two welds.
func pairLimit(a, b strips.Spot) rule.Limit {
	if b.Strip.Limits.LeastPitch.Value > a.Strip.Limits.LeastPitch.Value {
		return b.Strip.Limits.LeastPitch
	}
	return a.Strip.Limits.LeastPitch
}

func pairWords(a, b strips.Spot) string {
	if a.Strip == b.Strip {
		return fmt.Sprintf("flange %s: weld %d and weld %d", a.Strip.Flange.ID, a.Weld.Number, b.Weld.Number)
	}
	other := ""
	if a.Weld.Station != b.Weld.Station {
		other = " at station " + b.Weld.Station
	}
	return fmt.Sprintf("flange %s weld %d and flange %s weld %d%s", a.Strip.Flange.ID, a.Weld.Number, b.Strip.Flange.ID, b.Weld.Number, other)
}

// nearFindings says each pair of strips once, with its nearest welds.
func (c *checker) nearFindings(pairs map[[2]*strips.Strip][]near) {
	keys := slices.SortedFunc(maps.Keys(pairs), func(x, y [2]*strips.Strip) int {
		return cmp.Or(cmp.Compare(x[0].Flange.ID, y[0].Flange.ID), cmp.Compare(x[1].Flange.ID, y[1].Flange.ID))
	})
	for _, key := range keys {
		list := pairs[key]
		worst := slices.MinFunc(list, func(x, y near) int {
			return cmp.Or(cmp.Compare(x.distance, y.distance), cmp.Compare(x.a.Weld.Number, y.a.Weld.Number),
				cmp.Compare(x.b.Weld.Number, y.b.Weld.Number))
		})
		words := pairWords(worst.a, worst.b) + fmt.Sprintf(": %s mm apart", finding.Tenths(worst.distance))
		if len(list) > 1 {
			words += fmt.Sprintf(", the nearest of %d pairs", len(list))
		}
		s := worst.a.Strip
		if pairLimit(worst.a, worst.b) == worst.b.Strip.Limits.LeastPitch {
			s = worst.b.Strip
		}
		at := ledger.Place{Words: words, At: worst.a.Weld.Position.R3(), Strip: worst.a.Strip}
		if len(list) == 1 {
			at.Weld, at.Other = worst.a.Weld.Number, worst.b.Weld
		}
		c.Find(s.Limits.LeastPitch, worst.distance, s.Stack, rule.Given{}, at)
	}
}

// grid finds spots near each other.
type grid struct {
	spots []strips.Spot
	cell  float64
	cells map[[3]int][]int
}

func newGrid(spots []strips.Spot, cell float64) *grid {
	g := &grid{spots, cell, map[[3]int][]int{}}
	for i := range spots {
		k := g.key(i)
		g.cells[k] = append(g.cells[k], i)
	}
	return g
}

func (g *grid) key(i int) [3]int {
	p := g.spots[i].Weld.Position
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
