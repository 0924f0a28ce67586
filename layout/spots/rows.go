package spots

import (
	"cmp"
	"math"
	"slices"

	"seamwright/layout/pitch"
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
	pitch.Rows
	base   *track
	lanes  []*track   // from the right to the left
	hard   [][]hidden // of each row
	clamps [][]hidden
}

// newPair lays out the tracks of count rows. By widen, 1 or above, the least distances are stretched along the base, because
// rows on the inside of a bend are shorter.
func (j *job) newPair(count int, apart, widen float64, balls []ball) *pair {
	least := j.Limits.LeastPitch.Value
	p := &pair{Rows: pitch.Rows{Count: count, Start: j.Start, End: j.End, Fill: j.Rows >= 2,
		Pitch: pitch.Bounds{Least: least * widen, Most: math.Max(j.b.Most, least*widen)}, Greatest: j.b.Most,
		Apart: apart, Cross: math.Max(least, j.Apart.Least) * widen, Side: j.Limits.WeldDiameter.Value}}
	p.Beside = apart >= p.Cross-slack
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
	p.Length, p.Closed = p.base.length(), p.base.closed
	for _, o := range offset[1:] {
		p.lanes = append(p.lanes, newTrack(j.Line, o))
	}
	p.leaveCorners(room, least*widen+across/2)
	p.findZones(room)
	p.Aside = apart / 2
	for i := range points {
		if next := (i + 1) % len(points); room[i] != room[next] {
			in, out := i, next
			if room[next] {
				in, out = next, i
			}
			p.Aside = math.Min(p.Aside, math.Max(0, offset[count][in]-offset[0][out]))
		}
	}
	for _, t := range p.lanes {
		hard, clamps := t.covered(balls)
		p.hard, p.clamps = append(p.hard, p.onBase(t, hard)), append(p.clamps, p.onBase(t, clamps))
		p.Hard, p.Clamps = append(p.Hard, spans(p.hard[len(p.hard)-1])), append(p.Clamps, spans(p.clamps[len(p.clamps)-1]))
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
	p.Whole = !slices.Contains(room, false)
	if p.Whole {
		p.Zones = []pitch.Span{{From: 0, To: p.base.length()}}
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
		p.Zones = append(p.Zones, pitch.Span{From: p.base.u[from], To: p.base.u[i]})
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
		out[i].Span = pitch.Span{From: at(out[i].From), To: at(out[i].To)}
	}
	return out
}

// all is what covers any row.
func (p *pair) all(of [][]hidden) []hidden { return slices.Concat(of...) }

// weld is the spot of a row.
func (p *pair) weld(u float64, lane int) Weld {
	k, f := p.base.segment(p.base.wrap(u))
	w := p.lanes[lane].weldIn(k, f)
	w.Clamps = named(p.clamps[lane], u)
	if p.Wide(u) {
		w.Row = lane + 1
	}
	return w
}

// GreatestRows bounds how many rows are tried where none are asked for: a seventh has never been seen on a flange. Chosen.
const GreatestRows = 6

// inMore sets out as many rows as are asked for, or as near to that as there is room for; where none are asked for two that hold what is
// wanted, or more where two do not; else as much as fits. False where that is no more than one row holds.
func (j *job) inMore(one placed, wanted int, balls []ball) (placed, bool) {
	var best arrangement
	found := false
	try := func(count int, arrange arranger) bool {
		for _, apart := range j.distances(count) {
			for _, a := range j.arranged(arrange, count, apart, wanted, balls) {
				if j.Rows >= 2 && a.Held() < count {
					continue // so few welds that a row stays empty
				}
				if !found || a.Better(best.Arrangement, wanted) {
					best, found = a, true
				}
			}
			if found && best.Serves(wanted) {
				return true
			}
		}
		return false
	}
	two := func() bool { return try(2, (*pitch.Rows).Regular) || try(2, (*pitch.Rows).Irregular) }
	if j.Rows >= 2 {
		for count := j.Rows; count > 2 && !found; count-- {
			try(count, (*pitch.Rows).Columns)
		}
		if !found {
			two()
		}
	} else {
		done := j.RowCount > 2 || two()
		for count := 3; count <= GreatestRows; count++ {
			if j.RowCount == count || j.RowCount == 0 && !done && (!found || len(best.At) < wanted) {
				done = try(count, (*pitch.Rows).Columns)
			}
		}
	}
	if !found || j.Rows < 2 && len(best.At) <= len(one.u) {
		return placed{}, false
	}
	return placed{u: best.At, lane: best.Lane, pair: best.pair, byPitch: one.byPitch}, true
}

// arranger sets out arrangements of rows.
type arranger func(rows *pitch.Rows, wanted int) []pitch.Arrangement

// arrangement is one way to set out a pair of rows.
type arrangement struct {
	pitch.Arrangement
	pair *pair
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
		if d := rooms[int(part*float64(len(rooms)-1))]; d < full-pitch.Tiny && d > j.Apart.Staggered+pitch.Tiny {
			out = append(out, d)
		}
	}
	for _, part := range []float64{0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95} {
		if d := cross * math.Sqrt(1-float64(part*part)); d < full-pitch.Tiny && d > j.Apart.Staggered+pitch.Tiny {
			out = append(out, d)
		}
	}
	if j.Apart.Staggered < full-pitch.Tiny {
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
	steps := math.Ceil((most-r.Apart.Staggered)/rowStep - pitch.Tiny)
	var out []float64
	for i := range int(steps) + 1 {
		out = append(out, r.Apart.Staggered+float64((most-r.Apart.Staggered)*float64(i)/math.Max(steps, 1)))
	}
	if full := math.Max(r.Limits.LeastPitch.Value, r.Apart.Least); full < most-pitch.Tiny && full > r.Apart.Staggered+pitch.Tiny {
		out = append(out, full)
		slices.Sort(out)
	}
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < pitch.Tiny })
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
		if len(p.Zones) == 0 {
			return out
		}
		short := 1.0
		for _, a := range arrange(&p.Rows, wanted) {
			if kept := p.kept(a, j); kept < 1-1e-9 {
				short = math.Min(short, kept)
				continue
			}
			out = append(out, arrangement{a, p})
		}
		if short == 1 {
			break
		}
		widen *= (1 + 1e-6) / math.Max(0.5, short)
	}
	return out
}

// kept is the least share of a least distance that the welds keep, each against the next ones of every row.
func (p *pair) kept(a pitch.Arrangement, j *job) float64 {
	least, cross := j.Limits.LeastPitch.Value, math.Max(j.Limits.LeastPitch.Value, j.Apart.Least)
	welds := make([]Weld, len(a.At))
	for i, u := range a.At {
		welds[i] = p.weld(u, a.Lane[i])
	}
	share := 1.0
	for i := range welds {
		seen := make([]bool, len(p.lanes))
		for n := i + 1; n < i+len(welds) && slices.Contains(seen, false); n++ {
			k := n % len(welds)
			if n >= len(welds) && !p.base.closed {
				break
			}
			if seen[a.Lane[k]] {
				continue
			}
			seen[a.Lane[k]] = true
			along := math.Abs(a.At[k] - a.At[i])
			if p.base.closed {
				along = math.Min(along, p.base.length()-along)
			}
			wanted := least
			if d := a.Lane[k] - a.Lane[i]; d == 1 || d == -1 {
				wanted = cross
				if along < p.Side { // side by side: the rows' own distance, which slack may shorten
					wanted = math.Min(cross, p.Apart-slack)
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
