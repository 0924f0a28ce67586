package crews

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/balance"
	"seamwright/seams/shell"
)

// Post is one place of a line: a crew with its duties.
type Post struct {
	Name       string             `json:"station" about:"name of the station"`
	Crew       int                `json:"crew" about:"people at it"`
	ManMinutes float64            `json:"man_minutes" about:"a shell, averaged over the batch"`
	Minutes    float64            `json:"minutes" about:"elapsed a shell"`
	Load       float64            `json:"load" about:"its minutes over the longest station's"`
	Jigs       []string           `json:"jigs" about:"ids of the plan's stations whose jigs stand here"`
	Duties     []string           `json:"duties" about:"in an order in which they can be done; as stated: none are listed"`
	byJig      map[string]float64 // man-minutes
}

// Line is the work shared out over stations.
type Line struct {
	How    string      `json:"how" about:"stated, or balanced"`
	Wanted float64     `json:"takt_wanted" about:"minutes; 0: none"`
	Takt   float64     `json:"takt_minutes" about:"of the longest station"`
	Proven bool        `json:"proven" about:"balanced, and nothing better exists"`
	Bound  float64     `json:"bound" about:"balanced: no line has fewer stations, or a shorter takt in minutes"`
	Posts  []Post      `json:"stations" about:"in the order of work"`
	Flow   layout.Flow `json:"flow" about:"of the batch"`
	Moved  float64     `json:"takt_with_moving" about:"takt with the time to move what split jigs hold, each the cheaper way" unit:"min"`
	Notes  []string    `json:"notes" about:"what the figures leave open"`
	Jigs   []SplitJig  `json:"split_jigs" about:"jigs whose work is spread over several stations"`
	next   []int       // where each post's products go, -1: out
}

// SplitJig is a jig whose work is spread over several stations: it travels with the work, or is made again for each.
type SplitJig struct {
	Jig      string   `json:"jig" about:"id of the plan's station whose jig it is"`
	Stations []string `json:"stations" about:"names of the stations"`
	Clamped  bool     `json:"clamped" about:"it has clamps or dowels, and so holds what is not welded yet"`
	Minutes  float64  `json:"prepare_minutes" about:"more man-minutes of preparation for a batch, if it is made again" unit:"min"`
	Hours    float64  `json:"making_hours" about:"man-hours to make it again, for each station more; 0: no clamps or dowels" unit:"h"`
	Cost     float64  `json:"cost_per_shell" about:"of that preparation and making, over the batch, overhead included" unit:"money"`

	Handling   float64 `json:"handling_minutes" about:"if made again, man-minutes a shell to lift over and clamp what it holds" unit:"min"`
	AgainCost  float64 `json:"again_cost_per_shell" about:"if it is made again: cost_per_shell and that handling" unit:"money"`
	Going      int     `json:"travelling_jigs" about:"if they travel, how many go round: one at each station from first to last"`
	Moving     float64 `json:"moving_minutes" about:"man-minutes a shell to roll them on and back, if they travel" unit:"min"`
	TravelCost float64 `json:"travel_cost_per_shell" about:"if they travel: preparing and making those that go round, and moving" unit:"money"`
}

// travels says whether travelling is cheaper than making the jig again.
func (s SplitJig) travels() bool { return s.Clamped && s.TravelCost < s.AgainCost }

// Want says how work is shared out.
type Want struct {
	Takt     float64 // minutes: over as few stations as will do; or
	Stations int     // so many: in as short a takt as will do
	Crew     int     // people at each station; 0: 1, or with KeepJigs as stated
	KeepJigs bool    // a jig's work stays together
	Effort   int64   // of the search; 0: balance.DefaultEffort
}

