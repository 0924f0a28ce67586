package tour

import (
	"context"
	"math"
	"math/bits"
	"slices"
)

// mostNodes bounds the proof: what is kept of it takes some 60 MB then.
const mostNodes = 600_000

// nodeKey is what the cost of all that is still to come hangs on.
type nodeKey struct {
	set  uint32 // groups that are done
	last step
	kits uint64 // by kit, in a number of mixed radix: first and latest dress; 0 before its first and after its last group
}

// node is the cheapest way found to a key.
type node struct {
	nodeKey
	cost   float64
	before int32 // index of the node before, -1 for none
}

// prover finds the cheapest order of a few groups by dynamic programming over the sets of groups that are done (Held and
// Karp 1962; Bellman 1962; method recalled), with what must come before what, with the dress of each gun as a part of
// the state, and without states that cannot lead to less than an order already known.
type prover struct {
	p     *problem
	c     *costs
	needs []uint32
	come  []float64 // by group: the least that coming to it and going through it costs
	kit   []uint32  // by kit: its groups
	most  float64   // an order is known that costs this
	nodes []node
	known map[nodeKey]int32 // nodes of the layer in the making
}

// proven returns the cheapest order, to Alike for each group, or the known one and false where the proof would grow too large.
func (p *problem) proven(ctx context.Context, c *costs, known []step) ([]step, bool) {
	v := &prover{p: p, c: c, needs: p.needs(), kit: make([]uint32, c.kits), most: c.total(known)}
	for g, k := range c.kit {
		if k >= 0 {
			v.kit[k] |= 1 << g
		}
	}
	v.leastComing()
	v.nodes = []node{{nodeKey: nodeKey{last: none}, before: -1}}
	from := 0
	for range p.groups {
		to := len(v.nodes)
		v.known = map[nodeKey]int32{}
		for at := from; at < to; at++ {
			if len(v.nodes) > mostNodes || at%256 == 0 && ctx.Err() != nil {
				return known, false
			}
			v.extend(int32(at))
		}
		from = to
	}
	best := -1
	for i := from; i < len(v.nodes); i++ {
		if v.nodes[i].cost < v.most-v.c.gain && (best < 0 || v.nodes[i].cost < v.nodes[best].cost-v.c.gain) {
			best = i
		}
	}
	if best < 0 {
		return known, true // nothing costs less
	}
	return v.traceBack(int32(best)), true
}

// leastComing finds the least cost of coming to each group from anywhere.
func (v *prover) leastComing() {
	v.come = make([]float64, len(v.p.groups))
	for g := range v.p.groups {
		v.come[g] = math.Inf(1)
		for w := range v.p.groups[g].Ways {
			s := step{int32(g), uint8(w)}
			v.come[g] = min(v.come[g], v.c.link(none, s)+v.c.within(s))
			for h := range v.p.groups {
				for u := range v.p.groups[h].Ways {
					if h != g {
						v.come[g] = min(v.come[g], v.c.link(step{int32(h), uint8(u)}, s)+v.c.within(s))
					}
				}
			}
		}
	}
}

// extend adds every group that can come next.
func (v *prover) extend(at int32) {
	n := v.nodes[at]
	rest := 0.0
	for g := range v.p.groups {
		if n.set>>g&1 == 0 {
			rest += v.come[g]
		}
	}
	for g := range v.p.groups {
		if n.set>>g&1 == 1 || v.needs[g]&^n.set != 0 {
			continue
		}
		set := n.set | 1<<g
		dressing, kits := v.dress(n.kits, set, g)
		for w := range v.p.groups[g].Ways {
			s := step{int32(g), uint8(w)}
			v.offer(node{nodeKey{set, s, kits}, n.cost + v.c.link(n.last, s) + v.c.within(s) + dressing, at}, rest-v.come[g])
		}
	}
}

// offer keeps a node that may lead to less than what is known; rest is the least that is still to come.
func (v *prover) offer(n node, rest float64) {
	if n.cost+rest >= v.most-v.c.gain {
		return
	}
	i, have := v.known[n.nodeKey]
	switch {
	case !have:
		v.known[n.nodeKey] = int32(len(v.nodes))
		v.nodes = append(v.nodes, n)
	case n.cost < v.nodes[i].cost-v.c.gain:
		v.nodes[i] = n
	}
}

// dress is the cost of dressing the gun of group g, and the kits afterwards. set holds g.
func (v *prover) dress(kits uint64, set uint32, g int) (cost float64, after uint64) {
	k := v.c.kit[g]
	if k < 0 {
		return 0, kits
	}
	dresses := uint64(len(v.c.change))
	radix := 1 + dresses*dresses
	unit := uint64(1)
	for range k {
		unit *= radix
	}
	digit := kits / unit % radix
	now := uint64(v.c.dress[g])
	first := now
	if digit > 0 {
		first = (digit - 1) / dresses
		cost = v.c.change[(digit-1)%dresses][now]
	}
	after = kits - digit*unit
	if v.kit[k]&^set == 0 { // its last group: dressed for the next shell
		return cost + v.c.change[now][first], after
	}
	return cost, after + (1+first*dresses+now)*unit
}

// provable says whether the states of so many groups and dresses can be numbered.
func (c *costs) provable(groups int) bool {
	dresses := float64(len(c.change))
	return groups < 32 && math.Pow(1+dresses*dresses, float64(c.kits)) < math.MaxInt64
}

// needs is, for each group, the set of groups that come before it, stages included.
func (p *problem) needs() []uint32 {
	out := make([]uint32, len(p.groups))
	for g := range p.groups {
		for _, b := range p.groups[g].Before {
			out[g] |= 1 << b
		}
		for b := range p.groups {
			if p.groups[b].Stage < p.groups[g].Stage {
				out[g] |= 1 << b
			}
		}
	}
	return out
}

func (v *prover) traceBack(at int32) []step {
	out := make([]step, 0, bits.OnesCount32(v.nodes[at].set))
	for ; v.nodes[at].before >= 0; at = v.nodes[at].before {
		out = append(out, v.nodes[at].last)
	}
	slices.Reverse(out)
	return out
}
