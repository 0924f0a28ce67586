package sheet

import (
	"context"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// said joins all that sheets say.
func said(t *testing.T, sheets []Sheet) string {
	t.Helper()
	text := ""
	for _, s := range sheets {
		text += checkSafe(t, s)
	}
	return text
}

// nastySample has a name that breaks drawings in every place that holds one.
func nastySample() (*layout.Plan, []view.Panel) {
	plan, panels := sample.Plan()
	bad := func(s *string, what string) { *s = what + `<&">'` }
	sh, st := &plan.Shell, &plan.Stations[0]
	for _, s := range []*string{&sh.Name, &sh.Number, &sh.Revision, &sh.Owner, &sh.Creator, &sh.Approver, &sh.Issued, &sh.Input} {
		bad(s, "h")
	}
	bad(&st.ID, "st")
	bad(&st.Name, "sn")
	bad(&st.Jig, "jig")
	bad(&st.Makes, "mk")
	for i := range plan.Panels {
		p := &plan.Panels[i]
		bad(&p.ID, fmt.Sprint("p", i))
		for _, s := range []*string{&p.Name, &p.Steel, &p.Grade, &p.Coating} {
			bad(s, "q")
		}
		panels[i].ID, st.Present[i], p.Station = p.ID, p.ID, st.ID
	}
	st.Arrives = st.Present
	for i := range st.Clamps {
		bad(&st.Clamps[i].ID, fmt.Sprint("C", i))
	}
	for i := range st.Dowels {
		bad(&st.Dowels[i].ID, fmt.Sprint("D", i))
	}
	for i := range st.HoldPoints {
		for _, s := range []*string{&st.HoldPoints[i].ID, &st.HoldPoints[i].Text, &st.HoldPoints[i].Before} {
			bad(s, "H")
		}
	}
	for i := range st.Steps {
		bad(&st.Steps[i].Text, "do ")
		st.Steps[i].Do = `do<&">'`
	}
	for i := range plan.Joints {
		bad(&plan.Joints[i].ID, fmt.Sprint("j", i))
		plan.Joints[i].Station = st.ID
	}
	for i := range plan.Runs {
		r := &plan.Runs[i]
		for _, s := range []*string{&r.Joint, &r.Gun, &r.Tip, &r.Setting} {
			bad(s, *s)
		}
		r.Step += `<&">'`
		r.Station = st.ID
	}
	for i := range plan.Welds {
		w := &plan.Welds[i]
		for _, s := range []*string{&w.Joint, &w.Gun, &w.Tip, &w.Setting, &w.Waits} {
			bad(s, *s)
		}
		w.Station, w.Sheets = st.ID, []string{st.Present[0], st.Present[1]}
	}
	for i := range plan.Seams {
		r := &plan.Seams[i]
		for _, s := range []*string{&r.ID, &r.Joint, &r.Roller, &r.Setting} {
			bad(s, *s)
		}
		r.Station = st.ID
	}
	for i := range plan.Guns {
		bad(&plan.Guns[i].ID, plan.Guns[i].ID)
		bad(&plan.Guns[i].Name, "gn")
		bad(&plan.Guns[i].Letter, "L")
	}
	for i := range plan.Tips {
		bad(&plan.Tips[i].ID, plan.Tips[i].ID)
		bad(&plan.Tips[i].Name, "tn")
	}
	for i := range plan.Settings {
		bad(&plan.Settings[i].ID, plan.Settings[i].ID)
		bad(&plan.Settings[i].Stack, "stk")
	}
	for i := range plan.Findings {
		f := &plan.Findings[i]
		for _, s := range []*string{&f.Rule, &f.Where, &f.Remedy, &f.Unit} {
			bad(s, "fd")
		}
		f.Station = st.ID
	}
	return plan, panels
}

func TestNastyNamesEverywhere(t *testing.T) {
	plan, panels := nastySample()
	sheets, err := Station(context.Background(), plan, panels, plan.Stations[0].ID, Options{Size: paper.A3})
	if err != nil {
		t.Fatal(err)
	}
	text := said(t, sheets)
	for _, what := range []string{"h", "sn", "jig", "mk", "p0", "q", "C0", "D0", "H", "do", "rail", "lamp", "gn", "L", "tn", "S1", "stk",
		"fd", "R1"} {
		if !strings.Contains(text, what+`<&">'`) {
			t.Errorf("%s<&\">' is not on the sheets as it was", what)
		}
	}
	for _, s := range sheets {
		if strings.Contains(s.Name, "<") || strings.Contains(s.Name, `"`) {
			t.Errorf("file name %q", s.Name)
		}
		var page struct {
			XMLName xml.Name `xml:"svg"`
			Title   string   `xml:"title"`
		}
		if err := xml.Unmarshal(s.SVG, &page); err != nil || !strings.Contains(page.Title, `sn<&">'`) {
			t.Errorf("%s: title %q, %v", s.Name, page.Title, err)
		}
	}
}

// The map says which plan it is of, as words and as a code of the same size whatever the names are.
func TestHashAndCode(t *testing.T) {
	plan, panels := sample.Plan()
	want, err := Hash(plan)
	if err != nil || len(want) != 64 {
		t.Fatalf("hash %q, %v", want, err)
	}
	sheets := drawSample(t, Options{})
	for _, s := range sheets {
		if text := checkSafe(t, s); !strings.Contains(text, "Plan "+want) || !strings.Contains(text, "Input "+plan.Shell.Input) {
			t.Errorf("%s does not name its plan and input", s.Name)
		}
		code := 0
		for _, l := range s.Page.Layers {
			if l.Name == "code" {
				code += len(l.Items)
			}
		}
		if code != 1 {
			t.Errorf("%s has %d codes", s.Name, code)
		}
	}
	plan.Welds[0].Position[0] += 0.5
	if again, err := Hash(plan); err != nil || again == want {
		t.Errorf("another plan has the same hash %s, %v", again, err)
	}
	for _, name := range []string{"", "SW-1", strings.Repeat("Größe ", 40)} {
		plan.Shell.Number, plan.Shell.Revision, plan.Stations[0].ID = name, name, "st"+name
		j, err := collect(context.Background(), layout.NewIndex(plan), panels, "st"+name, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := j.identify(want); err != nil {
			t.Fatal(err)
		}
		if n := j.code.Modules(); float64(n)*leastModule > codeSide {
			t.Errorf("number of %d bytes: %d modules of %g mm are more than %g mm", len(name), n, leastModule, codeSide)
		}
	}
}

func TestTiltedGunsAreSaid(t *testing.T) {
	plan, panels := sample.Plan()
	for i := 8; i < 12; i++ {
		plan.Welds[i].Tilt = 7.6
	}
	plan.Welds[40].Tilt = 12
	plan.Welds[41].Tilt = 0.2 // nobody sees that
	sheets, err := Station(context.Background(), plan, panels, "st10", Options{Size: paper.A3})
	if err != nil {
		t.Fatal(err)
	}
	text := said(t, sheets)
	for _, want := range []string{"Gun tilted off square", "9–12\n", "8°", "41\n", "12°", "stroke: gun tilted"} {
		if !strings.Contains(text, want) {
			t.Errorf("no sheet says %q", want)
		}
	}
	strokes := 0
	for _, s := range sheets {
		if n := overlaps(t, s, paper.A3.Frame()); n != (count{}) {
			t.Errorf("%s: %+v", s.Name, n)
		}
		for _, l := range s.Page.Layers {
			if strings.HasPrefix(l.Name, "view ") && strings.HasSuffix(l.Name, "tilt strokes") {
				strokes += len(l.Items)
			}
		}
	}
	if strokes != 5 {
		t.Errorf("%d strokes, want 5", strokes)
	}
	if strings.Contains(said(t, drawSample(t, Options{})), "tilted") {
		t.Error("the sample tilts no gun, but its sheets speak of it")
	}
}

// A picture says what its part weighs: the sum of its panels.
func TestPicturesSayTheMass(t *testing.T) {
	plan, panels := sample.Plan()
	for i := range plan.Panels {
		plan.Panels[i].Mass = 1.25 * float64(i+1)
	}
	sheets, err := Station(t.Context(), plan, panels, plan.Stations[0].ID, Options{Size: paper.A3})
	if err != nil {
		t.Fatal(err)
	}
	text := said(t, sheets)
	for _, id := range plan.Stations[0].Arrives {
		mass := 0.0
		for _, p := range plan.Panels {
			if slices.Contains(plan.PanelsOf(id), p.ID) {
				mass += p.Mass
			}
		}
		if want := words.Number(mass, 1) + " kg"; !(mass > 0) || !strings.Contains(text, ", "+want+"\n") {
			t.Errorf("%s: no %s on the sheets", id, want)
		}
	}
}

// Each part that arrives and the one that leaves has its picture, and nothing of it leaves its frame.
func TestPicturesOfParts(t *testing.T) {
	plan, _ := sample.Plan()
	pictures := map[string]bool{}
	for _, s := range drawSample(t, Options{Size: paper.A3}) {
		for _, l := range s.Page.Layers {
			if !strings.HasPrefix(l.Name, "picture ") {
				continue
			}
			pictures[strings.Fields(l.Name)[1]] = pictures[strings.Fields(l.Name)[1]] || len(l.Items) > 0
			for _, it := range l.Items {
				if b := it.Box(); b.Width() > thumbWide+0.3 || b.Height() > thumbHigh+0.3 {
					t.Errorf("%s: an item of %.1f x %.1f mm", l.Name, b.Width(), b.Height())
				}
			}
		}
	}
	if len(pictures) != len(plan.Stations[0].Arrives)+1 {
		t.Errorf("%d pictures, want %d and one", len(pictures), len(plan.Stations[0].Arrives))
	}
	for n, drawn := range pictures {
		if !drawn {
			t.Errorf("picture %s is empty", n)
		}
	}
	if text := said(t, drawSample(t, Options{Size: paper.A3})); strings.Count(text, "\narrives\n") != 7 || strings.Count(text,
		"\nleaves\n") != 1 {
		t.Error("arrives and leaves are not said of each part")
	}
}

// A station that fits on A4 gets it; a larger one does not, and a stated size is kept to.
func TestSizeByNeed(t *testing.T) {
	plan, panels := sample.Plan()
	st := &plan.Stations[0]
	st.Steps, st.Clamps, st.HoldPoints, st.Arrives = st.Steps[:4], nil, nil, []string{"nose", "lamp-ring"}
	st.Present = st.Arrives
	plan.Seams = nil
	plan.Runs = plan.Runs[len(plan.Runs)-1:]
	plan.Findings = nil
	ring := plan.Welds[:0:0]
	for _, w := range plan.Welds {
		if w.Flange == "f3" {
			w.Number = len(ring) + 1
			ring = append(ring, w)
		}
	}
	plan.Welds = ring
	plan.Runs[0].From, plan.Runs[0].To = 1, len(ring)
	st.Dowels = nil
	for _, c := range []struct {
		opt  Options
		want paper.Size
	}{{Options{}, paper.A4}, {Options{Size: paper.A2}, paper.A2}} {
		sheets, err := Station(context.Background(), plan, panels, "st10", c.opt)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			if s.Page.Width != c.want.Width || len(sheets) > 6 {
				t.Errorf("%s of %d is %g mm wide, want %s", s.Name, len(sheets), s.Page.Width, c.want.Name)
			}
			if n := overlaps(t, s, c.want.Frame()); n != (count{}) || s.Labels.Unplaced > 0 {
				t.Errorf("%s: %+v %+v", s.Name, n, s.Labels)
			}
		}
	}
	big, many := sample.Cabin()
	sheets, err := Station(context.Background(), big, many, "st10", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if sheets[0].Page.Width <= paper.A4.Width {
		t.Error("a cabin of 180 welds is drawn on A4")
	}
}

// The first sheet says in full what a plan may be used for, however long that is.
func TestStandingInFull(t *testing.T) {
	plan, panels := sample.Plan()
	plan.Shell.Status = layout.Demonstration
	for range 10000 {
		plan.Findings = append(plan.Findings, layout.Finding{Severity: layout.Broken, Rule: "pitch.least", Station: "elsewhere"})
	}
	sheets, err := Station(t.Context(), plan, panels, plan.Stations[0].ID, Options{Size: paper.A4})
	if err != nil {
		t.Fatal(err)
	}
	if text := checkSafe(t, sheets[0]); !strings.Contains(text, plan.Standing()+"\n") || !strings.Contains(plan.Standing(), "1000") {
		t.Errorf("%q is not on the first sheet", plan.Standing())
	}
	if n := overlaps(t, sheets[0], paper.A4.Frame()); n != (count{}) {
		t.Errorf("%+v", n)
	}
}

// tenThousand is a station of 10,000 welds in 100 runs between two plates, whose names have 200 letters.
func tenThousand() (*layout.Plan, []view.Panel) {
	long := func(s string) string { return s + strings.Repeat("-name", 40) }
	plan := sample.Bare()
	st := &plan.Stations[0]
	st.Clamps, st.Dowels, st.Name, st.Jig, st.Makes = nil, nil, long("station"), long("jig"), long("front")
	st.HoldPoints = []layout.HoldPoint{{ID: "H1", Text: long("width"), Before: long("rail"), Value: 1999.75, Tolerance: 0.25,
		At: layout.Vec{0, 0, 0}, To: layout.Vec{0, 1999.75, 0}}}
	plan.Shell.Name, plan.Shell.Number, plan.Findings = long("shell"), long("number"), nil
	var panels []view.Panel
	for i, id := range []string{long("lower"), long("upper")} {
		panels = append(panels, view.NewPanel(id, near.NewShape(sample.Loft(id, [][2]float64{{-20, float64(i)}, {2020, float64(i)}}, 0, 2600,
			4)), 1))
		plan.Panels = append(plan.Panels, layout.Panel{ID: id, Name: long("name"), Grade: "DC04", Thickness: 1, Station: st.ID})
		st.Present = append(st.Present, id)
	}
	st.Arrives = st.Present
	plan.Joints = []layout.Joint{{ID: long("joint"), Name: long("joint in words"), Station: st.ID, Panels: st.Present}}
	b := &sample.Builder{Plan: plan}
	for row := range 100 {
		flange, y := fmt.Sprint(long("f"), "/", row), 20*float64(row)
		b.Begin(plan.Joints[0].ID, flange, "c-350", "dome", "S1", layout.Fill, 25)
		for k := range 100 {
			b.Weld(r3.Vector{X: 20 + 25*float64(k), Y: y, Z: 0.5}, r3.Vector{Z: 1}, 25*float64(k), st.Present...)
		}
		plan.Flanges = append(plan.Flanges, layout.Flange{ID: flange, Joint: plan.Joints[0].ID, Panels: st.Present, Length: 2520,
			Line: sample.WeldLine([]layout.Vec{{20, y, 0.5}, {2520, y, 0.5}})})
	}
	b.Finish()
	st.Steps = []layout.Step{{Do: layout.DoFill, Text: long("fill")}}
	for _, r := range plan.Runs {
		st.Steps[0].Runs = append(st.Steps[0].Runs, r.ID)
	}
	st.Welds = len(plan.Welds)
	return plan, panels
}

// A sheet of 10,000 welds and names of 200 letters: every weld is drawn, nothing lies over another, and what finds no room is counted.
func TestTenThousandWelds(t *testing.T) {
	plan, panels := tenThousand()
	sheets, err := Station(t.Context(), plan, panels, "st10", Options{Size: paper.A1, Hash: "x"})
	if err != nil {
		t.Fatal(err)
	}
	marks := 0
	for _, s := range sheets {
		checkSafe(t, s)
		marks += weldMarks(s)
		t.Log(s.Name, s.Labels, s.Views)
		if n := overlaps(t, s, paper.A1.Frame()); n != (count{}) {
			t.Errorf("%s: %+v", s.Name, n)
		}
	}
	if marks != 10000 {
		t.Errorf("%d welds are drawn", marks)
	}
	text := said(t, sheets)
	wanted := []string{"1999.75\n", "± 0.25\n"}
	for _, r := range plan.Runs {
		wanted = append(wanted, "\n"+words.Span(r.From, r.To)+" A S1") // its call-out, or the list of those that found no room
	}
	for _, want := range wanted {
		if !strings.Contains(text, want) {
			t.Errorf("no sheet says %q", want)
		}
	}
}
