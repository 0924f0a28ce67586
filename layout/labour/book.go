package labour

import (
	"fmt"
	"math"
	"sort"

	"seamwright/layout"
)

// ticks counts time in steps of 0.006 s, which are 0.0001 min: exact as decimals in both units.
type ticks int64

// coins counts money in steps of 0.0001 of the currency.
type coins int64

func (t ticks) seconds() float64 { return float64(t*6) / 1000 }
func (t ticks) minutes() float64 { return float64(t) / 10000 }
func (c coins) money() float64   { return float64(c) / 10000 }

// place is where a piece of work or money belongs: a station, and one of its joints or -1 for the whole station.
type place struct {
	station, joint int
	kind           Kind
}

// line is one line of work or money before it is posted.
type line struct {
	kind           layout.LabourKind
	tools          layout.Tools
	what, element  string
	quantity, each float64
	unit, from     string
}

func (p line) amount() float64 { return float64(p.quantity * p.each) }

// sums are what was posted to one station or joint.
type sums struct {
	time  [kinds]ticks
	money coins
	welds int
	rolls int64 // micrometres of roller seam
}

func (a sums) ticks() ticks {
	var sum ticks
	for _, t := range a.time {
		sum += t
	}
	return sum
}

func (a *sums) add(b sums) {
	for k := range a.time {
		a.time[k] += b.time[k]
	}
	a.money += b.money
	a.welds += b.welds
	a.rolls += b.rolls
}

func (a sums) metres() float64 { return float64(a.rolls) / 1e6 }

// book holds what was posted. Its first error stands.
type book struct {
	plan     *layout.Plan
	stations []sums
	joints   []sums
	time     []layout.Line
	money    []layout.Line
	err      error
}

// postTime enters a piece of work, in seconds, and returns what it was rounded to. Nothing is entered for no work.
func (b *book) postTime(at place, p line) ticks {
	t := ticks(b.steps(p, 0.006))
	if t == 0 && (p.quantity == 0 || p.each == 0) {
		return 0
	}
	b.stations[at.station].time[at.kind] += t
	if at.joint >= 0 {
		b.joints[at.joint].time[at.kind] += t
	}
	b.time = append(b.time, b.line(at, p, t.seconds()))
	return t
}

// postMoney enters an amount of money.
func (b *book) postMoney(at place, p line) coins {
	c := coins(b.steps(p, 0.0001))
	if c == 0 && (p.quantity == 0 || p.each == 0) {
		return 0
	}
	b.stations[at.station].money += c
	if at.joint >= 0 {
		b.joints[at.joint].money += c
	}
	b.money = append(b.money, b.line(at, p, c.money()))
	return c
}

// steps rounds the amount of a line to whole steps. What cannot be counted exactly is an error.
func (b *book) steps(p line, step float64) int64 {
	n := layout.Whole(p.amount() / step)
	if math.Abs(n) < 1e14 { // leaves room for ten thousand such lines in 2^63, and false for what is not a number
		return int64(n)
	}
	if b.err == nil {
		b.err = fmt.Errorf("%s: %v %s at %v each is too much to count: check the inputs (%s)", p.what, p.quantity, p.unit, p.each, p.from)
	}
	return 0
}

func (b *book) line(at place, p line, total float64) layout.Line {
	l := layout.Line{
		Kind:     p.kind,
		Gun:      p.tools.Gun,
		Roller:   p.tools.Roller,
		Tip:      p.tools.Tip,
		Setting:  p.tools.Setting,
		What:     p.what,
		Station:  b.plan.Stations[at.station].ID,
		Element:  p.element,
		Quantity: p.quantity,
		Unit:     p.unit,
		Each:     p.each,
		Total:    total,
		From:     p.from,
	}
	if at.joint >= 0 {
		l.Joint = b.plan.Joints[at.joint].ID
	}
	return l
}

// share splits a whole by weights so that the parts add up to it: each gets its part rounded down, and the steps
// left over go to the largest remainders, the first of equals.
func share(whole ticks, weights []float64) []ticks {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	parts := make([]ticks, len(weights))
	if sum <= 0 || whole <= 0 {
		return parts
	}
	rest := whole
	remainders := make([]float64, len(weights))
	for i, w := range weights {
		exact := float64(whole) * (w / sum)
		parts[i] = ticks(math.Floor(exact))
		remainders[i] = exact - math.Floor(exact)
		rest -= parts[i]
	}
	byRemainder := make([]int, len(weights))
	for i := range byRemainder {
		byRemainder[i] = i
	}
	sort.SliceStable(byRemainder, func(i, j int) bool { return remainders[byRemainder[i]] > remainders[byRemainder[j]] })
	for i := 0; rest > 0; i++ {
		parts[byRemainder[i%len(parts)]]++
		rest--
	}
	return parts
}
