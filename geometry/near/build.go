package near

import (
	"math"
	"math/bits"
	"slices"
	"sync"
)

// leafSize is about how many triangles a leaf holds at most: with 4 the finder takes a twentieth longer, and half as much memory again.
const leafSize = 8

// bins is the number of places along an axis at which the surface-area heuristic tries to cut.
const bins = 16

// few is up to how many items a node is simply halved in space, as counting bins would take longer than it saves.
const few = 12

// deepest bounds the tree's depth, and so the stacks of those who walk it.
const deepest = 62

// node is a box with a link: a leaf when count is above zero, its triangles are order[first:first+count]. Otherwise
// its children are the nodes first and first+1.
type node struct {
	lo, hi [3]int32
	first  int32
	count  int32
}

// union widens n to hold o.
func (n *node) union(o *node) {
	n.lo[0], n.hi[0] = min(n.lo[0], o.lo[0]), max(n.hi[0], o.hi[0])
	n.lo[1], n.hi[1] = min(n.lo[1], o.lo[1]), max(n.hi[1], o.hi[1])
	n.lo[2], n.hi[2] = min(n.lo[2], o.lo[2]), max(n.hi[2], o.hi[2])
}

var nothing = node{lo: [3]int32{math.MaxInt32, math.MaxInt32, math.MaxInt32}, hi: [3]int32{math.MinInt32, math.MinInt32, math.MinInt32}}

// halfArea is half the surface of the box, in squared grains.
func (n *node) halfArea() float64 {
	x, y, z := float64(n.hi[0]-n.lo[0]), float64(n.hi[1]-n.lo[1]), float64(n.hi[2]-n.lo[2])
	return float64(x*y) + float64(y*z) + float64(z*x)
}

// center is twice the middle of the box along an axis.
func (n *node) center(axis int) int32 { return n.lo[axis] + n.hi[axis] }

// plant makes a tree of items, which are boxes with a number in first, at most leaf of them in a leaf. It
// reorders them: a leaf's first and count are a range of items. The root is node 0; the tree is the same for any number of workers.
func plant(items []node, leaf, workers int) []node {
	if len(items) == 0 {
		return nil
	}
	p := planter{items: items, leaf: int32(leaf)}
	p.nodes = make([]node, 0, 2*len(items)/leaf+1)
	root := nothing
	for i := range items {
		root.union(&items[i])
	}
	root.first, root.count = 0, int32(len(items))
	p.nodes = append(p.nodes, root)
	if len(items) < alone || workers < 2 {
		p.grow(0, 0, 0)
		return p.nodes
	}
	p.grow(0, 0, len(items)/tasks)
	p.finish(workers)
	return p.nodes
}

// Below alone items a tree is made by one worker; above, its top by one, and about tasks parts of it by all.
const (
	alone = 1 << 13
	tasks = 16
)

type planter struct {
	items []node
	leaf  int32 // the most items in a leaf
	nodes []node
	later []int32 // nodes left to be grown, with their depths
	depth []int
}

// grow splits the node until leaves are left; a node of at most small items is left for later.
func (p *planter) grow(at int32, depth, small int) {
	n := p.nodes[at]
	if n.count <= p.leaf {
		part := p.items[n.first : n.first+n.count]
		if len(part) > 1 {
			slices.SortFunc(part, func(a, b node) int { return int(a.first) - int(b.first) })
		}
		return
	}
	if int(n.count) <= small {
		p.later, p.depth = append(p.later, at), append(p.depth, depth)
		return
	}
	left, right := p.split(&n, depth)
	pair := int32(len(p.nodes))
	p.nodes = append(p.nodes, left, right)
	p.nodes[at].first, p.nodes[at].count = pair, 0
	p.grow(pair, depth+1, small)
	p.grow(pair+1, depth+1, small)
}

// finish grows what was left for later, each part by one worker, and puts the parts behind each other.
func (p *planter) finish(workers int) {
	parts := make([][]node, len(p.later))
	next := make(chan int, len(p.later))
	for i := range p.later {
		next <- i
	}
	close(next)
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for i := range next {
				own := planter{items: p.items, leaf: p.leaf}
				n := p.nodes[p.later[i]]
				own.nodes = append(make([]node, 0, 2*n.count/p.leaf+1), n)
				own.grow(0, p.depth[i], 0)
				parts[i] = own.nodes
			}
		})
	}
	wait.Wait()
	for i, part := range parts {
		moved := int32(len(p.nodes)) - 1 // a part's node 0 takes the place that was left
		for k := range part {
			if part[k].count == 0 {
				part[k].first += moved
			}
		}
		p.nodes[p.later[i]] = part[0]
		p.nodes = append(p.nodes, part[1:]...)
	}
}

