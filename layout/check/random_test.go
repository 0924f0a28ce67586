package check

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/planfile"
	"seamwright/layout/resistance"
	"seamwright/seams/shell"
)

// Whatever stands in a plan, judging it neither panics nor gives numbers that cannot be written; its sums close.
func TestAnyPlanIsJudged(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := on(strap.New(t))
		for range rapid.IntRange(0, 12).Draw(r, "changes") {
			change(r, s)
		}
		in := s.Rules()
		if err := resistance.Strengths(context.Background(), s.Plan, s.Shell, in); err != nil {
			return // a plan that does not belong to the shell
		}
		report, err := Evaluate(context.Background(), s.Plan, s.Shell, in)
		if err != nil {
			return
		}
		s.Plan.Findings = finding.By(in.Book).Waive(report.Findings, s.Shell.Waivers)
		if err := planfile.Round(s.Plan); err != nil {
			r.Fatal(err)
		}
		for _, j := range report.Judged {
			if j.Kept > j.Places || j.Places < 1 {
				r.Fatalf("%+v", j)
			}
		}
		for _, f := range report.Findings {
			if f.Rule == "" || f.Where == "" || f.Source == "" || f.Severity == "" {
				r.Fatalf("%+v", f)
			}
		}
	})
}

// change does one thing to a plan or its shell.
func change(r *rapid.T, s *sample) {
	mm := rapid.Float64Range(-20, 400)
	f := &s.Plan.Flanges[0]
	weld := func() *layout.Weld {
		if len(s.Plan.Welds) == 0 {
			s.AddWeld("strap/1", 10)
		}
		return &s.Plan.Welds[rapid.IntRange(0, len(s.Plan.Welds)-1).Draw(r, "weld")]
	}
	switch rapid.IntRange(0, 17).Draw(r, "change") {
	case 0:
		weld().Along = mm.Draw(r, "along")
	case 1:
		weld().Left = mm.Draw(r, "left")
	case 2:
		weld().Position = layout.Vec{mm.Draw(r, "x"), mm.Draw(r, "y"), mm.Draw(r, "z")}
	case 3:
		s.Plan.Welds = s.Plan.Welds[:rapid.IntRange(0, len(s.Plan.Welds)).Draw(r, "welds")]
	case 4:
		f.Line[rapid.IntRange(0, len(f.Line)-1).Draw(r, "station")].Left = mm.Draw(r, "width")
	case 5:
		f.Line[rapid.IntRange(0, len(f.Line)-1).Draw(r, "station")].Air = rapid.Float64Range(-1, 3).Draw(r, "air")
	case 6:
		strap.SetRight(f, layout.UnknownEdge)
	case 7:
		f.Closed = !f.Closed
	case 8:
		f.Length = rapid.SampledFrom([]float64{0, 1, 300, 1e6}).Draw(r, "length")
	case 9:
		f.Holes = append(f.Holes, layout.Hole{At: layout.Vec{mm.Draw(r, "hole")}, Radius: rapid.Float64Range(0, 50).Draw(r, "radius")})
	case 10:
		s.Shell.Joints[0].Forces = append(s.Shell.Joints[0].Forces, shell.Force{At: [3]float64{mm.Draw(r, "at")},
			Force: [3]float64{mm.Draw(r, "fx"), mm.Draw(r, "fy"), mm.Draw(r, "fz")}, Moment: [3]float64{0, 0, mm.Draw(r, "m")}})
	case 11:
		s.Shell.Joints[0].Load = shell.Load{Shear: rapid.Float64Range(0, 1e5).Draw(r, "shear"), Flow: rapid.Float64Range(0, 100).Draw(r, "flow")}
	case 12:
		s.Shell.Joints[0].Compression = rapid.Float64Range(0, 2000).Draw(r, "stress")
	case 13:
		s.Joint("strap").Kind = rapid.SampledFrom(
			[]layout.JointKind{layout.SpotJoint, layout.RollerJoint, layout.SpotRollerJoint},
		).Draw(
			r,
			"kind",
		)
	case 14:
		s.Plan.Seams = []layout.Seam{{ID: "r", Flange: "strap/1", Roller: "roller", Path: f.Places(), Normals: f.Normals(), Closed: f.Closed,
			Length: f.Length}}
	case 15:
		weld().Tip = ""
		weld().Gun = "nobody's"
	case 16:
		s.Shell.Waivers = append(s.Shell.Waivers, shell.Waiver{Rule: rapid.SampledFrom([]string{"edge.least", "pitch.greatest"}).Draw(r, "rule"),
			Reason: "r", Name: "n"})
	case 17:
		s.Shell.Steels[0].Thickness = rapid.Float64Range(0.1, 10).Draw(r, "thickness")
	}
}
