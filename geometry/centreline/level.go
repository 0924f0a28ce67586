package centreline

import (
	"math"
	"slices"

	"seamwright/geometry/kit"
)

const (
	bridgeWidths = 1.25 // half of the longest notch or tab that a line runs straight past, in widths of the strip
	shallow      = 0.5  // mm: the line follows what is less deep
	// of a side against the line: what falls off less is a change of width, not a notch; nor does the line swerve more
	// sharply
	steep     = 0.45
	atRim     = 0.05 // mm of depth at which a notch begins
	alikeDips = 0.3  // of the larger of a notch and a tab across it by which they differ at most if the line swerves
	atMouth   = 0.2  // mm of depth from which to which it is wide: more than a side bows across a slot
)

// Level takes notches and tabs off a side of a strip of a mean width, whose distances from the line are given at equal steps;
// those that are no number stay so.
func Level(x []float64, closed bool, width, step float64) []float64 {
	c := &Line{Closed: closed, width: width, step: step}
	return c.level(x)
}

// level takes notches and tabs off a side.
func (c *Line) level(x []float64) []float64 {
	half := int(bridgeWidths*c.width/c.step + whole)
	return c.ramp(kit.Negative(c.bridge(kit.Negative(c.bridge(x, half)), half)))
}

// ramp narrows a side before a step in it, so that the line swerves no more sharply than by steep.
func (c *Line) ramp(x []float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range x {
		if out[i] = x[i]; math.IsNaN(x[i]) {
			out[i] = math.Inf(1)
		}
	}
	most, laps := steep*c.step, 1
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

// bridge fills dips that are no longer than twice half (a closing, Serra, Image Analysis and Mathematical Morphology,
// 1982; from memory) if they begin and end steeply.
func (c *Line) bridge(x []float64, half int) []float64 {
	filled := c.widest(x, half, 1)
	filled = c.widest(filled, half, -1)
	out := slices.Clone(x)
	deep := func(i int) bool { return !(filled[i]-x[i] <= atRim) }
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
			c.fillDip(out, x, filled, i, to)
		}
		i = to
	}
	return out
}

// fillDip fills points from to to, counted on round a closed line, if they are a notch.
func (c *Line) fillDip(out, x, filled []float64, from, to int) {
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
		depth, fall, rise = max(depth, filled[(i+n)%n]-a), max(fall, (a-b)/c.step), max(rise, (b-a)/c.step)
	}
	if depth < shallow || fall < steep || rise < steep {
		return
	}
	for i := from; i < to; i++ {
		out[i%n] = filled[i%n]
	}
}

// widest is the greatest (the least, for a sign of -1) of the known values within half points of each: those that may still be the
// greatest wait in a queue, falling, so that each comes and goes once (the monotonic queue; from memory).
func (c *Line) widest(x []float64, half int, sign float64) []float64 {
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
