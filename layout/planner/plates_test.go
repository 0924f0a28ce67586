package planner_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/internal/plates"
	"seamwright/layout"
	"seamwright/layout/resistance"
	"seamwright/seams/inforce"
	"seamwright/seams/roller"
	"seamwright/seams/shellfile"
)

// sheet writes an STL file of quadrilaterals, each given by its corners in turn.
func sheet(t testing.TB, dir, name string, quads ...[4]r3.Vector) {
	t.Helper()
	faces := make([][4]plates.Point, len(quads))
	for i, q := range quads {
		for k, v := range q {
			faces[i][k] = plates.Point{v.X, v.Y, v.Z}
		}
	}
	if err := os.WriteFile(filepath.Join(dir, name), plates.STL(faces...), 0o600); err != nil {
		t.Fatal(err)
	}
}

// flat is a rectangle at a height.
func flat(x0, y0, x1, y1, z float64) [4]r3.Vector {
	return [4]r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}}
}

// lap plans two flat sheets of 1 mm that lap by a width over a length.
func lap(t testing.TB, length, width float64, joint string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, length, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 80-width, length, 160, 1))
	text := "name: lap\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n" +
		"panels: [{id: a, mesh: a.stl, steel: s}, {id: b, mesh: b.stl, steel: s}]\n" +
		"joints:\n  - {id: lap, panels: [a, b], " + joint + "}\n"
	return planText(t, dir, text)
}

func planText(t testing.TB, dir, text string) *layout.Plan {
	t.Helper()
	path := filepath.Join(dir, "shell.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return plan(t, path, 1, nil)
}

func weldsByRow(p *layout.Plan) (n [7]int) {
	for _, w := range p.Welds {
		n[w.Row]++
	}
	return n
}

func findings(p *layout.Plan, rule string) []layout.Finding {
	var out []layout.Finding
	for _, f := range p.Findings {
		if f.Rule == rule {
			out = append(out, f)
		}
	}
	return out
}

// A load that one row cannot carry puts a second row on a lap that is wide enough; every rule is kept, and one weld fewer would
// not carry.
func TestLoadPutsASecondRow(t *testing.T) {
	single := lap(t, 400, 40, "count: 0")
	one := 0.0
	for _, w := range single.Welds {
		one = w.Shear
	}
	if n := weldsByRow(single); n[1]+n[2] > 0 || one <= 0 {
		t.Fatalf("%v, %g N a weld", n, one)
	}
	p := lap(t, 400, 40, fmt.Sprintf("load: {shear_n: %.0f}", 29.5*one))
	n := weldsByRow(p)
	if n[0] != 0 || n[1] == 0 || n[2] == 0 {
		t.Fatalf("rows %v of %d welds", n, len(p.Welds))
	}
	for _, f := range p.Findings {
		if f.Severity == layout.Broken || strings.HasPrefix(f.Rule, "row.") {
			t.Errorf("%s %s: %s: %g, limit %g %s", f.Severity, f.Rule, f.Where, f.Value, f.Limit, f.Unit)
		}
	}
	if u := p.Joints[0].Shear.Utilisation; u > 1+1e-9 || len(p.Welds) > 30 && u < 29.5/float64(len(p.Welds)+1) {
		t.Errorf("%d welds, used %g", len(p.Welds), u)
	}
	for _, r := range p.Runs {
		if r.Count > 2 && (r.Pitch.Least < 10 || r.Pitch.Greatest > 40+1e-3) {
			t.Errorf("run %+v", r)
		}
	}
	t.Logf("%d welds %v, %.0f N each, used %.3f; one row has %d", len(p.Welds), n, one, p.Joints[0].Shear.Utilisation, len(single.Welds))

	p = lap(t, 400, 40, fmt.Sprintf("rows: 1, load: {shear_n: %.0f}", 29.5*one))
	if n := weldsByRow(p); n[1]+n[2] > 0 || len(findings(p, "count.load.least")) != 1 || len(findings(p, "row.width.least")) != 0 {
		t.Errorf("one row asked for: %v", n)
	}
	p = lap(t, 400, 13, fmt.Sprintf("load: {shear_n: %.0f}", 29.5*one))
	if n := weldsByRow(p); n[1]+n[2] > 0 || len(findings(p, "count.load.least")) != 1 || len(findings(p, "row.width.least")) != 1 {
		t.Errorf("too narrow for two: %v, %v", n, p.Findings)
	}
}

// A third sheet lies on the middle of a lap: the pitch is kept over both changes of stack, and no weld stands on one.
func TestThirdSheetOnTheMiddle(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 620, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 62, 620, 160, 1))
	sheet(t, dir, "c.stl", flat(211, 62, 403, 110, 2))
	p := planText(t, dir, "name: lap\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}, {id: c, mesh: c.stl}]\n"+
		"joints: [{id: lap, panels: [a, b, c]}]\n")
	var at []layout.Weld
	for _, w := range p.Welds {
		if w.Position[1] < 80 && w.Position[1] > 62 && slices.Contains(w.Sheets, "a") {
			at = append(at, w)
		}
	}
	slices.SortFunc(at, func(a, b layout.Weld) int { return cmp.Compare(a.Position[0], b.Position[0]) })
	var stacks []int
	for i, w := range at {
		if len(stacks) == 0 || stacks[len(stacks)-1] != len(w.Sheets) {
			stacks = append(stacks, len(w.Sheets))
		}
		if x := w.Position[0]; math.Abs(x-211) < 2.5 || math.Abs(x-403) < 2.5 {
			t.Errorf("a weld at %.1f stands on the change", x)
		}
		if i == 0 {
			continue
		}
		least := 19.0 // 1 mm in the optimum-condition schedule, a third more for three sheets
		if d := w.Position[0] - at[i-1].Position[0]; d > 40+0.01 || d < least-0.1 || d < 1.3*least-0.1 && max(len(w.Sheets),
			len(at[i-1].Sheets)) == 3 {
			t.Errorf("%.1f mm from %.1f (%d sheets) to %.1f (%d sheets)", d, at[i-1].Position[0], len(at[i-1].Sheets), w.Position[0], len(w.Sheets))
		}
	}
	if !slices.Equal(stacks, []int{2, 3, 2}) {
		t.Errorf("stacks along the lap: %v", stacks)
	}
}

