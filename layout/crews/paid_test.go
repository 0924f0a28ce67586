package crews_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/seams/shell"
)

// fed is jigs in a row behind two that feed the first of them: a and b make what arrives at c, and so on.
func fed(minutes []float64, crew []int) *layout.Plan {
	p := &layout.Plan{}
	for i, m := range minutes {
		s := layout.Station{ID: string(rune('a' + i)), Makes: "of " + string(rune('a'+i)), Crew: crew[i]}
		for k := range i {
			if k == i-1 || i == 2 {
				s.Arrives = append(s.Arrives, "of "+string(rune('a'+k)))
			}
		}
		if i == 1 {
			s.Arrives = nil
		}
		p.Stations = append(p.Stations, s)
		l := layout.StationLabour{Station: s.ID, Crew: crew[i], Minutes: m, ManMinutes: m * float64(crew[i]), Prepare: 30}
		p.Labour.Stations = append(p.Labour.Stations, l)
		p.Labour.ManMinutesPerShell += l.ManMinutes
		p.Labour.PrepareMinutes += l.Prepare
	}
	return p
}

func paidFor(t require, p *layout.Plan, sh *shell.Shell) layout.Paid {
	flow, err := crews.Flow(p, sh.Batch, sh.WeekHours())
	if err != nil {
		t.Fatal(err)
	}
	p.Flow = flow
	paid, err := crews.Paid(context.Background(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return paid
}

type require interface{ Fatal(args ...any) }

// Two people at jigs of one place each, 10 minutes of work on every shell at three jigs: 30 man-minutes a shell and 30 of preparing
// each jig, and the last two shells end one after the other.
func TestPaidByHand(t *testing.T) {
	p := fed([]float64{10, 10, 10}, []int{1, 1, 1})
	sh := &shell.Shell{Batch: 4, People: 2, Shifts: 2, Rates: shell.Rates{Labour: 60, Overhead: 50, HoursPerWeek: 40}}
	got := paidFor(t, p, sh)
	// 210 man-minutes of work by two: 105 at least; 30 minutes each at a and b, c prepared by one while the other welds.
	if got.Bound != 105 || got.Limit != "people" || got.Minutes < 105 || got.Minutes > 120 || got.Worked != 210 || got.Places != 3 {
		t.Errorf("%+v", got)
	}
	if got.Paid != 2*got.Minutes || !(math.Abs(got.StandBy-(got.Paid-210)/4*1.5) <= 1e-9) ||
		!(math.Abs(got.Weeks-got.Minutes/60/80) <= 1e-12) {
		t.Errorf("%+v", got)
	}
	if got.Jigs[0].Minutes != 70 || !(math.Abs(got.Jigs[0].Share-70/got.Minutes) <= 1e-12) {
		t.Errorf("%+v", got.Jigs)
	}
	sh.People = 1
	if got = paidFor(t, p, sh); got.Minutes != 210 || got.StandBy != 0 { // one person never waits
		t.Errorf("%+v", got)
	}
	p.Labour.Stations[2].Crew = 2
	if _, err := crews.Paid(context.Background(), p, sh); err == nil || !strings.Contains(err.Error(), "crew of station c is 2") {
		t.Errorf("%v", err)
	}
}

// With a crew at each jig the batch takes what the flow says; with fewer people never less than their work or the flow needs.
func TestPaidKeepsItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "jigs")
		minutes, crew, most, places := make([]float64, n), make([]int, n), 0, 0
		for i := range n {
			minutes[i], crew[i] = float64(rapid.IntRange(1, 60).Draw(t, "min")), rapid.IntRange(1, 3).Draw(t, "crew")
			most, places = max(most, crew[i]), places+crew[i]
		}
		p := fed(minutes, crew)
		sh := &shell.Shell{Batch: rapid.IntRange(1, 12).Draw(t, "batch"), Rates: shell.Rates{HoursPerWeek: 40}}
		free := paidFor(t, p, sh)
		if !(math.Abs(free.Minutes-p.Flow.MakespanPrepared) <= 1e-9) {
			t.Fatalf("each jig with its crew: %v, the flow says %v", free.Minutes, p.Flow.MakespanPrepared)
		}
		sh.People = rapid.IntRange(most, places).Draw(t, "people")
		few := paidFor(t, p, sh)
		if few.Minutes < few.Bound-1e-9 || few.Minutes*float64(sh.People) < few.AtJigs-1e-6 || few.Paid < few.Worked-1e-6 {
			t.Fatalf("%+v", few)
		}
		alone := 0.0
		for i := range few.Jigs {
			alone += few.Jigs[i].Minutes
		}
		if few.Minutes > alone+1e-6 { // somebody is always at work
			t.Fatalf("%v, one jig after the other takes %v", few.Minutes, alone)
		}
	})
}

// A batch that practice shortens: the first shell takes its own, longer time.
func TestFirstShellTakesItsOwnTime(t *testing.T) {
	p := fed([]float64{100, 50}, []int{1, 1})
	p.Stations[1].Arrives = []string{"of a"}
	p.Cost.Batch = 4
	p.Labour.Practice = layout.Practice{Rate: 0.8}
	p.Labour.Practised = 0.64
	p.Labour.Stations[0].Hand, p.Labour.Stations[1].Hand = 100, 50 // of the very first shell
	f, err := crews.Flow(p, 4, 40)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(f.FirstShell-(100+36+50+18)) <= 1e-9) || f.BottleneckMinutes != 100 {
		t.Errorf("%+v", f)
	}
	sum := 0.0
	for n := 1; n <= 4; n++ {
		sum += p.ShellMinutes(0, n)
	}
	if !(math.Abs(sum-400) <= 1e-9) {
		t.Errorf("four shells take %v, on the average 100", sum)
	}
}
