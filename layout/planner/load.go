package planner

import (
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/spots"
	"seamwright/seams/shell"
)

// loadRounds bounds how often a joint is laid again with more welds for its load: more welds sit otherwise, and a weld
// group carries a moment otherwise.
const loadRounds = 8

// carryLoads lays the strips of every joint with a stated load again, with as many welds as the load needs or as fit.
// Joints that a survey names are laid at its points instead.
func (b *builder) carryLoads(laid []*strip, requests []spots.Request, layouts []spots.Layout) ([]spots.Layout, error) {
	if err := b.adopt(laid, requests, layouts); err != nil {
		return nil, err
	}
	for joint := range b.plan.Joints {
		if !loaded(b.Shell.Joints[joint]) || b.plan.Joints[joint].Kind == layout.RollerJoint || b.Shell.Joints[joint].Count > 0 {
			continue // a stated count wins: the check says what it does not carry
		}
		var own []int
		for i, s := range laid {
			if s.joint == joint && !s.adopted {
				own = append(own, i)
			}
		}
		err := b.carryLoad(joint, own, laid, requests, layouts)
		if err == nil {
			err = b.bestRows(joint, own, laid, requests, layouts)
		}
		if err != nil {
			return nil, fmt.Errorf("joint %s: load: %w", b.plan.Joints[joint].ID, err)
		}
	}
	return layouts, nil
}

func loaded(j shell.Joint) bool { return j.Load != (shell.Load{}) || len(j.Forces) > 0 }

// rowsTried is the layouts of a joint at one distance between its rows.
type rowsTried struct {
	used    float64 // of the worst weld
	count   int
	apart   float64
	layouts []spots.Layout
}

// better says whether t is to be taken rather than o: it carries, with fewer welds, less strained.
func (t rowsTried) better(o rowsTried) bool {
	if t.carries() != o.carries() {
		return t.carries()
	}
	if t.carries() {
		return t.count < o.count || t.count == o.count && t.used < o.used-1e-9
	}
	return t.used < o.used-1e-9
}

func (t rowsTried) carries() bool { return t.used <= 1+1e-9 }

// bestRows tries every distance between two rows that the strips have room for, where one row does not carry the load: far apart,
// welds stand side by side but near the edges, where they carry less; near each other they are staggered and farther from
// the edges.
func (b *builder) bestRows(joint int, own []int, laid []*strip, requests []spots.Request, layouts []spots.Layout) error {
	stated := b.Shell.Joints[joint]
	two := slices.ContainsFunc(own, func(i int) bool {
		return slices.ContainsFunc(layouts[i].Welds, func(w spots.Weld) bool { return w.Row > 0 })
	})
	if stated.Rows == 1 || stated.RowDistance > 0 || !two {
		return nil
	}
	var distances []float64
	for _, i := range own {
		distances = append(distances, requests[i].Distances()...)
	}
	slices.Sort(distances)
	best, err := b.triedRows(joint, 0, own, laid, layouts)
	if err != nil {
		return err
	}
	for _, apart := range slices.Compact(distances) {
		for _, i := range own {
			requests[i].RowApart, requests[i].LoadCount = apart, 0
			if layouts[i], err = spots.Lay(requests[i]); err != nil {
				return fmt.Errorf("flange %s: %w", laid[i].id, err)
			}
		}
		if err := b.carryLoad(joint, own, laid, requests, layouts); err != nil {
			return err
		}
		t, err := b.triedRows(joint, apart, own, laid, layouts)
		if err != nil {
			return err
		}
		if t.better(best) {
			best = t
		}
	}
	for k, i := range own {
		requests[i].RowApart, requests[i].LoadCount, layouts[i] = best.apart, len(best.layouts[k].Welds), best.layouts[k]
	}
	return nil
}

func (b *builder) triedRows(joint int, apart float64, own []int, laid []*strip, layouts []spots.Layout) (rowsTried, error) {
	used, count, err := b.utilisation(joint, own, laid, layouts)
	t := rowsTried{used: used, count: count, apart: apart}
	for _, i := range own {
		t.layouts = append(t.layouts, layouts[i])
	}
	return t, err
}

