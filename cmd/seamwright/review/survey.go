package review

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/space"
	"seamwright/internal/fileset"
	"seamwright/layout"
	"seamwright/layout/survey"
)

// surveyCall is one call of survey.
type surveyCall struct {
	shell, points, unit, adopt string
	tolerance, reach           float64
	fixed, json                bool
}

// surveyResult is what survey --json prints.
type surveyResult struct {
	survey.Report
	Adopted *adoptResult `json:"adopted,omitempty" about:"what --adopt wrote"`
}

// adoptResult is what --adopt made.
type adoptResult struct {
	Shell    string           `json:"shell" about:"the shell file written"`
	Points   string           `json:"points" about:"and its file of points"`
	Count    int              `json:"count" about:"points in it"`
	LeftOut  []string         `json:"left_out" about:"points that are on no flange"`
	Welds    int              `json:"welds" about:"of the plan made from it"`
	Findings []layout.Finding `json:"findings" about:"rules broken or in doubt, and notes"`
}

// Survey makes the command survey.
func Survey(p *program.Call) *cobra.Command {
	var call surveyCall
	c := &cobra.Command{
		Use:   "survey SHELL POINTS.csv",
		Short: "Compare the plan with weld points measured on an original part",
		Long: `survey compares the planned welds with points measured on an original part, in any frame: x,y,z of one weld on
each line. It finds the best rigid fit, leaves out what does not belong, and pairs points with the welds of their flange one to
one: welds in place, displaced, missing and extra, and the count and mean pitch of each flange.

With --adopt it writes a shell file whose joints are welded where the original was, plans it, and judges it by the rules.`,
		Args: program.Count(2, 2, "a shell file and a file of points"),
		RunE: func(c *cobra.Command, args []string) error {
			call.shell, call.points = args[0], args[1]
			return surveyShell(c.Context(), p, call)
		},
	}
	f := c.Flags()
	f.StringVar(&call.unit, "unit", "", "unit of the points: mm, cm, m, inch or foot; default: as the file's header says, else mm")
	f.Float64Var(&call.tolerance, "tolerance", survey.DefaultTolerance, "mm up to which a weld is in its place")
	f.Float64Var(&call.reach, "reach", 0, "mm up to which a point is a displaced weld; default: half the flange's mean pitch, at most 25")
	f.BoolVar(&call.fixed, "fixed", false, "the points are in the shell's frame: do not move them")
	f.StringVar(&call.adopt, "adopt", "", "write a shell file of this name beside SHELL that is welded at the points, and plan it")
	program.JSONFlags[surveyResult](p, c, &call.json, "print JSON")
	p.Overrides(c)
	return c
}

func surveyShell(ctx context.Context, p *program.Call, call surveyCall) error {
	unit, err := space.ParseUnit(call.unit)
	if err != nil {
		return program.Wrong("--unit: %w", err)
	}
	if !(call.tolerance > 0) || call.tolerance > 1000 {
		return program.Wrong("--tolerance %g: write millimetres above zero, at most 1000", call.tolerance)
	}
	if !(call.reach >= 0) || call.reach > 1000 {
		return program.Wrong("--reach %g: write millimetres from 0, for half the pitch, to 1000", call.reach)
	}
	points, _, notes, err := survey.ReadFile(call.points, unit)
	if err != nil {
		return program.BadInput(err)
	}
	var target adoption
	if call.adopt != "" {
		if target, err = newAdoption(call.shell, call.adopt); err != nil {
			return program.BadInput(err)
		}
	}
	done, err := p.Build(ctx, call.shell)
	if err != nil {
		return err
	}
	if call.adopt != "" && done.Shell.Survey.File != "" {
		return program.Wrong("--adopt: file %s adopts a survey already: start from the shell file without one", call.shell)
	}
	report, err := survey.Compare(done.Plan, points, survey.Options{Tolerance: call.tolerance, Reach: call.reach, Fixed: call.fixed})
	if err != nil {
		return program.BadInput(fmt.Errorf("file %s: %w", call.points, err))
	}
	report.Notes = append(notes, report.Notes...)
	result := surveyResult{Report: *report}
	var adopted *layout.Plan
	if call.adopt != "" {
		if result.Adopted, adopted, err = adoptSurvey(ctx, p, target, report, done.Plan); err != nil {
			return err
		}
	}
	if call.json {
		err = p.PrintJSON(result)
	} else {
		surveyText(p, result)
	}
	if err != nil {
		return err
	}
	if adopted == nil {
		adopted = done.Plan
	}
	return program.Verdict(adopted)
}

