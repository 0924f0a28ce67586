// Package setting gives starting settings for spot welding a stack of sheets, read out of published tables.
//
//	s, err := setting.Spot(rule.Stack{{Thickness: 0.9}, {Thickness: 1.2}}, setting.Options{})
//	fmt.Printf("%.0f N, %.0f A, %d cycles\n", s.Force, s.Current, s.WeldCycles)
//
// A setting is a place to start from, never a licence to weld: it is proved by peel or chisel test
// (ISO 10447) on the works' own sheet, gun and tips before use, and Caution says so.
package setting

import (
	"errors"
	"fmt"
	"math"

	"seamwright/seams/rule"
	"seamwright/seams/schedule"
)

// Caution goes with every setting wherever it is printed.
const Caution = "Starting setting: prove by peel or chisel test (ISO 10447) on this stack, gun and tip before use."

// ErrOutside is a stack so far outside the table that its nearest row means nothing, and ErrStack one that is no stack.
var (
	ErrOutside = errors.New("far outside the setting table")
	ErrStack   = errors.New("not a stack to weld")
)

// reach is how far outside its end rows, as a factor on thickness, a table may still be used with a note.
// Our own bound: the thickness tolerance of sheet up to 1200 mm wide stays within it (at most 8.6 % of the thickness, at
// 0.35 mm; EN 10131:2006 Table 1: read); that of wider thin sheet does not quite.
const reach = 1.1

// Supply is the kind of welding current.
type Supply string

// The kinds of supply. The tables are for AC.
const (
	AC Supply = ""     // single-phase, mains frequency
	DC Supply = "mfdc" // medium-frequency inverter, direct current
)

// Options steer Spot. Every zero value means the default beside it.
type Options struct {
	Table     string     // optimum (read); class-a, class-b, class-c and aws-c1.1 are recalled
	Frequency float64    // Hz of the mains that the timer counts, 50 or 60; 50
	Supply    Supply     // AC
	Squeeze   float64    // s; 0.34: pneumatic gun
	AsBare    bool       // leave out the additions for zinc
	Book      rule.Rules // nil: the default book; least weld diameter and greatest tensile strength are judged by it
}

// Setting is one starting setting.
type Setting struct {
	Table     string
	Stack     string  // in words
	Thickness float64 // mm, the governing sheet: the second thickest, by which table, weld size and strength go in any order of the sheets

	Force   float64 // N at the electrodes
	Current float64 // A; root mean square for AC
	Squeeze float64 // s
	Weld    float64 // s
	Hold    float64 // s

	Frequency     float64 // Hz
	Supply        Supply
	SqueezeCycles int // whole cycles of Frequency, at least 1, nearest to the times above; 0 for DC, whose timer counts ms
	WeldCycles    int
	HoldCycles    int

	Face       float64 // mm, electrode face of the table, the largest
	Body       float64 // mm, least body diameter
	FaceRadius float64 // mm, of a domed face; 0: the table has none
	Nugget     float64 // mm, expected
	Shear      float64 // N, of one weld
	Spacing    float64 // mm, least, two sheets
	Overlap    float64 // mm, least contacting

	Additions []Addition     // what was added for zinc, already within the figures above
	Problems  []rule.Problem // such as an expected nugget below the least weld diameter
	Notes     []string
	Caution   string
	Source    string
	Certainty rule.Certainty
}

// Addition is one change to the table's figure with the published range that it was taken from.
type Addition struct {
	What      string // force, weld or current
	Least     float64
	Greatest  float64
	Taken     float64 // that between the middles
	Unit      string
	Source    string
	Certainty rule.Certainty
}

// Spot gives the starting setting for two or three sheets. It fails for a stack without thicknesses or with fewer
// than two sheets (ErrStack), for an unknown table or frequency, and for sheet more than a tenth thinner or thicker
// than the table's end rows (ErrOutside); within that tenth the end row is taken and a note says so.
func Spot(stack rule.Stack, opt Options) (Setting, error) {
	if !stack.Valid() || len(stack) < 2 {
		return Setting{}, fmt.Errorf("setting for %q: %w: two sheets with thicknesses above zero are needed", stack, ErrStack)
	}
	opt, table, err := opt.complete()
	if err != nil {
		return Setting{}, fmt.Errorf("setting for %s: %w", stack, err)
	}
	s := Setting{Table: table.Name, Stack: stack.String(), Thickness: stack.Governing(), Frequency: opt.Frequency, Supply: opt.Supply,
		Caution: Caution, Source: table.Source, Certainty: rule.Certainty(table.Certainty)}
	if err := s.within(table); err != nil {
		return Setting{}, fmt.Errorf("setting for %s: %w", stack, err)
	}
	if err := s.read(table, stack); err != nil {
		return Setting{}, fmt.Errorf("setting for %s: %w", stack, err)
	}
	s.squeeze(opt.Squeeze)
	if !opt.AsBare {
		if err := s.addForZinc(stack); err != nil {
			return Setting{}, fmt.Errorf("setting for %s: %w", stack, err)
		}
	}
	s.supply()
	s.remarks(stack, opt)
	return s, nil
}