// An L-shaped strip is rolled along both legs and spotted round its corner, where the roller cannot turn.
func TestCornerOfARollerSeamIsSpotted(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 400, 400, 0))
	corner := [4]r3.Vector{{X: 384, Y: 0, Z: 1}, {X: 400, Y: 0, Z: 1}, {X: 400, Y: 16, Z: 1}, {X: 384, Y: 16, Z: 1}}
	sheet(t, dir, "b.stl", flat(0, 0, 384, 16, 1), corner, flat(384, 16, 400, 400, 1))
	text := "name: gutter\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n" +
		"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\nrollers: [{id: r, letter: R, wheel_width_mm: 6, wheel_diameter_mm: 150, " +
		"least_radius_mm: 80}]\n" +
		"joints: [{id: seam, panels: [a, b], kind: roller%s}]\n"
	p := planText(t, dir, fmt.Sprintf(text, ""))
	if len(p.Seams) != 2 || p.Seams[0].ID == p.Seams[1].ID || len(p.Welds) == 0 || p.Joints[0].Welds != len(p.Welds) {
		t.Fatalf("%d roller seams, %d welds", len(p.Seams), len(p.Welds))
	}
	var ends [2]r3.Vector
	rolled := 0.0
	for i, r := range p.Seams {
		if r.Closed || r.After != len(p.Welds) || r.Length < 200 {
			t.Errorf("seam %s of %.0f mm after weld %d", r.ID, r.Length, r.After)
		}
		ends[i] = point(r.Path[len(r.Path)-1])
		if d := point(r.Path[0]); d.Distance(r3.Vector{X: 392, Y: 8}) < ends[i].Distance(r3.Vector{X: 392, Y: 8}) {
			ends[i] = d
		}
		rolled += r.Length
	}
	for _, e := range ends { // a spot closes the end of each seam
		least := math.Inf(1)
		for _, w := range p.Welds {
			least = min(least, point(w.Position).Distance(e))
		}
		if least > 1 {
			t.Errorf("the seam's end at %v is %.1f mm from the nearest spot", e, least)
		}
	}
	notes := findings(p, "roller.spotted")
	if len(notes) != 1 || notes[0].Severity != layout.Note || !strings.Contains(notes[0].Where, "turns with a radius") ||
		notes[0].Limit != 80 {
		t.Errorf("%+v", notes)
	}
	for _, f := range p.Findings {
		if f.Severity == layout.Broken {
			t.Errorf("%s: %s: %g, limit %g", f.Rule, f.Where, f.Value, f.Limit)
		}
	}
	for _, set := range p.Settings {
		if set.Kind == layout.RollerSetting && strings.Count(set.Note, roller.Water) != 1 {
			t.Errorf("setting %s says %d times what to do with water: %s", set.ID, strings.Count(set.Note, roller.Water), set.Note)
		}
	}
	t.Logf("%.0f mm rolled in %d seams, %d spots round the corner", rolled, len(p.Seams), len(p.Welds))

	// What stands on the corner keeps spots off as well.
	p = planText(t, dir, fmt.Sprintf(text, ", keep_outs: [{at_mm: [392, 8, 0], radius_mm: 40}]"))
	if open := findings(p, "roller.open"); len(open) != 1 || open[0].Severity != layout.Broken || len(p.Welds) != 0 {
		t.Errorf("%d welds, %+v", len(p.Welds), open)
	}
	if open := findings(p, "pitch.greatest"); len(open) != 1 || !strings.Contains(open[0].Where,
		"neither rolled nor spotted between the roller seam and the roller seam") {
		t.Errorf("%+v", open)
	}
}

