package spots

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout/pitch"
)

// Lay sets out the welds of one line. It fails on input that is no line or no rule; whatever cannot be
// kept is in the layout's problems.
func Lay(r Request) (Layout, error) {
	r, problems, err := r.completed()
	if err != nil {
		return Layout{}, err
	}
	return r.lay(problems, nil), nil
}

// Nearby is a weld of another line.
type Nearby struct {
	ID       string // as it is to be named in problems
	At       r3.Vector
	Distance float64                    // mm that the line's own welds keep from it
	Far      func(to r3.Vector) float64 // how far a place is from it, mm, where that is not straight, which is shorter; nil: straight
}

// LayClear lays out a sound request clear of welds of other lines, with no fewer welds of its own than least as far as they fit.
func LayClear(r Request, of []Nearby, least int) Layout {
	r, problems, err := r.completed()
	if err != nil {
		panic(err)
	}
	r.floor = least
	var more []ball
	for _, n := range of {
		more = append(more, ball{id: n.ID, at: n.At, radius: n.Distance, far: n.Far})
	}
	return r.lay(problems, more)
}

// ball is a place that weld centres keep a distance from.
type ball struct {
	id     string
	at     r3.Vector
	radius float64
	clamp  bool // only until the clamp opens

	outline *Outline                // instead of a place
	far     func(r3.Vector) float64 // the distance from the place, where it is not the straight one, which is shorter
}

// job is one line while it is laid.
type job struct {
	Request
	track  *track
	b      pitch.Bounds
	hard   []hidden
	clamps []hidden
}

// placed is where welds go: by growing u, with what could not be kept.
type placed struct {
	u       []float64
	byPitch int // welds that the greatest pitch alone needs

	pair *pair // the rows; nil for one
	lane []int // of each weld, with several rows: 0 for the rightmost and for a single weld, 1 for the next to the left, and so on

	edit []string // of each weld: the id of the edit that put it there; nil where nothing was edited
}

func oneRow(r pitch.Row) placed { return placed{u: r.At, byPitch: r.ByPitch} }

// hidden is a stretch of the track that a keep-out covers.
type hidden struct {
	pitch.Span
	id string
}

// lay sets out a completed request; more balls are kept clear of as well.
func (r Request) lay(problems []Problem, more []ball) Layout {
	offset, narrow := r.offsets()
	j := job{Request: r, track: newTrack(r.Line, offset), b: pitch.Bounds{Least: r.Limits.LeastPitch.Value, Most: r.Pitch}}
	if r.Count > 0 { // whatever the pitch
		j.b.Most = math.Max(j.b.Most, j.track.length())
	}
	balls := append(r.balls(), more...)
	j.cover(balls)
	narrow = j.leaveOut(narrow)
	wanted := r.wanted()
	p := j.place(wanted)
	var tight []Problem
	if r.inRows(p) {
		if rows, ok := j.inMore(p, wanted, balls); ok {
			p = rows
			j.track, j.hard, j.clamps = p.pair.base, p.pair.all(p.pair.hard), p.pair.all(p.pair.clamps)
		}
		if r.Rows >= 2 || len(p.u) < wanted {
			tight = r.tooNarrow()
		}
	}
	if r.InRows != nil {
		j.track, j.hard, j.clamps = p.pair.base, p.pair.all(p.pair.hard), p.pair.all(p.pair.clamps)
	}
	p, byHand := j.edited(p)
	problems = append(problems, byHand...)
	out := Layout{Wanted: r.Pitch, ByPitch: p.byPitch, Problems: problems, Welds: j.welds(p)}
	j.mark(&out, p.u)
	out.Pitch = j.pitches(p)
	out.Problems = append(out.Problems, countIn(narrow, out.Welds, r.Line.Closed)...)
	out.Problems = append(out.Problems, countIn(tight, out.Welds, r.Line.Closed)...)
	out.Problems = append(out.Problems, j.check(p)...)
	out.Problems = append(out.Problems, j.checkTacks(out, p.u)...)
	return out
}

