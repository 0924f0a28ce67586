// Package roller gives starting settings for roller (seam) welding: force, speed, current on and off times, nugget
// pitch, wheel and overlap, out of a published table, and checks a path's radius against the wheel.
//
//	s, err := roller.Set(rule.Stack{{Thickness: 0.9}, {Thickness: 0.9}}, roller.Options{})
//	seconds := s.Time(1800) // for 1.8 m of seam
//
// The whole table is recalled, not read (certainty: memory), though its welds-per-inch arithmetic holds within 2 %:
// prove every setting by peel test and, for a tight seam, by a pressure or dye test before use.
package roller

import (
	"errors"
	"fmt"
	"math"

	"seamwright/seams/rule"
	"seamwright/seams/schedule"
	"seamwright/seams/setting"
)

// Caution goes with every setting wherever it is printed.
const Caution = "Starting setting from a recalled table: prove by peel test, and for a tight seam by a leak test, before use."

// Water is a note of every setting.
const Water = "Water on both wheels and on the seam behind them from the first nugget to the last (common practice, no source)."

// ErrOutside is sheet so far outside the table that its nearest row means nothing; ErrStack is a stack that the table
// is not for.
var (
	ErrOutside = errors.New("far outside the roller setting table")
	ErrStack   = errors.New("not a stack for a roller seam")
)

// reach is the factor on thickness by which sheet may lie outside the table's end rows with a note. Our own bound.
const reach = 1.1

// Options steer Set. Every zero value means the default beside it.
type Options struct {
	Frequency float64 // Hz of the mains, 50 or 60; 50
	Speed     float64 // mm/s that the works rolls at; the table's. Another speed changes the pitch of the nuggets.
	Wheel     float64 // mm, width of the wheel at hand; the table's
	Loose     bool    // the seam need not be tight: its nugget pitch is not judged
	Book      rule.Rules
}

// Setting is one starting setting.
type Setting struct {
	Stack     string
	Thickness float64 // mm, the thinner sheet
	Frequency float64 // Hz
	Force     float64 // N
	Current   float64 // A, root mean square
	OnCycles  int     // whole cycles of Frequency
	OffCycles int
	On        float64 // s, OnCycles at Frequency
	Off       float64
	Speed     float64 // mm/s
	Pitch     float64 // mm between nuggets: Speed x (On + Off), exactly
	Wheel     float64 // mm, width of the face
	Overlap   float64 // mm, least contacting overlap
	Problems  []rule.Problem
	Notes     []string
	Caution   string
	Source    string
	Certainty rule.Certainty
}

// Set gives the starting setting for a seam of two sheets. On and off times are the table's in seconds, counted in
// whole cycles of the mains; the speed is then such that the table's nugget pitch is kept, unless the works states
// its own. It fails for another number of sheets (ErrStack; ISO 16433 covers two), for sheet more than a tenth
// outside the table (ErrOutside) and for a frequency or speed that makes no sense.
func Set(stack rule.Stack, opt Options) (Setting, error) {
	if !stack.Valid() || len(stack) != 2 {
		return Setting{}, fmt.Errorf("roller setting for %q: %w: two sheets with thicknesses above zero are needed (ISO 16433 scope)", stack,
			ErrStack)
	}
	if err := opt.complete(); err != nil {
		return Setting{}, fmt.Errorf("roller setting for %s: %w", stack, err)
	}
	table, err := schedule.Named("seam")
	if err != nil {
		return Setting{}, err
	}
	s := Setting{Stack: stack.String(), Thickness: stack.Outside(), Frequency: opt.Frequency, Caution: Caution,
		Source: table.Source, Certainty: rule.Certainty(table.Certainty), Notes: []string{Water}}
	least, greatest := table.Range()
	if s.Thickness < least/reach || s.Thickness > greatest*reach {
		return Setting{}, fmt.Errorf("roller setting for %s: %w: %.3g mm, table runs from %.3f to %.3f mm", stack, ErrOutside, s.Thickness,
			least, greatest)
	}
	if s.Thickness < least || s.Thickness > greatest {
		s.note("%.3g mm is outside the table (%.3f to %.3f mm): its nearest row is taken.", s.Thickness, least, greatest)
	}
	s.read(table, opt)
	s.judge(stack, opt)
	return s, nil
}

func (o *Options) complete() error {
	if o.Frequency == 0 {
		o.Frequency = 50
	}
	if o.Frequency != 50 && o.Frequency != 60 {
		return fmt.Errorf("supply of %g Hz: choose 50 or 60", o.Frequency)
	}
	if !(o.Speed >= 0) || math.IsInf(o.Speed, 0) || !(o.Wheel >= 0) || math.IsInf(o.Wheel, 0) {
		return fmt.Errorf("speed %g mm/s, wheel %g mm: give numbers above zero, or 0 for the table's", o.Speed, o.Wheel)
	}
	if o.Book == nil {
		o.Book = rule.Book()
	}
	return nil
}

