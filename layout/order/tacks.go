package order

import (
	"math"
	"slices"
	"strings"

	"seamwright/layout/tour"
)

// leastQuarters is the number of tacks from which they are made by quarters, and leastMiddle that from which the middle one comes
// first: with fewer there is no such order.
const (
	leastQuarters = 4
	leastMiddle   = 3
)

// patternsOf are the patterns that a step may have, none first.
func patternsOf(s Step) []Pattern {
	if s == Tack {
		return []Pattern{"", Through, Quarters, MiddleFirst, DatumFirst, DatumLast}
	}
	return []Pattern{MiddleOut, Through, Skips}
}

func named(patterns []Pattern) string {
	var out []string
	for _, p := range patterns {
		out = append(out, string(p))
	}
	return strings.Join(out[:len(out)-1], ", ") + " or " + out[len(out)-1]
}

// tacksBy returns the ways through the tacks of a line, which are by their place along it; nil where they go through from end to
// end.
func tacksBy(pattern Pattern, line []int, stops []Stop) []way {
	back := slices.Clone(line)
	slices.Reverse(back)
	through := func(order []int) way { return newWay([][]int{order}, stops) }
	around := stops[line[0]].Around
	switch {
	case pattern == Quarters && around > 0 && len(line) >= leastQuarters:
		return []way{through(quarters(line, around, stops)), through(quarters(back, around, stops))}
	case pattern == MiddleFirst && len(line) >= leastMiddle:
		return []way{through(slices.Concat(outwards(line, stops)...)), through(slices.Concat(outwards(back, stops)...))}
	case pattern == DatumFirst:
		return []way{through(line)}
	case pattern == DatumLast:
		return []way{through(back)}
	}
	return nil
}

// quarters begins with the first tack and goes on with the one nearest to half way round, a quarter, three quarters, then to the
// middles between these, and so on.
func quarters(line []int, around float64, stops []Stop) []int {
	left := slices.Clone(line[1:])
	out := []int{line[0]}
	start := stops[line[0]].Along
	off := func(i int, part float64) float64 {
		d := math.Mod(math.Abs(stops[i].Along-start-part*around), around)
		return math.Min(d, around-d)
	}
	for parts := 2; len(left) > 0; parts *= 2 {
		for _, k := range halves(parts) {
			if len(left) == 0 {
				break
			}
			best := 0
			for n := range left {
				if off(left[n], float64(k)/float64(parts)) < off(left[best], float64(k)/float64(parts))-tour.Alike {
					best = n
				}
			}
			out, left = append(out, left[best]), slices.Delete(left, best, best+1)
		}
	}
	return out
}

// halves are the odd parts of a round, each followed by the one opposite: 1 of 2; 1 and 3 of 4; 1, 5, 3 and 7 of 8.
func halves(parts int) []int {
	if parts == 2 {
		return []int{1}
	}
	var out []int
	for k := 1; k < parts/2; k += 2 {
		out = append(out, k, k+parts/2)
	}
	return out
}
