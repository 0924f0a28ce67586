package curve

import (
	"math"
	"slices"
)

// samples of a stretch: peaks are taken off to within a part of it.
const samplesOfStretch = 6

// Lasting takes off the peaks of values along a line that do not last for a stretch, mm: of all stretches of that length that hold a
// place, the one whose least value is greatest says what holds there (an opening, Serra, Image Analysis and Mathematical
// Morphology, 1982; from memory). at is where the values are along the line, rising; between them they run straight. On a line
// shorter than the stretch its least value holds all over. For dips, negate the values before and after.
func Lasting(at, values []float64, length, stretch float64, closed bool) []float64 {
	out := slices.Clone(values)
	if len(values) < 2 || !(length > 0) || !(stretch > 0) {
		return out
	}
	step := stretch / samplesOfStretch
	n := max(1, int(math.Ceil(length/step)))
	step = length / float64(n)
	window := min(int(math.Ceil(stretch/step-1e-9)), n)
	count := n + 1
	if closed {
		count = n
	}
	fine := make([]float64, count)
	for k := range fine {
		fine[k] = between(at, values, length, float64(k)*step, closed)
	}
	wrap := func(k int) (int, bool) {
		if closed {
			return (k + count) % count, true
		}
		return k, k >= 0 && k < count
	}
	least := make([]float64, count) // of the stretch from there on; not a number where it does not fit
	for k := range least {
		least[k] = math.Inf(1)
		for d := range window + 1 {
			i, on := wrap(k + d)
			if !on {
				least[k] = math.NaN()
				break
			}
			least[k] = min(least[k], fine[i])
		}
	}
	for p := range out {
		best, k := math.Inf(-1), int(math.Round(at[p]/step))
		for d := range window + 1 {
			if i, on := wrap(k - d); on && least[i] > best {
				best = least[i]
			}
		}
		out[p] = min(out[p], best)
	}
	return out
}

// between is a value between those at some places of a line.
func between(at, values []float64, length, s float64, closed bool) float64 {
	i, _ := slices.BinarySearch(at, s)
	last := len(at) - 1
	switch {
	case i == 0:
		return values[0]
	case i > last && !closed:
		return values[last]
	case i > last:
		share := (s - at[last]) / max(length-at[last], math.SmallestNonzeroFloat64)
		return values[last]*(1-share) + values[0]*share
	}
	share := (s - at[i-1]) / (at[i] - at[i-1])
	return values[i-1]*(1-share) + values[i]*share
}
