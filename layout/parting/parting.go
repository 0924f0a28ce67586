// Package parting moves spot welds apart where those of neighbouring weld lines come too near to each other on a sheet that both lie on:
// at a corner where flanges meet, on strips side by side, where lines cross. Current would leak through the other weld.
//
// Each line is laid again (spots.LayClear) clear of the other's welds; which of the two gives way, and how far, is settled conflict by
// conflict, worst first, until nothing gets better.
//
//	apart, err := parting.Separate(ctx, requests, layouts, nil)
package parting

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
	"seamwright/layout/spots"
)

// rounds bounds how often the conflicts are gone through: welds that moved may come near to others.
const rounds = 8

// Way measures along a sheet: it gives the distances from a place on it, mm, which are of interest up to limit. They are never
// shorter than straight.
type Way func(sheet string, from r3.Vector, limit float64) func(to r3.Vector) float64

// Separate looks for welds that are nearer to each other than the least pitch (the greater of the two lines')
// along a sheet that they share, as current runs, and moves them apart. Without a way to measure along the
// sheets (nil) distances are straight, which is stricter: round a square bend 0.7 of the way. A line is laid again with the other lines'
// welds as keep-outs: first one of the two, then the other, then both about a place between the two welds, then one as far
// as it can go and the other clear of that. What is won is kept only if the line keeps at least as many welds as it
// had, breaks no limit that
// it kept before, and has fewer conflicts. Nothing is dropped: a conflict that stays is said on both lines
// (TooNear). Welds that are not neighbours on one line, and neighbours round a corner, are looked at in
// space as well, and said.
//
// The layouts are those that spots.Lay made of the requests, in the same order; the ones given are not changed. Cancelled, it stops
// soon.
func Separate(ctx context.Context, requests []spots.Request, layouts []spots.Layout, way Way) ([]spots.Layout, error) {
	if len(requests) != len(layouts) {
		return nil, fmt.Errorf("%d layouts do not belong to %d weld lines", len(layouts), len(requests))
	}
	f, err := newField(ctx, requests, layouts, way)
	if err != nil {
		return nil, err
	}
	for range rounds {
		if !f.resolve() {
			break
		}
	}
	for i := range f.layouts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for _, c := range f.conflicts(i) {
			f.layouts[i].Problems = append(f.layouts[i].Problems, f.problem(c))
		}
	}
	return f.layouts, nil
}

// ref is one weld: line and index on it.
type ref struct{ line, weld int }

// conflict is two welds too near to each other.
type conflict struct {
	a, b            ref
	distance, limit float64
}

// field is the welds of all lines in space.
type field struct {
	ctx      context.Context
	requests []spots.Request
	layouts  []spots.Layout
	cell     float64
	cells    map[[3]int32][]ref
	boxes    []space.Box
	moves    int            // lines moved so far
	moved    []int          // for each line the count of moves at its last
	tries    []attempt      // for each line the last outcome of again
	besides  [][]int        // for each line those that share a sheet with it and come near it
	failed   map[[2]ref]int // for pairs of welds that could not be moved apart the count of moves then
	way      Way            // nil: straight
	from     map[fromKey]func(r3.Vector) float64
}

// fromKey is a place on a sheet.
type fromKey struct {
	sheet string
	at    r3.Vector
	limit float64
}

// attempt is what came of laying a line again, and when.
type attempt struct {
	at     int
	layout spots.Layout
	better bool
}

func newField(ctx context.Context, requests []spots.Request, layouts []spots.Layout, way Way) (*field, error) {
	f := &field{ctx: ctx, requests: requests, layouts: slices.Clone(layouts), cells: map[[3]int32][]ref{}, cell: 1, way: way,
		from: map[fromKey]func(r3.Vector) float64{}}
	for i := range layouts {
		r := requests[i]
		if err := r.Sound(); err != nil {
			return nil, err
		}
		f.cell = math.Max(f.cell, r.Limits.LeastPitch.Value)
		f.layouts[i].Problems = slices.Clone(layouts[i].Problems)
		box := space.EmptyBox()
		for _, st := range r.Line.Points {
			box = box.Add(st.Point)
		}
		f.boxes = append(f.boxes, box.Grow(1))
	}
	f.moved, f.tries, f.failed = make([]int, len(layouts)), make([]attempt, len(layouts)), map[[2]ref]int{}
	for i := range layouts {
		f.besides = append(f.besides, f.beside(i))
	}
	for i := range layouts {
		f.enter(i)
		f.tries[i].at = -1
	}
	return f, nil
}

