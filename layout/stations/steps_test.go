package stations_test

import (
	"fmt"
	"strings"
	"testing"

	"seamwright/internal/onejig"
	"seamwright/layout"
	"seamwright/layout/stations"
)

func words(steps []layout.Step) []string {
	var list []string
	for _, s := range steps {
		list = append(list, string(s.Do)+": "+s.Text)
	}
	return list
}

func TestSteps(t *testing.T) {
	got := words(stations.Steps(onejig.Plan(), 0, 5))
	want := []string{
		"load: Load Sides, 16 kg.",
		"peg: Peg with dowel D1.",
		"clamp: Close clamps C1 and C3.", // nothing lies under C2 yet
		"gauge: Hold point H1: Jig level. Weld on only when it is right.",
		"tack: Tack welds 1 to 3 (3) on joint sill: gun A, tip dome.",
		"release: Open clamp C1.", // weld 4 lies under it; C2 waits for the roof's tacks
		"fill: Weld where the clamps were, weld 4 on joint sill: gun A, tip dome.",
		"gauge: Hold point H2: Screen opening, 812.5 mm ± 0.5 mm. Weld on only when it is right.",
		"load: Load Roof skin (roof), 11 kg.", // after its hold point
		"clamp: Close clamp C2.",
		"tack: Tack welds 5 to 8 (4) on joint cap: gun b, tip narrow.",
		"release: Open clamp C2.",
		"fill: Fill welds 9 to 12 (4) on joint cap: gun b, tip narrow.",
		"roll: Roll seam R1 on joint cap: 2.35 m with roller w at 1.50 m/min, 94 s.",
		"inspect: Look at one weld in 5 (3 of 12) and count them all.",
		"release: Open clamp C3.",
		"lift out: Lift out the shell.",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A step at a hold point says which it is, and no other step does.
func TestStepsNameTheirHoldPoint(t *testing.T) {
	var got []string
	for _, s := range stations.Steps(onejig.Plan(), 0, 5) {
		if (s.Hold != "") != (s.Do == layout.DoGauge) {
			t.Errorf("%+v", s)
		}
		if s.Hold != "" {
			got = append(got, s.Hold)
		}
	}
	if strings.Join(got, " ") != "H1 H2" {
		t.Errorf("%v", got)
	}
}

// A gun's setting is said at each step, and where it is changed.
func TestStepsSayWhereTheSettingChanges(t *testing.T) {
	p := onejig.Plan()
	for i, setting := range map[int]string{0: "S3", 1: "S1", 2: "S2", 3: "S3"} {
		p.Runs[i].Setting = setting
	}
	text := strings.Join(words(stations.Steps(p, 0, 5)), "\n")
	for _, want := range []string{"Tack welds 1 to 3 (3) on joint sill: gun A, tip dome, setting S1.",
		"weld 4 on joint sill: gun A, tip dome, change from setting S1 to S2.",
		"Tack welds 5 to 8 (4) on joint cap: gun b, tip narrow, setting S3.",
		"Fill welds 9 to 12 (4) on joint cap: gun b, tip narrow, setting S3."} {
		if !strings.Contains(text, want) {
			t.Errorf("no step says %q:\n%s", want, text)
		}
	}
}

func TestStepsHoldEveryRunOnce(t *testing.T) {
	var runs []int
	for _, s := range stations.Steps(onejig.Plan(), 0, 0) {
		runs = append(runs, s.Runs...)
	}
	if fmt.Sprint(runs) != "[1 2 3 4]" {
		t.Errorf("runs %v, want 1 to 4 in welding order", runs)
	}
}

// Without tacks nothing holds the sheets but the clamps, so they stay shut until the end.
func TestClampsStayShutWithoutTacks(t *testing.T) {
	p := onejig.Plan()
	for i := range p.Runs {
		p.Runs[i].Step = "fill"
	}
	got := words(stations.Steps(p, 0, 0))
	if at := got[len(got)-2]; at != "release: Open clamps C1, C2 and C3." {
		t.Errorf("got %s", strings.Join(got, "\n"))
	}
}

// A roof that is welded before the hold point cannot be kept out until then.
func TestLatePartIsNotHeldBackWhenItIsWeldedEarlier(t *testing.T) {
	p := onejig.Plan()
	p.Joints[0].Panels = []string{"left", "roof"}
	got := words(stations.Steps(p, 0, 0))
	if got[1] != "load: Load Roof skin (roof), 11 kg." {
		t.Errorf("got %s", strings.Join(got, "\n"))
	}
}

func TestStepsOfAnEmptyStation(t *testing.T) {
	p := &layout.Plan{Stations: []layout.Station{{ID: "s", Makes: "tray",
		HoldPoints: []layout.HoldPoint{{ID: "H", Text: "Flat.", Before: "gone"}}}}}
	got := strings.Join(words(stations.Steps(p, 0, 0)), "\n")
	want := "gauge: Hold point H: Flat. Weld on only when it is right.\ninspect: Look over the work.\nlift out: Lift out tray."
	if got != want {
		t.Errorf("got\n%s", got)
	}
}

// Where the shell names no guns it is said; what no gun reaches is in no step.
func TestStepsTellNobodyToWeldWhatNoGunReaches(t *testing.T) {
	p := onejig.Plan()
	p.Runs[0].Gun = ""
	const unknown = "Fill welds 9 to 12 (4) on joint cap: which gun is not known"
	if got := strings.Join(words(stations.Steps(p, 0, 0)), "\n"); !strings.Contains(got, unknown) {
		t.Error(got)
	}
	p.Runs[0].Blocked = true
	if got := strings.Join(words(stations.Steps(p, 0, 0)), "\n"); strings.Contains(got, "9 to 12") {
		t.Error(got)
	}
}

// Clamps that open one by one: each is opened right before what it hid, the others once that is done.
func TestStepsOpenClampsOneByOne(t *testing.T) {
	p := &layout.Plan{
		Stations: []layout.Station{{ID: "s", OneByOne: true, Arrives: []string{"a"}, Clamps: []layout.Fixture{
			{ID: "C1", Release: layout.AfterTacks},
			{ID: "C2", Release: layout.AfterTacks}, {ID: "C3", Release: layout.AfterTacks}}}},
		Joints: []layout.Joint{{ID: "j", Name: "j", Station: "s", Panels: []string{"a"}}},
	}
	for k, r := range []layout.Run{{Step: layout.Tack, Tacks: layout.TackMiddle, Count: 3},
		{Step: layout.Released, Clamps: []string{"C1"}, Count: 2},
		{Step: layout.Released, Clamps: []string{"C2"}, Count: 2}, {Step: layout.Fill, Count: 4}} {
		r.ID, r.Station, r.Joint, r.Gun = k+1, "s", "j", "A"
		for _, before := range p.Runs {
			r.From = before.To
		}
		r.From++
		r.To = r.From + r.Count - 1
		p.Runs = append(p.Runs, r)
	}
	got := strings.Join(words(stations.Steps(p, 0, 0)), "\n")
	want := "load: Load a.\nclamp: Close clamps C1, C2 and C3.\ntack: Tack welds 1 to 3 (3) on joint j: gun A; lines from the middle " +
		"outwards.\n" +
		"release: Open clamp C1.\nfill: Weld where clamp C1 was, welds 4 to 5 (2) on joint j: gun A.\n" +
		"release: Open clamp C2.\nfill: Weld where clamp C2 was, welds 6 to 7 (2) on joint j: gun A.\n" +
		"release: Open clamp C3.\nfill: Fill welds 8 to 11 (4) on joint j: gun A.\n" +
		"inspect: Look at all 11 welds and count them.\nlift out: Lift out the shell."
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Coupons are asked for as they are counted: one of each, several, or not with each shell.
func TestStepsProveEachTool(t *testing.T) {
	for _, c := range []struct {
		each float64
		want string
	}{
		{0, ""},
		{1, "Weld a test coupon with each of gun A, gun b and roller w and break them open; settings take turns"},
		{1.004, "Weld a test coupon with each of gun A, gun b and roller w and break them open; settings take turns"},
		{2.25, "and break them open, 2.25 with each on one shell; settings take turns"},
		{1.006, "and break them open, 1.01 with each on one shell; settings take turns"},
		{0.333333, "When due, weld a test coupon with each of gun A, gun b and roller w and break them open: 0.33 with each on one shell; set"},
	} {
		p := onejig.Plan()
		p.Labour.Lines = append(p.Labour.Lines, layout.Line{Kind: layout.WorkCoupon, Station: p.Stations[0].ID, Quantity: 3 * c.each})
		first := stations.Steps(p, 0, 5)[0]
		if got := first.Do == layout.DoProve; got != (c.want != "") || got && !strings.Contains(first.Text, c.want) {
			t.Errorf("%g: %+v, want %q", c.each, first, c.want)
		}
	}
}
