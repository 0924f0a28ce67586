package rollers

import (
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"
)

// trimmed cuts the asked lengths off the ends of an open line.
func (r Request) trimmed(line even, offset []float64) Path {
	out := Path{Closed: line.closed}
	add := func(s float64) {
		at := (s - line.stations[0].S) / line.pitch
		k := min(max(int(math.Floor(at)), 0), len(offset)-1)
		next := min(k+1, len(offset)-1)
		f := math.Min(1, math.Max(0, at-float64(k)))
		st := between(line.stations, s)
		o := offset[k] + float64(f*(offset[next]-offset[k]))
		out.Points, out.Normals = append(out.Points, st.Point.Add(st.Across.Mul(o))), append(out.Normals, st.Axis)
		out.S, out.Offset = append(out.S, s), append(out.Offset, o)
	}
	first, last := line.stations[0].S, line.stations[len(line.stations)-1].S
	from, to := first, last
	if !line.closed {
		from, to = first+r.Start, last-r.End
		if to-from < 1e-6 {
			return out
		}
	}
	add(from)
	for _, st := range line.stations {
		if st.S > from+1e-6 && st.S < to-1e-6 {
			add(st.S)
		}
	}
	add(to)
	return out
}

// measure takes lengths, times and radii.
func (p *Path) measure(r Request) {
	at := make([]float64, len(p.Points)) // length up to each point
	for i := 1; i < len(p.Points); i++ {
		at[i] = at[i-1] + p.Points[i].Distance(p.Points[i-1])
	}
	p.Length = at[len(at)-1]
	if p.Closed {
		p.Length += p.Points[0].Distance(p.Points[len(p.Points)-1])
	}
	p.Rolled = p.Length
	if p.Closed {
		p.Rolled += r.Overlap
	}
	if r.Speed > 0 {
		p.Seconds = p.Rolled / r.Speed
	}
	p.InPlane, p.Total = Bow{Radius: math.Inf(1)}, Bow{Radius: math.Inf(1)}
}

// bend is how a path curves at one point, in 1/mm.
type bend struct{ side, up float64 }

// bends measures the curvature at every point, by the circle through the points a span before and behind.
// The ends of an open path, nearer than a span to them, are not measured.
func (p *Path) bends() []bend {
	n := len(p.Points)
	at := make([]float64, n+1)
	for i := 1; i <= n; i++ {
		at[i] = at[i-1] + p.Points[i%n].Distance(p.Points[i-1])
	}
	reach := span
	if p.Closed { // on a small ring the three points stay a quarter turn apart
		reach = math.Min(span, at[n]/4)
	}
	out := make([]bend, n)
	for i := range p.Points {
		before, ok1 := p.along(at, at[i]-reach)
		after, ok2 := p.along(at, at[i]+reach)
		if !ok1 || !ok2 {
			continue
		}
		c := curvature(before, p.Points[i], after)
		up := c.Dot(p.Normals[i])
		out[i] = bend{side: c.Sub(p.Normals[i].Mul(up)).Norm(), up: math.Abs(up)}
	}
	return out
}

// along is the point at a length of the path; at holds the length up to each point and back to the first.
func (p *Path) along(at []float64, s float64) (r3.Vector, bool) {
	n := len(p.Points)
	whole := at[n]
	if p.Closed {
		if s = math.Mod(s, whole); s < 0 {
			s += whole
		}
	} else if s < 0 || s > at[n-1] {
		return r3.Vector{}, false
	}
	k := min(max(sort.SearchFloat64s(at, s), 1), n)
	if at[k] == at[k-1] {
		return p.Points[k-1], true
	}
	f := (s - at[k-1]) / (at[k] - at[k-1])
	return p.Points[k-1].Add(p.Points[k%n].Sub(p.Points[k-1]).Mul(f)), true
}

