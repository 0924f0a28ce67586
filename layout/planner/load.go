package planner

import (
	"context"
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
func (x *laying) carryLoads(ctx context.Context, lines []line) error {
	if err := x.adopt(lines); err != nil {
		return err
	}
	for joint := range x.joints {
		if !loaded(x.shell.Joints[joint]) || x.joints[joint].Kind == layout.RollerJoint || x.shell.Joints[joint].Count > 0 {
			continue // a stated count wins: the check says what it does not carry
		}
		var own []*line
		for i := range lines {
			if lines[i].strip.joint == joint && !lines[i].adopted {
				own = append(own, &lines[i])
			}
		}
		err := x.carryLoad(ctx, joint, own)
		if err == nil {
			err = x.bestRows(ctx, joint, own)
		}
		if err != nil {
			return fmt.Errorf("joint %s: load: %w", x.joints[joint].ID, err)
		}
	}
	return nil
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
func (x *laying) bestRows(ctx context.Context, joint int, own []*line) error {
	stated := x.shell.Joints[joint]
	two := slices.ContainsFunc(own, func(l *line) bool {
		return slices.ContainsFunc(l.laid.Welds, func(w spots.Weld) bool { return w.Row > 0 })
	})
	if stated.Rows == 1 || stated.RowDistance > 0 || !two {
		return nil
	}
	var distances []float64
	for _, l := range own {
		distances = append(distances, l.request.Distances()...)
	}
	slices.Sort(distances)
	best, err := x.triedRows(ctx, joint, 0, own)
	if err != nil {
		return err
	}
	for _, apart := range slices.Compact(distances) {
		for _, l := range own {
			l.request.RowApart, l.request.LoadCount = apart, 0
			if err := l.lay(); err != nil {
				return err
			}
		}
		if err := x.carryLoad(ctx, joint, own); err != nil {
			return err
		}
		t, err := x.triedRows(ctx, joint, apart, own)
		if err != nil {
			return err
		}
		if t.better(best) {
			best = t
		}
	}
	for k, l := range own {
		l.request.RowApart, l.request.LoadCount, l.laid = best.apart, len(best.layouts[k].Welds), best.layouts[k]
	}
	return nil
}

func (x *laying) triedRows(ctx context.Context, joint int, apart float64, own []*line) (rowsTried, error) {
	used, count, err := x.utilisation(ctx, joint, own)
	t := rowsTried{used: used, count: count, apart: apart}
	for _, l := range own {
		t.layouts = append(t.layouts, l.laid)
	}
	return t, err
}

// carryLoad raises the count of one joint until its worst weld carries what falls on it, or no more fit.
func (x *laying) carryLoad(ctx context.Context, joint int, own []*line) error {
	short := 0 // welds that do not carry
	for range loadRounds {
		used, count, err := x.utilisation(ctx, joint, own)
		if err != nil || count == 0 {
			return err
		}
		if used <= 1+1e-9 {
			return x.fewest(ctx, joint, short, count, own)
		}
		short = count
		needed := max(count+1, int(math.Ceil(float64(count)*used-1e-9)))
		grown, err := raise(needed, own)
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
func (x *laying) fewest(ctx context.Context, joint, short, carries int, own []*line) error {
	if short == 0 {
		return nil
	}
	for carries-short > 1 {
		middle := (short + carries) / 2
		if _, err := raise(middle, own); err != nil {
			return err
		}
		used, count, err := x.utilisation(ctx, joint, own)
		if err != nil {
			return err
		}
		if used <= 1+1e-9 && count < carries {
			carries = count
		} else {
			short = middle
		}
	}
	_, err := raise(carries, own)
	return err
}

// raise lays the strips of a joint again with so many welds in all, shared by length. What a strip cannot hold the others
// take. It returns how many there are.
func raise(needed int, own []*line) (int, error) {
	room := make([]float64, len(own)) // mm; 0: the strip holds no more
	for k, l := range own {
		room[k] = l.strip.flange.Length
	}
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
			own[k].request.LoadCount = n
			if err := own[k].lay(); err != nil {
				return 0, err
			}
			if held[k] = len(own[k].laid.Welds); held[k] < n {
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
func (x *laying) utilisation(ctx context.Context, joint int, own []*line) (float64, int, error) {
	j := check.Group{Joint: x.joints[joint]}
	for _, l := range own {
		s := l.strip
		j.Flanges = append(j.Flanges, x.flanges[slices.Index(x.strips, s)])
		for k, w := range l.laid.Welds {
			j.Welds = append(j.Welds, layout.Weld{
				Number: k + 1, Joint: j.Joint.ID, Flange: s.id, Position: vec(w.Position), Axis: vec(w.Axis), Along: w.S,
				Sheets: s.panels, Left: w.Left, Right: w.Right, Row: w.Row,
			})
		}
	}
	used, err := check.Utilisation(ctx, j, x.shell, x.rules)
	return used, len(j.Welds), err
}
