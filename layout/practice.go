package layout

import (
	"fmt"
	"math"
)

// Practice is how hand work gets shorter from shell to shell: the time of n shells together, in parts of the first one's, is
// n^(1+log2(rate)), so that their average falls to the rate at each doubling (cumulative-average model, Wright 1936).
type Practice struct {
	Rate    float64 `json:"rate" about:"time left at each doubling of the count; 0: not stated, 1: none" unit:"ratio"`
	Before  int     `json:"shells_before" about:"shells made before this batch"`
	Plateau int     `json:"plateau_shells" about:"shell from which it gets no shorter, counted from the very first; 0: it always does"`
}

// Average is the factor on the first shell's hand time that gives the average over a batch. At 80 %, nothing made before,
// that of two is 0.80 and of four 0.64. Rates below 0.5 are refused: the second shell would take less than no time; at 0.5 it
// takes none.
func (p Practice) Average(batch int) (float64, error) {
	if err := p.check(batch); err != nil {
		return 0, err
	}
	switch {
	case p.None():
		return 1, nil
	case p.Before == 0 && (p.Plateau == 0 || batch <= p.Plateau):
		return math.Pow(float64(batch), math.Log2(p.Rate)), nil
	}
	return (p.total(p.Before+batch) - p.total(p.Before)) / float64(batch), nil
}

// Unit is the time of the n-th shell of a batch, in parts of the very first one's.
func (p Practice) Unit(n int) (float64, error) {
	if err := p.check(n); err != nil {
		return 0, err
	}
	if p.None() {
		return 1, nil
	}
	return p.total(p.Before+n) - p.total(p.Before+n-1), nil
}

// None says whether practice shortens nothing.
func (p Practice) None() bool { return p.Rate == 0 || p.Rate == 1 }

func (p Practice) check(n int) error {
	switch {
	case n < 1:
		return fmt.Errorf("batch is %d: it must be at least 1", n)
	case !p.None() && !(p.Rate >= 0.5 && p.Rate < 1):
		return fmt.Errorf("allowances: learning is %v: it must be from 0.5 to 1 (1: none; 0.9: a tenth less with each doubling)", p.Rate)
	case p.Before < 0 || p.Plateau < 0:
		return fmt.Errorf("allowances: shells_before is %d and plateau_shells %d: neither can be below 0", p.Before, p.Plateau)
	}
	return nil
}

// total is the time of the first n shells.
func (p Practice) total(n int) float64 {
	of := func(n int) float64 {
		if n == 0 {
			return 0
		}
		return math.Pow(float64(n), 1+math.Log2(p.Rate))
	}
	if p.Plateau == 0 || n <= p.Plateau {
		return of(n)
	}
	return of(p.Plateau) + float64(float64(n-p.Plateau)*(of(p.Plateau)-of(p.Plateau-1)))
}

// ShellMinutes is how long the station at index i of p.Labour.Stations takes on the n-th shell of the batch, counted from 1: its
// schedule's minutes, which are those of a shell of the batch's average, in proportion to that shell's own work. A practice that
// cannot be is none.
func (p *Plan) ShellMinutes(i, n int) float64 {
	s := p.Labour.Stations[i]
	if !(s.ManMinutes > 0) {
		return s.Minutes
	}
	return s.Minutes / s.ManMinutes * p.shellWork(i, n)
}

// ShellWork is the man-minutes of the n-th shell of the batch at all stations together.
func (p *Plan) ShellWork(n int) float64 {
	sum := 0.0
	for i := range p.Labour.Stations {
		sum += p.shellWork(i, n)
	}
	return sum
}

func (p *Plan) shellWork(i, n int) float64 {
	s := p.Labour.Stations[i]
	own, err := p.Labour.Practice.Unit(n)
	if err != nil {
		return s.ManMinutes
	}
	return s.ManMinutes + float64(s.Hand*(own-p.Labour.Practised))
}
