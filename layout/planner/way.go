package planner

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/along"
	"seamwright/seams/shell"
)

// way measures along a panel from a place on it.
func (b *builder) way(panel string, from r3.Vector, limit float64) func(r3.Vector) float64 {
	if b.sheets == nil {
		b.sheets = map[string]*along.Sheet{}
	}
	s := b.sheets[panel]
	if s == nil {
		p := b.Parts[slices.IndexFunc(b.Shell.Panels, func(p shell.Panel) bool { return p.ID == panel })]
		solid := 0.0
		if p.Sheet.Surface == flange.Solid {
			solid = p.Sheet.Thickness
		}
		s = along.New(p.Sheet.Mesh, solid)
		b.sheets[panel] = s
	}
	return s.From(from, limit).To
}

// nearWelds measures along the sheets between welds of which that tells more than their straight distance does: they share a
// sheet, are no neighbours on a straight line, and are nearer to each other in space than welds may be.
func (b *builder) nearWelds() {
	type spot struct {
		weld  *layout.Weld
		strip *strip
		at    r3.Vector
	}
	cell := 1.0
	for _, s := range b.strips {
		cell = math.Max(cell, s.limits.LeastPitch.Value)
	}
	var all []spot
	cells := map[[3]int][]int{}
	key := func(p r3.Vector) [3]int {
		return [3]int{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell)), int(math.Floor(p.Z / cell))}
	}
	for i := range b.plan.Welds {
		w := &b.plan.Welds[i]
		at := point(w.Position)
		cells[key(at)] = append(cells[key(at)], len(all))
		all = append(all, spot{w, b.strips[slices.IndexFunc(b.strips, func(s *strip) bool { return s.id == w.Flange })], at})
	}
	for i, a := range all {
		k := key(a.at)
		var near []int
		for n := range 27 {
			near = append(near, cells[[3]int{k[0] + n%3 - 1, k[1] + n/3%3 - 1, k[2] + n/9 - 1}]...)
		}
		slices.Sort(near)
		for _, n := range near {
			o := all[n]
			limit := math.Max(a.strip.limits.LeastPitch.Value, o.strip.limits.LeastPitch.Value)
			straight := a.at.Distance(o.at)
			if n <= i || straight >= limit || shared(a.weld.Sheets, o.weld.Sheets) == 0 {
				continue
			}
			best := layout.NearWelds{Station: a.weld.Station, Weld: a.weld.Number, OtherStation: o.weld.Station, Other: o.weld.Number, Straight: straight, Along: math.Inf(1)}
			for _, panel := range a.weld.Sheets {
				if !slices.Contains(o.weld.Sheets, panel) {
					continue
				}
				if d := b.way(panel, a.at, limit)(o.at); d < best.Along {
					best.Along, best.Sheet = d, panel
				}
			}
			b.plan.NearWelds = append(b.plan.NearWelds, best)
		}
	}
	slices.SortStableFunc(b.plan.NearWelds, func(x, y layout.NearWelds) int {
		return cmp.Or(cmp.Compare(x.Station, y.Station), x.Weld-y.Weld, cmp.Compare(x.OtherStation, y.OtherStation), x.Other-y.Other)
	})
}
