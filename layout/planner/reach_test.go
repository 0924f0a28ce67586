package planner_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// upright is a rectangle that stands along x.
func upright(x0, x1, y, z0, z1 float64) [4]r3.Vector {
	return [4]r3.Vector{{X: x0, Y: y, Z: z0}, {X: x1, Y: y, Z: z0}, {X: x1, Y: y, Z: z1}, {X: x0, Y: y, Z: z1}}
}

const reachSteels = "steels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"

// capGun is a gun with a round cap; more says its other measures.
func capGun(id string, depth float64, more string) string {
	return fmt.Sprintf("{id: %s, letter: %s, throat_depth_mm: %g, throat_gap_mm: 200, force_n: 3000, tips: [cap], %s}", id,
		strings.ToUpper(id[:1]), depth, more)
}

// one is the only finding of a rule.
func one(t *testing.T, p *layout.Plan, rule string) layout.Finding {
	t.Helper()
	found := findings(p, rule)
	if len(found) != 1 {
		var all []string
		for _, f := range p.Findings {
			all = append(all, string(f.Severity)+" "+f.Rule+": "+f.Where+": "+f.Remedy)
		}
		t.Fatalf("%d findings %s:\n%s", len(found), rule, strings.Join(all, "\n"))
	}
	return found[0]
}

// deepLap is two plates whose lap lies 71 mm from the nearest edge, and what the shell file says more.
func deepLap(t *testing.T, more string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 400, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 62, 400, 220, 1))
	return planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\njoints: [{id: lap, panels: "+
		"[a, b]}]\n"+more)
}

func TestShallowThroatIsSentForADeeperGun(t *testing.T) {
	tips := "tips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}]\n"
	guns := "guns: [" + capGun("short", 50, "arm_mm: 20, stroke_mm: 60") + ", " + capGun("deep", 300, "arm_mm: 30, stroke_mm: 60") + "]\n"
	p := deepLap(t, guns+tips+"stations: [{id: jig, arrives: [a, b], guns: [short]}]\n")
	f := one(t, p, "reach.throat")
	// the lower plate ends at y = 0, with half its thickness beyond; the weld line lies in the middle of the lap
	if f.Severity != layout.Broken || f.Value != 50 || !(math.Abs(f.Limit-71.5) <= 0.1) {
		t.Errorf("throat %g, wanted %g, %s: want 50 and 71 mm and half a sheet, broken", f.Value, f.Limit, f.Severity)
	}
	if !strings.Contains(f.Where, "throat too shallow by 22 mm (a)") && !strings.Contains(f.Where, "throat too shallow by 21 mm (a)") {
		t.Errorf("where %q", f.Where)
	}
	const depth = "one of these would do: throat depth of 72 mm instead of 50 (gun short, tip cap)"
	if f.Remedy != "gun deep with tip cap, which is not at this station, reaches it; or "+depth {
		t.Errorf("remedy %q", f.Remedy)
	}
	apart(t, p)
	p = deepLap(t, guns+tips+"stations: [{id: jig, arrives: [a, b], guns: [short, deep]}]\n")
	if got := findings(p, "reach.throat"); len(got) > 0 {
		t.Errorf("with the deeper gun at hand: %+v", got)
	}
	p = deepLap(t, "guns: ["+capGun("short", 50, "arm_mm: 20, stroke_mm: 60")+"]\n"+tips)
	if f := one(t, p, "reach.throat"); f.Remedy != depth {
		t.Errorf("without another gun: %q", f.Remedy)
	}
	weak := strings.Replace(capGun("deep", 300, "arm_mm: 30, stroke_mm: 60"), "force_n: 3000", "force_n: 100", 1)
	p = deepLap(t, "guns: ["+capGun("short", 50, "arm_mm: 20, stroke_mm: 60")+", "+weak+"]\n"+tips+"stations: [{id: jig, arrives: [a, b], "+
		"guns: [short]}]\n")
	if f := one(t, p, "reach.throat"); strings.Contains(f.Remedy, "deep with") {
		t.Errorf("a gun without the force is no remedy: %q", f.Remedy)
	}
}

