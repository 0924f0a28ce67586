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
		s = along.New(p.Shape, solid)
		b.sheets[panel] = s
	}
	return s.From(from, limit).To
}

// placed is a weld of the plan with its place and its strip.
type placed struct {
	weld  *layout.Weld
	strip *strip
	at    r3.Vector
}

// nearWelds measures along the sheets between welds of which that tells more than their straight distance does: they share a
// sheet and are nearer to each other in space than welds may be.
func (b *builder) nearWelds() {
	all, near := b.placedWelds()
	for i, a := range all {
		for _, n := range near(i) {
			o := all[n]
			limit := math.Max(a.strip.limits.LeastPitch.Value, o.strip.limits.LeastPitch.Value)
			if n > i && a.at.Distance(o.at) < limit && shared(a.weld.Sheets, o.weld.Sheets) > 0 {
				b.plan.NearWelds = append(b.plan.NearWelds, b.measured(a, o, limit))
			}
		}
	}
	slices.SortStableFunc(b.plan.NearWelds, func(x, y layout.NearWelds) int {
		return cmp.Or(cmp.Compare(x.Station, y.Station), x.Weld-y.Weld, cmp.Compare(x.OtherStation, y.OtherStation), x.Other-y.Other)
	})
}

// placedWelds lists the plan's welds, and gives for each the indices of those not far from it, growing.
func (b *builder) placedWelds() (all []placed, near func(i int) []int) {
	cell := 1.0
	strips := map[string]*strip{}
	for _, s := range b.strips {
		cell = math.Max(cell, s.limits.LeastPitch.Value)
		strips[s.id] = s
	}
	cells := map[[3]int][]int{}
	key := func(p r3.Vector) [3]int {
		return [3]int{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell)), int(math.Floor(p.Z / cell))}
	}
	for i := range b.plan.Welds {
		w := &b.plan.Welds[i]
		at := point(w.Position)
		cells[key(at)] = append(cells[key(at)], i)
		all = append(all, placed{w, strips[w.Flange], at})
	}
	return all, func(i int) []int {
		k := key(all[i].at)
		var out []int
		for n := range 27 {
			out = append(out, cells[[3]int{k[0] + n%3 - 1, k[1] + n/3%3 - 1, k[2] + n/9 - 1}]...)
		}
		slices.Sort(out)
		return out
	}
}

// measured is how far apart two welds are along the shared sheet on which they are nearest.
func (b *builder) measured(a, o placed, limit float64) layout.NearWelds {
	out := layout.NearWelds{
		Station: a.weld.Station, Weld: a.weld.Number, OtherStation: o.weld.Station, Other: o.weld.Number,
		Straight: a.at.Distance(o.at), Along: math.Inf(1),
	}
	for _, panel := range a.weld.Sheets {
		if !slices.Contains(o.weld.Sheets, panel) {
			continue
		}
		if d := b.way(panel, a.at, limit)(o.at); d < out.Along {
			out.Along, out.Sheet = d, panel
		}
	}
	return out
}
