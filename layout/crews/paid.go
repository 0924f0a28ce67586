package crews

import (
	"cmp"
	"container/heap"
	"context"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// Paid is what the works pays for while a batch is made: people, of whom there may be fewer than the jigs have places, go as whole
// crews to whatever jig can take its next shell, and stay until it is out. Of the jigs that could begin the one with the earliest
// shell goes first, or the one with most work behind it, whichever rule ends the batch sooner. Without people stated each jig has
// its own crew, which stands by while the jig waits. Preparation and changeover come first at each jig, by its crew.
//
// Each shell takes its own times, as in Flow. The figures need p.Labour, p.Flow and the stations' schedules.
//
// Errors: a crew greater than the people, those of Flow, and the context's.
func Paid(ctx context.Context, p *layout.Plan, sh *shell.Shell) (layout.Paid, error) {
	minutes, ready, err := times(p)
	if err != nil {
		return layout.Paid{}, fmt.Errorf("paid time: %w", err)
	}
	out := layout.Paid{People: sh.People, Shifts: max(1, sh.Shifts)}
	l := crewLine{batch: sh.Batch, ready: ready, each: ownTimes(p, minutes)}
	l.order, l.feeders = byFeeding(p.Stations)
	for i, c := range crews(p) {
		l.crew = append(l.crew, int(c))
		out.Places += int(c)
		if sh.People > 0 && l.crew[i] > sh.People {
			return out, fmt.Errorf("paid time: people is %d, but the crew of station %s is %d: raise people, or lower its crew", sh.People,
				p.Stations[i].ID, l.crew[i])
		}
	}
	there := cmp.Or(sh.People, out.Places)
	if out.Minutes, err = l.shortest(ctx, there); err != nil {
		return out, err
	}
	jigs := l.busy()
	for i, at := range jigs {
		out.AtJigs += float64(at * float64(l.crew[i]))
		s := p.Stations[i]
		out.Jigs = append(out.Jigs, layout.InUse{Station: s.ID, ID: s.ID, Count: 1, Minutes: at, Share: share(at, out.Minutes)})
	}
	byPeople := out.AtJigs / float64(there)
	out.Bound, out.Limit = p.Flow.MakespanPrepared, p.Flow.Bottleneck
	if byPeople > out.Bound {
		out.Bound, out.Limit = byPeople, "people"
	}
	out.Minutes = math.Max(out.Minutes, out.Bound) // equal but for rounding, or longer
	out.Worked = p.Labour.ManMinutesPerShell*float64(sh.Batch) + p.Labour.PrepareMinutes + p.Labour.ChangeMinutes
	out.Paid = out.Minutes * float64(there)
	if h := sh.Rates.HoursPerWeek * float64(out.Shifts); h > 0 {
		out.Weeks = out.Minutes / 60 / h
	}
	out.StandBy = math.Max(0, out.Paid-out.Worked) / float64(sh.Batch) * sh.Rates.Labour / 60 * (1 + sh.Rates.Overhead/100)
	out.Guns = inHand(p, sh.Batch, out.Minutes)
	return out, nil
}

func share(part, whole float64) float64 {
	if whole > 0 {
		return part / whole
	}
	return 0
}

// inHand is how long guns and rollers are in somebody's hands: the man-minutes at runs, and those at roller seams.
func inHand(p *layout.Plan, batch int, minutes float64) []layout.InUse {
	var out []layout.InUse
	add := func(station layout.Station, id string, count int, min float64) {
		k := slices.IndexFunc(out, func(u layout.InUse) bool { return u.Station == station.ID && u.ID == id })
		if k < 0 {
			k = len(out)
			out = append(out, layout.InUse{Station: station.ID, ID: id, Count: count})
		}
		out[k].Minutes += min * float64(batch)
	}
	for i, s := range p.Stations {
		for _, r := range p.Runs {
			if r.Station == s.ID && r.Gun != "" {
				add(s, r.Gun, s.GunCount(r.Gun), r.Minutes)
			}
		}
		length := 0.0
		for _, r := range p.Seams {
			if r.Station == s.ID {
				length += r.Length
			}
		}
		for _, r := range p.Seams {
			if r.Station == s.ID && length > 0 {
				add(s, r.Roller, 1, p.Labour.Stations[i].Roll*r.Length/length)
			}
		}
	}
	for k := range out {
		out[k].Share = share(out[k].Minutes, minutes*float64(out[k].Count))
	}
	return out
}

// crewLine is the line as crews go through it.
type crewLine struct {
	batch   int
	crew    []int
	ready   []float64 // minutes of preparation and changeover by the whole crew
	each    func(i, n int) float64
	order   []int
	feeders [][]int
}

// busy is how long each jig has its crew for the batch.
func (l *crewLine) busy() []float64 {
	out := slices.Clone(l.ready)
	for i := range out {
		for n := 1; n <= l.batch; n++ {
			out[i] += l.each(i, n)
		}
	}
	return out
}

// shortest is the sooner end of the batch by either rule.
func (l *crewLine) shortest(ctx context.Context, people int) (float64, error) {
	behind := make([]float64, len(l.crew)) // work of one shell from a station on
	for k := len(l.order) - 1; k >= 0; k-- {
		i := l.order[k]
		behind[i] += l.each(i, 1)
		for _, f := range l.feeders[i] {
			behind[f] = behind[i]
		}
	}
	earliest := func(a, b turn) int {
		return cmp.Or(cmp.Compare(a.shell, b.shell), cmp.Compare(behind[b.jig], behind[a.jig]), cmp.Compare(a.jig, b.jig))
	}
	longest := func(a, b turn) int {
		left := func(t turn) float64 { return behind[t.jig] + float64(float64(l.batch-t.shell)*l.each(t.jig, 1)) }
		return cmp.Or(cmp.Compare(left(b), left(a)), cmp.Compare(a.jig, b.jig))
	}
	best := math.Inf(1)
	for _, rule := range []func(a, b turn) int{earliest, longest} {
		end, err := l.play(ctx, people, rule)
		if err != nil {
			return 0, err
		}
		best = math.Min(best, end)
	}
	return best, nil
}

// turn is a shell's turn at a jig; shell 0 is its preparation.
type turn struct {
	jig, shell int
	end        float64
}

// turns is a heap of what is under way, the first to end on top.
type turns []turn

func (t turns) Len() int { return len(t) }
func (t turns) Less(a, b int) bool {
	return cmp.Or(cmp.Compare(t[a].end, t[b].end), cmp.Compare(t[a].jig, t[b].jig)) < 0
}
func (t turns) Swap(a, b int) { t[a], t[b] = t[b], t[a] }
func (t *turns) Push(x any)   { *t = append(*t, x.(turn)) }
func (t *turns) Pop() any {
	last := (*t)[len(*t)-1]
	*t = (*t)[:len(*t)-1]
	return last
}

// play lets the people go through the batch by a rule and says when it is out.
func (l *crewLine) play(ctx context.Context, people int, rule func(a, b turn) int) (float64, error) {
	next, done, busy := make([]int, len(l.crew)), make([]int, len(l.crew)), make([]bool, len(l.crew))
	for i := range next {
		done[i] = -1 // not even prepared
	}
	now, under := 0.0, turns{}
	for steps := 0; ; steps++ {
		if steps%1024 == 0 && ctx.Err() != nil {
			return 0, context.Cause(ctx)
		}
		var can []turn
		for i := range l.crew {
			waits := func(k int) bool { return next[i] > 0 && done[k] < next[i] }
			if !busy[i] && next[i] <= l.batch && !slices.ContainsFunc(l.feeders[i], waits) {
				can = append(can, turn{jig: i, shell: next[i]})
			}
		}
		slices.SortFunc(can, rule)
		for _, t := range can {
			if l.crew[t.jig] > people {
				continue
			}
			t.end = now + l.ready[t.jig]
			if t.shell > 0 {
				t.end = now + l.each(t.jig, t.shell)
			}
			people -= l.crew[t.jig]
			busy[t.jig] = true
			next[t.jig]++
			heap.Push(&under, t)
		}
		if len(under) == 0 {
			return now, nil
		}
		t, _ := heap.Pop(&under).(turn)
		now, people = t.end, people+l.crew[t.jig]
		busy[t.jig], done[t.jig] = false, t.shell
	}
}