// wanted is how many welds are asked for beyond those of the pitch; a stated count is all of them.
func (r Request) wanted() int {
	if r.Count > 0 {
		return r.Count
	}
	return max(r.LoadCount, r.floor)
}

// leastOpen is how many welds an open line has at least.
func (r Request) leastOpen() int {
	if r.Count > 0 {
		return min(r.Count, pitch.LeastOpen)
	}
	return pitch.LeastOpen
}

// place sets out one row.
func (j *job) place(wanted int) placed {
	switch {
	case j.InRows != nil:
		return j.placeRows()
	case j.Places != nil:
		return j.placeGiven()
	case j.Line.Closed:
		r := pitch.Ring{Length: j.track.length(), Blocked: spans(j.hard), Soft: spans(j.clamps), Pitch: j.b}
		return oneRow(r.Place(wanted))
	}
	return j.placeOpen(wanted)
}

// welds are the spots at the places, with the clamps that hide them.
func (j *job) welds(p placed) []Weld {
	var out []Weld
	for i, u := range p.u {
		if p.pair != nil {
			out = append(out, p.pair.weld(u, p.lane[i]))
			continue
		}
		w := j.track.weld(u)
		w.Clamps = named(j.clamps, u)
		out = append(out, w)
	}
	for i, id := range p.edit {
		out[i].Edit = id
	}
	return out
}

// completed fills in defaults and rejects what cannot be laid out.
func (r Request) completed() (Request, []Problem, error) {
	least, most := r.Limits.LeastPitch.Value, r.Limits.GreatestPitch.Value
	if err := r.Sound(); err != nil {
		return r, nil, err
	}
	var problems []Problem
	wish := func(used float64) {
		problems = append(problems, Problem{Kind: PitchWish, Line: r.Line.ID, Value: r.Pitch, Limit: used, At: r.Line.Points[0].Point})
		r.Pitch = used
	}
	orElse(&r.Pitch, most)
	if r.Pitch < least {
		wish(least)
	}
	orElse(&r.TipFace, r.Limits.TipFace.Value)
	orElse(&r.TackEvery, r.Limits.TackEvery.Value)
	orElse(&r.Start, r.Limits.EndDistance.Value)
	orElse(&r.End, r.Limits.EndDistance.Value)
	orElse(&r.Clearance, DefaultClearance)
	return r, problems, nil
}

func orElse(v *float64, otherwise float64) {
	if *v == 0 {
		*v = otherwise
	}
}

// Sound says what keeps a request from being laid out at all: a line that is none, or a rule that is none.
func (r Request) Sound() error {
	if err := r.sound(); err != nil {
		return fmt.Errorf("weld line %s: %w", r.Line.ID, err)
	}
	return nil
}

// sound checks the numbers that the layout is built on.
func (r Request) sound() error {
	if len(r.Line.Points) < 2 || r.Line.Closed && len(r.Line.Points) < 3 {
		return fmt.Errorf("%d points are no line", len(r.Line.Points))
	}
	for i, st := range r.Line.Points {
		sum := st.Point.Norm() + st.Along.Norm() + st.Axis.Norm() + st.Left + st.Right + st.S
		if math.IsNaN(sum) || math.IsInf(sum, 0) {
			return fmt.Errorf("point %d is not finite", i)
		}
		if i > 0 && st.S <= r.Line.Points[i-1].S {
			return fmt.Errorf("point %d at %g mm does not lie after the one before it at %g mm", i, st.S, r.Line.Points[i-1].S)
		}
	}
	least, most := r.Limits.LeastPitch.Value, r.Limits.GreatestPitch.Value
	if !(least > 0) || !(most > 0) || math.IsInf(least, 1) || math.IsInf(most, 1) {
		return fmt.Errorf("pitch from %g mm to %g mm is no rule: both must be above zero", least, most)
	}
	for _, v := range []float64{r.Pitch, r.TackEvery, r.Start, r.End, r.Clearance, r.TipFace} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return fmt.Errorf("a wanted length of %g mm is no length", v)
		}
	}
	return nil
}