// complete fills in the defaults and finds the table.
func (o Options) complete() (Options, *schedule.Table, error) {
	if o.Table == "" {
		o.Table = "optimum"
	}
	if o.Frequency == 0 {
		o.Frequency = 50
	}
	if o.Frequency != 50 && o.Frequency != 60 {
		return o, nil, fmt.Errorf("supply of %g Hz: choose 50 or 60", o.Frequency)
	}
	if o.Supply != AC && o.Supply != DC {
		return o, nil, fmt.Errorf("supply %q: choose %q or leave it out", o.Supply, DC)
	}
	if math.IsNaN(o.Squeeze) || math.IsInf(o.Squeeze, 0) || o.Squeeze < 0 {
		return o, nil, fmt.Errorf("squeeze time %g s: give a time above zero, or 0 for the usual one", o.Squeeze)
	}
	table, err := schedule.Named(o.Table)
	if err != nil {
		return o, nil, err
	}
	if table.Kind != schedule.Spot {
		return o, nil, fmt.Errorf("table %s is not for spots; choose from %v", o.Table, schedule.Names(schedule.Spot))
	}
	return o, table, nil
}

// within refuses sheet far outside the table and notes sheet a little outside.
func (s *Setting) within(table *schedule.Table) error {
	least, greatest := table.Range()
	t := s.Thickness
	if t < least/reach || t > greatest*reach {
		return fmt.Errorf("%w: governing sheet %.3g mm, table %s runs from %.3f to %.3f mm", ErrOutside, t, table.Name, least, greatest)
	}
	if t < least || t > greatest {
		s.note("%.3g mm is outside the table (%.3f to %.3f mm): its nearest row is taken.", t, least, greatest)
	}
	return nil
}

// read takes the table's figures at the governing sheet. Taken at the thinner outside one, as the tables' notes have it, three sheets
// would get another nugget by their order, below the least weld that the thick interface asks for.
func (s *Setting) read(table *schedule.Table, stack rule.Stack) error {
	columns := []struct {
		name string
		to   *float64
	}{{"force", &s.Force}, {"current", &s.Current}, {"weld", &s.Weld}, {"face", &s.Face}, {"body", &s.Body},
		{"nugget", &s.Nugget}, {"shear", &s.Shear}}
	for _, c := range columns {
		*c.to, _ = table.At(c.name, s.Thickness)
		if math.IsNaN(*c.to) {
			return fmt.Errorf("table %s has no column %s", table.Name, c.name)
		}
	}
	s.Spacing, _ = table.At("spacing", s.Thickness)
	s.Overlap, _ = table.At("overlap", s.Thickness)
	if r, _ := table.At("face_radius", s.Thickness); !math.IsNaN(r) {
		s.FaceRadius = r
	}
	s.highStrength(table, stack)
	return s.hold(table)
}

// highStrength takes the table's strength for 70 ksi steel where it has one and every sheet is that strong.
func (s *Setting) highStrength(table *schedule.Table, stack rule.Stack) {
	const strong = 70 * schedule.Ksi
	if !table.Has("shear_high", s.Thickness) {
		return
	}
	for _, sheet := range stack {
		if sheet.Tensile < strong {
			return
		}
	}
	s.Shear, _ = table.At("shear_high", s.Thickness)
}

// hold comes from the table, or from the optimum schedule where the table prints none.
func (s *Setting) hold(table *schedule.Table) error {
	h, _ := table.At("hold", s.Thickness)
	if math.IsNaN(h) {
		optimum, err := schedule.Named("optimum")
		if err != nil {
			return err
		}
		h, _ = optimum.At("hold", s.Thickness)
		s.note("Table %s prints no hold time: that of the optimum-condition schedule is taken (read).", table.Name)
		s.from("hold time: "+optimum.Source, rule.Certainty(optimum.Certainty))
	}
	s.Hold = h
	return nil
}

// UsualSqueeze is the squeeze time in s where none is stated.
const UsualSqueeze = 17.0 / 50

// squeeze: a pneumatic gun wants 17 cycles of 50 Hz at least, 0.34 s (common practice, no source: as in teaching slides).
func (s *Setting) squeeze(stated float64) {
	s.Squeeze = UsualSqueeze
	if stated > 0 {
		s.Squeeze = stated
		s.note("Squeeze %g s: the shell file's elements.squeeze_s, no part of the table.", stated)
		return
	}
	s.note("Squeeze 0.34 s: 17 cycles of 50 Hz for a pneumatic gun (common practice, no source); lengthen it until the force has settled.")
}

func (s *Setting) note(format string, args ...any) {
	s.Notes = append(s.Notes, fmt.Sprintf(format, args...))
}

// Cycles is the whole number of cycles of a mains frequency (Hz) nearest to a time (s), at least 1; halves go up.
func Cycles(seconds, frequency float64) int {
	// A cycle count that is whole but for rounding must not be pushed over a half.
	return max(1, int(math.Floor(float64(seconds*frequency)+0.5+1e-9)))
}
