package planner_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/seams/shell"
)

// demo plans the demo cab.
// day is one shift, minutes.
const day = 8 * 60.0

// The figures that anybody in the trade would expect of the demo at its default rates. All bounds are common
// practice, no source.
func TestDemoTakesWhatItShould(t *testing.T) {
	if testing.Short() {
		t.Skip("plans the whole demo")
	}
	plan, sh := demo(t)
	t.Run("a practised crew of the main jig joins a cab in half a day to one and a half", func(t *testing.T) { joinsInADay(t, plan, sh) })
	t.Run("preparing the set of jigs takes about four days a batch", func(t *testing.T) {
		if days := plan.Labour.PrepareMinutes / day; days < 3.5 || days > 4.5 {
			t.Errorf("%.2f days", days)
		}
	})
	t.Run("hours fall with the batch", func(t *testing.T) { hoursFall(t, plan, sh) })
	t.Run("a saloon of 4,000 spots takes 15 to 60 man-hours", func(t *testing.T) { saloon(t, plan, sh) })
	t.Run("a weld in a run takes 4 to 7 s", func(t *testing.T) { weldInARun(t, plan, sh) })
}

// joinsInADay puts the whole work on a crew as the main jig's, station after station: averaged over the batch and on its last
// cab. People wait for guns, room and each other as the stations' schedules say.
func joinsInADay(t *testing.T, plan *layout.Plan, sh *shell.Shell) {
	i := slices.IndexFunc(plan.Stations, func(s layout.Station) bool { return s.ID == "main-jig" })
	crew := plan.Stations[i].Crew
	crewed := *plan
	crewed.Stations = slices.Clone(plan.Stations)
	crewed.Labour.Stations = slices.Clone(plan.Labour.Stations)
	for k := range crewed.Stations {
		crewed.Stations[k].Crew = crew
	}
	if err := crews.ShareOut(context.Background(), &crewed, nil); err != nil {
		t.Fatal(err)
	}
	elapsed := 0.0
	for _, s := range crewed.Stations {
		elapsed += s.Minutes
	}
	practised, err := labour.PracticeOf(sh).Unit(sh.Batch)
	if err != nil {
		t.Fatal(err)
	}
	average, err := labour.PracticeOf(sh).Average(sh.Batch)
	if err != nil {
		t.Fatal(err)
	}
	for name, days := range map[string]float64{
		"averaged over the batch": elapsed / day,
		"the last of the batch":   elapsed * practised / average / day,
	} {
		if days < 0.5 || days > 1.5 {
			t.Errorf("%s: %.2f days with a crew of %v", name, days, crew)
		}
		t.Logf("%s: %.2f days with a crew of %v", name, days, crew)
	}
}

func hoursFall(t *testing.T, plan *layout.Plan, sh *shell.Shell) {
	work, all := 1e9, 1e9
	for _, batch := range []int{1, 2, 6, 12, 24, 48, 100, 250} {
		l, c, err := inBatch(plan, sh, batch)
		if err != nil {
			t.Fatal(err)
		}
		if l.ManMinutesPerShell >= work || c.MinutesPerShell >= all {
			t.Errorf("batch %d: %.1f man-minutes, %.1f with preparation; before %.1f and %.1f", batch, l.ManMinutesPerShell, c.MinutesPerShell,
				work, all)
		}
		work, all = l.ManMinutesPerShell, c.MinutesPerShell
	}
}

// saloon repeats the demo's stations until 4,000 spots are made, and takes the last part of them in proportion.
func saloon(t *testing.T, plan *layout.Plan, sh *shell.Shell) {
	const spots = 4000
	times := (spots + len(plan.Welds) - 1) / len(plan.Welds)
	big, file := repeated(plan, sh, times)
	l, _, err := inBatch(big, file, sh.Batch)
	if err != nil {
		t.Fatal(err)
	}
	hours := l.ManMinutesPerShell / 60 * spots / float64(l.Welds)
	if l.Welds < spots || hours < 15 || hours > 60 {
		t.Errorf("%.1f man-hours for %d spots of %d", hours, spots, l.Welds)
	}
	t.Logf("%.1f man-hours", hours)
}

// repeated sets so many of the plan's stations, with all that is done there, beside each other.
func repeated(plan *layout.Plan, sh *shell.Shell, times int) (*layout.Plan, *shell.Shell) {
	big, file := *plan, *sh
	big.Stations, big.Joints, big.Flanges, big.Welds, big.Seams, big.Runs, file.Stations = nil, nil, nil, nil, nil, nil, nil
	for k := range times {
		name := func(id string) string { return fmt.Sprintf("%s#%d", id, k) }
		for _, s := range plan.Stations {
			s.ID = name(s.ID)
			big.Stations = append(big.Stations, s)
		}
		for _, s := range sh.Stations {
			s.ID = name(s.ID)
			file.Stations = append(file.Stations, s)
		}
		for _, j := range plan.Joints {
			j.ID = name(j.ID)
			big.Joints = append(big.Joints, j)
		}
		for _, f := range plan.Flanges {
			f.ID = name(f.ID)
			big.Flanges = append(big.Flanges, f)
		}
		for _, w := range plan.Welds {
			w.Station, w.Joint, w.Flange = name(w.Station), name(w.Joint), name(w.Flange)
			big.Welds = append(big.Welds, w)
		}
		for _, r := range plan.Seams {
			r.ID, r.Station, r.Joint, r.Flange = name(r.ID), name(r.Station), name(r.Joint), name(r.Flange)
			big.Seams = append(big.Seams, r)
		}
	}
	return &big, &file
}

// weldInARun adds up what is done at each weld that follows another of its run, before allowances: a portable gun in a
// run takes 4 to 7 s a spot, moving included (memory, no document).
func weldInARun(t *testing.T, plan *layout.Plan, sh *shell.Shell) {
	practice, err := labour.PracticeOf(sh).Average(sh.Batch)
	if err != nil {
		t.Fatal(err)
	}
	settings := map[string]layout.Setting{}
	for _, s := range plan.Settings {
		settings[s.ID] = s
	}
	hand, machine, welds := 0.0, 0.0, 0.0
	for i := 1; i < len(plan.Welds); i++ {
		w, last := plan.Welds[i], plan.Welds[i-1]
		jumps := slices.ContainsFunc(plan.Welds, func(o layout.Weld) bool { // tacks by quarters, or back in the middle
			return o.Run == w.Run && (o.Along-w.Along)*(o.Along-last.Along) < 0
		})
		if w.Run != last.Run || w.Station != last.Station || jumps {
			continue
		}
		s, d := settings[w.Setting], [3]float64{}
		for k := range d {
			d[k] = w.Position[k] - last.Position[k]
		}
		hand += sh.Elements.Position + sh.Elements.Open + math.Hypot(math.Hypot(d[0], d[1]), d[2])/sh.Elements.MoveSpeed
		machine += s.Squeeze + s.Weld + s.Hold
		welds++
	}
	for _, s := range []float64{(hand + machine) / welds, (hand*practice + machine) / welds} {
		if s < 4 || s > 7 {
			t.Errorf("%.2f s", s)
		}
		t.Logf("%.2f s", s)
	}
}

// inBatch reckons a plan's time and money for another batch.
func inBatch(p *layout.Plan, sh *shell.Shell, batch int) (layout.Labour, layout.Cost, error) {
	other, plan := *sh, *p
	other.Batch = batch
	return labour.Estimate(context.Background(), &plan, &other)
}
