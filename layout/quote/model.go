package quote

import (
	"context"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/seams/shell"
)

// model is an estimate as a function of how far its inputs are off: each input is a factor on its stated value. It gives
// the figures of labour.Estimate but for their rounding.
type model struct {
	shell    *shell.Shell
	ids      []string
	learning int // index of the rate, and of the next two
	rework   int
	prepare  int
	common   int
	accounts []account
	all      work       // of all accounts
	wet      work       // of those that water runs for
	money    [2]float64 // things bought, without rework and for each unit of it
	once     float64    // man-minutes of preparation and changeover, for the batch
	oncePaid float64    // money for it, for the batch
}

// account is the work of one account of the labour.
type account struct {
	station string
	crew    float64
	work    work
}

// work is seconds by input, by hand and at the machine's pace, each without rework and for each unit of it. The last
// place is for what depends on no input.
type work struct{ hand, handAgain, machine, machineAgain []float64 }

func newWork(n int) work {
	return work{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
}

func (w work) add(other work) {
	for k := range w.hand {
		w.hand[k] += other.hand[k]
		w.handAgain[k] += other.handAgain[k]
		w.machine[k] += other.machine[k]
		w.machineAgain[k] += other.machineAgain[k]
	}
}

func newModel(ctx context.Context, p *layout.Plan, sh *shell.Shell, ids []string) (*model, error) {
	accounts, err := labour.Accounts(ctx, p, sh)
	if err != nil {
		return nil, err
	}
	m := &model{shell: sh, ids: ids, all: newWork(len(ids) + 1), wet: newWork(len(ids) + 1)}
	m.learning, m.rework, m.prepare = slices.Index(ids, "learning"), slices.Index(ids, "rework_pct"), slices.Index(ids, "prepare_min")
	m.common = slices.Index(ids, "common")
	for _, a := range accounts {
		own := m.workOf(a)
		m.accounts = append(m.accounts, account{a.Station, float64(a.Crew), own})
		m.all.add(own)
		if a.Kind != labour.Handling {
			m.wet.add(own)
		}
		m.addMoney(a)
	}
	return m, nil
}

// workOf spreads an account's work over the inputs. Welds that are made again take their share of each of the pieces
// that a weld takes.
func (m *model) workOf(a labour.Account) work {
	w := newWork(len(m.ids) + 1)
	for _, p := range a.Work {
		if p.By == labour.OnlyAgain {
			continue
		}
		k := slices.Index(m.ids, p.Element)
		if k < 0 {
			k = len(m.ids)
		}
		seconds := float64(p.Quantity(m.shell) * p.Each)
		if p.By == labour.WithAgain {
			seconds = float64(p.Count * p.Each)
		}
		w.hand[k] += float64(seconds * p.Hand)
		w.machine[k] += float64(seconds * (1 - p.Hand))
		if p.By == labour.WithAgain || p.Weld {
			w.handAgain[k] += float64(seconds * p.Hand)
			w.machineAgain[k] += float64(seconds * (1 - p.Hand))
		}
	}
	return w
}

func (m *model) addMoney(a labour.Account) {
	rates := m.shell.Rates
	for _, p := range a.Money {
		money := float64(p.Count * p.Each)
		switch p.By {
		case labour.Flowing:
		case labour.OverBatch:
			m.once += p.Count
			m.oncePaid += money * (1 + rates.Overhead/100)
		case labour.WithAgain:
			m.money[0] += money
			m.money[1] += money
		case labour.Drawn:
			m.money[0] += money * rates.Utilisation / 100
			m.money[1] += money * rates.Utilisation / 100
		default:
			m.money[0] += float64(p.Quantity(m.shell) * p.Each)
		}
	}
}

// at is a factor, 1 for inputs that the model does not know.
func at(x []float64, k int) float64 {
	if k < 0 {
		return 1
	}
	return x[k]
}

// seconds is the planned time of some work at a factor on hand work.
func (m *model) seconds(w work, x []float64, practice float64) float64 {
	again := m.again(x)
	hand, machine := 0.0, 0.0
	for k := range w.hand {
		f := 1.0
		if k < len(x) {
			f = x[k]
			if m.ids[k] == "move_mm_per_s" && f > 0 {
				f = 1 / f
			}
		}
		hand += float64(f * (w.hand[k] + float64(again*w.handAgain[k])))
		machine += float64(f * (w.machine[k] + float64(again*w.machineAgain[k])))
	}
	a := m.shell.Allowances
	return (float64(hand*practice) + machine) * (1 + (a.Personal+a.Fatigue+a.Posture+a.Contingency)/100) * at(x, m.common)
}

func (m *model) again(x []float64) float64 {
	return m.shell.Allowances.Rework / 100 * at(x, m.rework)
}

// rate is the learning rate, which stays from 0.5 to 1.
func (m *model) rate(x []float64) float64 {
	stated := m.shell.Allowances.Learning
	if stated == 0 || stated == 1 {
		return 1
	}
	return math.Max(0.5, math.Min(1, stated*at(x, m.learning)))
}

// practice is the average factor on hand work.
func (m *model) practice(x []float64) float64 {
	p := labour.PracticeOf(m.shell)
	p.Rate = m.rate(x)
	f, _ := p.Average(m.shell.Batch) // the shell's own was checked, and any rate from 0.5 to 1 will do
	return f
}

// figures are the man-minutes and money for a shell, preparation and changeover shared over the batch.
func (m *model) figures(x []float64) (minutes, money float64) {
	batch, r := float64(m.shell.Batch), m.shell.Rates
	practice := m.practice(x)
	work := m.seconds(m.all, x, practice) / 60
	once := at(x, m.prepare) * at(x, m.common) / batch
	minutes = work + m.once*once
	money = work*r.Labour/60*(1+r.Overhead/100) + m.oncePaid*once + m.money[0] + m.again(x)*m.money[1]
	money += m.seconds(m.wet, x, practice) / 60 * r.WaterFlow / 1000 * r.Water
	return minutes, money
}
