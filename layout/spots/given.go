package spots

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/layout/pitch"
)

// placeGiven puts the welds where they are wanted, whatever the rules say: what they break is judged later. Separate lays
// such a line again as it was, so that its neighbours give way.
func (j *job) placeGiven() placed {
	var p placed
	for _, s := range j.Places {
		p.u = append(p.u, j.track.uAt(s))
	}
	slices.Sort(p.u)
	p.byPitch = len(p.u)
	return p
}

// given reports whether the places are.
func (r Request) given() bool { return r.Places != nil || r.InRows != nil }

// placeRows puts welds at places of several rows, but for those that lie on a keep-out that stays or nearer to a side than the rules let
// them. Each row runs through its places, straight from one to the next.
func (j *job) placeRows() placed {
	rows := 1
	for _, at := range j.InRows {
		rows = max(rows, at.Row)
	}
	p := &pair{base: j.track, Rows: pitch.Rows{Count: rows, Length: j.track.length(), Closed: j.track.closed}}
	balls := j.balls()
	for row := 1; row <= rows; row++ {
		t := newTrack(j.Line, j.through(row))
		hard, clamps := t.covered(balls)
		p.lanes, p.hard, p.clamps = append(p.lanes, t), append(p.hard, p.onBase(t, hard)), append(p.clamps, p.onBase(t, clamps))
	}
	out := placed{pair: p, byPitch: len(j.InRows)}
	for _, at := range j.sortedInRows() {
		lane, u := max(at.Row, 1)-1, j.track.uAt(at.S)
		k, _ := p.base.segment(u)
		low, high, _ := j.room(j.track.point(k))
		covered := slices.ContainsFunc(p.hard[lane], func(h hidden) bool { return u > h.From && u < h.To })
		if covered || at.Offset < low-placedTo || at.Offset > high+placedTo {
			continue
		}
		out.u, out.lane = append(out.u, u), append(out.lane, lane)
	}
	p.zonesOf(j.sortedInRows())
	return out
}

// sortedInRows are the places in rows by where they are along the line.
func (j *job) sortedInRows() []Place {
	out := slices.Clone(j.InRows)
	slices.SortStableFunc(out, func(a, b Place) int { return cmp.Compare(j.track.uAt(a.S), j.track.uAt(b.S)) })
	return out
}

// zonesOf are the stretches between places in rows, without those that stand alone on the line.
func (p *pair) zonesOf(all []Place) {
	alone := slices.ContainsFunc(all, func(at Place) bool { return at.Row == 0 })
	if p.Whole = !alone; p.Whole {
		p.Zones = []pitch.Span{{From: 0, To: p.base.length()}}
		return
	}
	open := false
	for _, at := range all {
		u := p.base.uAt(at.S)
		switch {
		case at.Row == 0:
			open = false
		case open:
			p.Zones[len(p.Zones)-1].To = u
		default:
			p.Zones, open = append(p.Zones, pitch.Span{From: u, To: u}), true
		}
	}
}

// through is how far off the line a row runs at each of the line's points.
func (j *job) through(row int) []float64 {
	var own []Place
	for _, at := range j.InRows {
		if max(at.Row, 1) == row {
			own = append(own, at)
		}
	}
	slices.SortFunc(own, func(a, b Place) int { return cmp.Compare(a.S, b.S) })
	out := make([]float64, len(j.Line.Points))
	for i, st := range j.Line.Points {
		k, _ := slices.BinarySearchFunc(own, st.S, func(p Place, s float64) int { return cmp.Compare(p.S, s) })
		switch {
		case len(own) == 0:
		case k == 0:
			out[i] = own[0].Offset
		case k == len(own):
			out[i] = own[k-1].Offset
		default:
			a, b := own[k-1], own[k]
			out[i] = blend(a.Offset, b.Offset, (st.S-a.S)/(b.S-a.S))
		}
	}
	return out
}

// Beside is Nearest with how far off the line along Across the place is.
func (l Line) Beside(p r3.Vector) (s, offset, distance float64) {
	s, distance = l.Nearest(p)
	t := newTrack(l, make([]float64, len(l.Points)))
	w := t.weld(t.uAt(s))
	return s, p.Sub(w.Position).Dot(w.Across), distance
}

// uAt is the length along the track at a length s of the points; beyond the ends of the line, its ends.
func (t *track) uAt(s float64) float64 {
	s -= t.points[0].S
	whole := t.s[len(t.s)-1]
	if t.closed {
		if s = math.Mod(s, whole); s < 0 {
			s += whole
		}
	}
	s = math.Min(whole, math.Max(0, s))
	k := min(max(sort.SearchFloat64s(t.s, s)-1, 0), t.segments()-1)
	f := 0.0
	if width := t.s[k+1] - t.s[k]; width > 0 {
		f = (s - t.s[k]) / width
	}
	return t.u[k] + float64(f*(t.u[k+1]-t.u[k]))
}

// Nearest is where the weld line comes nearest to a place: the length along it, as its points count, and how far it is
// there. Of equally near places the first counts. A line without points is infinitely far.
func (l Line) Nearest(p r3.Vector) (s, distance float64) {
	least := math.Inf(1)
	last := len(l.Points) - 1
	if l.Closed {
		last++
	}
	for k := range last {
		a, b := l.Points[k], l.Points[(k+1)%len(l.Points)]
		ab := b.Point.Sub(a.Point)
		f := 0.0
		if l2 := ab.Norm2(); l2 > 0 {
			f = math.Min(1, math.Max(0, p.Sub(a.Point).Dot(ab)/l2))
		}
		if d := p.Sub(a.Point.Add(ab.Mul(f))).Norm2(); d < least {
			to := b.S
			if k+1 == len(l.Points) { // back to the start
				to = a.S + ab.Norm()
			}
			least, s = d, a.S+float64(f*(to-a.S))
		}
	}
	return s, math.Sqrt(least)
}

// Free is the place along the line nearest to s at which a weld may be: off keep-outs that stay, stretches that are too narrow
// for a good weld, and the ends of an open line. False where there is none.
func (r Request) Free(s float64) (float64, bool) {
	r, _, err := r.completed()
	if err != nil {
		return 0, false
	}
	r.Places = nil
	offset, narrow := r.offsets()
	j := job{Request: r, track: newTrack(r.Line, offset), b: pitch.Bounds{Least: r.Limits.LeastPitch.Value, Most: r.Pitch}}
	j.cover(r.balls())
	j.leaveOut(narrow)
	whole := pitch.Span{From: 0, To: j.track.length()}
	if !j.track.closed {
		whole = pitch.Span{From: j.Start, To: j.track.length() - j.End}
	}
	free := pitch.Left(spans(j.hard), whole)
	if whole.Length() < 0 || len(free) == 0 {
		return 0, false
	}
	return j.track.sAt(pitch.Nearest(j.track.uAt(s), free)), true
}
