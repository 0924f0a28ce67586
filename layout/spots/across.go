package spots

import (
	"math"
	"slices"

	"seamwright/geometry/flange"
	"seamwright/layout/pitch"
)

// slack is the width in mm by which a strip may fall short of the rule before it is said: the finder's
// sides come from triangles, not from a drawing. Chosen well below what a rule can be measured with.
const slack = 0.05

// keepFrom is how far the weld centre stays from a side of the strip, mm.
func (r Request) keepFrom(edge flange.Edge) float64 {
	face := r.TipFace / 2
	switch edge {
	case flange.Bend:
		return face + r.Limits.BendClearance.Value
	case flange.GapOpens, flange.StackEnds:
		return face
	}
	return r.Limits.EdgeDistance.Value
}

// room is from where to where a weld may sit across the strip at a point, and the width that one needs there.
func (r Request) room(st flange.LinePoint) (low, high, needed float64) {
	left, right := r.keepFrom(st.LeftEdge), r.keepFrom(st.RightEdge)
	return right - st.Right, st.Left - left, left + right
}

// placedTo is what a hand-held gun is placed to, mm: where there is room welds keep that much more than the least from the sides. Chosen.
const placedTo = 0.5

// widthTo is what a strip's width is known to, mm: one that is too narrow by no more may be wide enough, so it is welded, and said from
// slack on. Widths measured on facets of known flanges were up to 0.16 mm off (measured, see the finder's figures).
const widthTo = 0.2

// leaveOut keeps welds off the stretches that are too narrow for a good weld, unless nothing would be left, and returns the
// problems of all narrow stretches with the kind that they have by that.
func (j *job) leaveOut(narrow []Problem) []Problem {
	if j.given() {
		return narrow
	}
	hard := slices.Clone(j.hard)
	out := slices.Clone(narrow)
	for i, p := range out {
		if p.Limit-p.Value > widthTo {
			out[i].Kind = LeftOut
			hard = append(hard, j.upToRoom(p)...)
		}
	}
	whole := pitch.Span{From: 0, To: j.track.length()}
	if !j.track.closed {
		whole = pitch.Span{From: j.Start, To: j.track.length() - j.End}
	}
	if len(pitch.Left(spans(hard), whole)) == 0 {
		return narrow
	}
	j.hard = hard
	return out
}

// upToRoom is a narrow stretch and so much more on either side that an electrode's face keeps off it, and at least up to the next point,
// before which the strip only begins to be wide enough.
func (j *job) upToRoom(p Problem) []hidden {
	step := j.track.length() / float64(max(1, len(j.Line.Points)-1))
	more := math.Max(j.TipFace/2+placedTo, step) + slack
	from, to := j.track.uAt(p.From)-more, j.track.uAt(p.To)+more
	out := []hidden{{Span: pitch.Span{From: from, To: to}}}
	if whole := j.track.length(); j.track.closed {
		for _, by := range []float64{whole, -whole} {
			out = append(out, hidden{Span: pitch.Span{From: from + by, To: to + by}})
		}
	}
	return out
}

// inside is the place nearest to the line within bounds across it, off the bounds themselves where there is room.
func (r Request) inside(low, high float64) float64 {
	if spare := (high - low) / 2; !r.OnLine {
		low, high = low+math.Min(placedTo, spare), high-math.Min(placedTo, spare)
	}
	return math.Min(high, math.Max(low, 0))
}

// offsets moves the line sideways at each point, and says where the strip is too narrow.
func (r Request) offsets() ([]float64, []Problem) {
	out := make([]float64, len(r.Line.Points))
	var narrow []Problem
	open := -1 // index of the problem that the last point is part of
	for i, st := range r.Line.Points {
		low, high, needed := r.room(st)
		if low <= high {
			out[i] = r.inside(low, high)
			open = -1
			continue
		}
		out[i] = (low + high) / 2
		if low-high <= slack {
			open = -1
			continue
		}
		if open < 0 {
			open = len(narrow)
			narrow = append(narrow, Problem{Kind: Narrow, Line: r.Line.ID, From: st.S})
		}
		p := &narrow[open]
		p.To = st.S
		if by := low - high; by > p.Limit-p.Value {
			p.Value, p.Limit, p.At = st.Left+st.Right, needed, st.Point
		}
	}
	return out, narrow
}

// countIn fills in how many welds sit in each narrow stretch and drops the stretches beyond the end
// welds, where the ends' rounding makes every strip narrow.
func countIn(narrow []Problem, welds []Weld, closed bool) []Problem {
	out := narrow[:0]
	for _, p := range narrow {
		for _, w := range welds {
			if w.S >= p.From-pitch.Tiny && w.S <= p.To+pitch.Tiny {
				p.Welds++
			}
		}
		beyond := len(welds) > 0 && !closed && (p.To < welds[0].S || p.From > welds[len(welds)-1].S)
		if p.Welds > 0 || !beyond {
			out = append(out, p)
		}
	}
	return out
}
