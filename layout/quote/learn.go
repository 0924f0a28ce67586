package quote

import (
	"math"

	"seamwright/layout"
)

const learningID = "learning"

// learner finds the learning rate that explains best how times of one station, measured at shells of several numbers, differ from each
// other. Their level says nothing of practice: that is left to the elements.
type learner struct {
	*model
	plan *layout.Plan
	rows []Actual
}

// Bounds of a learning rate, and how finely it is looked for.
const (
	leastRate = 0.5
	fineRate  = 1e-5
)

// fit is the rate as stated and as measured, and how much of the doubt about it is gone. Where it is stated that there is no
// practice, no spread of it is stated, or no station was measured at several shells, it stays as it is.
func (l *learner) fit() (ElementFit, error) {
	stated := l.shell.Allowances.Learning
	out := ElementFit{ID: learningID, Stated: stated, Fitted: stated}
	pct := 0.0
	for _, s := range Spreads(l.shell) {
		if s.ID == learningID {
			pct = s.Pct
		}
	}
	if stated == 0 || stated == 1 || pct == 0 || !l.several() {
		return out, nil
	}
	prior := stated * pct / 100
	scatter := 0.0
	cost := func(rate float64) (float64, error) {
		squares, _, err := l.apart(rate)
		off := (rate - stated) / prior
		return squares/float64(scatter*scatter) + float64(off*off), err
	}
	// How far times scatter shows only once practice is taken out, and decides how much they count: thrice settles it.
	for range 3 {
		squares, free, err := l.apart(out.Fitted)
		if err != nil {
			return out, err
		}
		scatter = math.Max(leastScatter, math.Sqrt((squares+usualScatter*usualScatter*usualWeight)/(free+usualWeight)))
		if out.Fitted, err = least(leastRate, 1-fineRate, cost); err != nil {
			return out, err
		}
	}
	asStated, err := cost(stated)
	if err != nil {
		return out, err
	}
	found, err := cost(out.Fitted)
	if err != nil {
		return out, err
	}
	if asStated <= found {
		out.Fitted = stated // the search comes no nearer than its fineness
	}
	sd, err := bend(out.Fitted, cost)
	out.Sure = 1 - math.Min(1, float64(sd*sd)/float64(prior*prior))
	return out, err
}

// several tells whether a station was measured at shells of several numbers.
func (l *learner) several() bool {
	first := map[string]int{}
	for _, r := range l.rows {
		if shell, ok := first[r.Station]; ok && shell != r.Shell {
			return true
		}
		first[r.Station] = r.Shell
	}
	return false
}

// apart is how far times of one station lie apart once practice at a rate is taken out: the sum of squares, in parts of the
// station's mean, and how many of them are free.
func (l *learner) apart(rate float64) (squares, free float64, err error) {
	sh, m := *l.shell, *l.model
	sh.Allowances.Learning = rate
	m.shell = &sh
	e, err := m.equations(l.plan, l.rows)
	if err != nil {
		return 0, 0, err
	}
	sum, count := map[string]float64{}, map[string]float64{}
	for i, r := range l.rows {
		sum[r.Station] += e.measured[i] / e.planned[i]
		count[r.Station]++
	}
	for i, r := range l.rows {
		off := e.measured[i]/e.planned[i]/(sum[r.Station]/count[r.Station]) - 1
		squares += float64(off * off)
	}
	return squares, float64(len(l.rows) - len(count)), nil
}

// least is where a function with one least value has it: by golden sections (Kiefer 1953; from memory).
func least(from, to float64, f func(float64) (float64, error)) (float64, error) {
	ratio := (math.Sqrt(5) - 1) / 2
	a, b := to-float64(ratio*(to-from)), from+float64(ratio*(to-from))
	fa, err := f(a)
	if err != nil {
		return 0, err
	}
	fb, err := f(b)
	for err == nil && to-from > fineRate {
		if fa <= fb {
			to, b, fb = b, a, fa
			a = to - float64(ratio*(to-from))
			fa, err = f(a)
		} else {
			from, a, fa = a, b, fb
			b = from + float64(ratio*(to-from))
			fb, err = f(b)
		}
	}
	return (from + to) / 2, err
}

// bend is how sure the least of a sum of squares is, as a standard deviation: by its second difference.
func bend(at float64, f func(float64) (float64, error)) (float64, error) {
	const step = 0.005
	at = math.Max(leastRate+step, math.Min(1-step-fineRate, at))
	low, err := f(at - step)
	if err != nil {
		return 0, err
	}
	middle, err := f(at)
	if err != nil {
		return 0, err
	}
	high, err := f(at + step)
	curvature := (low + high - 2*middle) / (step * step)
	if !(curvature > 0) {
		return math.Inf(1), err
	}
	return math.Sqrt(2 / curvature), err
}
