package spots

import (
	"math"
	"slices"

	"seamwright/layout/pitch"
)

// Do is what an edit does to a weld.
type Do string

// What can be done by hand.
const (
	Pin      Do = "pin"       // the nearest weld stands exactly at Along; where none is in reach, one is added
	Move     Do = "move"      // the weld nearest to Along goes to To
	Add      Do = "add"       // one more weld at Along
	LeaveOut Do = "leave-out" // the weld nearest to Along is not made
)

// Edit is one weld set by hand. It names its weld by the place along the line, so that it survives laying out anew.
type Edit struct {
	ID    string
	Do    Do
	Along float64 // mm along the line, as its points count
	To    float64 // of a move
}

// edited carries the edits out, one after the other, on welds that are laid. A weld is in an edit's reach up to half the
// wanted pitch: beyond that its neighbour is meant, or none.
func (j *job) edited(p placed) (placed, []Problem) {
	if len(j.Edits) == 0 {
		return p, nil
	}
	p.u, p.lane, p.edit = slices.Clone(p.u), slices.Clone(p.lane), make([]string, len(p.u))
	var out []Problem
	for _, e := range j.Edits {
		if off := math.Max(j.beyond(e.Along), j.beyond(e.To)); off > pitch.Tiny {
			out = append(out, j.byHand(e, off, 0))
			continue
		}
		k, far := j.nearest(p, e)
		switch {
		case e.Do == Add, e.Do == Pin && far > j.Pitch/2:
			p = j.inserted(p, e)
		case far > j.Pitch/2:
			out = append(out, j.byHand(e, far, j.Pitch/2))
		case e.Do == LeaveOut:
			p = without(p, k)
		case e.Do == Move:
			p.u[k], p.edit[k] = j.track.uAt(e.To), e.ID
		default:
			p.u[k], p.edit[k] = j.track.uAt(e.Along), e.ID
		}
	}
	return p.inOrder(), out
}

// beyond is how many mm a place lies before the start or behind the end of an open line.
func (j *job) beyond(s float64) float64 {
	if j.track.closed {
		return 0
	}
	s -= j.track.points[0].S
	return math.Max(-s, s-j.track.s[len(j.track.s)-1])
}

// nearest is the weld that an edit means, and how far it is along the line; not one that another edit put there.
func (j *job) nearest(p placed, e Edit) (int, float64) {
	at, best, least := j.track.uAt(e.Along), -1, math.Inf(1)
	for i, u := range p.u {
		d := math.Abs(u - at)
		if j.track.closed {
			d = math.Min(d, j.track.length()-d)
		}
		if d < least && p.edit[i] == "" {
			best, least = i, d
		}
	}
	return best, least
}

func (j *job) byHand(e Edit, value, limit float64) Problem {
	u := j.track.uAt(e.Along)
	p := j.problem(ByHand, pitch.Span{From: u, To: u}, value, limit)
	p.Other, p.From, p.To = e.ID, e.Along, e.Along // as it was asked for, be it off the line
	return p
}

// inserted adds a weld; of several rows in the one whose welds leave it more room.
func (j *job) inserted(p placed, e Edit) placed {
	u := j.track.uAt(e.Along)
	p.u, p.edit = append(p.u, u), append(p.edit, e.ID)
	if p.pair == nil {
		return p
	}
	room := make([]float64, len(p.pair.lanes))
	for k := range room {
		room[k] = math.Inf(1)
	}
	for i, lane := range p.lane {
		room[lane] = math.Min(room[lane], math.Abs(p.u[i]-u))
	}
	lane := 0
	for k := range room {
		if p.pair.Wide(u) && room[k] > room[lane] {
			lane = k
		}
	}
	p.lane = append(p.lane, lane)
	return p
}

func without(p placed, k int) placed {
	p.u, p.edit = slices.Delete(p.u, k, k+1), slices.Delete(p.edit, k, k+1)
	if p.pair != nil {
		p.lane = slices.Delete(p.lane, k, k+1)
	}
	return p
}

// inOrder sorts the welds by their place.
func (p placed) inOrder() placed {
	order := make([]int, len(p.u))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case p.u[a] < p.u[b]:
			return -1
		case p.u[a] > p.u[b]:
			return 1
		}
		return 0
	})
	out := p
	out.u, out.lane, out.edit = nil, nil, nil
	for _, i := range order {
		out.u, out.edit = append(out.u, p.u[i]), append(out.edit, p.edit[i])
		if p.pair != nil {
			out.lane = append(out.lane, p.lane[i])
		}
	}
	return out
}