// A panel is bent square and lapped on both legs. Welds opposite each other over the bend are near in space and far enough along
// the panel: they stay where they are, the plan says how far apart they are, and the check goes by that.
func TestWeldsOverABendAreMeasuredAlongThePanel(t *testing.T) {
	dir := t.TempDir()
	leg := func(y, z0, z1 float64) [4]r3.Vector {
		return [4]r3.Vector{{X: 0, Y: y, Z: z0}, {X: 400, Y: y, Z: z0}, {X: 400, Y: y, Z: z1}, {X: 0, Y: y, Z: z1}}
	}
	sheet(t, dir, "bent.stl", flat(0, -20, 400, 0, 0), leg(0, 0, 20))
	sheet(t, dir, "low.stl", flat(0, -80, 400, -2, -1))
	sheet(t, dir, "high.stl", leg(1, 2, 80))
	p := planText(t, dir, "name: bend\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: bent, mesh: bent.stl}, {id: low, mesh: low.stl}, {id: high, mesh: high.stl}]\n"+
		"joints: [{id: one, panels: [bent, low]}, {id: two, panels: [bent, high]}]\n")
	if len(p.NearWelds) == 0 {
		t.Fatal("no pair of welds was measured along the panel")
	}
	for _, n := range p.NearWelds {
		if n.Sheet != "bent" || n.Along < 1.2*n.Straight || n.Along > 1.5*n.Straight {
			t.Errorf("%+v", n)
		}
	}
	if got := findings(p, "pitch.least"); len(got) > 0 {
		t.Errorf("%+v", got)
	}
	byX := map[float64]int{}
	for _, w := range p.Welds {
		byX[math.Round(w.Position[0])]++
	}
	for x, n := range byX {
		if n != 2 {
			t.Errorf("%d welds at %g mm: one on each leg was to stay", n, x)
		}
	}
	t.Logf("%d welds, %d pairs: %+v", len(p.Welds), len(p.NearWelds), p.NearWelds[0])
}

