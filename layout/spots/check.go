package spots

import (
	"math"

	"seamwright/layout/pitch"
)

// pitches returns the least, mean and greatest pitch.
func (j *job) pitches(p placed) Range {
	gaps := j.rowGaps(p)
	if len(gaps) == 0 {
		return Range{}
	}
	out := Range{Least: math.Inf(1)}
	for _, g := range gaps {
		out.Least, out.Greatest = math.Min(out.Least, g.Length()), math.Max(out.Greatest, g.Length())
		out.Mean += g.Length() / float64(len(gaps))
	}
	return out
}

// gaps returns the stretches between neighbouring welds.
func (t *track) gaps(u []float64) []pitch.Span { return pitch.Gaps(u, t.length(), t.closed) }

// rowGaps returns the stretches between neighbours of one row: of every row, where there are several.
func (j *job) rowGaps(p placed) []pitch.Span {
	if p.pair == nil {
		return j.track.gaps(p.u)
	}
	return p.pair.Gaps(p.u, p.lane)
}

// check says what the placement could not keep.
func (j *job) check(p placed) []Problem {
	whole := pitch.Span{From: 0, To: j.track.length()}
	var out []Problem
	switch {
	case len(p.u) == 0:
		out = append(out, j.problem(Blocked, whole, 0, 0))
	case !j.track.closed:
		out = append(out, j.checkEnds(p.u)...)
	case len(p.u) < pitch.LeastClosed:
		out = append(out, j.problem(Short, whole, whole.To, pitch.LeastClosed*j.b.Least))
	}
	for _, g := range j.rowGaps(p) {
		if g.Length() > j.Pitch+pitch.Said {
			out = append(out, j.problem(PitchAbove, g, g.Length(), j.Pitch))
		}
	}
	out = append(out, j.checkBound(p)...)
	if j.Count > len(p.u) {
		out = append(out, j.problem(CountShort, whole, float64(len(p.u)), float64(j.Count)))
	}
	if j.LoadCount > len(p.u) {
		out = append(out, j.problem(LoadWish, whole, float64(len(p.u)), float64(j.LoadCount)))
	}
	return out
}

// checkBound says once, at the widest place, where a wanted pitch goes beyond what the rules bear.
func (j *job) checkBound(p placed) []Problem {
	bound := j.Limits.PitchBound.Value
	if bound <= 0 || j.Pitch <= bound {
		return nil // pitches above the wanted one are said one by one
	}
	var widest pitch.Span
	for _, g := range j.rowGaps(p) {
		if g.Length() > widest.Length()+pitch.Said {
			widest = g
		}
	}
	if widest.Length() <= bound+pitch.Said || widest.Length() > j.Pitch+pitch.Said {
		return nil
	}
	return []Problem{j.problem(PitchAbove, widest, widest.Length(), bound)}
}

// checkEnds looks at the two ends of an open line. An end that a keep-out covers may be open over half the
// greatest pitch: as far as the middle between two welds is from either.
func (j *job) checkEnds(u []float64) []Problem {
	length := j.track.length()
	var out []Problem
	if need := j.Start + j.b.Least + j.End; length < need-pitch.Said && len(u) < j.leastOpen() {
		out = append(out, j.problem(Short, pitch.Span{From: 0, To: length}, length, need))
	}
	first, last := pitch.Span{From: 0, To: u[0]}, pitch.Span{From: u[len(u)-1], To: length}
	if most := math.Max(j.Start, j.Pitch/2); first.Length() > most+pitch.Said {
		out = append(out, j.problem(EndOpen, first, first.Length(), most))
	}
	if most := math.Max(j.End, j.Pitch/2); last.Length() > most+pitch.Said {
		out = append(out, j.problem(EndOpen, last, last.Length(), most))
	}
	return out
}

// problem places a problem on the line and names what is in the way there.
func (j *job) problem(kind Kind, where pitch.Span, value, limit float64) Problem {
	length := j.track.length()
	p := Problem{Kind: kind, Line: j.Line.ID, Value: value, Limit: limit,
		From: j.track.sAt(where.From), To: j.track.sAt(where.To), At: j.track.at((where.From + where.To) / 2)}
	if where.From == 0 && where.To == length {
		p.To = j.track.points[0].S + j.track.s[len(j.track.s)-1]
	}
	p.KeepOuts = touching(j.hard, where, pitch.Tiny)
	if where.To > length { // over the closing point
		p.KeepOuts = union(p.KeepOuts, touching(j.hard, pitch.Span{From: 0, To: where.To - length}, pitch.Tiny))
	}
	return p
}
