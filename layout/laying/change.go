package laying

import (
	"cmp"
	"context"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/layout/joining"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

// change is a place where the stack changes along one line: a strip ends and another with most of the same sheets begins.
type change struct {
	strip [2]int  // indices of the two strips
	end   [2]int  // 0: at its start, 1: at its end
	gap   float64 // mm between the two ends of line
}

// changes finds where one strip goes on as another. An end goes on with the nearest end that faces it, and only where that
// is mutual.
func changes(laid []line) []change {
	next := map[[2]int][2]int{}
	for i, l := range laid {
		if l.strip.Flange.Closed || l.strip.Flange.Patch || l.part {
			continue
		}
		for end := range 2 {
			if k, e, ok := facing(laid, i, end); ok {
				next[[2]int{i, end}] = [2]int{k, e}
			}
		}
	}
	var out []change
	for i, l := range laid {
		for end := range 2 {
			at := [2]int{i, end}
			other, ok := next[at]
			if !ok || other[0] < i || next[other] != at {
				continue
			}
			p, _ := endOf(l.strip, end)
			q, _ := endOf(laid[other[0]].strip, other[1])
			out = append(out, change{strip: [2]int{i, other[0]}, end: [2]int{end, other[1]}, gap: p.Distance(q)})
		}
	}
	return out
}

// endOf is the place of an end of the strip's line and the direction out of it.
func endOf(s *joining.Strip, end int) (at, out r3.Vector) {
	line := s.Flange.Line
	if end == 0 {
		return line[0].Point, line[0].Along.Mul(-1)
	}
	last := line[len(line)-1]
	return last.Point, last.Along
}

// facing is the nearest end of another strip that goes on from an end.
func facing(laid []line, i, end int) (strip, other int, ok bool) {
	s := laid[i].strip
	p, out := endOf(s, end)
	least := math.Inf(1)
	for k, l := range laid {
		o := l.strip
		if k == i || o.Flange.Closed || o.Flange.Patch || l.part || joining.Shared(s.Panels, o.Panels) < 2 {
			continue
		}
		for e := range 2 {
			q, back := endOf(o, e)
			reach := math.Max(s.Limits.GreatestPitch.Value, o.Limits.GreatestPitch.Value)
			if d := p.Distance(q); d < least && strips.GoesOn(p, out, q, back, reach) {
				strip, other, ok, least = k, e, true, d
			}
		}
	}
	return strip, other, ok
}

// bridge lays the strips on both sides of every change of stack again so that the last weld before it and the first after
// it keep the least and the greatest pitch between them, and are as far apart as the welds on either side.
func bridge(ctx context.Context, laid []line) error {
	lay := func(c change, pitch float64) (over [2]line, err error) {
		d := shares(c.sides(laid), c.gap, pitch)
		for k, i := range c.strip {
			over[k] = laid[i]
			if c.end[k] == 0 {
				over[k].request.Start = d[k]
			} else {
				over[k].request.End = d[k]
			}
			if err := over[k].lay(); err != nil {
				return over, err
			}
		}
		return over, nil
	}
	for _, c := range changes(laid) {
		if err := ctx.Err(); err != nil {
			return err
		}
		a, o := laid[c.strip[0]].strip, laid[c.strip[1]].strip
		least := math.Max(a.Limits.LeastPitch.Value, o.Limits.LeastPitch.Value)
		most := math.Max(least, math.Min(a.Limits.GreatestPitch.Value, o.Limits.GreatestPitch.Value))
		over, err := lay(c, most)
		if err != nil {
			return err
		}
		welds := len(over[0].laid.Welds) + len(over[1].laid.Welds)
		alone := len(laid[c.strip[0]].laid.Welds) + len(laid[c.strip[1]].laid.Welds)
		if welds > alone && c.within(laid, least, bound(a.Limits, o.Limits)) {
			continue // a wanted pitch, unlike the bound of the strength rules, is not worth a weld more
		}
		if mean := (over[0].laid.Pitch.Mean + over[1].laid.Pitch.Mean) / 2; mean > least && mean < most {
			even, err := lay(c, mean)
			if err != nil {
				return err
			}
			if len(even[0].laid.Welds)+len(even[1].laid.Welds) <= welds {
				over = even
			}
		}
		for k, i := range c.strip {
			laid[i] = over[k]
		}
	}
	return nil
}

// bound is the greatest pitch of the strength rules over a change of stack; 0 where there is none.
func bound(a, b rule.Limits) float64 {
	if a.PitchBound.Value == 0 || b.PitchBound.Value == 0 {
		return 0
	}
	return math.Min(a.PitchBound.Value, b.PitchBound.Value)
}

// within reports whether the welds on both sides of the change are no nearer and no farther apart than that.
func (c change) within(laid []line, least, most float64) bool {
	var at [2]r3.Vector
	for k, i := range c.strip {
		welds := laid[i].laid.Welds
		if len(welds) == 0 {
			return false
		}
		at[k] = welds[0].Position
		if c.end[k] == 1 {
			at[k] = welds[len(welds)-1].Position
		}
	}
	d := at[0].Distance(at[1])
	return d >= least && d <= most
}

// side is one strip at a change: how far its outermost weld stays from its end, wanted, at least, and at most so that the
// strip still holds two.
type side struct{ wanted, least, most float64 }

// sides says what the welds on both sides keep from the change. A sheet that ends there ends at an edge, from which the end
// distance holds; a strip all of whose sheets go on needs room for the electrode face only.
func (c change) sides(laid []line) [2]side {
	var out [2]side
	for k, i := range c.strip {
		s, o := laid[i].strip, laid[c.strip[1-k]].strip
		other := laid[i].request.Start
		if c.end[k] == 0 {
			other = laid[i].request.End
		}
		room := s.Flange.Length - cmp.Or(other, s.Limits.EndDistance.Value) - s.Limits.LeastPitch.Value
		out[k] = side{s.Limits.EndDistance.Value, s.Limits.EndDistance.Value, math.Max(s.Limits.EndDistance.Value, room)}
		if joining.Shared(s.Panels, o.Panels) == len(s.Panels) {
			out[k].least = math.Min(out[k].wanted, s.Limits.TipFace.Value/2)
		}
	}
	return out
}

// shares gives both strips their distances from the ends of their lines so that their welds are a pitch apart over the gap
// between: what is to spare goes to both alike, and what is short is taken from those that can give.
func shares(sides [2]side, gap, pitch float64) [2]float64 {
	out := [2]float64{sides[0].wanted, sides[1].wanted}
	spare := pitch - gap - out[0] - out[1]
	if spare >= 0 {
		room := [2]float64{sides[0].most - out[0], sides[1].most - out[1]}
		first := math.Min(room[0], math.Max(spare/2, spare-room[1]))
		return [2]float64{out[0] + first, out[1] + math.Min(room[1], spare-first)}
	}
	give := [2]float64{sides[0].wanted - sides[0].least, sides[1].wanted - sides[1].least}
	first := math.Min(give[0], math.Max(-spare/2, -spare-give[1])) // half of it, and what the other one cannot give
	return [2]float64{out[0] - first, out[1] - math.Min(give[1], -spare-first)}
}