// beside lists the other lines that share a sheet with a line and may come near it.
func (f *field) beside(line int) []int {
	var out []int
	for i := range f.layouts {
		near := f.boxes[line].Grow(f.limit(i, line) + f.cell)
		if i != line && near.Overlaps(f.boxes[i].Grow(f.cell)) && f.share(i, line) {
			out = append(out, i)
		}
	}
	return out
}

// still reports whether neither a line nor one beside it has moved since a count of moves.
func (f *field) still(line, since int) bool {
	return f.moved[line] <= since && !slices.ContainsFunc(f.besides[line], func(i int) bool { return f.moved[i] > since })
}

func (f *field) key(p r3.Vector) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / f.cell)), int32(math.Floor(p.Y / f.cell)), int32(math.Floor(p.Z / f.cell))}
}

func (f *field) enter(line int) {
	for w, weld := range f.layouts[line].Welds {
		k := f.key(weld.Position)
		f.cells[k] = append(f.cells[k], ref{line, w})
	}
}

func (f *field) leave(line int) {
	for _, weld := range f.layouts[line].Welds {
		k := f.key(weld.Position)
		f.cells[k] = slices.DeleteFunc(f.cells[k], func(r ref) bool { return r.line == line })
	}
}

func (f *field) weld(r ref) spots.Weld { return f.layouts[r.line].Welds[r.weld] }

// limit is the least distance between welds of two lines.
func (f *field) limit(a, b int) float64 {
	return math.Max(f.requests[a].Limits.LeastPitch.Value, f.requests[b].Limits.LeastPitch.Value)
}

// share reports whether two lines have a sheet in common.
func (f *field) share(a, b int) bool {
	for _, s := range f.requests[a].Line.Sheets {
		if slices.Contains(f.requests[b].Line.Sheets, s) {
			return true
		}
	}
	return a == b
}

// conflicts returns the conflicts of one line's welds, by weld.
func (f *field) conflicts(line int) []conflict {
	var out []conflict
	for w := range f.layouts[line].Welds {
		a := ref{line, w}
		for _, b := range f.around(a) {
			limit := f.limit(line, b.line)
			if f.weld(a).Position.Distance(f.weld(b).Position) >= limit-1e-6 {
				continue
			}
			if d := f.distance(a, b, limit); d < limit-1e-6 && (b.line != line || b.weld > w && f.apart(a, b)) {
				out = append(out, conflict{a, b, d, limit})
			}
		}
	}
	return out
}

// distance between two welds, along the shared sheet on which they are nearest.
func (f *field) distance(a, b ref, limit float64) float64 {
	if b.line < a.line || b.line == a.line && b.weld < a.weld {
		a, b = b, a
	}
	return f.measure(a.line, b.line, f.weld(a).Position, limit)(f.weld(b).Position)
}

// measure gives the distances from a place on one line to places on another along the sheets that they share.
func (f *field) measure(a, b int, from r3.Vector, limit float64) func(r3.Vector) float64 {
	if f.way == nil {
		return from.Distance
	}
	var ways []func(r3.Vector) float64
	for _, s := range f.requests[a].Line.Sheets {
		if !slices.Contains(f.requests[b].Line.Sheets, s) {
			continue
		}
		key := fromKey{s, from, limit}
		if f.from[key] == nil {
			f.from[key] = known(f.way(s, from, limit))
		}
		ways = append(ways, f.from[key])
	}
	return func(to r3.Vector) float64 {
		least := math.Inf(1)
		for _, w := range ways {
			least = math.Min(least, w(to))
		}
		return least
	}
}

// known keeps what a distance was: a line is laid again many times over the same places.
func known(way func(r3.Vector) float64) func(r3.Vector) float64 {
	was := map[r3.Vector]float64{}
	return func(to r3.Vector) float64 {
		d, ok := was[to]
		if !ok {
			d = way(to)
			was[to] = d
		}
		return d
	}
}

