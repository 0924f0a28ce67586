package crews_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/layout/stations"
)

// twoOnOneJig has four runs far apart, of ten minutes each, and ten minutes of other work.
func twoOnOneJig(guns ...string) *layout.Plan {
	p := &layout.Plan{
		Stations: []layout.Station{{ID: "jig", Crew: 2, Arrives: []string{"a"}, Welds: 4, Steps: []layout.Step{
			{Do: layout.DoLoad, Text: "Load a."}, {Do: layout.DoTack, Runs: []int{1, 2}}, {Do: layout.DoFill, Runs: []int{3, 4}},
			{Do: layout.DoLiftOut}}}},
		Joints: []layout.Joint{{ID: "j", Station: "jig"}},
		Labour: layout.Labour{Stations: []layout.StationLabour{{Station: "jig", Crew: 2, ManMinutes: 50}}, Lines: []layout.Line{
			{Kind: layout.WorkLoad, Station: "jig", Total: 240}, {Kind: layout.WorkAllowances, Station: "jig", Total: 120},
			{Kind: layout.WorkLiftOut, Station: "jig", Total: 240}, {Kind: layout.WorkPosition, Station: "jig", Joint: "j", Total: 2400}}},
	}
	for i := range 4 {
		p.Runs = append(p.Runs, layout.Run{ID: i + 1, Station: "jig", Joint: "j", Gun: guns[i%len(guns)], Minutes: 10})
		p.Welds = append(p.Welds, layout.Weld{Run: i + 1, Station: "jig", Position: layout.Vec{float64(i) * 2000, 0, 0}})
	}
	return p
}

// A crew of two with one gun cannot both weld: 20 + 20 minutes, not half of that. With a gun each they can.
func TestCrewWaitsForTheGun(t *testing.T) {
	for _, c := range []struct {
		guns  []string
		count int // of deep guns
		want  float64
	}{
		{[]string{"deep"}, 1, 5 + 20 + 20 + 2.5},
		{[]string{"deep", "light"}, 1, 5 + 10 + 10 + 2.5},
		{[]string{"deep"}, 2, 5 + 10 + 10 + 2.5},
		{[]string{"deep"}, 0, 5 + 20 + 20 + 2.5}, // none stated: one
	} {
		p := twoOnOneJig(c.guns...)
		if c.count > 0 {
			p.Stations[0].Guns, p.Stations[0].GunCounts = []string{"deep", "light"}, []int{c.count, 1}
		}
		got, err := crews.Crew(context.Background(), p, 0)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(got.Minutes-c.want) <= 1e-6) || !got.Proven {
			t.Errorf("guns %v: %g min, proven %v; want %g", c.guns, got.Minutes, got.Proven, c.want)
		}
		worked := 0.0
		for _, s := range got.Shares {
			worked += s.To - s.From
			if s.Run > 0 && p.Stations[0].Steps[s.Step-1].Runs == nil {
				t.Errorf("%+v: step %d has no runs", s, s.Step)
			}
		}
		if !(math.Abs(worked-50) <= 1e-6) {
			t.Errorf("guns %v: %g man-minutes are shared out, 50 are worked", c.guns, worked)
		}
	}
}

// The one gun goes on with whoever has it; where the work lets it not, giving it away takes time between stretches as within one.
func TestGunIsHandedOverBetweenStretches(t *testing.T) {
	p := twoOnOneJig("deep", "light")
	s := &p.Stations[0]
	s.HandOver = 60
	got, err := crews.Crew(context.Background(), p, 0)
	if err != nil || !(math.Abs(got.Minutes-27.5) <= 1e-6) || !got.Proven {
		t.Errorf("each keeps a gun: %g min, proven %v, %v", got.Minutes, got.Proven, err)
	}
	byGun := map[string]map[int]bool{}
	for _, share := range got.Shares {
		if share.Run > 0 {
			gun := p.Runs[share.Run-1].Gun
			if byGun[gun] == nil {
				byGun[gun] = map[int]bool{}
			}
			byGun[gun][share.Person] = true
		}
	}
	if len(byGun["deep"]) != 1 || len(byGun["light"]) != 1 {
		t.Errorf("guns go from hand to hand: %v", byGun)
	}
	// One person makes two short runs near to each other with both guns; then both guns are used at once.
	p.Welds[1].Position = layout.Vec{300, 0, 0}
	p.Runs[0].Minutes, p.Runs[1].Minutes = 1, 1
	p.Labour.Lines[3].Total = 22 * 60
	p.Labour.Stations[0].ManMinutes = 32
	s.Steps[1].Runs, s.Steps[2].Runs = []int{1, 2}, []int{3, 4}
	got, err = crews.Crew(context.Background(), p, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(got.Minutes-20.5) <= 1e-6) || !(math.Abs(got.Bound-19.5) <= 1e-6) || got.Proven {
		t.Errorf("%g min, bound %g, proven %v: 5, 2, 10 and 2.5, and one minute more for a gun that changes hands", got.Minutes, got.Bound,
			got.Proven)
	}
	s.HandOver = 0
	if got, err = crews.Crew(context.Background(), p, 0); err != nil || !(math.Abs(got.Minutes-19.5) <= 1e-6) || !got.Proven {
		t.Errorf("where that takes nothing: %g min, proven %v, %v", got.Minutes, got.Proven, err)
	}
}

