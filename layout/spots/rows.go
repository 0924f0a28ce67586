package spots

import (
	"cmp"
	"math"
	"slices"
)

// inRows reports whether two rows are to be tried: they are asked for, or one row does not hold what is.
func (r Request) inRows(one placed) bool {
	if r.Rows == 1 || r.given() || !(r.Apart.Staggered > 0) || len(one.u) == 0 {
		return false
	}
	return r.Rows >= 2 || len(one.u) < r.wanted()
}

// pair is two rows at a distance, or more of them, each so far from the next. All are measured along the base, the line midway
// between the outermost; where the strip is too narrow, the first of them goes on alone and in the middle.
type pair struct {
	apart  float64 // mm between neighbouring rows
	base   *track
	lanes  []*track   // from the right to the left
	zones  []span     // of the base, where there is room for both rows
	whole  bool       // there is room all along
	hard   [][]hidden // of each row
	clamps [][]hidden
	b      bounds  // of the pitch in each row
	cross  float64 // from weld to weld of different rows
	aside  float64 // between the left row and a single weld beside a zone, across the line; what is least
	side   float64 // along the line between welds of staggered rows, at least: less is side by side
}

// newPair lays out the tracks of count rows. By widen, 1 or above, the least distances are stretched along the base, because
// rows on the inside of a bend are shorter.
func (j *job) newPair(count int, apart, widen float64, balls []ball) *pair {
	least := j.Limits.LeastPitch.Value
	p := &pair{apart: apart, b: bounds{least * widen, math.Max(j.b.most, least*widen)}, cross: math.Max(least, j.Apart.Least) * widen,
		side: j.Limits.WeldDiameter.Value}
	points := j.Line.Points
	offset := make([][]float64, 1+count) // base, then the rows
	across := apart * float64(count-1)
	room := make([]bool, len(points))
	for i, st := range points {
		low, high, _ := j.room(st)
		middle, half := j.track.offset[i], 0.0
		if room[i] = high-low >= across-slack; room[i] {
			half = math.Min(across, high-low) / 2
			middle = j.inside(low+half, high-half)
		}
		offset[0] = append(offset[0], middle)
		for k := range count {
			offset[1+k] = append(offset[1+k], middle-half+float64(2*half*float64(k)/float64(count-1)))
		}
	}
	p.base = newTrack(j.Line, offset[0])
	for _, o := range offset[1:] {
		p.lanes = append(p.lanes, newTrack(j.Line, o))
	}
	p.leaveCorners(room, least*widen+across/2)
	p.findZones(room)
	p.aside = apart / 2
	for i := range points {
		if next := (i + 1) % len(points); room[i] != room[next] {
			in, out := i, next
			if room[next] {
				in, out = next, i
			}
			p.aside = math.Min(p.aside, math.Max(0, offset[count][in]-offset[0][out]))
		}
	}
	for _, t := range p.lanes {
		hard, clamps := t.covered(balls)
		p.hard, p.clamps = append(p.hard, p.onBase(t, hard)), append(p.clamps, p.onBase(t, clamps))
	}
	return p
}

// leastInside is the part of the line's length that the row on the inside of a turn keeps at least; where the line turns
// tighter the rows run into each other, and one goes round alone. Chosen.
const leastInside = 0.7

// leaveCorners takes the room from points nearer than a margin to a tight turn.
func (p *pair) leaveCorners(room []bool, margin float64) {
	var tight []float64
	for k := range p.base.segments() {
		way := p.base.moved((k + 1) % len(p.base.points)).Sub(p.base.moved(k))
		for _, t := range p.lanes {
			if own := t.moved((k + 1) % len(p.base.points)).Sub(t.moved(k)); own.Dot(way) < leastInside*way.Norm2() {
				tight = append(tight, (p.base.u[k]+p.base.u[k+1])/2)
				break
			}
		}
	}
	for i := range room {
		for _, u := range tight {
			d := math.Abs(p.base.u[i] - u)
			if p.base.closed {
				d = math.Min(d, p.base.length()-d)
			}
			room[i] = room[i] && d > margin
		}
	}
}

