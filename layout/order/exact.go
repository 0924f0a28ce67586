package order

import "math"

// proven returns the cheapest order of a few groups, by dynamic programming over the sets of groups that
// are done (Held and Karp 1962; Bellman 1962; method recalled), with what must come before what.
func (p *problem) proven(c *costs) []step {
	n := len(p.groups)
	best := make([]float64, (1<<n)*n*2)
	from := make([]int8, len(best)) // 2*group+way before, -1 for none
	for i := range best {
		best[i], from[i] = math.Inf(1), -1
	}
	needs := p.needs()
	at := func(set, g, w int) int { return (set*n+g)*2 + w }
	for g := range n {
		for w := range p.groups[g].ways {
			if s := (step{int32(g), uint8(w)}); needs[g] == 0 {
				best[at(1<<g, g, w)] = c.link(none, s) + c.within(s)
			}
		}
	}
	for set := 1; set < 1<<n; set++ {
		for last := range 2 * n {
			cost := best[at(set, last/2, last%2)]
			if math.IsInf(cost, 1) {
				continue
			}
			for g := range n {
				if set>>g&1 == 1 || needs[g]&^set != 0 {
					continue
				}
				for w := range p.groups[g].ways {
					s := step{int32(g), uint8(w)}
					to := at(set|1<<g, g, w)
					if total := cost + c.link(step{int32(last / 2), uint8(last % 2)}, s) + c.within(s); total < best[to] {
						best[to], from[to] = total, int8(last)
					}
				}
			}
		}
	}
	return p.traceBack(best, from, at)
}

// needs is, for each group, the set of groups that come before it, stages included.
func (p *problem) needs() []int {
	out := make([]int, len(p.groups))
	for g := range p.groups {
		for _, b := range p.groups[g].before {
			out[g] |= 1 << b
		}
		for b := range p.groups {
			if p.groups[b].stage < p.groups[g].stage {
				out[g] |= 1 << b
			}
		}
	}
	return out
}

func (p *problem) traceBack(best []float64, from []int8, at func(set, g, w int) int) []step {
	n := len(p.groups)
	set, last := 1<<n-1, 0
	for k := range 2 * n {
		if best[at(set, k/2, k%2)] < best[at(set, last/2, last%2)] {
			last = k
		}
	}
	out := make([]step, n)
	for i := n - 1; i >= 0; i-- {
		out[i] = step{int32(last / 2), uint8(last % 2)}
		before := int(from[at(set, last/2, last%2)])
		set &^= 1 << (last / 2)
		last = before
	}
	return out
}