// Welds side by side on a metre leave no room for two.
func TestCrewKeepsApart(t *testing.T) {
	p := twoOnOneJig("deep", "light")
	for i := range p.Welds {
		p.Welds[i].Position = layout.Vec{float64(i) * 100, 0, 0}
	}
	got, err := crews.Crew(context.Background(), p, 0)
	if err != nil || !(math.Abs(got.Minutes-47.5) <= 1e-6) {
		t.Errorf("%g min, %v", got.Minutes, err)
	}
}

// Work besides welding goes on beside what neither waits for it nor it for that, and else has its place in between.
func TestWorkBesideWelding(t *testing.T) {
	for _, c := range []struct {
		before, after []string
		want          float64
	}{
		{nil, []string{"a"}, 5 + 20 + 20 + 2.5},
		{[]string{"j"}, []string{layout.Tacks}, 5 + 20 + 10 + 20 + 2.5},
		{[]string{"j"}, nil, 5 + 20 + 10 + 20 + 2.5 - 10}, // beside the tacks that stand before it
	} {
		p := twoOnOneJig("deep")
		s := &p.Stations[0]
		s.Work = []layout.Work{{ID: "seal", Name: "seal", Before: c.before, After: c.after, Crew: 1, Minutes: 10}}
		s.Steps = slices.Insert(s.Steps, 2, layout.Step{Do: layout.DoWork, Text: "seal.", Work: "seal"})
		p.Labour.Stations[0].ManMinutes = 60
		p.Labour.Lines = append(p.Labour.Lines, layout.Line{Kind: layout.WorkOther, Station: "jig", Total: 600})
		got, err := crews.Crew(context.Background(), p, 0)
		if err != nil {
			t.Fatal(err)
		}
		worked := 0.0
		for _, share := range got.Shares {
			worked += share.To - share.From
		}
		// allowances are laid on all handling in proportion, so that the work's own minutes are a little fewer than ten and those beside more
		if !(math.Abs(got.Minutes-c.want) <= 1) || !(math.Abs(worked-60) <= 1e-6) {
			t.Errorf("before %v, after %v: %g min of %g man-minutes, want about %g", c.before, c.after, got.Minutes, worked, c.want)
		}
	}
}

// Two do together what wants two, for as long as stated.
func TestWorkOfTwo(t *testing.T) {
	p := paid()
	p.Stations[0].Work = []layout.Work{{ID: "w", Name: "Hang the door", Crew: 2, Minutes: 6}, {ID: "v", Name: "Seal it", Crew: 1, Minutes: 3}}
	p.Labour.Lines = append(p.Labour.Lines, layout.Line{Kind: layout.WorkOther, Station: "main", Total: 720},
		layout.Line{Kind: layout.WorkOther, Station: "main", Total: 180})
	p.Labour.Stations[0].ManMinutes += 15
	p.Stations[0].Steps = stations.Steps(p, 0, 5)
	if err := crews.ShareOut(context.Background(), p, nil); err != nil {
		t.Fatal(err)
	}
	for _, s := range p.Stations[0].Steps {
		if s.Do != layout.DoWork {
			continue
		}
		if long := s.To - s.From; s.Work == "w" && (len(s.Persons) != 2 || !(math.Abs(long/6-1) <= 0.2)) ||
			s.Work == "v" && (len(s.Persons) != 1 || !(math.Abs(long/3-1) <= 0.2)) { // allowances are laid on it
			t.Errorf("%+v", s)
		}
	}
}

// The runs of the one gun stay in their order where its setting changes between them, though the crew would be through as soon, or
// sooner, in another.
func TestRunsOfOneGunKeepTheirOrder(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p, n, worked := twoOnOneJig("deep"), 4+rng.IntN(5), 0.0
		steps := p.Stations[0].Steps
		p.Runs, p.Welds, steps[1].Runs, steps[2].Runs = nil, nil, nil, nil
		for i := range n {
			r := layout.Run{ID: i + 1, Station: "jig", Joint: "j", Gun: []string{"deep", "light"}[rng.IntN(2)],
				Setting: []string{"thin", "thick"}[rng.IntN(2)], Minutes: float64(2 + rng.IntN(20))}
			worked += r.Minutes
			steps[1+i*2/n].Runs = append(steps[1+i*2/n].Runs, r.ID)
			p.Runs = append(p.Runs, r)
			p.Welds = append(p.Welds, layout.Weld{Run: r.ID, Station: "jig", Position: layout.Vec{float64(rng.IntN(4)) * 700, 0, 0}})
		}
		p.Stations[0].Welds, p.Labour.Lines[3].Total, p.Labour.Stations[0].ManMinutes = n, worked*60, worked+10
		got, err := crews.Crew(context.Background(), p, 0)
		if err != nil {
			t.Fatal(err)
		}
		begin := map[int]float64{}
		for _, s := range got.Shares {
			if at, ok := begin[s.Run]; !ok || s.From < at {
				begin[s.Run] = s.From
			}
		}
		for i, a := range p.Runs {
			for _, b := range p.Runs[i+1:] {
				if a.Gun == b.Gun && a.Setting != b.Setting && !(begin[a.ID] < begin[b.ID]) {
					t.Errorf("seed %d: run %d begins at %g, run %d of the same gun with another setting at %g", seed, a.ID, begin[a.ID], b.ID, begin[b.ID])
				}
			}
		}
	}
}