// adoption is where --adopt writes.
type adoption struct {
	shell, points string // paths
	text          string // of the shell file, with the survey in it
}

// newAdoption checks the place and words the new shell file before anything is planned.
func newAdoption(shellFile, name string) (adoption, error) {
	out := adoption{shell: filepath.Join(filepath.Dir(shellFile), name)}
	if filepath.Base(name) != name {
		out.shell = name
		if filepath.Clean(filepath.Dir(name)) != filepath.Clean(filepath.Dir(shellFile)) {
			return out, fmt.Errorf("--adopt %s: write it beside %s, since the paths in it start there", name, shellFile)
		}
	}
	ending := filepath.Ext(shellFile)
	if !strings.EqualFold(filepath.Ext(out.shell), ending) {
		return out, fmt.Errorf("--adopt %s: give it the ending %s of %s", name, ending, shellFile)
	}
	if filepath.Clean(out.shell) == filepath.Clean(shellFile) {
		return out, fmt.Errorf("--adopt %s: this is the shell file itself: give another name", name)
	}
	stem := strings.TrimSuffix(filepath.Base(out.shell), filepath.Ext(out.shell))
	out.points = filepath.Join(filepath.Dir(out.shell), stem+"-points.csv")
	text, err := os.ReadFile(shellFile)
	if err != nil {
		return out, fmt.Errorf("file %s: %w", shellFile, fileset.Plain(err))
	}
	out.text, err = withSurvey(string(text), strings.ToLower(ending), filepath.Base(out.points))
	if err != nil {
		return out, fmt.Errorf("--adopt: file %s: %w", shellFile, err)
	}
	return out, nil
}

// withSurvey adds the key survey to the text of a shell file, which keeps its remarks.
func withSurvey(text, ending, points string) (string, error) {
	switch ending {
	case ".yaml", ".yml":
		return strings.TrimRight(text, "\n") + "\n\n# Welded where an original part is welded.\nsurvey:\n  file: " + strconv.Quote(points) +
			"\n", nil
	case ".toml":
		return strings.TrimRight(text, "\n") + "\n\n# Welded where an original part is welded.\n[survey]\nfile = " + strconv.Quote(points) +
			"\n", nil
	case ".json":
		body := strings.TrimRight(text, " \t\r\n")
		if !strings.HasSuffix(body, "}") {
			return "", fmt.Errorf("it does not end with }: mend it first")
		}
		return strings.TrimRight(strings.TrimSuffix(body, "}"), " \t\r\n") + ",\n  \"survey\": {\"file\": " + strconv.Quote(points) + "}\n}\n",
			nil
	}
	return "", fmt.Errorf("its ending %s is not known", ending)
}

// adoptSurvey writes the shell file and its points, and plans it.
func adoptSurvey(ctx context.Context, p *program.Call, to adoption, report *survey.Report, plan *layout.Plan) (*adoptResult, *layout.Plan,
	error) {
	out := &adoptResult{Shell: to.shell, Points: to.points, LeftOut: []string{}, Findings: []layout.Finding{}}
	text, err := adoptedPoints(report, plan, out)
	if err != nil {
		return nil, nil, err
	}
	if out.Count == 0 {
		return nil, nil, program.Wrong("--adopt: none of the points lies on a flange that is spot welded")
	}
	files := program.Output{filepath.Base(to.shell): []byte(to.text), filepath.Base(to.points): text}
	if err := program.Unwritten(fileset.WriteInto(ctx, filepath.Dir(to.shell), files)); err != nil {
		return nil, nil, err
	}
	done, err := p.Build(ctx, to.shell)
	if err != nil {
		return nil, nil, fmt.Errorf("--adopt: %s is written but cannot be planned: %w", to.shell, err)
	}
	out.Welds, out.Findings = len(done.Plan.Welds), done.Plan.Findings
	return out, done.Plan, nil
}

