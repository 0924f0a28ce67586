package planner_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/seams/shellfile"
)

// coveredSeam writes a shell of three panels: two plates that lap along x, and a cover over the lap that is welded to one
// of them farther out. The cover, which arrives in the middle, leaves 24 mm of air over the lap, too little for any gun.
func coveredSeam(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	bent := func(points ...r3.Vector) *mesh.Mesh { // pulled along x
		m := &mesh.Mesh{}
		for _, p := range points {
			for _, x := range []float64{0, 300} {
				m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: p.Y, Z: p.Z})
			}
		}
		for k := int32(0); k+1 < int32(len(points)); k++ {
			m.Triangles = append(m.Triangles, [3]int32{2 * k, 2*k + 1, 2*k + 3}, [3]int32{2 * k, 2*k + 3, 2*k + 2})
		}
		return m
	}
	yz := func(y, z float64) r3.Vector { return r3.Vector{Y: y, Z: z} }
	for name, m := range map[string]*mesh.Mesh{
		"plate": bent(yz(0, 0), yz(120, 0)),
		"apron": bent(yz(20, 1), yz(-100, 1)),
		"cover": bent(yz(-110, 25), yz(94, 25), yz(94, 1), yz(118, 1)),
	} {
		file, err := os.Create(filepath.Join(dir, name+".stl"))
		if err != nil {
			t.Fatal(err)
		}
		if err := mesh.WriteSTL(file, m); err != nil {
			t.Fatal(err)
		}
		if err := file.Close(); err != nil {
			t.Fatal(err)
		}
	}
	text := `name: covered seam
batch: 10
unit: mm
steels: [{id: s, grade: DC04, thickness_mm: 1}]
panels:
  - {id: plate, mesh: plate.stl, steel: s}
  - {id: cover, name: the cover, mesh: cover.stl, steel: s}
  - {id: apron, mesh: apron.stl, steel: s}
joints:
  - {id: lap, panels: [plate, apron]}
  - {id: rim, panels: [plate, cover]}
stations: [{id: jig, arrives: [plate, cover, apron], clamps: [{id: C1, at_mm: [150, 106, 1], radius_mm: 10},
    {id: C2, at_mm: [10, 10, 1], radius_mm: 8}]}]
guns: [{id: gun, letter: A, throat_depth_mm: 300, throat_gap_mm: 200, arm_mm: 30, stroke_mm: 60, force_n: 3000, tips: [cap]}]
tips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 60}]
`
	path := filepath.Join(dir, "shell.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// The only order that works loads the cover after the lap is welded: the welds, the steps and the duties all say so.
func TestPanelThatBlocksReachComesLater(t *testing.T) {
	path := coveredSeam(t)
	p := plan(t, path, 1, nil)
	welds := map[string]int{}
	for _, w := range p.Welds {
		welds[w.Joint]++
		switch {
		case w.Gun == "":
			t.Errorf("weld %d of %s has no gun", w.Number, w.Joint)
		case w.Joint == "lap" && (!slices.Equal(w.Before, []string{"cover"}) || welds["rim"] > 0):
			t.Errorf("weld %d of the lap: before %v, after %d welds of the rim", w.Number, w.Before, welds["rim"])
		case w.Joint == "rim" && (len(w.Before) > 0 || !strings.HasPrefix(w.Waits, "waits until the cover is loaded")):
			t.Errorf("weld %d of the rim: before %v, %q", w.Number, w.Before, w.Waits)
		}
	}
	if welds["lap"] < 3 || welds["rim"] < 3 {
		t.Fatalf("welds %v", welds)
	}
	if !slices.ContainsFunc(p.Findings, func(f layout.Finding) bool { return f.Rule == "reach.early" && f.Joint == "lap" }) {
		t.Error("no finding says that the lap is welded early")
	}
	for _, f := range p.Findings {
		if strings.HasPrefix(f.Rule, "reach.") && f.Severity == layout.Broken {
			t.Errorf("%s: %s: %s", f.Rule, f.Where, f.Remedy)
		}
	}
	var do []string
	for _, s := range p.Stations[0].Steps {
		do = append(do, string(s.Do)+" "+strings.Join(strings.Fields(s.Text)[1:3], " "))
	}
	at := func(start string) int {
		return slices.IndexFunc(do, func(s string) bool { return strings.HasPrefix(s, start) })
	}
	if load, tack := at("load the cover"), at("tack"); load < tack || at("load apron") > tack || load < 0 {
		t.Errorf("steps %v", do)
	}
	if last := slices.Index(do, "clamp clamp C1."); last < at("load the cover") {
		t.Errorf("the clamp of the cover closes before it is there: %v", do)
	}
	duties(t, p, path)
}

func duties(t *testing.T, p *layout.Plan, path string) {
	sh, _, err := shellfile.Read(path, nil)
	if err != nil {
		t.Fatal(err)
	}
	sh.Joints = nil
	list, err := crews.Duties(t.Context(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	var follows func(a, b int) bool
	follows = func(a, b int) bool {
		return slices.ContainsFunc(list[b].After, func(c int) bool { return c == a || follows(a, c) })
	}
	at := map[string]int{}
	for i, d := range list {
		at[d.Text] = i
		sum += d.ManMinutes
	}
	for _, pair := range [][2]string{{"load apron", "weld lap"}, {"weld lap", "load cover"}, {"load cover", "clamp cover"},
		{"clamp cover", "weld rim"}, {"peg and clamp", "weld lap"}} {
		a, okA := at[pair[0]]
		b, okB := at[pair[1]]
		if !okA || !okB || !follows(a, b) {
			t.Errorf("%s does not wait for %s: %v", pair[1], pair[0], list)
		}
	}
	if d := sum - p.Labour.ManMinutesPerShell; d > 0.01 || d < -0.01 {
		t.Errorf("duties take %v min, the labour %v", sum, p.Labour.ManMinutesPerShell)
	}
	line, err := crews.Balance(t.Context(), p, sh, crews.Want{Stations: 2})
	if err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, post := range line.Posts {
		order = append(order, post.Duties...)
	}
	if slices.Index(order, "jig: load cover") < slices.Index(order, "jig: weld lap") {
		t.Errorf("the balanced line: %v", order)
	}
}

// The shell file says for each joint how its fill welds are gone through.
func TestFillOfAJoint(t *testing.T) {
	path := coveredSeam(t)
	// shorter than what is worth beginning in the middle
	for fill, oneWay := range map[string]bool{"through": true, "skips": false, "middle-out": true} {
		p := plan(t, path, 1, map[string]string{"joints.rim.fill": fill, "joints.rim.tack_every_mm": "300", "joints.rim.pitch_mm": "30"})
		var along []float64
		for _, w := range p.Welds {
			if w.Joint == "rim" && w.Step == "fill" {
				along = append(along, w.Along)
			}
		}
		if len(along) < 5 {
			t.Fatalf("%s: fill at %v", fill, along)
		}
		sorted, turned := slices.Clone(along), slices.Clone(along)
		slices.Sort(sorted)
		slices.Reverse(turned)
		if got := slices.Equal(along, sorted) || slices.Equal(turned, sorted); got != oneWay {
			t.Errorf("%s: fill at %v", fill, along)
		}
	}
}
