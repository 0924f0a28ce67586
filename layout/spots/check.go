package spots

import "math"

// pitches returns the least, mean and greatest pitch.
func (j *job) pitches(p placed) Range {
	gaps := j.rowGaps(p)
	if len(gaps) == 0 {
		return Range{}
	}
	out := Range{Least: math.Inf(1)}
	for _, g := range gaps {
		out.Least, out.Greatest = math.Min(out.Least, g.length()), math.Max(out.Greatest, g.length())
		out.Mean += g.length() / float64(len(gaps))
	}
	return out
}

// gaps returns the stretches between neighbouring welds; the one over the closing point of a closed line
// ends beyond its length.
func (j *job) gaps(u []float64) []span {
	out := j.gapsBetween(u)
	if j.track.closed && len(u) > 1 {
		out = append(out, span{u[len(u)-1], u[0] + j.track.length()})
	}
	return out
}

// rowGaps returns the stretches between neighbours of one row: of every row, where there are several.
func (j *job) rowGaps(p placed) []span {
	if p.pair == nil {
		return j.gaps(p.u)
	}
	var out []span
	for lane := range p.pair.lanes {
		var own []float64
		for i, u := range p.u {
			switch {
			case p.lane[i] == lane:
				own = append(own, u)
			case lane > 0 && !p.pair.wide(u): // the other rows end where the strip gets narrow
				out, own = append(out, j.gapsBetween(own)...), nil
			}
		}
		if lane == 0 || p.pair.whole {
			out = append(out, j.gaps(own)...)
		} else {
			out = append(out, j.gapsBetween(own)...)
		}
	}
	return out
}

// gapsBetween are the gaps of a part of a line.
func (j *job) gapsBetween(u []float64) []span {
	var out []span
	for i := 1; i < len(u); i++ {
		out = append(out, span{u[i-1], u[i]})
	}
	return out
}

// check says what the placement could not keep.
func (j *job) check(p placed) []Problem {
	whole := span{0, j.track.length()}
	var out []Problem
	switch {
	case len(p.u) == 0:
		out = append(out, j.problem(Blocked, whole, 0, 0))
	case !j.track.closed:
		out = append(out, j.checkEnds(p.u)...)
	case len(p.u) < leastClosed:
		out = append(out, j.problem(Short, whole, whole.to, leastClosed*j.b.least))
	}
	for _, g := range j.rowGaps(p) {
		if g.length() > j.Pitch+said {
			out = append(out, j.problem(PitchAbove, g, g.length(), j.Pitch))
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
	var widest span
	for _, g := range j.rowGaps(p) {
		if g.length() > widest.length()+said {
			widest = g
		}
	}
	if widest.length() <= bound+said || widest.length() > j.Pitch+said {
		return nil
	}
	return []Problem{j.problem(PitchAbove, widest, widest.length(), bound)}
}

// checkEnds looks at the two ends of an open line. An end that a keep-out covers may be open over half the
// greatest pitch: as far as the middle between two welds is from either.
func (j *job) checkEnds(u []float64) []Problem {
	length := j.track.length()
	var out []Problem
	if need := j.Start + j.b.least + j.End; length < need-said && len(u) < j.leastOpen() {
		out = append(out, j.problem(Short, span{0, length}, length, need))
	}
	first, last := span{0, u[0]}, span{u[len(u)-1], length}
	if most := math.Max(j.Start, j.Pitch/2); first.length() > most+said {
		out = append(out, j.problem(EndOpen, first, first.length(), most))
	}
	if most := math.Max(j.End, j.Pitch/2); last.length() > most+said {
		out = append(out, j.problem(EndOpen, last, last.length(), most))
	}
	return out
}

// problem places a problem on the line and names what is in the way there.
func (j *job) problem(kind Kind, where span, value, limit float64) Problem {
	length := j.track.length()
	p := Problem{Kind: kind, Line: j.Line.ID, Value: value, Limit: limit,
		From: j.track.sAt(where.from), To: j.track.sAt(where.to), At: j.track.at((where.from + where.to) / 2)}
	if where.from == 0 && where.to == length {
		p.To = j.track.points[0].S + j.track.s[len(j.track.s)-1]
	}
	p.KeepOuts = touching(j.hard, where, tiny)
	if where.to > length { // over the closing point
		p.KeepOuts = union(p.KeepOuts, touching(j.hard, span{0, where.to - length}, tiny))
	}
	return p
}
