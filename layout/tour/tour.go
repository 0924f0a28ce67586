// Package tour finds the cheapest order of groups of work, each gone through one of at most two ways: the least time that is
// walked between them and spent on changing guns, tips, settings and posture, with what must come before what.
//
// A gun that is put down keeps its tip and setting, so that they are changed only when its next group wants others, however much other
// guns do in between; at the end each gun is made ready for its first group again.
//
// The order is built by cheapest insertion and bettered by moving stretches, turning them round and
// swapping them until nothing helps, with a fixed number of fresh starts from a fixed seed. Up to a number of
// groups it is then proven, or made, the optimum, by dynamic programming over sets of groups and the tips on
// the guns, as far as the proof stays within bounds. The same input gives the same order.
//
//	turns, proven := tour.Find(ctx, groups, tour.Prices{Speed: 500, Gun: 20, Tip: 60}, 14)
package tour

import (
	"context"

	"github.com/golang/geo/r3"
)

// Alike is the way in mm by which two orders, places or heights must differ to count as different. What lies below it is
// noise of meshes and of rounding, which must not decide: the one found first stands, by the order in which the groups are given.
const Alike = 0.01

// Group is work that is done in one go, with one gun, tip and setting.
type Group struct {
	Stage             int   // all groups of a stage come before those of the next
	Before            []int // groups that come earlier
	Ways              []Way // through it: one or two
	Gun, Tip, Setting string
}

// Way is one way through a group.
type Way struct {
	Entry, Exit End
	Seconds     float64 // within the group
}

// End is where a way begins or ends.
type End struct {
	At   r3.Vector // mm
	Axis r3.Vector // of the weld there, of any length; zero: it asks for no posture
}

// Prices are what it costs to go from group to group: seconds, but for the speed.
type Prices struct {
	Speed   float64    // mm/s
	Gun     float64    // one gun put down and another taken
	Tip     float64    // on the same gun
	Setting float64    // on the same gun
	Posture float64    // at a group that begins in another posture than the one before ends in
	Start   *r3.Vector // nil: the first group may begin anywhere
}

// Turn is a group gone through one of its ways: indices of both.
type Turn struct{ Group, Way int }

// Find returns a good order of groups, which must not wait for each other in a circle. Of up to exact groups, no more than 31, it is
// proven to cost no more than any other, to Alike for each group, where the proof does not grow too large. Once the context is
// cancelled what comes back is of no use.
func Find(ctx context.Context, groups []Group, prices Prices, exact int) (order []Turn, proven bool) {
	if len(groups) == 0 {
		return nil, true
	}
	p, c := newProblem(groups), newCosts(groups, prices)
	seq := p.searched(ctx, c)
	if proven = len(groups) <= exact && c.provable(len(groups)); proven {
		seq, proven = p.proven(ctx, c, seq)
	}
	for _, s := range seq {
		order = append(order, Turn{int(s.group), int(s.way)})
	}
	return order, proven
}

// problem is the groups with what must come before what, either way.
type problem struct {
	groups []Group
	after  [][]int // for each group the groups that come later; the mirror of Before
}

func newProblem(groups []Group) *problem {
	p := &problem{groups: groups, after: make([][]int, len(groups))}
	for g := range groups {
		for _, b := range groups[g].Before {
			p.after[b] = append(p.after[b], g)
		}
	}
	return p
}
