package quote_test

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/layout/quote"
	"seamwright/seams/shell"
)

// only keeps the doubt about some inputs and takes it from all others.
func only(sh *shell.Shell, keep map[string]float64) {
	sh.Spreads = nil
	for _, id := range shell.SpreadIDs() {
		sh.Spreads = append(sh.Spreads, shell.Spread{ID: id, Pct: keep[id]})
	}
}

func of(t testing.TB, sh *shell.Shell, opt quote.Options) quote.Quote {
	t.Helper()
	q, err := quote.Of(t.Context(), sample.Cab(sh), sh, opt)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// The plan's range is the quote's, figure for figure.
func TestSettle(t *testing.T) {
	sh := sample.Works()
	p := sample.Cab(sh)
	opt := quote.Options{Seed: 7, Trials: 500}
	if err := quote.Settle(t.Context(), p, sh, opt); err != nil {
		t.Fatal(err)
	}
	q, s := of(t, sh, opt), p.Cost.Spread
	if s.Trials != 500 || s.Seed != 7 || s.MinutesP50 != q.Minutes.P50 || s.MinutesP80 != q.Minutes.P80 || s.ShellP50 != q.CostPerShell.P50 ||
		s.ShellP80 != q.CostPerShell.P80 ||
		s.BatchP50 != q.CostPerBatch.P50 || s.BatchP80 != q.CostPerBatch.P80 || len(s.Movers) != len(q.Movers) {
		t.Errorf("%+v, want %+v", s, q)
	}
	for i, m := range s.Movers {
		if q := q.Movers[i]; m.ID != q.ID || m.Off != q.Pct || m.Low != q.Low || m.High != q.High || m.Source != q.Source {
			t.Errorf("mover %d: %+v, want %+v", i, m, q)
		}
	}
	if err := quote.Settle(t.Context(), p, sh, quote.Options{Trials: -1}); err == nil {
		t.Error("no error for -1 drawings")
	}
}

// The planned figures are those of the estimate, whatever the file states. Each line of an estimate is rounded to
// 0.0001 min and 0.0001 of money; the plan has fewer than 200 lines.
func TestPlannedIsTheEstimate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sh := sample.Works()
		sh.Batch = rapid.IntRange(1, 200).Draw(t, "batch")
		sh.Allowances.Learning = rapid.SampledFrom([]float64{0.8, 0.95, 1}).Draw(t, "learning")
		for _, v := range []*float64{&sh.Allowances.Rework, &sh.Elements.Position, &sh.Elements.Fit, &sh.Elements.Gauge, &sh.Elements.TipChange,
			&sh.Elements.Squeeze, &sh.Elements.Coupons, &sh.Rates.Water, &sh.Rates.Utilisation, &sh.Rates.JigWork, &sh.Stations[1].Prepare} {
			*v = rapid.Float64Range(0, 60).Draw(t, "value")
		}
		sh.Elements.MoveSpeed = rapid.Float64Range(20, 400).Draw(t, "speed")
		p := sample.Cab(sh)
		q, err := quote.Of(t.Context(), p, sh, quote.Options{Trials: 1})
		if err != nil {
			t.Fatal(err)
		}
		_, cost, err := labour.Estimate(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(q.Minutes.Planned-cost.MinutesPerShell) <= 0.01) || !(math.Abs(q.CostPerShell.Planned-cost.CostPerShell) <= 0.03) {
			t.Fatalf("planned %v min and %v, estimated %v and %v", q.Minutes.Planned, q.CostPerShell.Planned, cost.MinutesPerShell,
				cost.CostPerShell)
		}
	})
}

func TestWithoutDoubtThereIsNoRange(t *testing.T) {
	sh := sample.Works()
	only(sh, nil)
	q := of(t, sh, quote.Options{Trials: 50})
	if q.CostPerShell.P50 != q.CostPerShell.Planned || q.CostPerShell.P80 != q.CostPerShell.Planned || len(q.Movers) != 0 {
		t.Errorf("%+v", q)
	}
}