// findZones joins points with room into spans of the base.
func (p *pair) findZones(room []bool) {
	p.whole = !slices.Contains(room, false)
	if p.whole {
		p.zones = []span{{0, p.base.length()}}
		return
	}
	for i := 0; i < len(room); i++ {
		if !room[i] {
			continue
		}
		from := i
		for i+1 < len(room) && room[i+1] {
			i++
		}
		p.zones = append(p.zones, span{p.base.u[from], p.base.u[i]})
	}
}

// onBase measures what covers a row along the base.
func (p *pair) onBase(t *track, all []hidden) []hidden {
	at := func(u float64) float64 {
		k, f := t.segment(u)
		return p.base.u[k] + float64(f*(p.base.u[k+1]-p.base.u[k]))
	}
	out := slices.Clone(all)
	for i := range out {
		out[i].span = span{at(out[i].from), at(out[i].to)}
	}
	return out
}

// all is what covers any row.
func (p *pair) all(of [][]hidden) []hidden { return slices.Concat(of...) }

// wide reports whether there is room for two rows.
func (p *pair) wide(u float64) bool {
	return slices.ContainsFunc(p.zones, func(z span) bool { return u >= z.from-tiny && u <= z.to+tiny })
}

// weld is the spot of a row.
func (p *pair) weld(u float64, lane int) Weld {
	k, f := p.base.segment(p.base.wrap(u))
	w := p.lanes[lane].weldIn(k, f)
	w.Clamps = named(p.clamps[lane], u)
	if p.wide(u) {
		w.Row = lane + 1
	}
	return w
}

// along is how far along the line two welds of different rows stand apart at least, when they are so far apart across it.
func (p *pair) along(across float64) float64 {
	left := float64(p.cross*p.cross) - float64(across*across)
	if left <= 0 {
		return 0
	}
	return math.Max(math.Sqrt(left), p.side)
}

// free returns where the welds of each row may sit between the first and the last weld's place. Of the left row that is
// within the zones.
func (p *pair) free(whole span) [2][]span {
	out := [2][]span{gapsOf(spans(p.hard[0]), whole), nil}
	for _, z := range p.zones {
		from, to := math.Max(z.from, whole.from), math.Min(z.to, whole.to)
		if from <= to {
			out[1] = append(out[1], gapsOf(spans(p.hard[1]), span{from, to})...)
		}
	}
	return out
}

// The kinds of arrangement, best first.
const (
	staggered = iota
	sideBySide
	uneven
	many // rows, more than two
)

// arrangement is one way to set out two rows.
type arrangement struct {
	placed
	kind int
	over int // pitches above the greatest
}

// better says whether a is to be taken rather than b: more of what is wanted, fewer pitches above the greatest, fewer welds,
// then by its kind.
func (a arrangement) better(b arrangement, wanted int) bool {
	x := [4]int{-min(len(a.u), wanted), a.over, len(a.u), a.kind}
	y := [4]int{-min(len(b.u), wanted), b.over, len(b.u), b.kind}
	return slices.Compare(x[:], y[:]) < 0
}

// inMore sets out as many rows as are asked for, or as near to that as there is room for; where none are asked for two that hold what is
// wanted, or more where two do not; else as much as fits. False where that is no more than one row holds.
func (j *job) inMore(one placed, wanted int, balls []ball) (placed, bool) {
	var best arrangement
	found := false
	try := func(count int, arrange arranger) bool {
		for _, apart := range j.distances(count) {
			for _, a := range j.arranged(arrange, count, apart, wanted, balls) {
				if j.Rows >= 2 && a.rows() < count {
					continue // so few welds that a row stays empty
				}
				if !found || a.better(best, wanted) {
					best, found = a, true
				}
			}
			if found && best.serves(wanted, j.Rows) {
				return true
			}
		}
		return false
	}
	two := func() bool { return try(2, j.regular) || try(2, j.irregular) }
	if j.Rows >= 2 {
		for count := j.Rows; count > 2 && !found; count-- {
			try(count, j.grid)
		}
		if !found {
			two()
		}
	} else {
		done := j.RowCount > 2 || two()
		for count := 3; count <= GreatestRows; count++ {
			if j.RowCount == count || j.RowCount == 0 && !done && (!found || len(best.u) < wanted) {
				done = try(count, j.grid)
			}
		}
	}
	if !found || j.Rows < 2 && len(best.u) <= len(one.u) {
		return placed{}, false
	}
	best.byPitch = one.byPitch
	return best.placed, true
}