// carryLoad raises the count of one joint until its worst weld carries what falls on it, or no more fit.
func (b *builder) carryLoad(joint int, own []int, laid []*strip, requests []spots.Request, layouts []spots.Layout) error {
	lengths := make([]float64, len(own))
	for k, i := range own {
		lengths[k] = laid[i].flange.Length
	}
	short := 0 // welds that do not carry
	for range loadRounds {
		used, count, err := b.utilisation(joint, own, laid, layouts)
		if err != nil || count == 0 {
			return err
		}
		if used <= 1+1e-9 {
			return b.fewest(joint, short, count, lengths, own, laid, requests, layouts)
		}
		short = count
		needed := max(count+1, int(math.Ceil(float64(count)*used-1e-9)))
		grown, err := raise(needed, lengths, own, laid, requests, layouts)
		if err != nil {
			return err
		}
		if grown <= count {
			return nil // no more fit: the check says so
		}
	}
	return nil
}

// fewest goes back from a number of welds that carries to the least that does, above one that does not: where forces act at
// places a group carries otherwise than in proportion to its number. With none that does not, it is the pitch that counts.
func (b *builder) fewest(joint, short, carries int, lengths []float64, own []int, laid []*strip, requests []spots.Request,
	layouts []spots.Layout) error {
	if short == 0 {
		return nil
	}
	for carries-short > 1 {
		middle := (short + carries) / 2
		if _, err := raise(middle, lengths, own, laid, requests, layouts); err != nil {
			return err
		}
		used, count, err := b.utilisation(joint, own, laid, layouts)
		if err != nil {
			return err
		}
		if used <= 1+1e-9 && count < carries {
			carries = count
		} else {
			short = middle
		}
	}
	_, err := raise(carries, lengths, own, laid, requests, layouts)
	return err
}

// raise lays the strips of a joint again with so many welds in all, shared by length. What a strip cannot hold the others
// take. It returns how many there are.
func raise(needed int, lengths []float64, own []int, laid []*strip, requests []spots.Request, layouts []spots.Layout) (int, error) {
	room := slices.Clone(lengths) // 0: the strip holds no more
	held := make([]int, len(own))
	total := 0
	for range own {
		left := needed
		for k := range own {
			if room[k] == 0 {
				left -= held[k]
			}
		}
		full := false
		for k, n := range spots.Share(left, room) {
			if room[k] == 0 {
				continue
			}
			i := own[k]
			requests[i].LoadCount = n
			var err error
			if layouts[i], err = spots.Lay(requests[i]); err != nil {
				return 0, fmt.Errorf("flange %s: %w", laid[i].id, err)
			}
			if held[k] = len(layouts[i].Welds); held[k] < n {
				room[k], full = 0, true
			}
		}
		total = 0
		for _, n := range held {
			total += n
		}
		if total >= needed || !full {
			break
		}
	}
	return total, nil
}

// utilisation is that of the joint's worst weld as it is laid now, and the number of welds.
func (b *builder) utilisation(joint int, own []int, laid []*strip, layouts []spots.Layout) (float64, int, error) {
	draft := &layout.Plan{Shell: b.plan.Shell, Joints: []layout.Joint{b.plan.Joints[joint]}}
	for _, i := range own {
		s := laid[i]
		draft.Flanges = append(draft.Flanges,
			b.plan.Flanges[slices.IndexFunc(b.plan.Flanges, func(f layout.Flange) bool { return f.ID == s.id })])
		for k, w := range layouts[i].Welds {
			draft.Welds = append(draft.Welds, layout.Weld{
				Number: k + 1, Joint: b.plan.Joints[joint].ID, Flange: s.id, Position: vec(w.Position), Axis: vec(w.Axis), Along: w.S,
				Sheets: s.panels, Left: w.Left, Right: w.Right, Row: w.Row,
			})
		}
	}
	if len(draft.Welds) == 0 {
		return 0, 0, nil
	}
	if err := check.Strengths(draft, b.Shell, b.rules); err != nil {
		return 0, 0, err
	}
	worst := 0.0
	for _, w := range draft.Welds {
		worst = math.Max(worst, w.Utilisation)
	}
	return worst, len(draft.Welds), nil
}
