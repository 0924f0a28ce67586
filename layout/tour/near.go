package tour

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// How many groups are worth standing beside: of those of the same gun, and of others.
const (
	nearAlike = 8
	nearOther = 5
)

// neighbours are, for each group, those nearest to it of the same stage: by their ends, some of the same gun and some of
// any.
func (p *problem) neighbours(c *costs) [][]int32 {
	type bucket struct{ stage, gun int }
	alike, all := map[bucket][]ending{}, map[bucket][]ending{}
	var order, orderAll []bucket
	for g := range p.groups {
		b, any := bucket{p.groups[g].Stage, c.gun[g]}, bucket{p.groups[g].Stage, -1}
		if alike[b] == nil {
			order = append(order, b)
		}
		if all[any] == nil {
			orderAll = append(orderAll, any)
		}
		ends := c.endings(int32(g))
		alike[b], all[any] = append(alike[b], ends...), append(all[any], ends...)
	}
	out := make([][]int32, len(p.groups))
	for _, b := range order {
		nearest(alike[b], nearAlike, out)
	}
	if len(order) > len(orderAll) { // more than one gun at a stage
		for _, b := range orderAll {
			nearest(all[b], nearOther, out)
		}
	}
	return out
}

// ending is a place where a group can begin or end.
type ending struct {
	group int32
	at    r3.Vector
}

func (c *costs) endings(g int32) []ending {
	var out []ending
	for w := range 2 {
		for _, at := range [2]r3.Vector{c.entry[g][w].at, c.exit[g][w].at} {
			if e := (ending{g, at}); !slices.Contains(out, e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// found is a neighbour and how near it is, in steps of Alike: of those as near the first are taken, whatever their last digits.
type found struct {
	group    int32
	distance float64
}

// nearest adds the most nearest groups to each group's list, by sweeping along x from each of its ends.
func nearest(ends []ending, most int, out [][]int32) {
	slices.SortFunc(ends, func(a, b ending) int { return cmp.Or(cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.group, b.group)) })
	lists := map[int32][]found{}
	for i, e := range ends {
		list := lists[e.group]
		low, high := i-1, i+1
		for {
			left, right := math.Inf(1), math.Inf(1)
			if low >= 0 {
				left = e.at.X - ends[low].at.X
			}
			if high < len(ends) {
				right = ends[high].at.X - e.at.X
			}
			if aside := min(left, right); math.IsInf(aside, 1) || len(list) == most && aside > (list[most-1].distance+1)*Alike {
				break
			}
			other := high
			if left <= right {
				other = low
				low--
			} else {
				high++
			}
			if ends[other].group != e.group {
				list = keep(list, found{ends[other].group, math.Round(e.at.Distance(ends[other].at) / Alike)}, most)
			}
		}
		lists[e.group] = list
	}
	for g := range out {
		for _, f := range lists[int32(g)] {
			if !slices.Contains(out[g], f.group) {
				out[g] = append(out[g], f.group)
			}
		}
	}
}

// keep puts a neighbour into a list of the most nearest, each once.
func keep(list []found, f found, most int) []found {
	if at := slices.IndexFunc(list, func(have found) bool { return have.group == f.group }); at >= 0 {
		if list[at].distance <= f.distance {
			return list
		}
		list = slices.Delete(list, at, at+1)
	}
	at, _ := slices.BinarySearchFunc(list, f, func(a, b found) int {
		return cmp.Or(cmp.Compare(a.distance, b.distance), cmp.Compare(a.group, b.group))
	})
	if at == most {
		return list
	}
	list = slices.Insert(list, at, f)
	return list[:min(len(list), most)]
}
