package rollers

import (
	"cmp"
	"math"
	"slices"

	"seamwright/geometry/flange"
)

// whole is the length of the weld line that a path follows, and where it starts.
func (p *Path) whole() (first, length float64) {
	n := len(p.S)
	first, length = p.S[0], p.S[n-1]-p.S[0]
	if p.Closed {
		length += (p.S[n-1] - p.S[0]) / float64(n-1) // stations of a closed line are evenly apart
	}
	return first, length
}

// over is the length of a stretch, over the closing point too.
func (p *Path) over(s Stretch) float64 {
	if s.To < s.From {
		_, length := p.whole()
		return s.To - s.From + length
	}
	return s.To - s.From
}

// CanRoll is the length of weld line that the roller can follow, mm.
func (p *Path) CanRoll() float64 {
	if len(p.S) < 2 {
		return 0
	}
	if _, length := p.whole(); p.Whole {
		return length
	}
	sum := 0.0
	for _, s := range p.Rollable {
		sum += p.over(s)
	}
	return sum
}

// Part is the path over one of its rollable stretches: open, with nothing said of it. The whole path is the path itself.
func (p Path) Part(s Stretch, speed float64) Path {
	if p.Whole {
		return p
	}
	_, length := p.whole()
	out := Path{}
	for i := range p.S {
		at := p.S[i]
		if at < s.From-1e-9 && s.To < s.From {
			at += length
		}
		if at < s.From-1e-9 || at > s.From+p.over(s)+1e-9 {
			continue
		}
		out.Points, out.Normals = append(out.Points, p.Points[i]), append(out.Normals, p.Normals[i])
		out.S, out.Offset = append(out.S, at), append(out.Offset, p.Offset[i])
	}
	out.inOrder()
	out.measure(Request{Speed: speed})
	return out
}

// inOrder brings the points beyond the closing point behind the others.
func (p *Path) inOrder() {
	order := make([]int, len(p.S))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.S[a], p.S[b]) })
	was := *p
	p.Points, p.Normals, p.S, p.Offset = nil, nil, nil, nil
	for _, i := range order {
		p.Points, p.Normals = append(p.Points, was.Points[i]), append(p.Normals, was.Normals[i])
		p.S, p.Offset = append(p.S, was.S[i]), append(p.Offset, was.Offset[i])
	}
}

// Unrolled are the stretches of the line between those that are rolled, in the same order; of an open line those at its ends
// as well. Where nothing can be rolled it is the whole line. On a closed line To may lie beyond the line's length.
func (p Path) Unrolled() []Stretch {
	if p.Whole {
		return nil
	}
	first, length := p.whole()
	if len(p.Rollable) == 0 {
		return []Stretch{{first, first + length}}
	}
	var out []Stretch
	for i, s := range p.Rollable {
		switch next := i + 1; {
		case next < len(p.Rollable):
			out = append(out, Stretch{s.To, p.Rollable[next].From})
		case p.Closed && s.To < s.From: // it goes on over the closing point
			out = append(out, Stretch{s.To, p.Rollable[0].From})
		case p.Closed:
			out = append(out, Stretch{s.To, p.Rollable[0].From + length})
		case s.To < first+length-1e-9:
			out = append(out, Stretch{s.To, first + length})
		}
	}
	if from := p.Rollable[0].From; !p.Closed && from > first+1e-9 {
		out = append([]Stretch{{first, from}}, out...)
	}
	return out
}

// Cut is the part of a weld line from one place to another, as an open line. On a closed line to may lie beyond its length.
func Cut(line Line, from, to float64) Line {
	given := line.Stations
	if line.Closed {
		length := given[len(given)-1].S - given[0].S + given[0].Point.Distance(given[len(given)-1].Point)
		for lap := 1.0; lap <= 2; lap++ {
			for _, st := range line.Stations {
				st.S += lap * length
				given = append(given[:len(given):len(given)], st)
			}
		}
		for from < given[0].S { // a little before the start
			from, to = from+length, to+length
		}
	}
	from, to = math.Max(from, given[0].S), math.Min(to, given[len(given)-1].S)
	out := Line{ID: line.ID, Stations: []flange.LinePoint{between(given, from)}}
	for _, st := range given {
		if st.S > from+1e-6 && st.S < to-1e-6 {
			out.Stations = append(out.Stations, st)
		}
	}
	out.Stations = append(out.Stations, between(given, to))
	return out
}