// A channel 13 mm wide between the middles of its walls is 12 mm clear. What goes in is said by size, not by name.
func TestNarrowChannelTakesTheSlimShank(t *testing.T) {
	channel := func(tips string) *layout.Plan {
		dir := t.TempDir()
		sheet(t, dir, "gutter.stl", flat(0, -6.5, 300, 6.5, 0), upright(0, 300, -6.5, 0, 25), upright(0, 300, 6.5, 0, 25))
		sheet(t, dir, "strip.stl", flat(0, -5.4, 300, 5.4, 1))
		return planText(t, dir, "name: gutter\n"+reachSteels+"panels: [{id: gutter, mesh: gutter.stl}, {id: strip, mesh: strip.stl}]\njoints: "+
			"[{id: seam, panels: [gutter, strip]}]\n"+
			"guns: [{id: g, letter: G, throat_depth_mm: 200, throat_gap_mm: 200, arm_mm: 24, stroke_mm: 60, force_n: 3000, tips: [narrow, "+
			"broad]}]\ntips: ["+tips+"]\n")
	}
	const misnamed = "{id: narrow, shape: domed, face_mm: 5, shank_mm: 16, length_mm: 60}"
	f := one(t, channel(misnamed+", {id: broad, shape: domed, face_mm: 5, shank_mm: 18, length_mm: 60}"), "reach.channel")
	if f.Severity != layout.Broken || !(math.Abs(f.Value-12) <= 0.01) || f.Limit != 16 || !strings.Contains(f.Where,
		"channel 12.0 mm wide, shank 16.0 mm (gutter)") || f.Remedy != "one of these would do: tip width of "+
		"11.5 mm instead of 16 (gun g, tip narrow)" {
		t.Errorf("%+v", f)
	}
	p := channel(misnamed + ", {id: broad, shape: narrow-flat, face_mm: 5, shank_mm: 8, shank_long_mm: 16, length_mm: 60}")
	if len(p.Welds) == 0 {
		t.Fatal("no welds")
	}
	for _, w := range p.Welds {
		if w.Tip != "broad" || math.Mod(w.Turn, 180) != 90 || !(math.Abs(w.Clearance-2) <= 0.01) {
			t.Errorf("weld %d: tip %s turned by %g with %g mm of air, want the slim one, square, with 2", w.Number, w.Tip, w.Turn, w.Clearance)
		}
	}
}

// sizes lists what would do for the last of a plan's blocked runs.
func sizes(t *testing.T, p *layout.Plan) map[string]float64 {
	t.Helper()
	var all []layout.Unreached
	for _, s := range p.Stations {
		all = append(all, s.Unreached...)
	}
	if len(all) == 0 {
		t.Fatalf("all is reached: %+v", p.Findings)
	}
	out := map[string]float64{}
	for _, m := range all[len(all)-1].Measures {
		out[fmt.Sprintf("%s %s %s", m.Gun, m.Tip, m.Kind)] = m.Needed
	}
	return out
}