// With one doubtful input the percentiles follow from the log-normal distribution by hand: the work that hangs on it
// times the quantile, the rest as it stands. z of 80 % is 0.8416.
func TestOneDoubtfulInput(t *testing.T) {
	sh := sample.Works()
	only(sh, map[string]float64{"fit_s_per_m": 45})
	q := of(t, sh, quote.Options{Trials: 40_000, Seed: 2})
	without := *sh
	without.Elements.Fit = 0
	_, rest, err := labour.Estimate(t.Context(), sample.Cab(sh), &without)
	if err != nil {
		t.Fatal(err)
	}
	hangs := q.CostPerShell.Planned - rest.CostPerShell
	variance := math.Log(1 + 0.45*0.45)
	for name, test := range map[string]struct{ got, z float64 }{"P50": {q.CostPerShell.P50, 0}, "P80": {q.CostPerShell.P80, 0.8416}} {
		want := rest.CostPerShell + hangs*math.Exp(math.Sqrt(variance)*test.z-variance/2)
		if !(math.Abs(test.got-want) <= 0.02*hangs) {
			t.Errorf("%s: %v, want %v", name, test.got, want)
		}
	}
	if !(math.Abs(q.CostPerShell.Mean-q.CostPerShell.Planned) <= 0.02*hangs) || len(q.Movers) != 1 || q.Movers[0].ID != "fit_s_per_m" {
		t.Errorf("mean %v, planned %v, movers %v", q.CostPerShell.Mean, q.CostPerShell.Planned, q.Movers)
	}
}

// Each mover's ends are what an estimate with that value gives.
func TestMoversAreEstimates(t *testing.T) {
	sh := sample.Works()
	q := of(t, sh, quote.Options{Trials: 1})
	if !slices.IsSortedFunc(q.Movers, func(a, b quote.Mover) int { return int(math.Copysign(1, b.Swing-a.Swing)) }) || len(q.Movers) < 15 {
		t.Fatalf("%d movers: %+v", len(q.Movers), q.Movers)
	}
	for id, high := range map[string]func(*shell.Shell, float64){
		"position_s":    func(sh *shell.Shell, f float64) { sh.Elements.Position *= f },
		"gauge_s":       func(sh *shell.Shell, f float64) { sh.Elements.Gauge *= f },
		"rework_pct":    func(sh *shell.Shell, f float64) { sh.Allowances.Rework *= f },
		"prepare_min":   func(sh *shell.Shell, f float64) { scale(sh.Stations, f) },
		"move_mm_per_s": func(sh *shell.Shell, f float64) { sh.Elements.MoveSpeed *= f },
	} {
		i := slices.IndexFunc(q.Movers, func(m quote.Mover) bool { return m.ID == id })
		m := q.Movers[i]
		variance := math.Log(1 + m.Pct*m.Pct/1e4)
		factor := math.Exp(math.Sqrt(variance)*1.2815515655446004 - variance/2)
		other := sample.Works()
		high(other, factor)
		_, cost, err := labour.Estimate(t.Context(), sample.Cab(other), other)
		if err != nil {
			t.Fatal(err)
		}
		want := m.High
		if id == "move_mm_per_s" {
			want = m.Low
		}
		if !(math.Abs(cost.CostPerShell-want) <= 0.03) {
			t.Errorf("%s x %.3f: %v, the mover says %v to %v", id, factor, cost.CostPerShell, m.Low, m.High)
		}
	}
	i := slices.IndexFunc(q.Movers, func(m quote.Mover) bool { return m.ID == "learning" })
	other := sample.Works()
	other.Allowances.Learning = math.Min(1, 0.95*(1+0.02*1.2815515655446004))
	_, cost, err := labour.Estimate(t.Context(), sample.Cab(other), other)
	if err != nil || !(math.Abs(cost.CostPerShell-q.Movers[i].High) <= 0.03) {
		t.Errorf("learning: %v (%v), the mover says %v", cost.CostPerShell, err, q.Movers[i].High)
	}
}

func scale(list []shell.Station, f float64) {
	for i := range list {
		list[i].Prepare *= f
		list[i].Change *= f
	}
}

func TestSameSeedSameQuote(t *testing.T) {
	first, again := of(t, sample.Works(), quote.Options{Seed: 5}), of(t, sample.Works(), quote.Options{Seed: 5})
	if !reflect.DeepEqual(first, again) {
		t.Error("two quotes of one seed differ")
	}
	other := of(t, sample.Works(), quote.Options{Seed: 6})
	if other.CostPerShell.P80 == first.CostPerShell.P80 || !(math.Abs(other.CostPerShell.P80/first.CostPerShell.P80-1) <= 0.01) {
		t.Errorf("P80 of %v and %v by another seed", first.CostPerShell.P80, other.CostPerShell.P80)
	}
	if !(first.CostPerShell.P50 < first.CostPerShell.P80) || first.CostPerBatch.P80 != layout.Times(first.CostPerShell.P80, 24) ||
		first.Trials != quote.DefaultTrials {
		t.Errorf("%+v", first)
	}
}

