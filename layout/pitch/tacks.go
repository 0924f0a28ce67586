package pitch

import (
	"math"
	"slices"
)

// LeastTacks is how many tacks a line of so many welds must have.
func LeastTacks(welds int, closed bool) int {
	if closed {
		return min(welds, LeastClosed)
	}
	return min(welds, LeastOpen)
}

// Tacks are to be chosen among the welds of a line.
type Tacks struct {
	At     []float64 // the welds that can be tacked, growing
	Every  float64   // tack spacing; 0: none asked for
	Length float64   // of the line
	Closed bool
}

// Choose returns which welds are tacks, as growing indices into At: an open line's first and last, the one nearest to each corner if
// that is within half the spacing, and between these the fewest that keep the spacing, as evenly as the welds lie.
func (t Tacks) Choose(corners []float64) []int {
	if len(t.At) == 0 {
		return nil
	}
	fixed := []int{}
	if !t.Closed {
		fixed = append(fixed, 0, len(t.At)-1)
	}
	for _, c := range corners {
		if k := t.nearest(c); t.distance(t.At[k], c) <= t.Every/2 {
			fixed = append(fixed, k)
		}
	}
	if len(fixed) == 0 {
		fixed = append(fixed, 0)
	}
	slices.Sort(fixed)
	fixed = slices.Compact(fixed)
	out := slices.Clone(fixed)
	for i, k := range fixed {
		switch {
		case i+1 < len(fixed):
			out = append(out, t.between(k, fixed[i+1])...)
		case t.Closed:
			out = append(out, t.between(k, fixed[0]+len(t.At))...)
		}
	}
	for i := range out {
		out[i] %= len(t.At)
	}
	slices.Sort(out)
	return t.enough(slices.Compact(out))
}

// place of a weld by index; beyond the last the line is gone round once more.
func (t Tacks) place(k int) float64 {
	n := len(t.At)
	return t.At[k%n] + float64(t.Length*float64(k/n))
}

// nearest is the weld nearest to a corner, whose place is known to half a millimetre, as directions are taken every ten; of two as near
// the first.
func (t Tacks) nearest(u float64) int {
	const known = 0.5
	best := 0
	for k, v := range t.At {
		if t.distance(v, u) < t.distance(t.At[best], u)-known {
			best = k
		}
	}
	return best
}

// distance between two places along the line, the shorter way round.
func (t Tacks) distance(a, b float64) float64 {
	d := math.Abs(a - b)
	if t.Closed {
		d = math.Min(d, t.Length-d)
	}
	return d
}

// between returns the fewest tacks between two that leave no more than the spacing, as evenly as the welds
// lie; where the welds lie too far apart for that, it goes as far as it can each time.
func (t Tacks) between(from, to int) []int {
	distance := t.place(to) - t.place(from)
	if t.Every <= 0 || distance <= t.Every+Said {
		return nil
	}
	greedy := t.greedy(from, to)
	for parts := int(math.Ceil((distance - Said) / t.Every)); parts <= len(greedy)+1; parts++ {
		if even := t.even(from, to, parts); t.keeps(from, to, even) {
			return even
		}
	}
	return greedy
}

// greedy goes from tack to tack as far as the spacing lets it.
func (t Tacks) greedy(from, to int) []int {
	var out []int
	for at := from; t.place(to)-t.place(at) > t.Every+Said; {
		next := at + 1
		for next+1 < to && t.place(next+1)-t.place(at) <= t.Every+Said {
			next++
		}
		if next >= to {
			break
		}
		out = append(out, next)
		at = next
	}
	return out
}

// even takes the weld nearest to each of the points that split the way into equal parts.
func (t Tacks) even(from, to, parts int) []int {
	var out []int
	start, distance := t.place(from), t.place(to)-t.place(from)
	k := from + 1
	for i := 1; i < parts; i++ {
		target := start + distance*float64(i)/float64(parts)
		for k+1 < to && math.Abs(t.place(k+1)-target) < math.Abs(t.place(k)-target)-Said {
			k++
		}
		if k < to && (len(out) == 0 || out[len(out)-1] != k) {
			out = append(out, k)
		}
	}
	return out
}

// keeps reports whether the tacks between two leave no more than the spacing.
func (t Tacks) keeps(from, to int, between []int) bool {
	at := from
	for _, k := range append(slices.Clone(between), to) {
		if t.place(k)-t.place(at) > t.Every+Said {
			return false
		}
		at = k
	}
	return true
}

// enough adds tacks in the widest gap until there are as many as the line must have.
func (t Tacks) enough(tacks []int) []int {
	for len(tacks) < LeastTacks(len(t.At), t.Closed) {
		add, widest := -1, -1.0
		for k := range t.At {
			if slices.Contains(tacks, k) {
				continue
			}
			if d := t.away(k, tacks); d > widest+Said {
				add, widest = k, d
			}
		}
		tacks = append(tacks, add)
		slices.Sort(tacks)
	}
	return tacks
}

// away is the distance from a weld to the nearest tack, along the line.
func (t Tacks) away(k int, tacks []int) float64 {
	least := math.Inf(1)
	for _, other := range tacks {
		least = math.Min(least, t.distance(t.At[k], t.At[other]))
	}
	return least
}
