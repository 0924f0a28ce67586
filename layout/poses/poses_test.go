package poses

import (
	"fmt"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout"
	"seamwright/layout/reach"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

func sheet(id string, x0, y0, x1, y1, z float64) parts.Part {
	m := &mesh.Mesh{Vertices: []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	return parts.Part{Panel: shell.Panel{ID: id}, Sheet: flange.Sheet{Name: id, Thickness: 1, Mesh: m}, Shape: near.NewShape(m)}
}

// bench welds roof and rail along x, 10 mm from a common edge; the lid is loaded after the tacks, and a clamp is open then.
func bench() (*layout.Plan, *shell.Shell, []parts.Part) {
	loaded := []parts.Part{sheet("roof", -300, -300, 300, 10, 0.5), sheet("rail", -300, -300, 300, 10, -0.5),
		sheet("lid", -300, -300, 300, 300, 60)}
	sh := &shell.Shell{
		Guns: []shell.Gun{{ID: "light", ThroatDepth: 100, ThroatGap: 200, Arm: 30, Force: 2000, Tips: []string{"domed"}}, {ID: "elsewhere"}},
		Tips: []shell.Tip{{ID: "domed", Face: 6, Shank: 16, Length: 60}},
	}
	for _, p := range loaded {
		sh.Panels = append(sh.Panels, p.Panel)
	}
	weld := layout.Weld{Number: 1, Station: "bench", Flange: "f1", Run: 1, Axis: layout.Vec{0, 0, 1}, Along: 100,
		Sheets: []string{"roof", "rail"},
		Gun:    "light", Tip: "domed", Turn: 90, Setting: "S1", Step: layout.Tack}
	second := weld
	second.Number, second.Run, second.Step, second.Unreached = 2, 2, layout.Fill, true
	return &layout.Plan{
		Stations: []layout.Station{{ID: "bench", Present: []string{"roof", "rail", "lid"}, Guns: []string{"light"},
			Clamps: []layout.Fixture{{ID: "C1", At: layout.Vec{100, 50, 0}, Radius: 20}},
			Steps: []layout.Step{{Do: layout.DoLoad, Parts: []string{"roof", "rail"}}, {Do: layout.DoTack, Runs: []int{1}},
				{Do: layout.DoRelease, Fixtures: []string{"C1"}}, {Do: layout.DoLoad, Parts: []string{"lid"}}, {Do: layout.DoFill, Runs: []int{2}}}}},
		Flanges: []layout.Flange{{ID: "f1", Panels: []string{"roof", "rail"}, Line: []layout.LinePoint{
			{At: layout.Vec{-100, 0, 0}, Normal: layout.Vec{0, 0, 1}}, {Along: 200, At: layout.Vec{100, 0, 0}, Normal: layout.Vec{0, 0, 1}}}}},
		Settings: []layout.Setting{{ID: "S1", Force: 1800}}, Welds: []layout.Weld{weld, second},
	}, sh, loaded
}

func ExampleAt() {
	plan, sh, loaded := bench()
	tools, err := At(plan, sh, loaded, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range tools {
		fmt.Println(t.Gun, t.Tip, "as planned:", t.Chosen)
		for _, a := range t.Free {
			fmt.Printf("free from %.0f to %.0f degrees\n", a.From, a.To)
		}
		for _, a := range t.Blocked {
			fmt.Printf("blocked from %.0f to %.0f degrees by %s\n", a.From, a.To, a.Panel)
		}
	}
	// Output:
	// light domed as planned: true
	// free from 45 to 165 degrees
	// blocked from 15 to 40 degrees by clamp C1
	// blocked from 170 to 10 degrees by roof
}

// What is loaded and opened by then counts, and no more; a weak gun says so; a weld that is not there is an error.
func TestAt(t *testing.T) {
	plan, sh, loaded := bench()
	plan.Settings[0].Force = 2600
	tools, err := At(plan, sh, loaded, 1)
	if err != nil || len(tools) != 1 {
		t.Fatal(tools, err)
	}
	if got := tools[0]; got.Chosen || len(got.Free) > 0 || got.Air > 0 || got.Why != "its 2.0 kN are less than the 2.6 kN of setting S1" {
		t.Errorf("under the lid: %+v", got)
	}
	for _, a := range tools[0].Blocked {
		if a.Panel == "clamp C1" {
			t.Errorf("a clamp that is open blocks: %+v", a)
		}
	}
	plan.Stations[0].Steps = nil // in no step: all that is ever there counts
	if tools, err = At(plan, sh, loaded, 0); err != nil || len(tools[0].Free) > 0 {
		t.Errorf("%+v, %v", tools, err)
	}
	for _, k := range []int{-1, 2} {
		want := fmt.Sprintf("the plan has welds 0 to 1: there is no %d", k)
		if _, err := At(plan, sh, loaded, k); err == nil || err.Error() != want {
			t.Errorf("weld %d: %v, want %s", k, err, want)
		}
	}
	plan.Welds[0].Flange = "gone"
	if _, err := At(plan, sh, loaded, 0); err == nil {
		t.Error("a weld on no flange was looked at")
	}
}

// A gun that a wall beside the weld keeps from standing upright is looked at leaning, and the plan's lean is told from the others; one
// that the joint does not state says so.
func TestLeans(t *testing.T) {
	plan, sh, loaded := bench()
	wall := &mesh.Mesh{Vertices: []r3.Vector{{X: -300, Y: -11, Z: 0.5}, {X: 300, Y: -11, Z: 0.5}, {X: 300, Y: -11, Z: 400},
		{X: -300, Y: -11, Z: 400}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	loaded[2] = parts.Part{Panel: shell.Panel{ID: "lid"}, Sheet: flange.Sheet{Name: "lid", Thickness: 1, Mesh: wall},
		Shape: near.NewShape(wall)}
	plan.Stations[0].Steps, plan.Stations[0].Clamps = nil, nil
	plan.Welds[0].Tilt, plan.Welds[0].Joint = 5, "lap"
	sh.Joints = []shell.Joint{{ID: "lap", Gun: "elsewhere"}}
	tools, err := At(plan, sh, loaded, 0)
	if err != nil || len(tools) != 1 || len(tools[0].Free) > 0 || len(tools[0].Leans) != 8 {
		t.Fatalf("%+v, %v", tools, err)
	}
	if tools[0].Why != "joint lap states gun elsewhere" {
		t.Errorf("why it is not used: %q", tools[0].Why)
	}
	for _, l := range tools[0].Leans {
		if planned := l.Tilt == 5 && l.Towards == 90; l.Chosen != planned || planned && len(l.Free) == 0 || l.Towards == 270 && len(l.Free) > 0 {
			t.Errorf("%+v", l)
		}
	}
}

func TestArcs(t *testing.T) {
	at := func(words ...string) (out []reach.Angle) {
		for k, w := range words {
			a := reach.Angle{Turn: float64(5 * k), Panel: w}
			if w == "" {
				a.Air = 3
			}
			out = append(out, a)
		}
		return out
	}
	for _, c := range []struct {
		name          string
		of            []reach.Angle
		free, blocked []Arc
	}{
		{"all free", at("", "", ""), []Arc{{From: 0, To: 10}}, []Arc{}},
		{"all blocked", at("a", "a"), []Arc{}, []Arc{{From: 0, To: 5, Panel: "a"}}},
		{"over 0", at("a", "", "", "b", "a"), []Arc{{From: 5, To: 10}}, []Arc{{From: 15, To: 15, Panel: "b"}, {From: 20, To: 0, Panel: "a"}}},
	} {
		free, blocked := arcs(c.of)
		if !reflect.DeepEqual(free, c.free) || !reflect.DeepEqual(blocked, c.blocked) {
			t.Errorf("%s: free %v, blocked %v", c.name, free, blocked)
		}
	}
}