// The factors on the stations' times have the mean 1 and move together, since the same elements are done at all.
func TestScales(t *testing.T) {
	sh := sample.Works()
	p := sample.Cab(sh)
	scales, err := quote.Scales(t.Context(), p, sh, quote.Options{Trials: 4000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	mean, both := [3]float64{}, 0.0
	for _, f := range scales {
		for i := range mean {
			mean[i] += f[i] / 4000
		}
		both += (f[0] - 1) * (f[1] - 1) / 4000
	}
	for i, m := range mean {
		if !(math.Abs(m-1) <= 0.01) {
			t.Errorf("station %d: mean factor %v", i, m)
		}
	}
	if both <= 0 {
		t.Errorf("the stations' factors vary apart: covariance %v", both)
	}
}

func TestErrors(t *testing.T) {
	sh := sample.Works()
	if _, err := quote.Of(t.Context(), sample.Cab(sh), sh, quote.Options{Trials: -1}); err == nil {
		t.Error("no error for -1 trials")
	}
	sh.Batch = 0
	_, err := quote.Of(t.Context(), sample.Cab(sample.Works()), sh, quote.Options{})
	if err == nil || !strings.Contains(err.Error(), "batch is 0") {
		t.Errorf("%v", err)
	}
}

func ExampleOf() {
	sh := sample.Works()
	q, err := quote.Of(context.Background(), sample.Cab(sh), sh, quote.Options{Seed: 1})
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("planned %.0f %s a shell; four times in five less than %.0f\n", q.CostPerShell.Planned, q.Currency, q.CostPerShell.P80)
	fmt.Println("moved most by", q.Movers[0].ID)
	// Output:
	// planned 258 EUR a shell; four times in five less than 297
	// moved most by common
}

func BenchmarkOf(b *testing.B) {
	for _, welds := range []int{410, 4000, 10_000} {
		sh := sample.Works()
		p := sample.Cab(sh)
		for i := len(p.Welds); i < welds; i++ {
			w := p.Welds[i%410]
			w.Number += i
			p.Welds = append(p.Welds, w)
		}
		b.Run(fmt.Sprintf("welds=%d", welds), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := quote.Of(context.Background(), p, sh, quote.Options{Seed: 1}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What all times have in common moves them together: alone, four times in five the minutes come to less than the planned
// ones x exp(0.8416 s - s²/2), s² = ln(1 + 0.15²). Drawn one by one, a few dozen inputs hide each other.
func TestCommonFactor(t *testing.T) {
	sh := sample.Works()
	only(sh, map[string]float64{"common": 15})
	q := of(t, sh, quote.Options{Seed: 3, Trials: 40_000})
	s := math.Sqrt(math.Log1p(0.15 * 0.15))
	if want := math.Exp(0.8416212*s - s*s/2); !(math.Abs(q.Minutes.P80/q.Minutes.Planned-want) <= 0.005) {
		t.Errorf("P80 over planned %v, want %v", q.Minutes.P80/q.Minutes.Planned, want)
	}
	if len(q.Movers) != 1 || q.Movers[0].ID != "common" || q.Movers[0].Value != 1 || q.Movers[0].Low >= q.CostPerShell.Planned ||
		q.Movers[0].High <= q.CostPerShell.Planned {
		t.Errorf("%+v", q.Movers)
	}
	with := of(t, sample.Works(), quote.Options{Seed: 3})
	alone := sample.Works()
	alone.Spreads = append(alone.Spreads, shell.Spread{ID: "common", Pct: 0})
	without := of(t, alone, quote.Options{Seed: 3})
	if a, b := with.Minutes.P80/with.Minutes.P50, without.Minutes.P80/without.Minutes.P50; a < 1.1 || a-1 < 1.3*(b-1) {
		t.Errorf("P80 over P50: %v with what all have in common, %v without", a, b)
	}
}

// Low and high are those of the 10th and the 90th percentile of one input alone.
func TestMoversAreAtTheirPercentiles(t *testing.T) {
	sh := sample.Works()
	only(sh, map[string]float64{"position_s": 30})
	q := of(t, sh, quote.Options{Seed: 5, Trials: 1})
	s := math.Sqrt(math.Log1p(0.3 * 0.3))
	for z, want := range map[float64]float64{-1.2815515655446004: q.Movers[0].Low, 1.2815515655446004: q.Movers[0].High} {
		other := sample.Works()
		other.Elements.Position *= math.Exp(z*s - s*s/2)
		only(other, nil)
		if got := of(t, other, quote.Options{Trials: 1}).CostPerShell.Planned; !(math.Abs(got/want-1) <= 1e-9) {
			t.Errorf("%v deviations off: %v, want %v", z, got, want)
		}
	}
}
