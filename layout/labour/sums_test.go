package labour_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"reflect"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/planfile"
	"seamwright/seams/shell"
)

// drawn is a plan and shell file of any size within reason.
func drawn(t *rapid.T) (*layout.Plan, *shell.Shell) {
	p, sh := tray(), bench()
	sh.Batch = rapid.IntRange(1, 200).Draw(t, "batch")
	sh.Allowances.Learning = rapid.SampledFrom([]float64{0, 0.5, 0.8, 0.853, 0.9, 1}).Draw(t, "learning")
	for _, v := range []*float64{&sh.Allowances.Personal, &sh.Allowances.Posture, &sh.Allowances.Contingency, &sh.Allowances.Rework,
		&sh.Rates.Overhead} {
		*v = rapid.Float64Range(0, 40).Draw(t, "per cent")
	}
	for _, v := range []*float64{&sh.Elements.Position, &sh.Elements.LoadPanel, &sh.Elements.Open, &sh.Rates.Labour, &sh.Rates.Energy,
		&sh.Tips[0].Price} {
		*v = rapid.Float64Range(0, 90).Draw(t, "value")
	}
	extra := rapid.IntRange(0, 60).Draw(t, "welds")
	for range extra {
		w := p.Welds[rapid.IntRange(0, 29).Draw(t, "like")]
		w.Position[0] = rapid.Float64Range(-2000, 2000).Draw(t, "x")
		w.Joint = rapid.SampledFrom([]string{"sill-pan", "roof-pan", "unused"}).Draw(t, "joint")
		for _, have := range p.Welds {
			if have.Station == w.Station {
				w.Number = max(w.Number, have.Number+1)
			}
		}
		w.Run = 10 + w.Number/7
		p.Welds = append(p.Welds, w)
		p.Runs = append(p.Runs, layout.Run{ID: w.Run})
	}
	p.Seams[0].Length = rapid.Float64Range(0, 5000).Draw(t, "seam")
	return p, sh
}

// steps counts in the grain of the figures, so that sums are compared exactly.
func steps(v, grain float64) int64 { return int64(math.Round(v / grain)) }

// closes checks that lines, joints, stations and shell add up to the last step.
func closes(t *rapid.T, work layout.Labour, cost layout.Cost) {
	var lines, stations, joints, joined int64
	for _, l := range work.Lines {
		lines += steps(l.Total, 0.006)
		if l.Joint != "" {
			joined += steps(l.Total, 0.006)
		}
	}
	for _, s := range work.Stations {
		stations += steps(s.ManMinutes, 0.0001)
		if parts := steps(s.Weld, 0.0001) + steps(s.Roll, 0.0001) + steps(s.Handling, 0.0001); parts != steps(s.ManMinutes, 0.0001) {
			t.Fatalf("station %s: %d steps of weld, roll and handling, %v minutes", s.Station, parts, s.ManMinutes)
		}
		var here int64
		for _, l := range work.Lines {
			if l.Station == s.Station {
				here += steps(l.Total, 0.006)
			}
		}
		if here != steps(s.ManMinutes, 0.0001) {
			t.Fatalf("station %s: lines add up to %d, it says %v", s.Station, here, s.ManMinutes)
		}
	}
	for _, j := range work.Joints {
		joints += steps(j.ManMinutes, 0.0001)
	}
	if shell := steps(work.ManMinutesPerShell, 0.0001); lines != shell || stations != shell || joints != joined {
		t.Fatalf("lines %d, stations %d, shell %d; joints %d of %d", lines, stations, shell, joints, joined)
	}
	var money, paid, byJoint, ofJoints int64
	for _, l := range cost.Lines {
		money += steps(l.Total, 0.0001)
		if l.Joint != "" {
			byJoint += steps(l.Total, 0.0001)
		}
	}
	for _, s := range work.Stations {
		paid += steps(s.Cost, 0.0001)
	}
	for _, j := range work.Joints {
		ofJoints += steps(j.Cost, 0.0001)
	}
	shell := steps(cost.CostPerShell, 0.0001)
	if money != shell || paid != shell || byJoint != ofJoints || cost.CostPerBatch != layout.Times(cost.CostPerShell, cost.Batch) {
		t.Fatalf("money: lines %d, stations %d, shell %d, batch %v of %d; joints %d of %d", money, paid, shell, cost.CostPerBatch, cost.Batch,
			ofJoints, byJoint)
	}
}

func TestSumsClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sh := drawn(t)
		work, cost, err := labour.Estimate(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		closes(t, work, cost)
		p.Labour, p.Cost, p.Format = work, cost, layout.Format
		var text bytes.Buffer
		if err := planfile.Write(&text, p); err != nil {
			t.Fatal(err)
		}
		read, err := planfile.Read(&text)
		if err != nil {
			t.Fatal(err)
		}
		closes(t, read.Labour, read.Cost)
	})
}

// Every line is its quantity times its each, to the rounding of the line, and says where it comes from.
func TestLinesAreTraceable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sh := drawn(t)
		work, cost, err := labour.Estimate(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		check := func(lines []layout.Line, grain float64) {
			for _, l := range lines {
				if !(math.Abs(l.Quantity*l.Each-l.Total) <= grain/2*(1+1e-9)+1e-9*math.Abs(l.Total)) || l.From == "" || l.Unit == "" || l.What == "" {
					t.Fatal(show(l))
				}
			}
		}
		check(work.Lines, 0.006)
		check(cost.Lines, 0.0001)
	})
}