// read takes the table's figures and fits the times to whole cycles.
func (s *Setting) read(table *schedule.Table, opt Options) {
	at := func(name string) float64 { v, _ := table.At(name, s.Thickness); return v }
	s.Force, s.Current, s.Wheel, s.Overlap = at("force"), at("current"), at("wheel"), at("overlap")
	on, off, speed := at("on"), at("off"), at("speed")
	s.OnCycles, s.OffCycles = counts(on, off, s.Frequency)
	s.On, s.Off = float64(s.OnCycles)/s.Frequency, float64(s.OffCycles)/s.Frequency
	s.keepHeat(on, off)
	// The table's pitch makes the seam tight: it is kept, and the speed follows from it.
	s.Speed = speed * (on + off) / (s.On + s.Off)
	if opt.Speed > 0 {
		s.note("Speed stated by the works: %.1f mm/s; the table's would be %.1f mm/s.", opt.Speed, s.Speed)
		s.Speed = opt.Speed
	}
	s.Pitch = s.Speed * (s.On + s.Off)
	if opt.Wheel > 0 {
		s.note("Wheel stated by the works: %.1f mm wide; the table's is %.1f mm (uncertain: a second recollection is up to twice as wide).",
			opt.Wheel, s.Wheel)
		s.Wheel = opt.Wheel
	}
	if s.Frequency != 60 {
		s.note("The table counts cycles of 60 Hz: times are counted in whole cycles of %g Hz and the speed keeps the pitch of the nuggets.",
			s.Frequency)
	}
}

// mostDuty is how far the part of the time with current on may be from the table's. Chosen.
const mostDuty = 0.1

// counts are the whole cycles on and off that change the heat of a nugget least, which is as the time on, and then the
// duty, among those that keep the duty within mostDuty of the table's.
func counts(on, off, frequency float64) (onCycles, offCycles int) {
	most := 2*setting.Cycles(on+off, frequency) + 3 // beyond it the time on is further off than at the nearest count, of half a cycle or more
	leastHeat, leastDuty := math.Inf(1), math.Inf(1)
	for n := 1; n <= most; n++ {
		for m := 1; m <= most; m++ {
			duty := math.Abs(float64(n)/float64(n+m) - on/(on+off))
			if duty > mostDuty {
				continue
			}
			heat := math.Abs(math.Log(float64(n) / (on * frequency)))
			if heat < leastHeat-1e-12 || heat < leastHeat+1e-12 && duty < leastDuty-1e-12 {
				leastHeat, leastDuty, onCycles, offCycles = heat, duty, n, m
			}
		}
	}
	return onCycles, offCycles
}

// keepHeat corrects the current so that current² x time on, the heat of a nugget, is the table's, and says what it cannot
// keep.
func (s *Setting) keepHeat(on, off float64) {
	if math.Abs(s.On/on-1) < 1e-9 && math.Abs(s.Off/off-1) < 1e-9 {
		return
	}
	s.Current *= math.Sqrt(on / s.On)
	s.Source += "; current corrected by root(time on of the table / time on) so that a nugget keeps its heat"
	s.Certainty = rule.Weakest(s.Certainty, rule.Calculated)
	s.note("Time on %.0f ms for the table's %.0f ms: the current is corrected by %+.1f %% so that the heat of a nugget, current² x time, "+
		"is kept. "+
		"What remains: current flows %.0f %% of the time for the table's %.0f %%, and a nugget has %+.0f %% more or less time to lose heat in.",
		1000*s.On, 1000*on, 100*(math.Sqrt(on/s.On)-1), 100*s.On/(s.On+s.Off), 100*on/(on+off), 100*(s.On/on-1))
}

func (s *Setting) judge(stack rule.Stack, opt Options) {
	if !opt.Loose {
		if p, ok := opt.Book.Judge("roller.pitch.greatest", stack, s.Pitch); !ok {
			s.Problems = append(s.Problems, p)
		}
	}
	for _, sheet := range stack {
		if c, _ := rule.ParseCoating(sheet.Coating); c.Kind != rule.Bare {
			s.note("Coated sheet: the table is for bare steel; find force, current and dressing of the wheels by test.")
			return
		}
	}
}

func (s *Setting) note(format string, args ...any) {
	s.Notes = append(s.Notes, fmt.Sprintf(format, args...))
}

// Time is the seconds of rolling for a length in mm.
func (s Setting) Time(length float64) float64 { return length / s.Speed }

// TimePerMetre is the seconds of rolling for one metre.
func (s Setting) TimePerMetre() float64 { return s.Time(1000) }