// split orders the node's items so that the cheapest cut of the surface-area heuristic along the widest spread of
// middles parts them. Where all have the same middle, or the tree grows too deep, it halves them by number.
func (p *planter) split(n *node, depth int) (left, right node) {
	part := p.items[n.first : n.first+n.count]
	axis, low, high := widest(part)
	if low == high || depth+bits.Len32(uint32(n.count)) >= deepest {
		return halves(part, n)
	}
	var i int
	if len(part) > few {
		var from int32 // the first middle that goes to the right
		from, left, right = cheapestCut(part, axis, low, high)
		i = partition(part, axis, from)
	} else {
		i = partition(part, axis, int32((int64(low)+int64(high))/2)+1)
		left, right = boxOfAll(part[:i]), boxOfAll(part[i:])
	}
	left.first, left.count = n.first, int32(i)
	right.first, right.count = n.first+int32(i), n.count-int32(i)
	return left, right
}

// partition puts the items whose middles lie before from before the others, and says how many they are.
func partition(part []node, axis int, from int32) int {
	i, k := 0, len(part)-1
	for i <= k {
		if part[i].center(axis) < from {
			i++
			continue
		}
		part[i], part[k] = part[k], part[i]
		k--
	}
	return i
}

func boxOfAll(part []node) node {
	box := nothing
	for i := range part {
		box.union(&part[i])
	}
	return box
}

func halves(part []node, n *node) (left, right node) {
	slices.SortFunc(part, func(a, b node) int { return int(a.first) - int(b.first) })
	half := len(part) / 2
	left, right = boxOfAll(part[:half]), boxOfAll(part[half:])
	left.first, left.count = n.first, int32(half)
	right.first, right.count = n.first+int32(half), n.count-int32(half)
	return left, right
}

// widest is the axis along which the items' middles spread most, and from where to where.
func widest(part []node) (axis int, low, high int32) {
	lo, hi := nothing.lo, nothing.hi
	for i := range part {
		n := &part[i]
		x, y, z := n.lo[0]+n.hi[0], n.lo[1]+n.hi[1], n.lo[2]+n.hi[2]
		lo[0], hi[0] = min(lo[0], x), max(hi[0], x)
		lo[1], hi[1] = min(lo[1], y), max(hi[1], y)
		lo[2], hi[2] = min(lo[2], z), max(hi[2], z)
	}
	for k := 1; k < 3; k++ {
		if int64(hi[k])-int64(lo[k]) > int64(hi[axis])-int64(lo[axis]) {
			axis = k
		}
	}
	return axis, lo[axis], hi[axis]
}

// binner tells which bin a middle falls in.
type binner struct {
	low   int64
	scale int64 // bins · 2^32 / extent, so that a product shifted by 32 is the bin
}

func newBinner(low, high int32) binner {
	return binner{int64(low), bins << 32 / (int64(high) - int64(low) + 1)}
}

func (b binner) of(center int32) int { return int((int64(center) - b.low) * b.scale >> 32) }

// first is the least middle that falls in a bin.
func (b binner) first(bin int) int32 {
	return int32(b.low + (int64(bin)<<32+b.scale-1)/b.scale)
}

// cheapestCut is the first middle that goes to the right side, and what either side takes: neither is empty.
func cheapestCut(part []node, axis int, low, high int32) (from int32, before, after node) {
	var boxes [bins]node
	var counts [bins]int
	for i := range boxes {
		boxes[i] = nothing
	}
	b := newBinner(low, high)
	for i := range part {
		k := b.of(part[i].center(axis)) & (bins - 1)
		boxes[k].union(&part[i])
		counts[k]++
	}
	var right [bins]float64
	box, n := nothing, 0
	for i := bins - 1; i > 0; i-- {
		box.union(&boxes[i])
		n += counts[i]
		right[i] = math.Inf(1)
		if n > 0 {
			right[i] = box.halfArea() * float64(n)
		}
	}
	cut, cost := 1, math.Inf(1)
	box, n = nothing, 0
	for i := 1; i < bins; i++ {
		box.union(&boxes[i-1])
		if n += counts[i-1]; n == 0 {
			continue
		}
		if c := float64(box.halfArea()*float64(n)) + right[i]; c < cost {
			cut, cost = i, c
		}
	}
	before, after = nothing, nothing
	for i := range boxes {
		if i < cut {
			before.union(&boxes[i])
		} else {
			after.union(&boxes[i])
		}
	}
	return b.first(cut), before, after
}