// What stands in a gun's way at a lap whose line is at y = 71, and what a gun would need.
func TestSizesThatWouldDo(t *testing.T) {
	for _, c := range []struct {
		name, guns string
		panel      [4]r3.Vector
		want       map[string]float64
	}{
		// Between the sheet's edge at y = 0 and the fence 44 mm are clear of half a sheet on either side, for a back that stands aslant in steps
		// of 5 degrees; or it goes round the end of the sheet, 162 mm off.
		{"arm", capGun("g", 100, "arm_mm: 50, stroke_mm: 60"), upright(-200, 600, -45, -250, 250),
			map[string]float64{"g cap arm": 43, "g cap throat depth": 201}},
		// The upper arm fills z = 100 to 130 above the sheets' middle, over which the shelf lies at 124.5 mm, half a sheet thick.
		{"gap or arm", capGun("g", 100, "arm_mm: 30, stroke_mm: 60"), flat(-50, 10, 450, 40, 125),
			map[string]float64{"g cap throat gap": 251, "g cap arm": 23, "g cap throat depth": 201}},
	} {
		dir := t.TempDir()
		sheet(t, dir, "a.stl", flat(0, 0, 400, 80, 0), c.panel)
		sheet(t, dir, "b.stl", flat(0, 62, 400, 400, 1))
		p := planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\n"+
			"joints: [{id: lap, panels: [a, b]}]\nguns: ["+c.guns+"]\n"+
			"tips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}]\n")
		if got := sizes(t, p); !maps.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A channel 29 mm clear and 50 mm deep: the thick tip misses by less than the short one, but only of that a size alone would do: 49 mm of
// length, or bars of 28 mm. Another gun's tip would have to be slimmer.
func TestEveryTipOfEveryGunIsLookedAt(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "gutter.stl", flat(0, -15, 300, 15, 0), upright(0, 300, -15, 0, 50), upright(0, 300, 15, 0, 50))
	sheet(t, dir, "strip.stl", flat(0, -12, 300, 12, 1))
	plan := func(more string) *layout.Plan {
		return planText(t, dir, "name: gutter\n"+reachSteels+"panels: [{id: gutter, mesh: gutter.stl}, {id: strip, mesh: strip.stl}]\njoints: "+
			"[{id: seam, panels: [gutter, strip]}]\nguns: [{id: g, letter: G, throat_depth_mm: 200, throat_gap_mm: 200, arm_mm: 40, "+
			"stroke_mm: 60, force_n: 3000, tips: [thick, short]}"+more+"]\ntips: [{id: short, shape: domed, face_mm: 5, shank_mm: 12, "+
			"length_mm: 25}, {id: thick, shape: domed, face_mm: 5, shank_mm: 34, length_mm: 45}, "+
			"{id: long, shape: domed, face_mm: 5, shank_mm: 40, length_mm: 70}]\n")
	}
	want := map[string]float64{"g short arm": 28, "g short tip length": 49}
	p := plan("")
	if got := sizes(t, p); !maps.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	p = plan(", {id: h, letter: H, throat_depth_mm: 200, throat_gap_mm: 200, arm_mm: 40, stroke_mm: 60, force_n: 3000, tips: [long]}")
	want["h long tip width"] = 28.5
	if got := sizes(t, p); !maps.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if would := p.Stations[0].Unreached[0].Would; would != "one of these would do: arm of 28 mm instead of 40 (gun g, tip short); "+
		"tip length of 49 mm instead of 25 (gun g, tip short); tip width of 28.5 mm instead of 40 (gun h, tip long)" {
		t.Error(would)
	}
}

// A sheet that is cut back in its middle lets the short gun in there: what is not reached on its two sides is a run each, with what would
// do for each, and one finding.
func TestBlockedRunsHaveWhatWouldDoEach(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 200, 80, 0), flat(200, 40, 400, 80, 0), flat(400, -10, 600, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 62, 600, 220, 1))
	sheet(t, dir, "c.stl", flat(0, -540, 100, -500, 0))
	sheet(t, dir, "d.stl", flat(0, -520, 100, -480, 1))
	p := planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}, {id: c, mesh: c.stl}, {id: d, "+
		"mesh: d.stl}]\njoints: [{id: first, panels: [c, d]}, {id: lap, panels: [a, b]}]\n"+
		"guns: ["+capGun("short", 50, "arm_mm: 20, stroke_mm: 60")+", "+capGun("mid", 76, "arm_mm: 20, stroke_mm: 60")+", "+
		capGun("deep", 300, "arm_mm: 30, stroke_mm: 60")+"]\ntips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}]\n"+
		"stations: [{id: one, arrives: [c, d]}, {id: jig, arrives: [a, b], guns: [short]}]\n")
	all := p.Stations[1].Unreached
	if len(all) != 2 || all[0].Run == all[1].Run {
		t.Fatalf("%+v", all)
	}
	for i, u := range all {
		r := p.Runs[u.Run-1]
		if !r.Blocked || r.From != u.From || r.To != u.To || len(u.Measures) != 1 || u.Measures[0].Kind != layout.ThroatDepth {
			t.Errorf("%+v of run %+v", u, r)
		}
		for _, w := range p.Welds {
			if w.Run == u.Run && (i == 0 && w.Along > 220 || i == 1 && w.Along < 380) {
				t.Errorf("weld %d of run %d stands at %g mm", w.Number, u.Run, w.Along)
			}
		}
	}
	near, far := all[0].Measures[0].Needed, all[1].Measures[0].Needed
	if near < 72 || near > 76 || far < 82 || far > 84 {
		t.Errorf("throats of %g and %g mm would do: the sheet's edge is 71 and 81 mm off", near, far)
	}
	if h := all[0].Helps; len(h) != 2 || h[0] != (layout.Help{Gun: "mid", Tip: "cap", Welds: all[0].Count}) || h[1].Gun != "deep" {
		t.Errorf("%+v", h)
	}
	if h := all[1].Helps; len(h) != 1 || h[0].Gun != "deep" || h[0].Welds != all[1].Count {
		t.Errorf("%+v", h)
	}
	one(t, p, "reach.throat")
}

