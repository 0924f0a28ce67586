package laying

import (
	"context"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/resistance"
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
	for joint := range x.Joints {
		if !loaded(x.Shell.Joints[joint]) || x.Joints[joint].Kind == layout.RollerJoint || x.Shell.Joints[joint].Count > 0 {
			continue // a stated count wins: the check says what it does not carry
		}
		var own []*line
		for i := range lines {
			if lines[i].strip.Joint == joint && !lines[i].adopted {
				own = append(own, &lines[i])
			}
		}
		err := x.carryLoad(ctx, joint, own)
		if err == nil {
			err = x.bestRows(ctx, joint, own)
		}
		if err != nil {
			return fmt.Errorf("joint %s: load: %w", x.Joints[joint].ID, err)
		}
	}
	return nil
}

func loaded(j shell.Joint) bool { return j.Load != (shell.Load{}) || len(j.Forces) > 0 }

// inRowsOf is how many rows a joint's welds stand in, and how far apart.
type inRowsOf struct {
	count int
	apart float64
}

// rowsTried is the layouts of a joint in rows so far apart.
type rowsTried struct {
	used    float64 // of the worst weld
	count   int
	rows    inRowsOf
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

// bestRows looks for the fewest welds in rows that carry the load, where one row does not. The nearer the rows, the farther their
// welds are from the edges, where they carry less, and the fewer fit. So for each count, from the least that could do, it takes
// the nearest rows that hold so many; the first count of which one carries is the answer.
func (x *laying) bestRows(ctx context.Context, joint int, own []*line) error {
	stated := x.Shell.Joints[joint]
	several := slices.ContainsFunc(own, func(l *line) bool {
		return slices.ContainsFunc(l.laid.Welds, func(w spots.Weld) bool { return w.Row > 0 })
	})
	if stated.Rows == 1 || stated.RowDistance > 0 || !several {
		return nil
	}
	best, err := x.triedRows(ctx, joint, inRowsOf{}, own)
	if err != nil {
		return err
	}
	count, err := x.leastCount(ctx, joint, own)
	if err != nil {
		return err
	}
	for ; ; count++ {
		if best.carries() && count > best.count {
			break
		}
		held := false
		least, most := 2, spots.GreatestRows
		if stated.Rows >= 2 {
			least, most = stated.Rows, stated.Rows
		}
		for rows := least; rows <= most; rows++ {
			at, ok, err := nearestRows(count, rows, own)
			if err != nil {
				return err
			}
			if !ok {
				continue
			}
			held = true
			if t, err := x.triedRows(ctx, joint, at, own); err != nil {
				return err
			} else if t.better(best) {
				best = t
			}
		}
		if !held || best.carries() && best.count == count {
			break
		}
	}
	for k, l := range own {
		l.request.RowCount, l.request.RowApart, l.request.LoadCount = best.rows.count, best.rows.apart, len(best.layouts[k].Welds)
		l.laid = best.layouts[k]
	}
	return nil
}

// leastCount is the least number of welds that could carry the load: that of one row, whose welds are farthest from the edges,
// under an even load, and that of the pitch alone under forces at places.
func (x *laying) leastCount(ctx context.Context, joint int, own []*line) (int, error) {
	for _, l := range own {
		l.request.LoadCount = 0
		if err := l.lay(); err != nil {
			return 0, err
		}
	}
	used, count, err := x.utilisation(ctx, joint, own)
	if err != nil || len(x.Shell.Joints[joint].Forces) > 0 {
		return count, err
	}
	return max(count, int(math.Ceil(float64(count)*used-1e-9))), nil
}

// nearestRows lays a joint's strips in so many rows, as near to each other as holds the count; false where no distance does.
func nearestRows(count, rows int, own []*line) (inRowsOf, bool, error) {
	var distances []float64
	for _, l := range own {
		distances = append(distances, l.request.Distances(rows)...)
	}
	slices.Sort(distances)
	holds := func(apart float64) (bool, error) {
		for _, l := range own {
			l.request.RowCount, l.request.RowApart = rows, apart
		}
		n, err := raise(count, own)
		return n == count, err
	}
	tooNear := 0.0
	for _, apart := range slices.Compact(distances) {
		ok, err := holds(apart)
		if err != nil {
			return inRowsOf{}, false, err
		}
		if !ok {
			tooNear = apart
			continue
		}
		for tooNear > 0 && apart-tooNear > rowsTo {
			middle := (tooNear + apart) / 2
			if ok, err = holds(middle); err != nil {
				return inRowsOf{}, false, err
			} else if ok {
				apart = middle
			} else {
				tooNear = middle
			}
		}
		whole := math.Ceil(apart/rowsTo) * rowsTo
		if ok, err = holds(whole); err != nil || ok {
			return inRowsOf{rows, whole}, ok, err
		}
		ok, err = holds(apart)
		return inRowsOf{rows, apart}, ok, err
	}
	return inRowsOf{}, false, nil
}

// rowsTo is the step in mm to which the distance of rows is sought. Chosen: finer than a line is scribed.
const rowsTo = 0.1

func (x *laying) triedRows(ctx context.Context, joint int, rows inRowsOf, own []*line) (rowsTried, error) {
	used, count, err := x.utilisation(ctx, joint, own)
	t := rowsTried{used: used, count: count, rows: rows}
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
		room[k] = l.strip.Flange.Length
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
		for k, n := range share(left, room) {
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
	j := resistance.Group{Joint: x.Joints[joint]}
	for _, l := range own {
		s := l.strip
		j.Flanges = append(j.Flanges, x.Flanges[slices.Index(x.Strips, s)])
		for k, w := range l.laid.Welds {
			j.Welds = append(j.Welds, layout.Weld{
				Number: k + 1, Joint: j.Joint.ID, Flange: s.ID, Position: joining.Vec(w.Position), Axis: joining.Vec(w.Axis), Along: w.S,
				Sheets: s.Panels, Left: w.Left, Right: w.Right, Row: w.Row,
			})
		}
	}
	used, err := resistance.Utilisation(ctx, j, x.Shell, x.Rules)
	return used, len(j.Welds), err
}