// arranger sets out arrangements of a pair of rows.
type arranger func(p *pair, wanted int) []arrangement

// serves reports whether nothing better is to be looked for: all that is wanted with no weld too many and no pitch too wide.
func (a arrangement) serves(wanted, rows int) bool {
	return len(a.u) >= wanted && a.over == 0 && (len(a.u) == max(wanted, leastOpen) || rows >= 2 || a.pair.base.closed)
}

// rows is how many rows have a weld.
func (a arrangement) rows() int {
	held := make([]bool, len(a.pair.lanes))
	n := 0
	for _, lane := range a.lane {
		if !held[lane] {
			held[lane] = true
			n++
		}
	}
	return n
}

// distances are the distances between so many rows that are tried, greatest first: the stated one, or welds side by side, then
// staggered rows with ever longer ways along the line from row to row.
func (j *job) distances(count int) []float64 {
	if j.RowApart > 0 {
		return []float64{j.RowApart}
	}
	full := math.Max(j.Limits.LeastPitch.Value, j.Apart.Least)
	if full > j.Apart.Greatest {
		full = j.Apart.Greatest
	}
	cross := math.Max(j.Limits.LeastPitch.Value, j.Apart.Least)
	out := []float64{full}
	var rooms []float64
	for _, st := range j.Line.Points {
		low, high, _ := j.room(st)
		rooms = append(rooms, (high-low)/float64(count-1))
	}
	slices.Sort(rooms)
	for _, part := range []float64{0, 0.05, 0.1, 0.25, 0.5} { // what the narrow stretches have room for, the ends' rounding left out
		if d := rooms[int(part*float64(len(rooms)-1))]; d < full-tiny && d > j.Apart.Staggered+tiny {
			out = append(out, d)
		}
	}
	for _, part := range []float64{0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95} {
		if d := cross * math.Sqrt(1-float64(part*part)); d < full-tiny && d > j.Apart.Staggered+tiny {
			out = append(out, d)
		}
	}
	if j.Apart.Staggered < full-tiny {
		out = append(out, j.Apart.Staggered)
	}
	slices.SortFunc(out, func(a, b float64) int { return cmp.Compare(b, a) })
	return slices.Compact(out)
}

// Distances are the distances in mm between so many rows, two or more, from the least of staggered rows to the greatest that the rules
// and the strip have room for, no more than a millimetre from one to the next; none where one row is all there is room for.
func (r Request) Distances(count int) []float64 {
	r, _, err := r.completed()
	if err != nil {
		return nil
	}
	room := 0.0
	for _, st := range r.Line.Points {
		low, high, _ := r.room(st)
		room = math.Max(room, high-low)
	}
	most := math.Min(r.Apart.Greatest, room/float64(count-1))
	if !(r.Apart.Staggered > 0) || most < r.Apart.Staggered {
		return nil
	}
	steps := math.Ceil((most-r.Apart.Staggered)/rowStep - tiny)
	var out []float64
	for i := range int(steps) + 1 {
		out = append(out, r.Apart.Staggered+float64((most-r.Apart.Staggered)*float64(i)/math.Max(steps, 1)))
	}
	if full := math.Max(r.Limits.LeastPitch.Value, r.Apart.Least); full < most-tiny && full > r.Apart.Staggered+tiny {
		out = append(out, full)
		slices.Sort(out)
	}
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < tiny })
}

// rowStep is the step in mm between the distances of two rows that are tried for a load: finer than a gun is placed. Chosen.
const rowStep = 1.0

