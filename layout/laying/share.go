package laying

import "sort"

// alikeShare is the part of a weld that does not decide which of two lengths gets it.
const alikeShare = 1e-5

// share splits a joint's stated count over its lines by their length, by largest remainder, so that the
// parts add up to the count; equal remainders go to the earlier line.
func share(count int, lengths []float64) []int {
	out := make([]int, len(lengths))
	total := 0.0
	for _, l := range lengths {
		total += l
	}
	if !(total > 0) || count <= 0 {
		return out
	}
	rest := make([]float64, len(lengths))
	order := make([]int, len(lengths))
	left := count
	for i, l := range lengths {
		exact := float64(count) * l / total
		out[i] = int(exact + alikeShare)
		rest[i], order[i] = exact-float64(out[i]), i
		left -= out[i]
	}
	sort.SliceStable(order, func(a, b int) bool { return rest[order[a]] > rest[order[b]]+alikeShare })
	for _, i := range order[:left] {
		out[i]++
	}
	return out
}