// Stated is the line as the shell file has it, one post for each station of the plan. The plan's labour and flow must
// be known.
func Stated(p *layout.Plan, sh *shell.Shell) (Line, error) {
	f, err := Flow(p, sh.Batch, sh.WeekHours())
	if err != nil {
		return Line{}, err
	}
	l := Line{How: "stated", Takt: f.BottleneckMinutes, Moved: f.BottleneckMinutes, Flow: f, next: users(p.Stations)}
	for i, s := range p.Stations {
		work := p.Labour.Stations[slices.IndexFunc(p.Labour.Stations, func(w layout.StationLabour) bool { return w.Station == s.ID })]
		l.Posts = append(l.Posts, Post{
			Name: s.ID, Crew: work.Crew, ManMinutes: work.ManMinutes, Minutes: work.Minutes, Load: f.Stations[i].Load, Jigs: []string{s.ID},
			byJig: map[string]float64{s.ID: work.ManMinutes},
		})
	}
	return l, nil
}

// Balance shares the plan's work out over a line of stations with crews of one size. Joints may move to any station at
// which what they wait for has been done (see Duties), so that a jig's work may be spread over several stations, as few
// as the search finds;
// with KeepJigs each jig's work stays together. A duty takes its share of its jig's schedule with that crew: what people wait for
// each other there is laid on all its duties in proportion. Times are counted in tenths of a second.
//
// Errors: neither a takt nor a number of stations, or both; a duty longer than the takt, naming it; those of Duties,
// Flow and balance.
func Balance(ctx context.Context, p *layout.Plan, sh *shell.Shell, want Want) (Line, error) {
	switch {
	case want.Takt < 0 || math.IsNaN(want.Takt) || math.IsInf(want.Takt, 0) || want.Stations < 0 || want.Crew < 0:
		return Line{}, errors.New("balance: takt, stations and crew must be 0 or more")
	case (want.Takt > 0) == (want.Stations > 0):
		return Line{}, errors.New("balance: give either a takt or a number of stations")
	}
	duties, err := Duties(ctx, p, sh)
	if err != nil {
		return Line{}, err
	}
	if want.KeepJigs {
		duties = together(p, duties)
	}
	crew := func(d Duty) int { return max(1, want.Crew) }
	if want.KeepJigs && want.Crew == 0 {
		crew = func(d Duty) int { return statedCrew(p, d.Jig) }
	}
	wait, err := waiting(ctx, p, func(jig string) int { return crew(Duty{Jig: jig}) })
	if err != nil {
		return Line{}, err
	}
	elapsed := func(d Duty) float64 { return d.ManMinutes / float64(crew(d)) * wait[d.Jig] }
	tasks := make([]balance.Task, len(duties))
	for i, d := range duties {
		tasks[i] = balance.Task{ID: fmt.Sprintf("%s (%s)", d.Text, d.Jig), Time: tenths(elapsed(d)), After: d.After}
	}
	r, err := solve(ctx, tasks, want)
	if err != nil {
		return Line{}, err
	}
	r = balance.Gather(tasks, jigs(p, duties), r)
	return lineOf(p, sh, duties, r, want, crew, elapsed)
}

// waiting is by jig how much longer its schedule takes than its man-minutes over the crew. A plan without steps has no schedule.
func waiting(ctx context.Context, p *layout.Plan, crew func(jig string) int) (map[string]float64, error) {
	other := *p
	other.Stations = slices.Clone(p.Stations)
	out := map[string]float64{}
	for i := range other.Stations {
		s := &other.Stations[i]
		s.Crew, out[s.ID] = crew(s.ID), 1
		work := manMinutes(p, s.ID)
		if len(s.Steps) == 0 || !(work > 0) {
			continue
		}
		c, err := Crew(ctx, &other, i)
		if err != nil {
			return nil, err
		}
		out[s.ID] = c.Minutes * float64(s.Crew) / work
	}
	return out, nil
}

// jigs numbers the jig of each duty.
func jigs(p *layout.Plan, duties []Duty) []int {
	out := make([]int, len(duties))
	for i, d := range duties {
		out[i] = slices.IndexFunc(p.Stations, func(s layout.Station) bool { return s.ID == d.Jig })
	}
	return out
}

