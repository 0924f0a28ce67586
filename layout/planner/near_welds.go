package planner

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/joining"
)

// spotted is a weld of the plan with its place and its strip.
type spotted struct {
	weld  *layout.Weld
	strip *joining.Strip
	at    r3.Vector
}

// nearWelds measures along the sheets between welds of which that tells more than their straight distance does: they share a
// sheet and are nearer to each other in space than welds may be.
func nearWelds(ctx context.Context, along *joining.Ways, strips []*joining.Strip, welds []layout.Weld) ([]layout.NearWelds, error) {
	var out []layout.NearWelds
	all, near := spottedWelds(strips, welds)
	for i, a := range all {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for _, n := range near(i) {
			o := all[n]
			limit := math.Max(a.strip.Limits.LeastPitch.Value, o.strip.Limits.LeastPitch.Value)
			if n > i && a.at.Distance(o.at) < limit && joining.Shared(a.weld.Sheets, o.weld.Sheets) > 0 {
				out = append(out, between(along, a, o, limit))
			}
		}
	}
	slices.SortStableFunc(out, func(x, y layout.NearWelds) int {
		return cmp.Or(cmp.Compare(x.Station, y.Station), x.Weld-y.Weld, cmp.Compare(x.OtherStation, y.OtherStation), x.Other-y.Other)
	})
	return out, nil
}

// spottedWelds lists the plan's welds, and gives for each the indices of those not far from it, growing.
func spottedWelds(list []*joining.Strip, welds []layout.Weld) (all []spotted, near func(i int) []int) {
	cell := 1.0
	strips := map[string]*joining.Strip{}
	for _, s := range list {
		cell = math.Max(cell, s.Limits.LeastPitch.Value)
		strips[s.ID] = s
	}
	cells := map[[3]int][]int{}
	key := func(p r3.Vector) [3]int {
		return [3]int{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell)), int(math.Floor(p.Z / cell))}
	}
	for i := range welds {
		w := &welds[i]
		at := joining.Point(w.Position)
		cells[key(at)] = append(cells[key(at)], i)
		all = append(all, spotted{w, strips[w.Flange], at})
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

// between is how far apart two welds are along the shared sheet on which they are nearest.
func between(w *joining.Ways, a, o spotted, limit float64) layout.NearWelds {
	out := layout.NearWelds{
		Station: a.weld.Station, Weld: a.weld.Number, OtherStation: o.weld.Station, Other: o.weld.Number,
		Straight: a.at.Distance(o.at), Along: math.Inf(1),
	}
	for _, panel := range a.weld.Sheets {
		if !slices.Contains(o.weld.Sheets, panel) {
			continue
		}
		if d := w.Way(panel, a.at, limit)(o.at); d < out.Along {
			out.Along, out.Sheet = d, panel
		}
	}
	return out
}