// Forces at a place: as many welds as carry them, and one fewer, laid as evenly, would not.
func TestFewestWeldsUnderAMoment(t *testing.T) {
	forces := "forces: [{at_mm: [390, 60, 0.5], force_n: [0, 14000, 0], moment_nm: [0, 0, 900]}]"
	p := lap(t, 400, 40, forces)
	n := len(p.Welds)
	if free := len(lap(t, 400, 40, "count: 0").Welds); n <= free || p.Joints[0].Shear.Utilisation > 1+1e-9 {
		t.Fatalf("%d welds used %g; %d by the pitch alone", n, p.Joints[0].Shear.Utilisation, free)
	}
	fewer := lap(t, 400, 40, fmt.Sprintf("count: %d", n-1))
	if len(fewer.Welds) != n-1 {
		t.Fatalf("%d welds, %d were asked for", len(fewer.Welds), n-1)
	}
	path := filepath.Join(t.TempDir(), "shell.yaml")
	text := "name: lap\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\npanels: [{id: a, mesh: a.stl, steel: s}, " +
		"{id: b, mesh: b.stl, steel: s}]\n" +
		"joints: [{id: lap, panels: [a, b], " + forces + "}]\n"
	for _, name := range []string{"a.stl", "b.stl"} {
		sheet(t, filepath.Dir(path), name, flat(0, 0, 1, 1, 0))
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	sh, _, err := shellfile.Read(path, nil)
	if err != nil {
		t.Fatal(err)
	}
	in, err := inforce.For(sh)
	if err != nil {
		t.Fatal(err)
	}
	if err := resistance.Strengths(context.Background(), fewer, sh, in); err != nil {
		t.Fatal(err)
	}
	if u := fewer.Joints[0].Shear.Utilisation; u <= 1 {
		t.Errorf("%d welds used %g: one fewer than %d carries as well", n-1, u, n)
	}
}

// A stated count wins over pitch and load, and what it does not carry is said.
func TestStatedCountWins(t *testing.T) {
	p := lap(t, 200, 30, "count: 3")
	if len(p.Welds) != 3 || len(findings(p, "pitch.greatest")) == 0 {
		t.Errorf("%d welds, %v", len(p.Welds), p.Findings)
	}
	p = lap(t, 200, 30, "count: 3, load: {shear_n: 40000}")
	if len(p.Welds) != 3 || len(findings(p, "count.load.least")) == 0 {
		t.Errorf("under a load: %d welds, %v", len(p.Welds), p.Findings)
	}
}

// Single welds set by hand stand where they are put, whatever else changes; one that is not there is said.
func TestWeldsSetByHand(t *testing.T) {
	hand := "welds: [{id: hinge, along_mm: 61.5, do: pin}, {id: extra, along_mm: 90, do: add}, {id: far, along_mm: 500, do: leave-out}]"
	for _, more := range []string{"", ", pitch_mm: 30", ", pitch_mm: 22"} {
		p := lap(t, 200, 30, hand+more)
		at := map[float64]bool{}
		for _, w := range p.Welds {
			at[math.Round(w.Along*1e3)/1e3] = true
		}
		if !at[61.5] || !at[90] {
			t.Errorf("%s: welds at %v", more, at)
		}
		if f := findings(p, "weld.by-hand"); len(f) != 1 || f[0].Severity != layout.Broken || !strings.Contains(f[0].Where,
			"edit far at 500 mm") {
			t.Errorf("%s: %v", more, f)
		}
	}
	if f := findings(lap(t, 200, 30, "welds: [{id: x, flange: lap/7, along_mm: 5, do: add}]"), "weld.by-hand"); len(f) != 1 {
		t.Errorf("on a flange that the joint does not have: %v", f)
	}
}

// Tacks follow each other along the strip, whichever row they are in: 180 mm of line with a tack every 100 mm have one between the ends.
func TestTacksOfRowsFollowEachOther(t *testing.T) {
	p := lap(t, 200, 30, "load: {shear_n: 40000}, tack_every_mm: 100")
	var rows [7]int
	for _, w := range p.Welds {
		if w.Step == layout.Tack {
			rows[w.Row]++
		}
	}
	if rows[1] == 0 || rows[2] == 0 || len(findings(p, "tack.every")) > 0 {
		t.Errorf("tacks by row %v: %v", rows, findings(p, "tack.every"))
	}
	p = lap(t, 200, 30, "load: {shear_n: 40000}, tack_every_mm: 100, keep_outs: [{at_mm: [100, 65, 0], radius_mm: 60}]")
	if len(findings(p, "tack.every")) == 0 {
		t.Error("no welds to tack in the middle, and nothing is said")
	}
}

// For a load never more welds are laid than the fewest of all distances between rows and all counts that carry it, each
// stated in turn and planned on its own.
func TestFewestWeldsOfAllRows(t *testing.T) {
	for _, c := range []struct{ length, width, shear float64 }{{200, 30, 36000}, {150, 26, 24000}, {120, 36, 30000}} {
		got := lap(t, c.length, c.width, fmt.Sprintf("load: {shear_n: %g}", c.shear))
		if got.Joints[0].Shear.Utilisation > 1+1e-9 {
			t.Errorf("%+v: %d welds do not carry it", c, len(got.Welds))
			continue
		}
		for apart := 8.0; apart <= c.width-12; apart += 2 {
			for _, n := range []int{len(got.Welds) - 1, len(got.Welds) - 2} {
				p := lap(t, c.length, c.width, fmt.Sprintf("load: {shear_n: %g}, count: %d, row_distance_mm: %g", c.shear, n, apart))
				if u := p.Joints[0].Shear.Utilisation; u <= 1-1e-6 && len(p.Welds) == n && len(findings(p, "pitch.least")) == 0 {
					t.Errorf("%+v: %d welds are laid; %d in rows %g mm apart carry it (%.3f)", c, len(got.Welds), n, apart, u)
				}
			}
		}
	}
}