// tenths is minutes in tenths of a second.
func tenths(minutes float64) int64 { return int64(math.Round(minutes * 600)) }

func solve(ctx context.Context, tasks []balance.Task, want Want) (balance.Result, error) {
	opt := balance.Options{Effort: want.Effort}
	if want.Stations > 0 {
		return balance.LeastTakt(ctx, tasks, want.Stations, opt)
	}
	r, err := balance.FewestStations(ctx, tasks, int64(math.Floor(want.Takt*600)), opt)
	if errors.Is(err, balance.ErrTooLong) {
		i := longest(tasks)
		remedy := "lengthen the takt or give each station a larger crew"
		if want.KeepJigs {
			remedy = "lengthen the takt, give the station a larger crew, or let a jig's work be spread over stations (--keep-jigs=false)"
		}
		return r, fmt.Errorf("balance: %s takes %.1f min and cannot be split: the takt of %.1f min is too short for it; %s", tasks[i].ID,
			float64(tasks[i].Time)/600, want.Takt, remedy)
	}
	return r, err
}

func longest(tasks []balance.Task) int {
	at := 0
	for i := range tasks {
		if tasks[i].Time > tasks[at].Time {
			at = i
		}
	}
	return at
}

func statedCrew(p *layout.Plan, station string) int {
	for _, s := range p.Stations {
		if s.ID == station {
			return max(1, s.Crew)
		}
	}
	return 1
}

// together makes one duty of all that is done in a jig.
func together(p *layout.Plan, duties []Duty) []Duty {
	number := map[string]int{}
	var out []Duty
	for _, s := range p.Stations {
		number[s.ID] = len(out)
		out = append(out, Duty{Text: "all work", Jig: s.ID})
	}
	for _, d := range duties {
		own := &out[number[d.Jig]]
		own.ManMinutes += d.ManMinutes
		for _, b := range d.After {
			if before := number[duties[b].Jig]; before != number[d.Jig] && !slices.Contains(own.After, before) {
				own.After = append(own.After, before)
			}
		}
	}
	return out
}

// lineOf words what the search found and lets the batch flow through it.
func lineOf(p *layout.Plan, sh *shell.Shell, duties []Duty, r balance.Result, want Want, crew func(Duty) int,
	elapsed func(Duty) float64) (Line, error) {
	l := Line{How: "balanced", Wanted: want.Takt, Proven: r.Proven, Bound: float64(r.Bound)}
	if want.Stations > 0 {
		l.Bound /= 600
	}
	var flow layout.Plan
	for k, station := range r.Stations {
		post := Post{Name: fmt.Sprint(k + 1), Crew: 1, byJig: map[string]float64{}}
		for _, i := range station {
			d := duties[i]
			post.Crew = max(post.Crew, crew(d))
			post.Minutes += elapsed(d)
			post.ManMinutes += d.ManMinutes
			post.byJig[d.Jig] += d.ManMinutes
			post.Duties = append(post.Duties, d.Jig+": "+d.Text)
			if !slices.Contains(post.Jigs, d.Jig) {
				post.Jigs = append(post.Jigs, d.Jig)
			}
		}
		l.Posts = append(l.Posts, post)
		l.next = append(l.next, k+1)
		flow.Stations = append(flow.Stations, layout.Station{ID: post.Name, Makes: fmt.Sprint("to ", k+2),
			Arrives: []string{fmt.Sprint("to ", k+1)}})
		flow.Labour.Stations = append(flow.Labour.Stations, onceABatch(sh, post))
	}
	if len(l.next) > 0 {
		l.next[len(l.next)-1] = -1
	}
	var err error
	if l.Flow, err = Flow(&flow, sh.Batch, sh.WeekHours()); err != nil {
		return Line{}, err
	}
	l.Takt = l.Flow.BottleneckMinutes
	for k := range l.Posts {
		l.Posts[k].Load = l.Flow.Stations[k].Load
	}
	l.sharedJigs(p, sh)
	l.withMoving()
	return l, nil
}