// balls turns the keep-outs into places that weld centres keep clear of.
func (r Request) balls() []ball {
	rim := r.Limits.WeldDiameter.Value/2 + r.Clearance
	var out []ball
	for _, k := range r.KeepOuts {
		keep := rim
		if k.Hole {
			keep = math.Max(keep, r.Limits.EdgeDistance.Value)
		}
		if k.Outline != nil {
			keep = math.Max(keep, r.TipFace/2)
		}
		out = append(out, ball{id: k.ID, at: k.At, radius: k.Radius + keep, clamp: k.Until == Release, outline: k.Outline})
	}
	return out
}

// cover finds what the balls cover of the track.
func (j *job) cover(balls []ball) {
	j.hard, j.clamps = j.track.covered(balls)
}

// covered is what balls cover of a track: for good, and until a clamp opens.
func (t *track) covered(balls []ball) (hard, clamps []hidden) {
	for _, b := range balls {
		stretches := t.within(b.at, b.radius)
		if b.outline != nil {
			stretches = t.where(b.outline.Distance, b.radius, pitch.Span{From: 0, To: t.length()})
		}
		if b.far != nil {
			var near []pitch.Span
			for _, s := range stretches {
				near = append(near, t.where(b.far, b.radius, s)...)
			}
			stretches = near
		}
		for _, s := range stretches {
			if !t.closed { // what is covered up to an end leaves no place at the end itself
				if s.From <= pitch.Tiny {
					s.From = -1
				}
				if s.To >= t.length()-pitch.Tiny {
					s.To = t.length() + 1
				}
			}
			if b.clamp {
				clamps = append(clamps, hidden{s, b.id})
			} else {
				hard = append(hard, hidden{s, b.id})
			}
		}
	}
	return hard, clamps
}

// spans returns the stretches alone, sorted and merged.
func spans(all []hidden) []pitch.Span {
	var out []pitch.Span
	for _, h := range all {
		out = append(out, h.Span)
	}
	return pitch.Merge(out)
}

// named returns the ids of what covers u, each once, in order.
func named(all []hidden, u float64) []string {
	return touching(all, pitch.Span{From: u, To: u}, pitch.Tiny)
}

// touching returns the ids of what overlaps s when grown by a margin.
func touching(all []hidden, s pitch.Span, margin float64) []string {
	var out []string
	for _, h := range all {
		if h.From < s.To+margin && h.To > s.From-margin && h.id != "" && !slices.Contains(out, h.id) {
			out = append(out, h.id)
		}
	}
	slices.Sort(out)
	return out
}

// placeOpen places the welds of an open line.
func (j *job) placeOpen(wanted int) placed {
	whole := pitch.Span{From: j.Start, To: j.track.length() - j.End}
	if whole.Length() < j.b.Least-pitch.Tiny || j.Count == 1 { // room for one weld, or one stated: in the middle, as far as it goes
		middle := j.track.length() * j.Start / math.Max(pitch.Tiny, j.Start+j.End)
		free := pitch.Left(spans(j.hard), pitch.Span{From: 0, To: j.track.length()})
		if whole.Length() > 0 {
			middle, free = (whole.From+whole.To)/2, pitch.Left(spans(j.hard), whole)
		}
		if len(free) == 0 {
			return placed{}
		}
		return placed{u: []float64{pitch.Nearest(middle, free)}, byPitch: 1}
	}
	free := pitch.Left(spans(j.hard), whole)
	if len(free) == 0 {
		return placed{}
	}
	return oneRow(pitch.Open(free, j.b, max(wanted, j.leastOpen())))
}