// A clamp 40 mm high beside a short tip: the arm's bar meets it, so the tack beside it waits for the clamp, or, where that
// stays shut, the clamp has to move.
func TestClampThatHidesATack(t *testing.T) {
	seam := func(release string) *layout.Plan {
		dir := t.TempDir()
		sheet(t, dir, "a.stl", flat(0, 0, 300, 40, 0))
		sheet(t, dir, "b.stl", flat(0, 22, 300, 62, 1))
		return planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\njoints: [{id: lap, panels: "+
			"[a, b], count: 11, tack_every_mm: 60}]\n"+
			"stations: [{id: jig, arrives: [a, b], clamps: [{id: C4, at_mm: [40, 31, 0.5], radius_mm: 6, release: "+release+"}]}]\n"+
			"guns: ["+capGun("g", 200, "arm_mm: 50, stroke_mm: 60")+"]\ntips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 25}]\n")
	}
	p := seam("tacks")
	hidden := findings(p, "reach.tack")
	if len(hidden) == 0 {
		t.Fatalf("no tack is hidden: %+v", p.Findings)
	}
	for _, f := range hidden {
		if f.Severity != layout.Note || !strings.Contains(f.Remedy, "clamp C4 keeps every gun off this tack") ||
			!(math.Abs(f.At[0]-40) <= 6+25+0.5) {
			t.Errorf("%+v", f)
		}
	}
	near := 0
	for _, w := range p.Welds {
		d := math.Abs(w.Position[0] - 40)
		if w.Gun == "" {
			t.Errorf("weld %d has no gun", w.Number)
		}
		if d < 6+25 {
			near++
			if w.Step != "released" && w.Step != "fill" || w.Step == "released" && !strings.Contains(w.Waits, "C4") {
				t.Errorf("weld %d, %.1f mm from the clamp's middle: %s, waits %q", w.Number, d, w.Step, w.Waits)
			}
		}
	}
	if near == 0 {
		t.Error("no weld stands near the clamp")
	}
	for _, f := range p.Findings {
		if strings.HasPrefix(f.Rule, "reach.") && f.Severity != layout.Note {
			t.Errorf("%+v", f)
		}
	}
	p = seam("end")
	reach := slices.DeleteFunc(slices.Clone(p.Findings), func(f layout.Finding) bool { return !strings.HasPrefix(f.Rule, "reach.") })
	if len(reach) != 1 || reach[0].Severity != layout.Broken || !strings.HasPrefix(reach[0].Remedy,
		"a gun reaches it without clamp C4: move that (gun g, tip cap)") {
		t.Errorf("with a clamp that stays shut: %+v", reach)
	}
}

// A fence behind the gun lets it stand at the lap but not come off.
func TestGunThatCannotBeDrawnOff(t *testing.T) {
	seam := func(fence float64) *layout.Plan {
		dir := t.TempDir()
		sheet(t, dir, "a.stl", flat(0, 0, 900, 80, 0))
		sheet(t, dir, "b.stl", flat(0, 62, 900, 400, 1))
		sheet(t, dir, "fence.stl", upright(-200, 1100, fence, -200, 200))
		return planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}, {id: fence, mesh: "+
			"fence.stl}]\njoints: [{id: lap, panels: [a, b]}]\n"+
			"stations: [{id: jig, arrives: [a, b, fence]}]\n"+
			"guns: ["+capGun("g", 90, "arm_mm: 30, stroke_mm: 60")+"]\ntips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}]\n")
	}
	// the back's outer side stands at y = 71 - 90 - 30 = -49, and has to be drawn back by 71 and half a bar, to -135.5
	p := seam(-60)
	f := one(t, p, "reach.way-off")
	if f.Severity != layout.Doubt || !f.Plain() || !strings.Contains(f.Where, "the gun cannot be drawn straight back (fence)") ||
		f.Remedy != "it could be welded before fence arrives (gun g, tip cap)" {
		t.Errorf("%+v", f)
	}
	for _, w := range p.Welds {
		if w.Gun != "g" || w.Clearance <= 0 {
			t.Errorf("weld %d: gun %q, %g mm of air", w.Number, w.Gun, w.Clearance)
		}
	}
	if got := findings(seam(-140), "reach.way-off"); len(got) > 0 {
		t.Errorf("a fence farther off: %+v", got)
	}
}