// onceABatch is a post's labour with the preparation of every jig that stands there.
func onceABatch(sh *shell.Shell, post Post) layout.StationLabour {
	out := layout.StationLabour{Station: post.Name, Crew: post.Crew, ManMinutes: post.ManMinutes, Minutes: post.Minutes}
	for _, jig := range post.Jigs {
		if s, ok := sh.Station(jig); ok {
			out.Prepare += s.Prepare
			out.Change += s.Change
		}
	}
	return out
}

// sharedJigs says which jigs are wanted at several posts at once, and what that costs.
func (l *Line) sharedJigs(p *layout.Plan, sh *shell.Shell) {
	var jigs []string
	posts := map[string][]string{}
	for _, post := range l.Posts {
		for _, j := range post.Jigs {
			if posts[j] == nil {
				jigs = append(jigs, j)
			}
			posts[j] = append(posts[j], post.Name)
		}
	}
	for _, j := range jigs {
		if more := len(posts[j]) - 1; more > 0 {
			l.split(p, sh, SplitJig{Jig: j, Stations: posts[j]}, float64(more))
		}
	}
}

func (l *Line) split(p *layout.Plan, sh *shell.Shell, s SplitJig, more float64) {
	var jig layout.Station
	if i := slices.IndexFunc(p.Stations, func(x layout.Station) bool { return x.ID == s.Jig }); i >= 0 {
		jig = p.Stations[i]
	}
	s.Clamped = len(jig.Clamps)+len(jig.Dowels) > 0
	s.Hours = more * jig.JigHours
	if stated, ok := sh.Station(s.Jig); ok {
		s.Minutes = more * stated.Prepare
	}
	c := newJigCost(sh)
	preparing, making := c.jigWork(s.Minutes/60)/c.batch, c.jigWork(s.Hours)
	s.Cost = preparing + making/c.batch
	s.AgainCost = s.Cost
	if s.Clamped {
		s.Handling = more * liftedOver(p, sh, jig)
		s.AgainCost += c.labour(s.Handling)
		s.Going = l.between(s.Stations)
		s.Moving = float64(s.Going) * jig.JigMove
		s.TravelCost = float64(float64(s.Going-1)*s.Cost/more) + c.labour(s.Moving)
	}
	l.Jigs = append(l.Jigs, s)
	text := fmt.Sprintf("jig of %s: its work is spread over stations %s", s.Jig, strings.Join(s.Stations, ", "))
	if s.Clamped {
		text += ", and it holds what is not welded yet: it travels with the work, or is made again for each"
	} else {
		text += ": each needs one"
	}
	money := sh.Rates.Currency
	text += fmt.Sprintf("; made again, preparing it costs %.0f man-minutes a batch more, %.2f %s a shell", s.Minutes, preparing, money)
	if s.Hours > 0 {
		text += fmt.Sprintf(", and making it %.0f man-hours, %.0f %s: %.2f %s a shell over this batch (rates.jig_base_h and "+
			"rates.jig_fixture_h, by default common practice, no source)", s.Hours,
			making, money, making/c.batch, money)
	}
	if s.Clamped {
		text += fmt.Sprintf("; lifting each shell over and closing the next jig takes %.1f man-minutes, so that it costs %.2f %s a shell in all"+
			"; travelling, %d go round, one at each station from the first to the last, and rolling them on and back takes %.1f man-minutes a "+
			"shell (rates.jig_move_min, by default common practice, no source): %.2f %s a shell in all", s.Handling, s.AgainCost, money, s.Going,
			s.Moving, s.TravelCost, money)
	}
	l.Notes = append(l.Notes, text)
}

