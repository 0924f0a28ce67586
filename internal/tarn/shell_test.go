package tarn

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

func at(v [3]float64) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }

// TestSteelsAreAsThickAsBuilt holds the thicknesses in shell.yaml against those that the panels were spaced for.
func TestSteelsAreAsThickAsBuilt(t *testing.T) {
	c := loadCab(t)
	built := map[string]float64{
		"roof": roofSheet, "roof-frame": frameSheet, "floor": floorSheet, "front-panel": frontSheet, "scuttle": scuttleSheet,
		"rear-panel": rearSheet, "rear-rail": railSheet, "cross-front": crossSheet, "cross-middle": crossSheet, "cross-rear": crossSheet,
	}
	for _, hand := range []string{"-l", "-r"} {
		built["sill"+hand], built["lamp-bucket"+hand] = sillSheet, lampSheet
		built["side-outer"+hand], built["side-inner"+hand] = outerSheet, innerSheet
		built["pillar-stiffener"+hand], built["wheelhouse"+hand] = stiffenerSheet, wheelhouseSheet
	}
	for _, p := range c.parts {
		if want, ok := built[p.Panel.ID]; !ok || p.Sheet.Thickness != want {
			t.Errorf("%s is %g mm in shell.yaml, %g mm as built", p.Panel.ID, p.Sheet.Thickness, want)
		}
	}
	if len(c.parts) != len(built) {
		t.Errorf("%d panels in shell.yaml, %d built", len(c.parts), len(built))
	}
}

// TestJointsAndTruthMatch: every joint has true lines with just its panels, every true line a joint.
func TestJointsAndTruthMatch(t *testing.T) {
	c := loadCab(t)
	lines := map[string][]WeldLine{}
	for _, l := range Truth() {
		lines[l.Joint] = append(lines[l.Joint], l)
	}
	for _, j := range c.shell.Joints {
		if len(lines[j.ID]) == 0 {
			t.Errorf("joint %s has no true line", j.ID)
		}
		for _, l := range lines[j.ID] {
			a, b := slices.Sorted(slices.Values(j.Panels)), slices.Sorted(slices.Values(l.Panels))
			if !slices.Equal(a, b) {
				t.Errorf("joint %s names %v, its line %v", j.ID, a, b)
			}
			if len(j.Near) == 4 && distanceTo(l, at([3]float64(j.Near[:3]))) > j.Near[3] {
				t.Errorf("joint %s: near_mm misses its line", j.ID)
			}
		}
		delete(lines, j.ID)
	}
	for id := range lines {
		t.Errorf("true line of %s is in no joint", id)
	}
}

func distanceTo(l WeldLine, p r3.Vector) float64 {
	_, d := curve.New(l.Points, l.Closed).Nearest(p)
	return d
}

// TestNearPicksOneLine: where several joints have the same panels, each ball touches its own line only.
func TestNearPicksOneLine(t *testing.T) {
	c := loadCab(t)
	for _, j := range c.shell.Joints {
		if len(j.Near) != 4 {
			continue
		}
		for _, l := range Truth() {
			same := slices.Equal(slices.Sorted(slices.Values(j.Panels)), slices.Sorted(slices.Values(l.Panels)))
			if same && l.Joint != j.ID && distanceTo(l, at([3]float64(j.Near[:3]))) <= j.Near[3]+5 {
				t.Errorf("near_mm of joint %s also takes in %s", j.ID, l.Joint)
			}
		}
	}
}

// TestFixturesSitOnWeldLines: clamps and dowels are there to be in the way of welds of their own station.
func TestFixturesSitOnWeldLines(t *testing.T) {
	c := loadCab(t)
	lines := Truth()
	for _, st := range c.shell.Stations {
		onLine := func(id string, p r3.Vector) {
			least := math.Inf(1)
			for _, j := range c.shell.Joints {
				for _, l := range lines {
					if j.Station == st.ID && l.Joint == j.ID {
						least = math.Min(least, distanceTo(l, p))
					}
				}
			}
			if least > 3 {
				t.Errorf("station %s: %s is %.1f mm from every weld line", st.ID, id, least)
			}
		}
		for _, x := range st.Clamps {
			onLine("clamp "+x.ID, at(x.At))
		}
		for _, x := range st.Dowels {
			onLine("dowel "+x.ID, at(x.At))
		}
	}
}

// TestHoldPointsMeasureTheMeshes: a dimension's ends lie on panels, and it is as long as it says.
func TestHoldPointsMeasureTheMeshes(t *testing.T) {
	c := loadCab(t)
	screen := 0
	for _, st := range c.shell.Stations {
		for _, h := range st.HoldPoints {
			if h.Value == 0 {
				continue
			}
			if d := at(h.To).Sub(at(h.At)).Norm(); !(math.Abs(d-h.Value) <= 0.15) {
				t.Errorf("%s %s: %.1f mm stated, %.2f mm between its ends", st.ID, h.ID, h.Value, d)
			}
			for _, end := range []r3.Vector{at(h.At), at(h.To)} {
				least := math.Inf(1)
				for _, tree := range c.trees {
					if hit, ok := tree.Closest(end, 50); ok {
						least = math.Min(least, hit.Distance)
					}
				}
				if least > 1.5 {
					t.Errorf("%s %s: an end is %.1f mm from every panel", st.ID, h.ID, least)
				}
			}
			if slices.Contains(h.Before, "gutter") || slices.Contains(h.Before, "cantrail-l") {
				screen++
			}
		}
	}
	if screen < 2 {
		t.Error("the window openings are not gauged before the roof")
	}
}

// TestJigsTakeFourDays holds the preparation to about four working days a batch.
func TestJigsTakeFourDays(t *testing.T) {
	sum, ends := 0.0, 0
	for _, st := range loadCab(t).shell.Stations {
		sum += st.Prepare
		ends += count(st.Clamps, func(c shell.Clamp) bool { return c.Release == "end" })
	}
	if sum != 4*8*60 {
		t.Errorf("%.0f minutes", sum)
	}
	if ends == 0 {
		t.Error("no clamp stays shut to the end")
	}
}

func count[T any](list []T, is func(T) bool) int {
	n := 0
	for _, x := range list {
		if is(x) {
			n++
		}
	}
	return n
}

// TestStacksAreSound lets the rule book judge every stack: the demo must not break rules before a weld is set.
func TestStacksAreSound(t *testing.T) {
	c := loadCab(t)
	byID := map[string]rule.Sheet{}
	for _, p := range c.parts {
		byID[p.Panel.ID] = rule.Sheet{
			Thickness: p.Sheet.Thickness,
			Tensile:   p.Steel.Tensile,
			Yield:     p.Steel.Yield,
			Coating:   p.Steel.Coating,
		}
	}
	zinc := 0
	for _, l := range Truth() {
		var stack rule.Stack
		for _, id := range l.Panels {
			stack = append(stack, byID[id])
		}
		for _, p := range rule.CheckBy(nil, stack) {
			if p.Severity != rule.Note {
				t.Errorf("%s: %v", l.Joint, p)
			}
			if p.Rule == "coating.zinc" {
				zinc++
			}
		}
	}
	if zinc == 0 {
		t.Error("no stack has zinc")
	}
}

// TestNotesAreFew: reading the demo says nothing that the author did not mean.
func TestNotesAreFew(t *testing.T) {
	c := loadCab(t)
	for _, p := range c.parts {
		for _, n := range p.Notes {
			if p.Panel.ID == "floor" && n == "skipped: 1 TEXT" {
				continue
			}
			t.Errorf("panel %s: %s", p.Panel.ID, n)
		}
	}
}
