package planner_test

import (
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
)

// twoGuns is two plates whose lap lies 40 mm from the nearest edge, at a station with two guns, a short and a deep one of two tips, and
// one that is elsewhere; the joint states more.
func twoGuns(t *testing.T, joint string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 400, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 62, 400, 220, 1))
	tips := "tips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}, " +
		"{id: slim, shape: domed, face_mm: 5, shank_mm: 10, length_mm: 60}]\n"
	guns := "guns: [" + capGun("short", 50, "arm_mm: 20, stroke_mm: 60") + ", " + strings.Replace(capGun("deep", 300,
		"arm_mm: 30, stroke_mm: 60"), "[cap]", "[cap, slim]", 1) + ", " + capGun("long", 500, "arm_mm: 30, stroke_mm: 60") + "]\n"
	return planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\njoints: [{id: lap, panels: "+
		"[a, b]"+joint+"}]\n"+guns+tips+"stations: [{id: jig, arrives: [a, b], guns: [short, deep]}]\n")
}

// gearOf is the guns and tips of all welds, each pair once.
func gearOf(p *layout.Plan) string {
	var out []string
	for _, w := range p.Welds {
		out = append(out, w.Gun+" "+w.Tip)
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), ", ")
}

// What a joint states is what its welds are made with, where that reaches.
func TestAJointsOwnGunAndTip(t *testing.T) {
	for joint, want := range map[string]string{"": "deep cap", ", gun: deep": "deep cap", ", tip: slim": "deep slim",
		", gun: deep, tip: slim": "deep slim"} {
		p := twoGuns(t, joint)
		if got := gearOf(p); got != want || len(findings(p, "reach.stated")) > 0 {
			t.Errorf("%s: made with %s, want %s; %d findings", joint, got, want, len(findings(p, "reach.stated")))
		}
	}
}

// One that does not reach is not put aside for another: the finding names the one at hand that would.
func TestAJointsOwnGunThatDoesNotReach(t *testing.T) {
	f := one(t, twoGuns(t, ", gun: short"), "reach.throat")
	if f.Severity != layout.Broken || !strings.Contains(f.Where, "with gun short, tip cap") ||
		!strings.Contains(f.Remedy, "gun deep with tip cap, which is not what the joint states, reaches it") {
		t.Errorf("%s: %s: %s", f.Severity, f.Where, f.Remedy)
	}
}

// One that is not at the station is said, and the welds are planned with what is there.
func TestAJointsOwnGunThatIsElsewhere(t *testing.T) {
	for joint, want := range map[string]string{", gun: long": "gun long is not at station jig",
		", gun: short, tip: slim": "gun short with tip slim is not at station jig"} {
		p := twoGuns(t, joint)
		f := one(t, p, "reach.stated")
		if f.Severity != layout.Broken || f.Joint != "lap" || !strings.Contains(f.Where, want) || gearOf(p) != "deep cap" {
			t.Errorf("%s: %s: %s; made with %s", joint, f.Severity, f.Where, gearOf(p))
		}
	}
}

// A joint's own table of settings gives it a setting of its own, beside that of another joint of the same sheets.
func TestAJointsOwnTable(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 400, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 62, 400, 220, 1))
	sheet(t, dir, "c.stl", flat(0, 200, 400, 300, 0))
	p := planText(t, dir, "name: laps\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}, {id: c, mesh: c.stl}]\n"+
		"joints: [{id: ab, panels: [a, b]}, {id: bc, panels: [b, c], setting_table: class-c}]\n")
	by := map[string]string{}
	for _, w := range p.Welds {
		by[w.Joint] = w.Setting
	}
	if len(p.Settings) != 2 || by["ab"] == by["bc"] || by["ab"] == "" || by["bc"] == "" {
		t.Fatalf("settings %v of joints %v", p.Settings, by)
	}
	if a, b := p.Settings[0], p.Settings[1]; a.Stack != b.Stack || a.Source == b.Source || a.Force == b.Force {
		t.Errorf("%+v\n%+v", a, b)
	}
}
