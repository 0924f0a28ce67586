package calls

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/mesh"
	"seamwright/internal/plates"
	"seamwright/layout"
)

// Plate writes a flat rectangle as STL and returns its path, mm.
func Plate(t testing.TB, dir, name string, x0, y0, x1, y1, z float64) string {
	t.Helper()
	m := &mesh.Mesh{
		Vertices:  []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	var b bytes.Buffer
	if err := mesh.WriteSTL(&b, m); err != nil {
		t.Fatal(err)
	}
	return Put(t, dir, name, b.String())
}

// Lap is a shell of two plates that lap, with more keys in its file.
func Lap(t testing.TB, more string) string {
	t.Helper()
	file, err := plates.Lap(t.TempDir(), more)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// TwoJigs writes three plates that are joined in two jigs.
func TwoJigs(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	Plate(t, dir, "a.stl", 0, 0, 400, 60, 1)
	Plate(t, dir, "b.stl", 0, 40, 400, 100, 0)
	Plate(t, dir, "c.stl", 0, 80, 400, 140, -1)
	return Put(t, dir, "shell.yaml", `name: Two jigs
batch: 10
steels:
  - {id: s, grade: DC04, thickness_mm: 1}
panels:
  - {id: a, mesh: a.stl, unit: mm}
  - {id: b, mesh: b.stl, unit: mm}
  - {id: c, mesh: c.stl, unit: mm}
subassemblies:
  - {id: pair, parts: [a, b]}
  - {id: all, parts: [pair, c]}
stations:
  - {id: first, makes: pair, prepare_min: 60}
  - {id: second, makes: all, crew: 2, prepare_min: 120, changeover_min: 30}
rates: {labour_per_hour: 40}
`)
}

// Offered is the two jigs with what a quote needs.
func Offered(t testing.TB) string {
	t.Helper()
	file := TwoJigs(t)
	text := string(Read(t, file)) + `people: 2
shifts: 2
material: [{grade: DC04, thickness_mm: 1, price_per_kg: 1.137}]
offer:
  margin_pct: 11.5
  vat_pct: 21
  customer: Orchard Machines, Mill Lane 4
  date: "2026-03-09"
  lines: [{id: press, what: press the panels, by: subcontract, price: 33.335}]
  breaks: [{shells: 3}, {shells: 10}]
`
	return Put(t, filepath.Dir(file), "shell.yaml", text)
}

// Corner writes two laps at a right angle, so that a pose can be found.
func Corner(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	Plate(t, dir, "a.stl", 0, 0, 400, 60, 1.05)
	Plate(t, dir, "b.stl", 0, 40, 400, 100, 0)
	Plate(t, dir, "c.stl", 380, 100, 440, 420, 1.05)
	Plate(t, dir, "d.stl", 420, 100, 480, 420, 0)
	return Put(t, dir, "shell.yaml", `# a remark that stays
name: Corner
steels:
  - {id: thin, grade: DC04, thickness_mm: 0.9}
  - {id: thick, grade: DC04, thickness_mm: 1.2}
panels:
  - {id: a, mesh: a.stl, unit: mm, steel: thin}
  - {id: b, mesh: b.stl, unit: mm, steel: thick}
  - {id: c, mesh: c.stl, unit: mm, steel: thin}
  - {id: d, mesh: d.stl, unit: mm, steel: thick}
joints:
  - {id: long, panels: [a, b]}
  - {id: short, panels: [c, d]}
`)
}

// CornerPoints measures the corner's own plan, a quarter turn about z and moved, with changes.
func CornerPoints(t *testing.T, p Program, file string) string {
	t.Helper()
	plan := Decode[layout.Plan](t, p.Must(t, program.ExitDone, "plan", file, "--json"))
	var b strings.Builder
	b.WriteString("id,x_mm,y_mm,z_mm\n")
	slices.SortFunc(plan.Welds, func(a, b layout.Weld) int {
		return cmp.Or(cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Along, b.Along))
	})
	for i, w := range plan.Welds {
		x, y, z := w.Position[0], w.Position[1], w.Position[2]
		switch i {
		case 2:
			continue // missing
		case 5:
			x += 9 * sign(w.Joint == "long") // displaced along a row
			y += 9 * sign(w.Joint == "short")
		}
		fmt.Fprintf(&b, "%s %d,%.3f,%.3f,%.3f\n", w.Joint, w.Number, 1000-y, 2000+x, 30+z)
	}
	b.WriteString("elsewhere,1500,2600,700\n")
	return Put(t, filepath.Dir(file), "points.csv", b.String())
}

func sign(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
