package flange

import (
	"context"
	"fmt"
	"slices"

	"seamwright/geometry/kit"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// inRank puts the sheets into an order of the finder's own, so that what is found does not depend on the one in
// which they are given, with what the whole of each is.
func (f *finder) inRank(ctx context.Context, sheets []Sheet) (own []Sheet, wholes []surface.Whole, err error) {
	given := make([]surface.Whole, len(sheets))
	if err := f.parallel(ctx, len(sheets), func(i int) error {
		if !surface.IsWithin(sheets[i].Mesh, surface.FarthestPlace) {
			return fmt.Errorf("find flanges of panel %s: %w", sheets[i].Name, ErrFarAway)
		}
		given[i] = surface.WholeOf(sheets[i].Mesh)
		return nil
	}); err != nil {
		return nil, nil, err
	}
	f.order = ranked(sheets, given)
	f.opt.Clamps = stackup.RanksOf(f.opt.Clamps, f.order)
	for _, i := range f.order {
		own, wholes = append(own, sheets[i]), append(wholes, given[i])
	}
	return own, wholes, nil
}

// ranked is an order of sheets that does not depend on the one in which they are given, and depends on where they
// stand only when nothing else tells them apart: the smaller first, for it is the cheaper host.
func ranked(sheets []Sheet, wholes []surface.Whole) []int {
	order := make([]int, len(sheets))
	for i := range order {
		order[i] = i
	}
	keys := []func(i int) float64{
		func(i int) float64 { return wholes[i].Area },
		func(i int) float64 { return wholes[i].Spread },
		func(i int) float64 { return float64(wholes[i].Corners) },
		func(i int) float64 { return sheets[i].Thickness },
		func(i int) float64 { return wholes[i].Center.X },
		func(i int) float64 { return wholes[i].Center.Y },
		func(i int) float64 { return wholes[i].Center.Z },
	}
	kit.SortByKeys(order, keys)
	return order
}

// restore gives the sheets the numbers that the caller knows them by.
func (found *Found) restore(order []int) {
	name := func(s int) int {
		if s < 0 {
			return s
		}
		return order[s]
	}
	for i := range found.Flanges {
		fl := &found.Flanges[i]
		for k, s := range fl.Sheets {
			fl.Sheets[k] = name(s)
		}
		for k := range fl.Line {
			fl.Line[k].LeftSheet, fl.Line[k].RightSheet = name(fl.Line[k].LeftSheet), name(fl.Line[k].RightSheet)
		}
		for _, beside := range fl.Beside {
			for k, s := range beside {
				beside[k] = name(s)
			}
			slices.Sort(beside)
		}
		if n := len(fl.Sheets); n > 0 && fl.Sheets[0] > fl.Sheets[n-1] {
			fl.turnOver()
		}
	}
	for i := range found.Small {
		sheets := found.Small[i].Sheets
		for k, s := range sheets {
			sheets[k] = name(s)
		}
		if n := len(sheets); sheets[0] > sheets[n-1] {
			slices.Reverse(sheets)
		}
	}
	for i := range found.Near {
		n := &found.Near[i]
		n.Sheets = [2]int{name(n.Sheets[0]), name(n.Sheets[1])}
		slices.Sort(n.Sheets[:])
	}
}

// turnOver looks at the strip from its other side.
func (fl *Flange) turnOver() {
	fl.Beside[0], fl.Beside[1] = fl.Beside[1], fl.Beside[0]
	fl.turnNotches()
	slices.Reverse(fl.Sheets)
	for i := range fl.Line {
		s := &fl.Line[i]
		s.Axis, s.Across, s.Offset = s.Axis.Mul(-1), s.Across.Mul(-1), -s.Offset
		s.Left, s.Right = s.Right, s.Left
		s.LeftEdge, s.RightEdge = s.RightEdge, s.LeftEdge
		s.LeftSheet, s.RightSheet = s.RightSheet, s.LeftSheet
	}
}

// turnNotches puts the notches on the other side, those on the left first.
func (fl *Flange) turnNotches() {
	for i := range fl.Notches {
		fl.Notches[i].Left = !fl.Notches[i].Left
	}
	slices.SortStableFunc(fl.Notches, func(a, b Notch) int { return kit.CountIf(b.Left) - kit.CountIf(a.Left) })
}