// The runs of the spots add up to the stations' weld minutes.
func TestRunsAddUpToTheirWelds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sh := drawn(t)
		work, _, err := labour.Estimate(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		var runs, welds int64
		seen := map[int]bool{}
		for _, r := range p.Runs {
			if !seen[r.ID] { // the sample names some runs twice
				runs += steps(r.Minutes, 0.0001)
			}
			seen[r.ID] = true
		}
		for _, s := range work.Stations {
			welds += steps(s.Weld, 0.0001)
		}
		if runs != welds {
			t.Fatalf("runs %d, welds %d", runs, welds)
		}
	})
}

// A larger batch never takes longer or costs more a shell, and with practice it takes less.
func TestHoursFallWithTheBatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sh := drawn(t)
		sh.Allowances.Learning = rapid.SampledFrom([]float64{0.8, 0.9, 0.95, 1}).Draw(t, "rate")
		small, few, err := forBatch(p, sh, sh.Batch)
		if err != nil {
			t.Fatal(err)
		}
		large, many, err := forBatch(p, sh, 2*sh.Batch)
		if err != nil {
			t.Fatal(err)
		}
		fell := large.ManMinutesPerShell < small.ManMinutesPerShell
		if sh.Allowances.Learning == 1 {
			fell = large.ManMinutesPerShell <= small.ManMinutesPerShell // coupons before the batch are shared out
		}
		if !fell || many.MinutesPerShell >= few.MinutesPerShell || many.CostPerShell >= few.CostPerShell {
			t.Fatalf("batch %d: %v min, %v; twice that: %v min, %v", sh.Batch, few.MinutesPerShell, few.CostPerShell, many.MinutesPerShell,
				many.CostPerShell)
		}
	})
}

func TestSameInputSameFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, sh := drawn(t)
		first, money, err := labour.Estimate(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		p.Welds = rapid.Permutation(p.Welds).Draw(t, "order") // numbers say the order, not the place in the list
		second, again, err := labour.Estimate(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(first, second) || !reflect.DeepEqual(money, again) {
			t.Fatal("two estimates differ")
		}
	})
}

// Figures of the cumulative-average model: see the table's own columns for source and certainty. The table is in
// per cent of the first shell, to three decimals.
func TestPracticeHoldsTheLearningCurve(t *testing.T) {
	file, err := os.Open("testdata/learning-cumulative-average.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil || len(rows) != 41 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		rate, _ := strconv.ParseFloat(row[0], 64)
		n, _ := strconv.Atoi(row[1])
		unit, _ := strconv.ParseFloat(row[2], 64)
		average, err := strconv.ParseFloat(row[4], 64)
		if err != nil {
			t.Fatal(err)
		}
		factor, err := labour.Practice{Rate: rate}.Average(n)
		if err != nil || !(math.Abs(100*factor-average) <= 0.00051) {
			t.Errorf("rate %v, %d shells: average %v (%v), want %v", rate, n, 100*factor, err, average)
		}
		last, err := labour.Practice{Rate: rate}.Unit(n)
		if err != nil || !(math.Abs(100*last-unit) <= 0.00051) {
			t.Errorf("rate %v, shell %d: %v (%v), want %v", rate, n, 100*last, err, unit)
		}
	}
}

// Half with each doubling is the steepest curve that is taken: the second shell takes no time.
func TestPracticeTakesTheSteepestRate(t *testing.T) {
	if f, err := (labour.Practice{Rate: 0.5}).Average(4); err != nil || !(math.Abs(f-0.25) <= 1e-12) {
		t.Errorf("four shells average %v, %v; want 0.25", f, err)
	}
	if f, err := (labour.Practice{Rate: 0.5}).Unit(2); err != nil || !(math.Abs(f) <= 1e-12) {
		t.Errorf("the second shell takes %v, %v; want none", f, err)
	}
}

func TestPracticeRefuses(t *testing.T) {
	for _, test := range []struct {
		rate  float64
		batch int
	}{{0.9, 0}, {0.49, 2}, {1.01, 2}, {-1, 2}, {math.NaN(), 2}} {
		if f, err := (labour.Practice{Rate: test.rate}).Average(test.batch); err == nil {
			t.Errorf("rate %v, batch %d: %v", test.rate, test.batch, f)
		}
		if f, err := (labour.Practice{Rate: test.rate}).Unit(test.batch); err == nil {
			t.Errorf("rate %v, unit %d: %v", test.rate, test.batch, f)
		}
	}
}

// What was made before shortens the batch's work, and the plateau ends it: against the sum of the shells one by one.
func TestPracticeGoesOnToAPlateau(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := labour.Practice{
			Rate: rapid.Float64Range(0.5, 0.999).Draw(t, "rate"), Before: rapid.IntRange(0, 60).Draw(t, "before"),
			Plateau: rapid.IntRange(0, 80).Draw(t, "plateau"),
		}
		batch := rapid.IntRange(1, 60).Draw(t, "batch")
		sum := 0.0
		for n := 1; n <= batch; n++ {
			one, err := p.Unit(n)
			if err != nil {
				t.Fatal(err)
			}
			if p.Plateau > 0 && p.Before+n > p.Plateau {
				if at, err := (labour.Practice{Rate: p.Rate}).Unit(p.Plateau); err != nil || !(math.Abs(one-at) <= 1e-9) {
					t.Fatalf("shell %d after the plateau takes %v, the one at it %v (%v)", p.Before+n, one, at, err)
				}
			}
			sum += one
		}
		if got, err := p.Average(batch); err != nil || !(math.Abs(got-sum/float64(batch)) <= 1e-9) {
			t.Fatalf("average %v, %v shell by shell (%v)", got, sum/float64(batch), err)
		}
	})
	for _, p := range []labour.Practice{{Rate: 0.9, Before: -1}, {Rate: 0.9, Plateau: -1}} {
		if f, err := p.Average(3); err == nil {
			t.Errorf("%+v: %v", p, f)
		}
	}
}
