package quote

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/seams/shell"
)

// ElementFit is an element time as stated and as measured.
type ElementFit struct {
	ID     string  `json:"id" about:"key of the shell file"`
	Stated float64 `json:"stated" about:"value in the shell file"`
	Fitted float64 `json:"fitted" about:"value that fits the measured times"`
	Sure   float64 `json:"sure" about:"share of the doubt about it that the measured times took away, from 0 to 1"`
}

// StationFit is one station's measured times against the plan.
type StationFit struct {
	Station  string  `json:"station" about:"id of the station"`
	Shells   int     `json:"shells" about:"shells measured"`
	Measured float64 `json:"measured_minutes" about:"elapsed a shell, on the average of those measured"`
	Planned  float64 `json:"planned_minutes" about:"for the same shells, practice at each one's number"`
	Fitted   float64 `json:"fitted_minutes" about:"with the fitted element times" unit:"min"`
	Off      float64 `json:"off_pct" about:"measured over planned, less 100 %"`
}

// Fit is what measured times make of the element times.
type Fit struct {
	Rows     int          `json:"rows" about:"times measured"`
	Off      float64      `json:"off_pct" about:"all measured man-minutes over the planned ones, less 100 %"`
	Before   float64      `json:"before_pct" about:"root mean square of what each time is off the plan, of the planned time"`
	After    float64      `json:"after_pct" about:"and off the fitted times"`
	Scatter  float64      `json:"scatter_pct" about:"of one station's times about each other, practice taken out"`
	Elements []ElementFit `json:"elements" about:"those that occur at the measured stations, in the order of the keys"`
	Stations []StationFit `json:"stations" about:"in the order of work"`
}

// Bounds of the fit.
const (
	leastFactor  = 0.05 // a time cannot fall below this share of the stated one
	leastScatter = 0.01 // of the planned time: no watch is better
	usualScatter = 0.10 // from shell to shell; common practice, no source
	usualWeight  = 2.0  // times
)

// Recalibrate finds the element times that explain the measured ones best and stray least from the stated ones: least
// squares with a prior. Each measured time counts by the scatter of its station's times; each element
// is held to its stated value by its spread, and so is the learning rate where shells of several numbers were measured. Allowances
// and rework stay as stated.
//
// Errors: no rows, a row of a station that the plan has not, or where nothing is done; those of labour.Accounts.
func Recalibrate(ctx context.Context, p *layout.Plan, sh *shell.Shell, rows []Actual) (Fit, error) {
	if len(rows) == 0 {
		return Fit{}, errors.New("recalibrate: no measured times")
	}
	var spreads []Spread
	for _, s := range Spreads(sh) {
		if _, ok := element(&sh.Elements, s.ID); ok && s.Pct > 0 {
			spreads = append(spreads, s)
		}
	}
	m, err := newModel(ctx, p, sh, ids(spreads))
	if err != nil {
		return Fit{}, fmt.Errorf("recalibrate: %w", err)
	}
	l := learner{model: m, plan: p, rows: rows}
	rate, err := l.fit()
	if err != nil {
		return Fit{}, fmt.Errorf("recalibrate: %w", err)
	}
	stated, err := m.equations(p, rows)
	if err != nil {
		return Fit{}, fmt.Errorf("recalibrate: %w", err)
	}
	practised := *sh
	practised.Allowances.Learning = rate.Fitted
	m.shell = &practised
	e, err := m.equations(p, rows)
	if err != nil {
		return Fit{}, fmt.Errorf("recalibrate: %w", err)
	}
	scatter := e.scatter(rows)
	x, sd, err := e.at(spreads, scatter)
	if err != nil {
		return Fit{}, fmt.Errorf("recalibrate: %w", err)
	}
	e.planned = stated.planned
	f := e.fit(p, sh, rows, spreads, x, sd, scatter)
	if rate.Sure > 0 {
		f.Elements = append(f.Elements, rate)
	}
	return f, nil
}

// Apply puts the fitted times into a shell file's elements.
func (f Fit) Apply(sh *shell.Shell) {
	for _, fit := range f.Elements {
		if fit.ID == learningID {
			sh.Allowances.Learning = fit.Fitted
		}
		if v, ok := element(&sh.Elements, fit.ID); ok {
			v.SetFloat(fit.Fitted)
		}
	}
}

// equations are one for each measured time: fixed + sum of each x factor = measured, in man-minutes.
type equations struct {
	each     [][]float64
	fixed    []float64
	measured []float64
	planned  []float64
	crew     []float64
}

func (m *model) equations(p *layout.Plan, rows []Actual) (*equations, error) {
	e := &equations{}
	n := len(m.ids)
	byStation := map[string]work{}
	crew := map[string]float64{}
	for _, a := range m.accounts {
		if _, ok := byStation[a.station]; !ok {
			byStation[a.station] = newWork(n + 1)
		}
		byStation[a.station].add(a.work)
		crew[a.station] = a.crew
	}
	for _, row := range rows {
		w, ok := byStation[row.Station]
		if !ok {
			return nil, fmt.Errorf("line %d: there is no station %q in the plan: write its id", row.Line, row.Station)
		}
		pace, err := labour.PaceAt(m.shell, row.Shell)
		if err != nil {
			return nil, err
		}
		each := make([]float64, n+1)
		planned := 0.0
		again := m.shell.Allowances.Rework / 100
		for k := range each {
			hand, machine := w.hand[k]+float64(again*w.handAgain[k]), w.machine[k]+float64(again*w.machineAgain[k])
			each[k] = (float64(hand*pace.Practice) + machine) * (1 + pace.Allowances) / 60
			planned += each[k]
		}
		if planned <= 0 {
			return nil, fmt.Errorf("line %d: nothing is done at station %s by the plan: take the row out", row.Line, row.Station)
		}
		e.each, e.fixed = append(e.each, each[:n]), append(e.fixed, each[n])
		e.measured, e.planned, e.crew = append(e.measured, row.Minutes*crew[row.Station]), append(e.planned, planned),
			append(e.crew, crew[row.Station])
	}
	return e, nil
}