// around returns the welds in the cells about a weld that share a sheet with it, in a fixed order.
func (f *field) around(a ref) []ref {
	k := f.key(f.weld(a).Position)
	var out []ref
	for x := k[0] - 1; x <= k[0]+1; x++ {
		for y := k[1] - 1; y <= k[1]+1; y++ {
			for z := k[2] - 1; z <= k[2]+1; z++ {
				for _, b := range f.cells[[3]int32{x, y, z}] {
					if b != a && f.share(a.line, b.line) {
						out = append(out, b)
					}
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b ref) int { return cmp.Or(a.line-b.line, a.weld-b.weld) })
	return out
}

// apart reports whether two welds of one line are to be measured in space: they are not neighbours in a row, or
// the line turns by more than CornerTurn between them.
func (f *field) apart(a, b ref) bool {
	left := f.weld(a).Row == 2
	if left != (f.weld(b).Row == 2) {
		return true
	}
	steps, n := 0, 0
	for i, w := range f.layouts[a.line].Welds {
		if (w.Row == 2) != left {
			continue
		}
		n++
		if i > a.weld && i <= b.weld {
			steps++
		}
	}
	if f.requests[a.line].Line.Closed {
		steps = min(steps, n-steps)
	}
	return steps > 1 || f.weld(a).Along.Dot(f.weld(b).Along) < math.Cos(spots.CornerTurn*math.Pi/180)
}

// resolve goes through all conflicts between lines once, worst first, and reports whether any line moved.
func (f *field) resolve() bool {
	var all []conflict
	for i := range f.layouts {
		if f.ctx.Err() != nil {
			return false
		}
		for _, c := range f.conflicts(i) {
			if c.a.line < c.b.line {
				all = append(all, c)
			}
		}
	}
	slices.SortStableFunc(all, func(x, y conflict) int { return cmp.Compare(x.distance/x.limit, y.distance/y.limit) })
	start := f.moves
	for _, c := range all {
		if f.ctx.Err() != nil {
			return false
		}
		if f.moved[c.a.line] <= start && f.moved[c.b.line] <= start { // else its welds are others by now; the next round looks again
			f.settle(c)
		}
	}
	return f.moves > start
}

// settle tries to end one conflict.
func (f *field) settle(c conflict) {
	a, b := c.a.line, c.b.line
	layoutA, okA := f.again(a)
	layoutB, okB := f.again(b)
	switch {
	case okA && (!okB || f.strain(a, layoutA) <= f.strain(b, layoutB)):
		f.replace(a, layoutA)
	case okB:
		f.replace(b, layoutB)
	default:
		f.both(c)
	}
}

// strain is how much unevener a line gets.
func (f *field) strain(line int, to spots.Layout) float64 {
	was := f.layouts[line]
	return (to.Pitch.Greatest-to.Pitch.Least)/to.Wanted - (was.Pitch.Greatest-was.Pitch.Least)/was.Wanted
}

// both moves the two lines away from a place between their two welds: the middle, else one nearer to either.
func (f *field) both(c conflict) {
	a, b := c.a.line, c.b.line
	if at, ok := f.failed[[2]ref{c.a, c.b}]; ok && f.still(a, at) && f.still(b, at) {
		return
	}
	before := len(f.conflicts(a)) + len(f.conflicts(b))
	oldA, oldB := f.layouts[a], f.layouts[b]
	p, q := f.weld(c.a).Position, f.weld(c.b).Position
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8} { // of the way, that the second line gives
		between := p.Add(q.Sub(p).Mul(1 - share))
		newA := f.relaid(a, []spots.Nearby{{ID: "weld nearby", At: between, Distance: c.limit * (1 - share)}})
		newB := f.relaid(b, []spots.Nearby{{ID: "weld nearby", At: between, Distance: c.limit * share}})
		if !noWorse(oldA, newA) || !noWorse(oldB, newB) {
			continue
		}
		if f.accept(a, b, newA, newB, before) {
			return
		}
	}
	if !f.yield(a, b, p, c.limit, before) && !f.yield(b, a, q, c.limit, before) {
		f.failed[[2]ref{c.a, c.b}] = f.moves
	}
}

// accept moves two lines for good where that leaves fewer conflicts than there were before.
func (f *field) accept(a, b int, newA, newB spots.Layout, before int) bool {
	oldA, oldB := f.layouts[a], f.layouts[b]
	f.swap(a, newA)
	f.swap(b, newB)
	after := len(f.conflicts(a)) + len(f.conflicts(b))
	f.swap(a, oldA)
	f.swap(b, oldB)
	if after >= before {
		return false
	}
	f.replace(a, newA)
	f.replace(b, newB)
	return true
}

// halvings is how finely yield finds how far a line can give way.
const halvings = 8

// yield lets line b give way to a weld of line a as far as its own limits let it, and then lays a clear of that and of all others.
func (f *field) yield(a, b int, weld r3.Vector, limit float64, before int) bool {
	oldA, oldB := f.layouts[a], f.layouts[b]
	newB, low, high := oldB, limit/2, 1.5*limit
	for range halvings {
		middle := (low + high) / 2
		keep := append(f.othersBut(b, a), spots.Nearby{ID: "weld nearby", At: weld, Distance: middle})
		if l := f.relaid(b, keep); noWorse(oldB, l) {
			newB, low = l, middle
		} else {
			high = middle
		}
	}
	f.swap(b, newB)
	newA := f.relaid(a, f.others(a))
	f.swap(b, oldB)
	return noWorse(oldA, newA) && f.accept(a, b, newA, newB, before)
}

// again lays a line clear of all welds of the lines that it shares a sheet with, and reports whether that
// is better than what it has. As long as none of these lines moves, neither does the answer.
func (f *field) again(line int) (spots.Layout, bool) {
	last := f.tries[line]
	if last.at < 0 || !f.still(line, last.at) {
		before, was := len(f.conflicts(line)), f.layouts[line]
		last = attempt{at: f.moves, layout: f.relaid(line, f.others(line))}
		if noWorse(was, last.layout) {
			f.swap(line, last.layout)
			last.better = len(f.conflicts(line)) < before
			f.swap(line, was)
		}
		f.tries[line] = last
	}
	return last.layout, last.better
}

func (f *field) relaid(line int, keep []spots.Nearby) spots.Layout {
	return spots.LayClear(f.requests[line], keep, len(f.layouts[line].Welds))
}

// others are the welds of other lines that a line must keep clear of.
func (f *field) others(line int) []spots.Nearby { return f.othersBut(line, line) }

// othersBut leaves out one of the other lines.
func (f *field) othersBut(line, but int) []spots.Nearby {
	var out []spots.Nearby
	for _, i := range f.besides[line] {
		limit := f.limit(i, line)
		near := f.boxes[line].Grow(limit + f.cell)
		if i == but {
			continue
		}
		for _, w := range f.layouts[i].Welds {
			if near.Distance2(w.Position) == 0 {
				b := spots.Nearby{ID: "weld on " + f.requests[i].Line.ID, At: w.Position, Distance: limit}
				if f.way != nil {
					b.Far = f.measure(i, line, w.Position, limit)
				}
				out = append(out, b)
			}
		}
	}
	return out
}

// replace moves a line for good, swap for a look.
func (f *field) replace(line int, l spots.Layout) {
	f.moves++
	f.moved[line] = f.moves
	f.swap(line, l)
}

func (f *field) swap(line int, l spots.Layout) {
	f.leave(line)
	f.layouts[line] = l
	f.enter(line)
}

// noWorse reports whether a line laid again has as many welds as before and no more broken limits.
func noWorse(was, now spots.Layout) bool {
	if len(now.Welds) < len(was.Welds) {
		return false
	}
	for _, kind := range []spots.Kind{spots.Short, spots.Blocked, spots.EndOpen, spots.PitchAbove, spots.CountShort, spots.LoadWish,
		spots.FewTacks, spots.TackGap, spots.Narrow} {
		if count(now, kind) > count(was, kind) {
			return false
		}
	}
	return true
}

// count adds up the problems of a kind; of the narrow stretches, the welds within.
func count(l spots.Layout, kind spots.Kind) int {
	n := 0
	for _, p := range l.Problems {
		if p.Kind != kind {
			continue
		}
		if kind == spots.Narrow {
			n += p.Welds
		} else {
			n++
		}
	}
	return n
}

func (f *field) problem(c conflict) spots.Problem {
	a, b := f.weld(c.a), f.weld(c.b)
	return spots.Problem{Kind: spots.TooNear, Line: f.requests[c.a.line].Line.ID, From: a.S, To: a.S, Value: c.distance, Limit: c.limit,
		At: a.Position, Other: f.requests[c.b.line].Line.ID, OtherS: b.S}
}