// widenings bounds how often distances are stretched until they hold in space.
const widenings = 5

// arranged gives the arrangements at one distance between the rows, each of which keeps its least distances in space.
func (j *job) arranged(arrange arranger, count int, apart float64, wanted int, balls []ball) []arrangement {
	var out []arrangement
	widen := 1.0
	for range widenings {
		p := j.newPair(count, apart, widen, balls)
		if len(p.zones) == 0 {
			return out
		}
		short := 1.0
		for _, a := range arrange(p, wanted) {
			if kept := p.kept(a.placed, j); kept < 1-1e-9 {
				short = math.Min(short, kept)
				continue
			}
			a.over = j.over(a.placed)
			out = append(out, a)
		}
		if short == 1 {
			break
		}
		widen *= (1 + 1e-6) / math.Max(0.5, short)
	}
	return out
}

// over counts pitches above the greatest.
func (j *job) over(p placed) int {
	own := *j
	own.track = p.pair.base
	n := 0
	for _, g := range own.rowGaps(p) {
		if g.length() > j.b.most+1e-6 {
			n++
		}
	}
	return n
}

// kept is the least share of a least distance that the welds keep, each against the next ones of every row.
func (p *pair) kept(q placed, j *job) float64 {
	least, cross := j.Limits.LeastPitch.Value, math.Max(j.Limits.LeastPitch.Value, j.Apart.Least)
	welds := make([]Weld, len(q.u))
	for i, u := range q.u {
		welds[i] = p.weld(u, q.lane[i])
	}
	share := 1.0
	for i := range welds {
		seen := make([]bool, len(p.lanes))
		for n := i + 1; n < i+len(welds) && slices.Contains(seen, false); n++ {
			k := n % len(welds)
			if n >= len(welds) && !p.base.closed {
				break
			}
			if seen[q.lane[k]] {
				continue
			}
			seen[q.lane[k]] = true
			along := math.Abs(q.u[k] - q.u[i])
			if p.base.closed {
				along = math.Min(along, p.base.length()-along)
			}
			wanted := least
			if d := q.lane[k] - q.lane[i]; d == 1 || d == -1 {
				wanted = cross
				if along < p.side { // side by side: the rows' own distance, which slack may shorten
					wanted = math.Min(cross, p.apart-slack)
				}
			}
			share = math.Min(share, onSheet(welds[i], welds[k], along)/wanted)
		}
	}
	return share
}

// onSheet is how far apart two welds of two rows are along the sheet: the arc over their chord, and where the sheet folds
// between them what lies along and across.
func onSheet(a, b Weld, along float64) float64 {
	chord := a.Position.Distance(b.Position)
	turn := math.Cos(CornerTurn * math.Pi / 180)
	if a.Axis.Dot(b.Axis) < turn {
		return math.Max(chord, math.Hypot(along, a.Offset-b.Offset))
	}
	if cos := a.Along.Dot(b.Along); cos > turn && a.Row == b.Row {
		if half := math.Acos(math.Min(1, cos)) / 2; half > 1e-6 {
			return chord * half / math.Sin(half)
		}
	}
	return chord
}

// tooNarrow says where the strip is too narrow for the rows that are asked for, or for two, staggered and at their nearest.
func (r Request) tooNarrow() []Problem {
	var out []Problem
	rows := max(2, r.Rows)
	across := math.Max(r.Apart.Staggered, r.RowApart) * float64(rows-1)
	open := false
	for _, st := range r.Line.Points {
		low, high, needed := r.room(st)
		by := across - (high - low)
		if by <= slack {
			open = false
			continue
		}
		if !open {
			out, open = append(out, Problem{Kind: NarrowRows, Line: r.Line.ID, From: st.S, Rows: rows}), true
		}
		p := &out[len(out)-1]
		p.To = st.S
		if by > p.Limit-p.Value {
			p.Value, p.Limit, p.At = st.Left+st.Right, needed+across, st.Point
		}
	}
	return out
}