// adoptedPoints is the file of points in the shell's frame, by line of the survey: paired ones with their weld's joint, others
// with that of the flange they lie on. A point further from the weld line than half the flange is wide is left out.
func adoptedPoints(report *survey.Report, plan *layout.Plan, out *adoptResult) ([]byte, error) {
	var text strings.Builder
	text.WriteString("# Welds measured on an original part, in the shell's frame.\n")
	w := csv.NewWriter(&text)
	rows := [][]string{{"x_mm", "y_mm", "z_mm", "joint", "id"}}
	add := func(at layout.Vec, joint, id string) {
		row := make([]string, 0, 5)
		for _, v := range at {
			row = append(row, strconv.FormatFloat(v, 'f', -1, 64))
		}
		rows = append(rows, append(row, joint, id))
	}
	for _, list := range [][]survey.Pair{report.Matched, report.Displaced} {
		for _, x := range list {
			add(x.Measured, x.Joint, x.Point)
		}
	}
	for _, e := range report.Extra {
		if halfWidth(plan, e.Flange) < e.Off || e.Flange == "" {
			out.LeftOut = append(out.LeftOut, e.Point)
			continue
		}
		add(e.Measured, e.Joint, e.Point)
	}
	out.Count = len(rows) - 1
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return []byte(text.String()), nil
}

// halfWidth is half a flange's greatest width; 0 for one that is not spot welded.
func halfWidth(plan *layout.Plan, flange string) float64 {
	for _, f := range plan.Flanges {
		if f.ID != flange {
			continue
		}
		for _, j := range plan.Joints {
			if j.ID == f.Joint && j.Kind != "roller" {
				return f.Width.Greatest / 2
			}
		}
	}
	return 0
}

func surveyText(p *program.Call, r surveyResult) {
	for _, n := range r.Notes {
		p.Warn("note: %s", n)
	}
	fmt.Fprintf(p.Out, "%s: %d points against %d welds: %d in place, %d displaced, %d missing, %d extra; rms %.2f mm\n", r.Shell, r.Points,
		r.Welds,
		len(r.Matched), len(r.Displaced), len(r.Missing), len(r.Extra), r.RMS)
	fmt.Fprintf(p.Out, "fit: turned by %.3f degrees, moved by %.1f, %.1f, %.1f mm (%s; %d pairs used, %d left out)\n\n", r.Fit.Angle,
		r.Fit.Move[0], r.Fit.Move[1], r.Fit.Move[2], r.Fit.How, r.Fit.Used, r.Fit.Left)
	fmt.Fprintf(p.Out, "%-28s %8s %8s %8s %9s %8s %8s %12s %12s\n", "flange", "planned", "measured", "in place", "displaced", "missing",
		"extra", "pitch plan", "measured mm")
	for _, f := range r.Flanges {
		fmt.Fprintf(p.Out, "%-28s %8d %8d %8d %9d %8d %8d %12.1f %12.1f\n", f.Flange, f.Planned, f.Measured, f.Matched, f.Displaced, f.Missing,
			f.Extra, f.Pitch, f.Found)
	}
	for _, d := range r.Displaced {
		fmt.Fprintf(p.Out, "displaced: %s weld %d on %s by %.1f mm (%+.1f along): point %s\n", d.Station, d.Number, d.Flange, d.Distance,
			d.Along, d.Point)
	}
	for _, f := range r.Flanges {
		if slices.Contains(r.NotMeasured, f.Flange) {
			fmt.Fprintf(p.Out, "not measured: flange %s, %s planned, no point on it\n", f.Flange, program.Many(f.Planned, "weld"))
		}
	}
	for _, m := range r.Missing {
		fmt.Fprintf(p.Out, "missing: %s weld %d on %s at %.1f %.1f %.1f\n", m.Station, m.Number, m.Flange, m.At[0], m.At[1], m.At[2])
	}
	for _, e := range r.Extra {
		where := "far from every flange"
		if e.Flange != "" {
			where = fmt.Sprintf("on %s at %.1f mm, %.1f mm off its weld line", e.Flange, e.Along, e.Off)
		}
		fmt.Fprintf(p.Out, "extra: point %s at %.1f %.1f %.1f, %s\n", e.Point, e.Measured[0], e.Measured[1], e.Measured[2], where)
	}
	if a := r.Adopted; a != nil {
		fmt.Fprintf(p.Out, "\nadopted: %s with %d points in %s; %d welds planned\n", a.Shell, a.Count, a.Points, a.Welds)
		for _, id := range a.LeftOut {
			fmt.Fprintf(p.Out, "  left out: point %s, on no flange that is spot welded\n", id)
		}
		for _, f := range a.Findings {
			findingText(p, f)
		}
	}
}