// scatter is how far times of the same station lie apart when practice is taken out, as a share of the planned time.
// What a station's times have in common is no scatter: the elements must explain it. A few times say little, so the
// usual scatter counts as usualWeight of them.
func (e *equations) scatter(rows []Actual) float64 {
	mean, count := map[string]float64{}, map[string]float64{}
	for i, row := range rows {
		mean[row.Station] += e.measured[i] / e.planned[i]
		count[row.Station]++
	}
	squares, free := float64(usualScatter*usualScatter*usualWeight), usualWeight-float64(len(count))
	for i, row := range rows {
		off := e.measured[i]/e.planned[i] - mean[row.Station]/count[row.Station]
		squares += float64(off * off)
		free++
	}
	return math.Max(leastScatter, math.Sqrt(squares/free))
}

// at solves the normal equations at a given scatter. Factors that would fall below the least are held there.
func (e *equations) at(spreads []Spread, scatter float64) (x, sd []float64, err error) {
	held := make([]bool, len(spreads))
	for {
		x, sd, err = e.normal(spreads, scatter, held)
		if err != nil {
			return nil, nil, err
		}
		low := -1
		for k := range x {
			if !held[k] && x[k] < leastFactor && (low < 0 || x[k] < x[low]) {
				low = k
			}
		}
		if low < 0 {
			return x, sd, nil
		}
		held[low] = true
	}
}

func (e *equations) normal(spreads []Spread, scatter float64, held []bool) (x, sd []float64, err error) {
	n := len(spreads)
	a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	start := make([]float64, n)
	for k, s := range spreads {
		start[k] = 1
		prior := 1 / float64(s.Pct/100*s.Pct/100)
		if held[k] {
			start[k], prior = leastFactor, 1e12
		}
		a.SetSym(k, k, prior)
	}
	for i := range e.measured {
		weight := 1 / float64(scatter*e.planned[i]*scatter*e.planned[i])
		off := e.measured[i] - e.predict(i, start)
		for k := range n {
			b.SetVec(k, b.AtVec(k)+float64(weight*e.each[i][k]*off))
			for j := k; j < n; j++ {
				a.SetSym(k, j, a.At(k, j)+float64(weight*e.each[i][k]*e.each[i][j]))
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return nil, nil, errors.New("the times cannot be solved for: check them for typing errors")
	}
	var step mat.VecDense
	if err := chol.SolveVecTo(&step, b); err != nil {
		return nil, nil, fmt.Errorf("the times cannot be solved for: check them for typing errors: %w", err)
	}
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		return nil, nil, fmt.Errorf("the times cannot be solved for: check them for typing errors: %w", err)
	}
	x, sd = make([]float64, n), make([]float64, n)
	for k := range n {
		x[k], sd[k] = start[k]+step.AtVec(k), math.Sqrt(math.Max(0, inverse.At(k, k)))
	}
	return x, sd, nil
}

func (e *equations) predict(i int, x []float64) float64 {
	sum := e.fixed[i]
	for k, v := range x {
		sum += float64(e.each[i][k] * v)
	}
	return sum
}

// fit words what was found.
func (e *equations) fit(p *layout.Plan, sh *shell.Shell, rows []Actual, spreads []Spread, x, sd []float64, scatter float64) Fit {
	f := Fit{Rows: len(rows), Scatter: 100 * scatter}
	measured, planned, before, after := 0.0, 0.0, 0.0, 0.0
	for i := range rows {
		measured, planned = measured+e.measured[i], planned+e.planned[i]
		was, is := e.measured[i]/e.planned[i]-1, (e.measured[i]-e.predict(i, x))/e.planned[i]
		before, after = before+float64(was*was), after+float64(is*is)
	}
	n := float64(len(rows))
	f.Off, f.Before, f.After = 100*(measured/planned-1), 100*math.Sqrt(before/n), 100*math.Sqrt(after/n)
	for k, s := range spreads {
		occurs := slices.ContainsFunc(e.each, func(each []float64) bool { return each[k] != 0 })
		if !occurs {
			continue
		}
		value := valueOf(sh, s.ID)
		fitted := value * x[k]
		if s.ID == "move_mm_per_s" {
			fitted = value / x[k]
		}
		prior := s.Pct / 100
		f.Elements = append(f.Elements, ElementFit{ID: s.ID, Stated: value, Fitted: fitted,
			Sure: 1 - math.Min(1, float64(sd[k]*sd[k])/float64(prior*prior))})
	}
	for _, s := range p.Stations {
		st := StationFit{Station: s.ID}
		for i, row := range rows {
			if row.Station == s.ID {
				st.Shells++
				st.Measured, st.Planned, st.Fitted = st.Measured+e.measured[i]/e.crew[i], st.Planned+e.planned[i]/e.crew[i],
					st.Fitted+e.predict(i, x)/e.crew[i]
			}
		}
		if st.Shells > 0 {
			shells := float64(st.Shells)
			st.Measured, st.Planned, st.Fitted = st.Measured/shells, st.Planned/shells, st.Fitted/shells
			st.Off = 100 * (st.Measured/st.Planned - 1)
			f.Stations = append(f.Stations, st)
		}
	}
	return f
}