// A cover that a gauge keeps out is not there for the lap beneath it, and is there for its own rim.
func TestPanelBehindAHoldPointDoesNotCountBefore(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "plate.stl", flat(0, 0, 300, 120, 0))
	sheet(t, dir, "apron.stl", flat(0, -100, 300, 20, 1))
	sheet(t, dir, "cover.stl", flat(0, -110, 300, 94, 25), upright(0, 300, 94, 1, 25), flat(0, 94, 300, 118, 1))
	p := planText(t, dir, "name: cover\n"+reachSteels+"panels: [{id: plate, mesh: plate.stl}, {id: apron, mesh: apron.stl}, {id: cover, "+
		"mesh: cover.stl}]\n"+
		"joints: [{id: rim, panels: [plate, cover]}, {id: lap, panels: [plate, apron]}]\n"+
		"stations: [{id: jig, arrives: [plate, apron, cover], hold_points: [{id: H7, text: Opening right, before: rim, at_mm: [0, 0, 0]}]}]\n"+
		"guns: ["+capGun("g", 300, "arm_mm: 30, stroke_mm: 60")+"]\ntips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}]\n")
	f := one(t, p, "reach.early")
	if f.Severity != layout.Note || f.Joint != "lap" || f.Remedy != "cover would be in every gun's way: these are welded before hold point "+
		"H7, after which it is loaded" {
		t.Errorf("%+v", f)
	}
	rim := 0
	for _, w := range p.Welds {
		switch {
		case w.Joint == "lap" && (rim > 0 || w.Gun != "g" || w.Clearance != 10):
			t.Errorf("lap weld %d: after %d of the rim, gun %q, %g mm of air: the cover is not there yet", w.Number, rim, w.Gun, w.Clearance)
		case w.Joint == "rim" && (w.Gun != "g" || w.Clearance >= 10):
			t.Errorf("rim weld %d: gun %q, %g mm of air: the cover's wall stands beside it", w.Number, w.Gun, w.Clearance)
		case w.Joint == "rim":
			rim++
		}
	}
	var do []string
	for _, s := range p.Stations[0].Steps {
		if s.Do != "inspect" {
			do = append(do, string(s.Do))
		}
	}
	at := slices.Index(do, "gauge")
	if at < 0 || at+1 >= len(do) || do[at+1] != "load" || !slices.Contains(do[:at], "tack") || !slices.Contains(do[at:], "tack") {
		t.Errorf("steps %v: tacks, then the gauge, then the cover, then its tacks", do)
	}
	if got := findings(p, "reach.gap"); len(got) > 0 {
		t.Errorf("%+v", got)
	}
}

// apart wants the welds that no gun reaches to be in no step and in no time, numbered last and listed with what would do.
func apart(t *testing.T, p *layout.Plan) {
	t.Helper()
	s := p.Stations[0]
	if len(s.Unreached) != 1 || s.Unreached[0].Count == 0 || s.Unreached[0].Would == "" || len(s.Unreached[0].Measures) == 0 {
		t.Fatalf("%+v of %d welds", s.Unreached, len(p.Welds))
	}
	u := s.Unreached[0]
	for _, w := range p.Welds {
		if w.Unreached != (w.Number >= u.From) || u.To != len(p.Welds) || u.Count != u.To-u.From+1 {
			t.Errorf("weld %d counts as unreached: %v; %+v", w.Number, w.Unreached, u)
		}
	}
	made := 0
	for _, r := range p.Runs {
		if r.Blocked != (r.From >= u.From) || r.Blocked != (r.Minutes == 0) {
			t.Errorf("%+v", r)
		}
		for _, step := range s.Steps {
			if slices.Contains(step.Runs, r.ID) {
				if made += r.Count; r.Blocked {
					t.Errorf("somebody is told to: %s", step.Text)
				}
			}
		}
	}
	if made+u.Count != len(p.Welds) {
		t.Errorf("%d welds in steps, %d not made, of %d", made, u.Count, len(p.Welds))
	}
}