// between is how many stations lie from the first to the last of some, both counted.
func (l *Line) between(names []string) int {
	at := func(name string) int { return slices.IndexFunc(l.Posts, func(p Post) bool { return p.Name == name }) }
	return at(names[len(names)-1]) - at(names[0]) + 1
}

// jigCost is what work on jigs costs.
type jigCost struct {
	sh    *shell.Shell
	batch float64
}

func newJigCost(sh *shell.Shell) jigCost { return jigCost{sh, float64(max(1, sh.Batch))} }

// jigWork is the cost of hours of making and preparing jigs, overhead included.
func (c jigCost) jigWork(hours float64) float64 {
	rate := c.sh.Rates.JigWork
	if rate == 0 { // not stated: paid as other labour
		rate = c.sh.Rates.Labour
	}
	return hours * rate * (1 + c.sh.Rates.Overhead/100)
}

// labour is the cost of man-minutes, overhead included.
func (c jigCost) labour(minutes float64) float64 {
	return minutes / 60 * c.sh.Rates.Labour * (1 + c.sh.Rates.Overhead/100)
}

// liftedOver is the man-minutes to lift what a jig holds out, set it in another one like it and close that, allowances included. Practice
// over the batch shortens it as little as this is sure.
func liftedOver(p *layout.Plan, sh *shell.Shell, jig layout.Station) float64 {
	e, a := sh.Elements, sh.Allowances
	mass := 0.0
	for _, panel := range p.Panels {
		if slices.Contains(jig.Present, panel.ID) {
			mass += panel.Mass
		}
	}
	seconds := e.LiftOut + e.LoadPanel + float64(mass*e.LoadPerKg) + float64(float64(len(jig.Dowels))*e.Dowel) +
		float64(float64(len(jig.Clamps))*(e.Clamp+e.Release))
	return seconds / 60 * (1 + (a.Personal+a.Fatigue+a.Posture+a.Contingency)/100)
}

// withMoving works out the takt with the time to move what split jigs hold, at the station that takes it in, and says it.
func (l *Line) withMoving() {
	l.Moved = l.Takt
	for _, post := range l.Posts {
		minutes := post.Minutes
		for _, s := range l.Jigs {
			at := slices.Index(s.Stations, post.Name)
			switch {
			case at < 0 || !s.Clamped:
			case s.travels(): // to the next station, or back
				minutes += s.Moving / float64(s.Going) / float64(post.Crew)
			case at > 0:
				minutes += s.Handling / float64(len(s.Stations)-1) / float64(post.Crew)
			}
		}
		l.Moved = math.Max(l.Moved, minutes)
	}
	if slices.ContainsFunc(l.Jigs, func(s SplitJig) bool { return s.Clamped }) {
		l.Notes = append(l.Notes, fmt.Sprintf("the stations' minutes are without moving what a split jig holds: with it, each the cheaper way, "+
			"the longest takes %.1f min, not %.1f", l.Moved, l.Takt))
	}
}

// byShell is how the time of each post changes from shell to shell with practice, as factors on its average.
func (l *Line) byShell(p *layout.Plan, batch int) [][]float64 {
	out := make([][]float64, len(l.Posts))
	for n := 1; n <= batch; n++ {
		factor := map[string]float64{}
		for i, s := range p.Labour.Stations {
			if factor[s.Station] = 1; s.Minutes > 0 {
				factor[s.Station] = p.ShellMinutes(i, n) / s.Minutes
			}
		}
		for k, post := range l.Posts {
			out[k] = append(out[k], post.weigh(func(jig string) float64 { return factor[jig] }))
		}
	}
	return out
}

// weigh averages a figure of the jigs by the work that a post does in each.
func (p Post) weigh(of func(jig string) float64) float64 {
	sum, all := 0.0, 0.0
	for _, jig := range p.Jigs {
		sum += float64(p.byJig[jig] * of(jig))
		all += p.byJig[jig]
	}
	if all == 0 {
		return 1
	}
	return sum / all
}