// curvature of the circle through three points, pointing from b to its centre, in 1/mm.
func curvature(a, b, c r3.Vector) r3.Vector {
	u, v := a.Sub(b), c.Sub(b)
	cross := u.Cross(v)
	area2 := cross.Norm2()
	if area2 <= 1e-24*u.Norm2()*v.Norm2() { // straight to a part in 10^12
		if u.Dot(v) <= 0 {
			return r3.Vector{}
		}
		return u.Mul(2 / u.Norm2()) // back on itself
	}
	to := v.Mul(u.Norm2()).Sub(u.Mul(v.Norm2())).Cross(cross).Mul(1 / (2 * area2))
	return to.Mul(1 / to.Norm2())
}

// judge finds the tightest places, and the stretches that the roller cannot turn in or fit into.
func (p *Path) judge(r Request) {
	bends := p.bends()
	for i, b := range bends {
		p.InPlane.take(b.side, p, i)
		p.Total.take(math.Hypot(b.side, b.up), p, i)
	}
	blocked := make([]bool, len(bends))
	if r.LeastRadius > 0 {
		p.tight(r, Turn, r.LeastRadius, blocked, func(i int) float64 { return bends[i].side })
	}
	if r.Diameter > 0 {
		p.tight(r, Hollow, r.Diameter/2, blocked, func(i int) float64 { return bends[i].up })
	}
	for _, k := range r.KeepOuts {
		p.passes(r, k, blocked)
	}
	p.Whole = !slices.Contains(blocked, true)
	p.Rollable = p.worth(p.free(blocked), r.LeastRun)
}

// passes marks where a keep-out is in the wheel's way.
func (p *Path) passes(r Request, k KeepOut, blocked []bool) {
	open := false
	limit := k.Radius + r.Wheel/2
	for i, at := range p.Points {
		d := at.Distance(k.At)
		if d >= limit {
			open = false
			continue
		}
		blocked[i] = true
		if !open {
			p.Problems = append(p.Problems, Problem{Kind: InTheWay, Line: r.Line.ID, From: p.S[i], Value: math.Inf(1), Limit: limit, KeepOut: k.ID})
			open = true
		}
		q := &p.Problems[len(p.Problems)-1]
		q.To = p.S[i]
		if d < q.Value {
			q.Value, q.At = d, at
		}
	}
}

// worth drops the stretches that are too short to start the roller for.
func (p *Path) worth(all []Stretch, least float64) []Stretch {
	if p.Whole {
		return all
	}
	return slices.DeleteFunc(all, func(s Stretch) bool { return p.over(s) < least || p.over(s) <= 0 })
}

func (b *Bow) take(curvature float64, p *Path, i int) {
	if curvature*b.Radius > 1 {
		*b = Bow{Radius: 1 / curvature, S: p.S[i], At: p.Points[i]}
	}
}

// tight says every stretch where the curvature is more than the radius lets it be, and marks it.
func (p *Path) tight(r Request, kind Kind, radius float64, blocked []bool, curvature func(int) float64) {
	open := false
	for i := range p.Points {
		c := curvature(i)
		if float64(c*radius) <= 1 {
			open = false
			continue
		}
		blocked[i] = true
		if !open {
			p.Problems = append(p.Problems, Problem{Kind: kind, Line: r.Line.ID, From: p.S[i], Value: math.Inf(1), Limit: radius})
			open = true
		}
		q := &p.Problems[len(p.Problems)-1]
		q.To = p.S[i]
		if 1/c < q.Value {
			q.Value, q.At = 1/c, p.Points[i]
		}
	}
}

// free returns the stretches between what is marked. On a closed path the last may go on over the closing
// point.
func (p *Path) free(blocked []bool) []Stretch {
	var out []Stretch
	open := false
	for i, b := range blocked {
		switch {
		case b:
			open = false
		case open:
			out[len(out)-1].To = p.S[i]
		default:
			out, open = append(out, Stretch{p.S[i], p.S[i]}), true
		}
	}
	if n := len(blocked); p.Closed && len(out) > 1 && !blocked[0] && !blocked[n-1] {
		out[len(out)-1].To = out[0].To
		out = out[1:]
	}
	return out
}
