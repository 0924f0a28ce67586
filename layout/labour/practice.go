package labour

import (
	"fmt"
	"math"

	"seamwright/seams/shell"
)

// Practice is how hand work gets shorter from shell to shell: the time of n shells together, in parts of the first one's, is
// n^(1+log2(rate)), so that their average falls to the rate at each doubling (cumulative-average model, Wright 1936).
type Practice struct {
	Rate    float64 // 0 counts as not stated, and 1 is none
	Before  int     // shells made before this batch
	Plateau int     // the shell from which it gets no shorter, counted from the very first; 0: it always does
}

// PracticeOf is that of a shell file.
func PracticeOf(sh *shell.Shell) Practice {
	a := sh.Allowances
	return Practice{a.Learning, a.ShellsBefore, a.Plateau}
}

// Average is the factor on the first shell's hand time that gives the average over a batch. At 80 %, nothing made before,
// that of two is 0.80 and of four 0.64. Rates below 0.5 are refused: the second shell would take less than no time; at 0.5 it
// takes none.
func (p Practice) Average(batch int) (float64, error) {
	if err := p.check(batch); err != nil {
		return 0, err
	}
	switch {
	case p.none():
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
	if p.none() {
		return 1, nil
	}
	return p.total(p.Before+n) - p.total(p.Before+n-1), nil
}

func (p Practice) none() bool { return p.Rate == 0 || p.Rate == 1 }

func (p Practice) check(n int) error {
	switch {
	case n < 1:
		return fmt.Errorf("batch is %d: it must be at least 1", n)
	case !p.none() && !(p.Rate >= 0.5 && p.Rate < 1):
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

// words say where the factor for a batch comes from.
func (p Practice) words(batch int) string {
	if p.none() {
		return "shell file: allowances.learning asks for none"
	}
	text := fmt.Sprintf("batch %d ^ log2(%v)", batch, p.Rate)
	if p.Before > 0 {
		text = fmt.Sprintf("shells %d to %d at log2(%v)", p.Before+1, p.Before+batch, p.Rate)
	}
	text += ": cumulative average (Wright 1936) on hand work; element times are those of the very first shell"
	if p.Plateau > 0 {
		text += fmt.Sprintf("; no shorter from shell %d on", p.Plateau)
	}
	return text
}
