// Package dip tells notches and tabs in a side of a strip, given as distances from a line at equal steps, from the strip's own widening
// and narrowing, and fills the one and takes off the other, so that a line in the middle runs straight past them.
//
//	   notch           tab
//	---.   .---------.      .-----    distances: a dip that begins and ends steeply, and is short for the strip's width,
//	   |___|          \____/         is filled; a tab is a dip of the distances with their sign turned
//	- - - - - - - - - - - - - - - -   the line
//
// What falls off gently stays, for there the strip is narrower. Distances that are not a number are not known: nothing ends there.
package dip

import (
	"math"
	"slices"

	"seamwright/geometry/kit"
)

const (
	widths  = 1.25 // half of the longest notch or tab that a line runs straight past, in widths of the strip
	steep   = 0.45 // of a side against the line: what falls off less may be a corner; nor does the line swerve more sharply
	falls   = 0.3  // likewise, where the strip is narrower for it: what falls off less is a change of width
	alike   = 0.3  // of the larger of a notch and a tab across it by which they differ at most if the line swerves
	whole   = 1e-3 // of a step: a length that is so little short of a number of steps is that number
	Shallow = 0.5  // mm: what is less deep is no notch
	Rim     = 0.05 // mm of depth at which a notch begins
)

// Side is what is known of a side beside its distances.
type Side struct {
	Closed bool    // it comes back to its start
	Width  float64 // mm, of the strip, roughly
	Step   float64 // mm from one distance to the next
}

// Half is half of the longest notch, in steps.
func (c Side) Half() int { return int(widths*c.Width/c.Step + whole) }

// Level takes notches and tabs off a side. Before a step that is left in it the side narrows, so that the line swerves gently. What
// is not a number stays so. Across are the distances of the other side, by which shallow notches are told from corners; nil: not known.
func (c Side) Level(x, across []float64) []float64 {
	return c.ramp(kit.Negative(c.Bridge(kit.Negative(c.Bridge(x, across)), nil)))
}

// Swerves says whether a side is nearer by as much as the one across is farther away: then it is the line that is not
// where it should be.
func Swerves(more, across float64) bool {
	return math.Abs(more+across) < float64(alike*math.Max(math.Abs(more), math.Abs(across)))
}

// Straighten lets a side run straight past a notch from distance from to before distance to, in a strip that tapers as well.
func Straighten(would, is []float64, from, to int) {
	if from == 0 || to == len(is) || math.IsNaN(is[from-1]) || math.IsNaN(is[to]) {
		return
	}
	for i := from; i < to; i++ {
		part := float64(i-from+1) / float64(to-from+1)
		would[i] = max(would[i], float64(is[from-1]*(1-part))+float64(is[to]*part))
	}
}

// ramp narrows a side before a step in it, so that the line swerves no more sharply than by steep.
func (c Side) ramp(x []float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range x {
		if out[i] = x[i]; math.IsNaN(x[i]) {
			out[i] = math.Inf(1)
		}
	}
	most, laps := steep*c.Step, 1
	if c.Closed {
		laps = 2
	}
	for i := 1; i < laps*n; i++ {
		out[i%n] = min(out[i%n], out[(i-1)%n]+most)
	}
	for i := laps*n - 2; i >= 0; i-- {
		out[i%n] = min(out[i%n], out[(i+1)%n]+most)
	}
	for i := range x {
		if math.IsNaN(x[i]) {
			out[i] = x[i]
		}
	}
	return out
}

// Bridge fills dips that are no longer than twice Half (a closing, Serra, Image Analysis and Mathematical Morphology,
// 1982; from memory) if they begin and end steeply. Across as for Level.
func (c Side) Bridge(x, across []float64) []float64 {
	half := c.Half()
	filled := c.widest(x, half, 1)
	filled = c.widest(filled, half, -1)
	out := slices.Clone(x)
	deep := func(i int) bool { return !(filled[i]-x[i] <= Rim) }
	n := len(x)
	start := 0
	for c.Closed && start < n && deep(start) {
		start++
	}
	for i := start; i < start+n; i++ {
		if !deep(i % n) {
			continue
		}
		to := i
		for to < start+n && deep(to%n) {
			to++
		}
		if c.Closed && start < n || i > 0 && to < n {
			c.fillDip(out, x, filled, across, i, to)
		}
		i = to
	}
	return out
}

// fillDip fills points from to to, counted on round a closed line, if they are a notch.
func (c Side) fillDip(out, x, filled, across []float64, from, to int) {
	n := len(x)
	depth, fall, rise := 0.0, 0.0, 0.0
	for i := from - 1; i < to; i++ {
		a, b := x[(i+n)%n], x[(i+1)%n]
		if math.IsNaN(filled[(i+n)%n]) || math.IsInf(filled[(i+n)%n], 0) {
			return
		}
		if math.IsNaN(a) || math.IsNaN(b) {
			depth, fall, rise = math.Inf(1), max(fall, float64(kit.CountIf(math.IsNaN(b)))), max(rise, float64(kit.CountIf(math.IsNaN(a))))
			continue
		}
		depth, fall, rise = max(depth, filled[(i+n)%n]-a), max(fall, (a-b)/c.Step), max(rise, (b-a)/c.Step)
	}
	if depth < Shallow || min(fall, rise) < falls || min(fall, rise) < steep && !isNarrower(x, filled, across, from, to) {
		return
	}
	for i := from; i < to; i++ {
		out[i%n] = filled[i%n]
	}
}

// isNarrower says whether the strip is narrower in a dip, rather than that the other side is as much farther away as at a corner.
func isNarrower(x, filled, across []float64, from, to int) bool {
	if across == nil {
		return false
	}
	n, deepest := len(x), from%len(x)
	for i := from; i < to; i++ {
		if filled[i%n]-x[i%n] > filled[deepest]-x[deepest] {
			deepest = i % n
		}
	}
	usual := (across[(from-1+n)%n] + across[to%n]) / 2
	return across[deepest]-usual <= (filled[deepest]-x[deepest])/8
}

// widest is the greatest (the least, for a sign of -1) of the known values within half points of each: those that may still be the
// greatest wait in a queue, falling, so that each comes and goes once (the monotonic queue; from memory).
func (c Side) widest(x []float64, half int, sign float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	next, end := 0, n-1
	if c.Closed {
		next, end = -half, n-1+half
	}
	type waiting struct {
		at    int
		value float64
	}
	queue, first := make([]waiting, 0, n+2*half), 0
	for i := range x {
		for ; next <= min(i+half, end); next++ {
			v := sign * x[((next%n)+n)%n]
			if math.IsNaN(v) {
				continue
			}
			for len(queue) > first && queue[len(queue)-1].value < v {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, waiting{next, v})
		}
		for first < len(queue) && queue[first].at < i-half {
			first++
		}
		best := math.Inf(-1)
		if first < len(queue) {
			best = queue[first].value
		}
		out[i] = sign * best
	}
	return out
}
