package crews_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"seamwright/internal/onejig"
	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/layout/stations"
)

// paid is the roofing plan with labour of every sort.
func paid() *layout.Plan {
	p := onejig.Plan()
	p.Stations[0].Crew = 2
	line := func(kind layout.LabourKind, joint string, quantity, total float64, tip string) {
		p.Labour.Lines = append(p.Labour.Lines, layout.Line{Kind: kind, Station: "main", Joint: joint, Quantity: quantity,
			Total: total, Tip: tip})
	}
	for _, kind := range []layout.LabourKind{layout.WorkLoad, layout.WorkCarry, layout.WorkPeg, layout.WorkClamp, layout.WorkGauge,
		layout.WorkRelease, layout.WorkTakeTool, layout.WorkChangeTip, layout.WorkChangeSetting, layout.WorkLiftOut, layout.WorkAllowances} {
		line(kind, "", 2, 60, "")
	}
	line(layout.WorkCoupon, "", 3, 300, "")
	for _, joint := range []string{"sill", "cap"} {
		line(layout.WorkPosition, joint, 8, 80, "")
		line(layout.WorkFit, joint, 1.234, 90, "")
		line(layout.WorkMark, joint, 1.234, 30, "")
		line(layout.WorkDressTip, joint, 0.5, 20, "dome")
		line(layout.WorkChangeCaps, joint, 0.004, 2, "dome")
		line(layout.WorkInspect, joint, 1, 12, "")
		line(layout.WorkPractice, joint, 1, -10, "")
	}
	line(layout.WorkRoll, "cap", 1, 94, "")
	p.Tips = []layout.Tip{{ID: "dome", Dress: 200}}
	for i := range p.Runs {
		p.Runs[i].Minutes = 1
	}
	sum := 0.0
	for _, l := range p.Labour.Lines {
		sum += l.Total / 60
	}
	p.Labour.Stations = []layout.StationLabour{{Station: "main", Crew: 2, ManMinutes: sum}}
	p.Stations[0].Steps = stations.Steps(p, 0, 5)
	return p
}

// All that is paid for is a step; marking and fitting wait for the panels of their joint.
func TestPaidWorkIsAStep(t *testing.T) {
	var got []string
	for _, s := range paid().Stations[0].Steps {
		if s.Do == layout.DoProve || s.Do == layout.DoMark || s.Do == layout.DoFit || s.Do == layout.DoDress || s.Do == layout.DoLoad {
			got = append(got, string(s.Do)+": "+s.Text)
		}
	}
	want := []string{
		"prove: Weld a test coupon with each of gun A, gun b and roller w and break them open; settings take turns, on the first shell of the " +
			"batch all of them; once more after new caps. Go on only when the weld is as large as wanted.",
		"load: Load Sides, 16 kg.",
		"mark out: Mark out the weld lines of joint sill, 1.23 m.",
		"fit: Pull the flanges together with hand clamps, look for gaps, and take the clamps off as the welds come: joint sill, 1.23 m.",
		"load: Load Roof skin (roof), 11 kg.",
		"mark out: Mark out the weld lines of joint cap, 1.23 m.",
		"fit: Pull the flanges together with hand clamps, look for gaps, and take the clamps off as the welds come: joint cap, 1.23 m.",
		"dress: Whenever due on the way, dress tip dome after every 200 welds (1 dressings and 0.008 pairs of caps a shell); new caps once worn.",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// Every minute that is paid for is in somebody's share, and nobody does two things at once.
func TestSharesAddUp(t *testing.T) {
	p := paid()
	if err := crews.ShareOut(context.Background(), p, nil); err != nil {
		t.Fatal(err)
	}
	s, sum := p.Stations[0], 0.0
	byStep := map[int]float64{}
	for i, share := range s.Crewing.Shares {
		sum += share.To - share.From
		byStep[share.Step] += share.To - share.From
		if i > 0 && s.Crewing.Shares[i-1].Person == share.Person && share.From < s.Crewing.Shares[i-1].To-1e-9 {
			t.Errorf("%+v begins before %+v ends", share, s.Crewing.Shares[i-1])
		}
	}
	if !(math.Abs(sum-p.Labour.Stations[0].ManMinutes) <= 1e-9) {
		t.Errorf("%g man-minutes are shared out, %g are worked", sum, p.Labour.Stations[0].ManMinutes)
	}
	for k, step := range s.Steps {
		if byStep[k+1] <= 0 || len(step.Persons) == 0 || step.To > s.Minutes+1e-9 {
			t.Errorf("step %d, %s: %g min by %v until %g", k+1, step.Text, byStep[k+1], step.Persons, step.To)
		}
	}
	if s.Minutes != p.Labour.Stations[0].Minutes || s.Minutes < sum/2-1e-9 {
		t.Errorf("%g min at the jig, %g by the labour, %g by hand", s.Minutes, p.Labour.Stations[0].Minutes, sum)
	}
}

// Loading goes on while somebody else proves the settings.
func TestLoadingBesideProving(t *testing.T) {
	p := paid()
	if err := crews.ShareOut(context.Background(), p, nil); err != nil {
		t.Fatal(err)
	}
	prove, load := p.Stations[0].Steps[0], p.Stations[0].Steps[1]
	if prove.Do != layout.DoProve || load.Do != layout.DoLoad || load.From >= prove.To-1e-9 && prove.From >= load.To-1e-9 {
		t.Errorf("%+v, %+v", prove, load)
	}
}

// Coupons are said by how many tools there are and how often each is due.
func TestCouponsOfOneTool(t *testing.T) {
	for coupons, want := range map[float64]string{
		1:    "Weld a test coupon with gun b and break it open; settings take turns",
		2.5:  "Weld a test coupon with gun b and break it open, 2.5 with each on one shell; settings take turns",
		0.25: "When due, weld a test coupon with gun b and break it open: 0.25 with each on one shell; settings take turns",
	} {
		p := paid()
		p.Seams = nil
		for i := range p.Runs {
			p.Runs[i].Gun = p.Runs[0].Gun
		}
		for i := range p.Labour.Lines {
			if p.Labour.Lines[i].Kind == layout.WorkCoupon {
				p.Labour.Lines[i].Quantity = coupons
			}
		}
		step := stations.Steps(p, 0, 5)[0]
		if step.Do != layout.DoProve || !strings.HasPrefix(step.Text, want) {
			t.Errorf("%g coupons: %s, want %s", coupons, step.Text, want)
		}
	}
}
