package spots

import (
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"
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
	j := job{Request: r, track: newTrack(r.Line, offset), b: bounds{r.Limits.LeastPitch.Value, r.Pitch}}
	j.cover(r.balls())
	j.leaveOut(narrow)
	whole := span{0, j.track.length()}
	if !j.track.closed {
		whole = span{j.Start, j.track.length() - j.End}
	}
	free := gapsOf(spans(j.hard), whole)
	if whole.length() < 0 || len(free) == 0 {
		return 0, false
	}
	return j.track.sAt(nearestFree(j.track.uAt(s), free)), true
}
