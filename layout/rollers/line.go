package rollers

import (
	"math"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// step is the spacing in mm that a line is laid at.
const step = 2.0

// even is a line with stations evenly apart. A closed one does not repeat its first.
type even struct {
	stations []flange.LinePoint
	closed   bool
	length   float64
	pitch    float64 // between stations
}

// resample spaces the stations of a line evenly.
func resample(line Line) even {
	given := line.Stations
	last := given[len(given)-1]
	length := last.S - given[0].S
	if line.Closed {
		length += given[0].Point.Distance(last.Point)
		closing := given[0]
		closing.S = given[0].S + length
		given = append(given[:len(given):len(given)], closing)
	}
	n := max(3, int(math.Round(length/step)))
	out := even{closed: line.Closed, length: length, pitch: length / float64(n)}
	count := n + 1
	if line.Closed {
		count = n
	}
	for i := range count {
		out.stations = append(out.stations, between(given, given[0].S+length*float64(i)/float64(n)))
	}
	return out
}

// between blends the stations on either side of s. Kinds of sides are not blended: the nearer one's hold.
func between(given []flange.LinePoint, s float64) flange.LinePoint {
	k := sort.Search(len(given), func(i int) bool { return given[i].S >= s })
	k = min(max(k, 1), len(given)-1)
	a, b := given[k-1], given[k]
	f := math.Min(1, math.Max(0, (s-a.S)/(b.S-a.S)))
	out := a
	if f > 0.5 {
		out = b
	}
	blend := func(x, y float64) float64 { return x + float64(f*(y-x)) }
	lerp := func(x, y r3.Vector) r3.Vector { return x.Add(y.Sub(x).Mul(f)) }
	out.S, out.Point = s, lerp(a.Point, b.Point)
	out.Left, out.Right, out.Gap = blend(a.Left, b.Left), blend(a.Right, b.Right), blend(a.Gap, b.Gap)
	out.Axis = unit(lerp(a.Axis, b.Axis), a.Axis)
	along := lerp(a.Along, b.Along)
	out.Along = unit(along.Sub(out.Axis.Mul(along.Dot(out.Axis))), a.Along)
	out.Across = out.Axis.Cross(out.Along)
	return out
}

func unit(v, otherwise r3.Vector) r3.Vector {
	if n := v.Norm(); n > 1e-9 {
		return v.Mul(1 / n)
	}
	return otherwise
}

// keepFrom is how far the middle of the wheel stays from a side of the strip.
func (r Request) keepFrom(edge flange.Edge) float64 {
	switch edge {
	case flange.Bend:
		return r.Wheel/2 + r.Bend
	case flange.GapOpens, flange.StackEnds:
		return r.Wheel / 2
	}
	return math.Max(r.Edge, r.Wheel/2)
}

// bounds are the least and greatest offset at each station, and where there is no room between the two.
func (r Request) bounds(line even) (low, high []float64, narrow []Problem) {
	open := false
	for _, st := range line.stations {
		left, right := r.keepFrom(st.LeftEdge), r.keepFrom(st.RightEdge)
		l, h := right-st.Right, st.Left-left
		by := l - h
		if by > 0 {
			l = (l + h) / 2
			h = l
		}
		low, high = append(low, l), append(high, h)
		if by <= slack {
			open = false
			continue
		}
		if !open {
			narrow = append(narrow, Problem{Kind: Narrow, Line: r.Line.ID, From: st.S})
			open = true
		}
		p := &narrow[len(narrow)-1]
		p.To = st.S
		if by > p.Limit-p.Value {
			p.Value, p.Limit, p.At = st.Left+st.Right, left+right, st.Point
		}
	}
	return low, high, narrow
}
