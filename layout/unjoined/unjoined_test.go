package unjoined_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/scan"
	"seamwright/geometry/space"
	"seamwright/internal/looks"
	"seamwright/internal/record"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/unjoined"
	"seamwright/seams/rule"
)

// plate is a flat sheet of small facets; strip a solid one.
func plate(at r3.Vector, x, y float64) *mesh.Mesh {
	const cell = 5.0
	m := &mesh.Mesh{}
	nx, ny := max(1, int(x/cell)), max(1, int(y/cell))
	for j := range ny + 1 {
		for i := range nx + 1 {
			m.Vertices = append(m.Vertices, at.Add(r3.Vector{X: x * float64(i) / float64(nx), Y: y * float64(j) / float64(ny)}))
		}
	}
	for j := range ny {
		for i := range nx {
			a := int32(j*(nx+1) + i)
			b := a + int32(nx) + 1
			m.Triangles = append(m.Triangles, [3]int32{a, a + 1, b + 1}, [3]int32{a, b + 1, b})
		}
	}
	return m
}

// leaning and tilted are plates that rise along x and along y.
func leaning(at r3.Vector, x, y, slope float64) *mesh.Mesh {
	m := plate(at, x, y)
	for i := range m.Vertices {
		m.Vertices[i].Z += slope * (m.Vertices[i].X - at.X)
	}
	return m
}

func tilted(at r3.Vector, x, y, slope float64) *mesh.Mesh {
	m := plate(at, x, y)
	for i := range m.Vertices {
		m.Vertices[i].Z += slope * (m.Vertices[i].Y - at.Y)
	}
	return m
}

// arched is a plate that is round across, at a radius, and begins so far from the top as measured at another.
func arched(from, radius, about float64) *mesh.Mesh {
	m := plate(r3.Vector{Y: from}, 200, 40)
	for i, v := range m.Vertices {
		sin, cos := math.Sincos(v.Y / about)
		m.Vertices[i] = r3.Vector{X: v.X, Y: radius * sin, Z: radius * cos}
	}
	return m
}

func strip(at r3.Vector, x, y, thick float64) *mesh.Mesh {
	low, high := plate(at, x, y), plate(at.Add(r3.Vector{Z: thick}), x, y)
	m := &mesh.Mesh{Vertices: append(low.Vertices, high.Vertices...), Triangles: high.Triangles}
	n := int32(len(low.Vertices))
	for i, t := range high.Triangles {
		m.Triangles[i] = [3]int32{t[0] + n, t[1] + n, t[2] + n}
	}
	for _, t := range low.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{t[0], t[2], t[1]})
	}
	edge := map[[2]int32]bool{}
	for _, t := range low.Triangles {
		for k := range 3 {
			edge[[2]int32{t[k], t[(k+1)%3]}] = true
		}
	}
	for _, t := range low.Triangles {
		for k := range 3 {
			if a, b := t[k], t[(k+1)%3]; !edge[[2]int32{b, a}] {
				m.Triangles = append(m.Triangles, [3]int32{a, b, b + n}, [3]int32{a, b + n, a + n})
			}
		}
	}
	return m
}

// round is a closed body without a thickness: eight facets about the origin.
func round(radius float64) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vector{{X: radius}, {Y: radius}, {X: -radius}, {Y: -radius}, {Z: radius}, {Z: -radius}}}
	for k := range int32(4) {
		m.Triangles = append(m.Triangles, [3]int32{k, (k + 1) % 4, 4}, [3]int32{(k + 1) % 4, k, 5})
	}
	return m
}

func panel(id string, m *mesh.Mesh, thickness float64, surface flange.Surface) unjoined.Panel {
	return unjoined.Panel{ID: id, Shape: near.NewShape(m), Sheet: flange.Sheet{Name: id, Mesh: m, Thickness: thickness, Surface: surface}}
}

func judge(t *testing.T, panels ...unjoined.Panel) []layout.Finding {
	t.Helper()
	var sheets []flange.Sheet
	for _, p := range panels {
		sheets = append(sheets, p.Sheet)
	}
	found, err := flange.Find(context.Background(), sheets, flange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return judged(t, panels, found, nil)
}

func judged(t *testing.T, panels []unjoined.Panel, found *flange.Found, joined [][]int) []layout.Finding {
	t.Helper()
	out, err := unjoined.Judge(t.Context(), panels, found, joined, finding.By(rule.Book()))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func words(all []layout.Finding) string {
	var out []string
	for _, f := range all {
		out = append(out, fmt.Sprintf("%s %s %.2f: %s", f.Severity, f.Rule, f.Value, f.Where))
	}
	return strings.Join(out, "\n")
}

var _ = flag.Bool("update", false, "write the records anew")

func TestWhatIsNotJoined(t *testing.T) {
	flat := func(id string, y, z float64) unjoined.Panel {
		return panel(id, plate(r3.Vector{Y: y, Z: z}, 200, 40), 1, flange.Mid)
	}
	thick := func(id string, y, z, mm, stated float64, surface flange.Surface) unjoined.Panel {
		return panel(id, strip(r3.Vector{Y: y, Z: z}, 200, 40, mm), stated, surface)
	}
	small := panel("small", plate(r3.Vector{X: 0.01, Y: 0.05}, 0.2, 0.04), 0.9, flange.Mid)
	inches := panel("inches", plate(r3.Vector{X: 0.4, Y: 1.2, Z: 0.04}, 200/25.4, 40/25.4), 0, flange.Mid)
	ball := panel("ball", round(20), 1, flange.Solid)
	var whole strings.Builder
	for _, c := range []struct {
		name   string
		panels []unjoined.Panel
		want   string
	}{
		{"a sound pair", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1)}, ""},
		{"sound solids", []unjoined.Panel{thick("a", 0, 0, 1, 1, flange.Solid), thick("b", 25, 1, 1, 1, flange.Solid)}, ""},
		{"not placed", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), flat("scuttle", 0, 531)},
			"broken panel.alone 530.00: panel scuttle lies on no other panel; nearest: b, 530 mm away"},
		{"two by two", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), flat("c", 0, 301), flat("d", 25, 302)},
			"doubt panel.apart 300.00: panels c, d lie on each other and on no further panel; nearest: b, 300 mm away"},
		{"too far for a flange", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 4)},
			"broken panel.alone 4.00: panel b lies on no other panel; nearest: a, 4.0 mm away\ndoubt"},
		{"mid-surfaces 0.3 mm into each other", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 0.7)},
			"doubt fit.into 0.30: a and b run 0.30 mm into each other for 200 mm of a flange"},
		{"three mid-surfaces 0.2 mm into each other twice", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 0.8), flat("c", 25, 1.6)},
			"a and b and c run 0.40 mm into each other for 200 mm of a flange"},
		{"three sound sheets", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), flat("c", 25, 2)}, ""},
		{"cut off where it opens", []unjoined.Panel{flat("a", 0, 0), panel("b", leaning(r3.Vector{Y: 25, Z: 1}, 200, 40, 0.018), 1, flange.Mid)},
			"doubt fit.cut 3.00: a and b: their flange of 1"},
		{"open at a side", []unjoined.Panel{flat("a", 0, 0), panel("b", tilted(r3.Vector{Y: 25, Z: 1}, 200, 40, 0.06), 1, flange.Mid)},
			"doubt fit.beside 0.8"},
		{"round across", []unjoined.Panel{panel("a", arched(0, 54.5, 54), 1, flange.Mid), panel("b", arched(25, 53.5, 54), 1, flange.Mid)},
			"doubt fit.turns.greatest 10."},
		{"less round across", []unjoined.Panel{panel("a", arched(0, 90.5, 90), 1, flange.Mid), panel("b", arched(25, 89.5, 90), 1, flange.Mid)},
			""},
		{"skins, their sides not known", []unjoined.Panel{panel("a", plate(r3.Vector{}, 200, 40), 1, flange.Skin),
			panel("b", plate(r3.Vector{Y: 25, Z: 2}, 200, 40), 1, flange.Skin)},
			"doubt fit.side 1.00: a and b: on which side the metal lies"},
		{"a small contact", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), panel("c", plate(r3.Vector{X: 95, Y: -60, Z: 1}, 9, 70), 1,
			flange.Mid)}, "note fit.small 10.00: a and c lie on each other over 10.0 x 9.0 mm: too small"},
		{"skins that touch", []unjoined.Panel{panel("a", plate(r3.Vector{}, 200, 40), 1, flange.Skin),
			panel("b", plate(r3.Vector{Y: 25}, 200, 40), 1, flange.Skin)}, ""},
		{"mid-surfaces 0.1 mm into each other", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 0.9)}, ""},
		{"mid-surfaces on each other", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 0)},
			"broken fit.into.greatest 1.00: a and b run 1.00 mm into each other"},
		{"solids 0.1 mm into each other", []unjoined.Panel{thick("a", 0, 0, 1, 1, flange.Solid), thick("b", 25, 0.9, 1, 1, flange.Solid)},
			"doubt fit.into 0.10: a and b run 0.10 mm into each other over"},
		{"solids 0.6 mm into each other", []unjoined.Panel{thick("a", 0, 0, 1, 1, flange.Solid), thick("b", 25, 0.4, 1, 1, flange.Solid)},
			"broken fit.into.greatest 0.60: a and b run 0.60 mm into each other over"},
		{"a solid read as a mid-surface", []unjoined.Panel{thick("a", 0, 0, 1, 1, flange.Mid), thick("b", 25, 1, 1, 1, flange.Solid)},
			"doubt panel.solid 1.00: panel a: its mesh is closed and about 1.00 mm thick, and is read as mid"},
		{"a mid-surface read as a solid", []unjoined.Panel{flat("a", 0, 0), {ID: "b", Shape: near.NewShape(flat("b", 25, 1).Sheet.Mesh),
			Sheet: flange.Sheet{Mesh: flat("b", 25, 1).Sheet.Mesh, Thickness: 1, Surface: flange.Solid}}}, "doubt panel.open 0.00: panel b"},
		{"of another thickness", []unjoined.Panel{thick("a", 0, 0, 1, 1.2, flange.Solid), thick("b", 25, 1, 1, 1, flange.Solid)},
			"doubt panel.thickness 1.00: panel a: its mesh is about 1.00 mm thick, its steel 1.2 mm"},
		{"a solid that is no sheet", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), ball},
			"doubt panel.thickness 0.00: panel ball: its mesh has no thickness of a sheet"},
		{"metres", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), small},
			"doubt panel.unit 0.20: panel small is 0.2 mm long and 0.9 mm thick: is its file in metres or inches?"},
		{"inches", []unjoined.Panel{flat("a", 0, 0), flat("b", 25, 1), inches},
			"doubt panel.unit 7.87: panel inches is 7.87 mm long, the others 200 mm: is its file in inch?"},
	} {
		found := judge(t, c.panels...)
		fmt.Fprintf(&whole, "%s:\n%s", c.name, lines(found))
		got := words(found)
		if c.want == "" && got != "" || !strings.Contains(got, strings.TrimSuffix(c.want, "\ndoubt")) {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
	record.Hold(t, "testdata/notjoined.txt", whole.String())
}

// Of a noisy scan it is said what was done to it, and where: at its first speck, else at a hole, else where a corner moved most.
func TestScans(t *testing.T) {
	faired := scan.Fairing{Facet: 0.42, Wave: 5, Usual: 0.012, Most: 0.34, Place: r3.Vector{X: 1}}
	holes := scan.Cleaning{Holes: 2, Widest: 1.4, HoleAt: r3.Vector{Y: 2}}
	both := holes
	both.Specks, both.SpeckArea, both.SpeckAt = 3, 7.5, r3.Vector{Z: 3}
	found := &flange.Found{Scans: []flange.Scan{{Sheet: 1, Fairing: faired}, {Sheet: 0, Fairing: faired, Cleaning: holes},
		{Sheet: 1, Fairing: faired, Cleaning: both}}}
	record.Hold(t, "testdata/scans.txt", lines(unjoined.Scans([]unjoined.Panel{{ID: "door"}, {ID: "sill"}}, found, finding.By(rule.Book()))))
}

// lines is all that findings hold.
func lines(all []layout.Finding) string {
	var b strings.Builder
	for _, f := range all {
		fmt.Fprintf(&b, "  %s %s of %s at %.2f: %.4g, limit %.4g %s: %s; %s (%s)\n", f.Severity, f.Rule, strings.Join(f.Panels, ", "), f.At,
			f.Value, f.Limit, f.Unit, f.Where, f.Remedy, f.Source)
	}
	return b.String()
}

// Where all panels are in the same wrong unit none stands out beside the others: then the whole is not of a shell's size.
func TestAShellInAnotherUnit(t *testing.T) {
	for _, c := range []struct {
		name string
		long float64 // mm, of both panels
		unit float64 // what the files are read smaller by
		read space.Unit
		want string
	}{
		{"a cab in mm", 1500, 1, space.Millimetre, ""},
		{"a cab in inches", 1500, 25.4, space.Millimetre, "doubt shell.size.least 59.06: all panels together are 59.1 mm long: are the files " +
			"in inch (it is then 1.5 m long) or cm (it is then 0.591 m long) or foot (it is then 18 m long)?"},
		{"a cab in metres", 1500, 1000, space.Millimetre, "doubt shell.size.least 1.50: all panels together are 1.5 mm long: are the files in " +
			"m (it is then 1.5 m long) or foot (it is then 0.457 m long)?"},
		{"millimetres read as metres", 1500, 0.001, space.Metre, "doubt shell.size.greatest 1500000.00: all panels together " +
			"are 1.5e+06 mm long: are the files in cm (it is then 15 m long) or mm (it is then 1.5 m long)?"},
		{"just large enough", 200, 1, space.Millimetre, ""},
		{"just too small", 199, 1, space.Millimetre, "doubt shell.size.least 199.00: "},
		{"just small enough", 25_000, 1, space.Millimetre, ""},
		{"just too large", 25_001, 1, space.Millimetre, "doubt shell.size.greatest 25001.00: "},
		{"too small in any unit", 1500, 1e7, space.Millimetre, "doubt shell.size.least 0.00: all panels together are 0.00015 mm long"},
	} {
		long, wide := c.long/c.unit, 40/c.unit
		flat := func(id string, y, z float64) unjoined.Panel {
			return panel(id, &mesh.Mesh{Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}, Vertices: []r3.Vector{
				{Y: y, Z: z}, {X: long, Y: y, Z: z}, {X: long, Y: y + wide, Z: z}, {Y: y + wide, Z: z}}}, 1, flange.Mid)
		}
		a, b := flat("a", 0, 0), flat("b", 25/c.unit, 1/c.unit)
		a.Unit, b.Unit = c.read, c.read
		var got []string
		all := judged(t, []unjoined.Panel{a, b}, &flange.Found{}, [][]int{{0, 1}})
		for _, line := range strings.Split(words(all), "\n") {
			if strings.Contains(line, "shell.size") || strings.Contains(line, "panel.unit") {
				got = append(got, line)
			}
		}
		if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || !strings.HasPrefix(got[0], c.want)) {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, strings.Join(got, "\n"), c.want)
		}
	}
}

// Panels of a joint whose weld line is drawn are not alone.
func TestJoinedPanelsAreNotAlone(t *testing.T) {
	a, b := panel("a", plate(r3.Vector{}, 200, 40), 1, flange.Mid), panel("b", plate(r3.Vector{Z: 90}, 200, 40), 1, flange.Mid)
	if got := words(judged(t, []unjoined.Panel{a, b}, &flange.Found{}, [][]int{{0, 1}})); got != "" {
		t.Error(got)
	}
	if got := words(judged(t, []unjoined.Panel{a}, &flange.Found{}, nil)); got != "" {
		t.Errorf("a single panel: %s", got)
	}
}

// Each panel, each pair of solids and each pair of panels far apart is a place at which judging ends once it is cancelled.
func TestCancelled(t *testing.T) {
	var panels []unjoined.Panel
	for k := range 6 {
		panels = append(panels, panel(fmt.Sprint("p", k), plate(r3.Vector{Z: 90 * float64(k)}, 200, 40), 1, flange.Mid))
	}
	whole := looks.Never()
	if _, err := unjoined.Judge(whole, panels, &flange.Found{}, nil, finding.By(rule.Book())); err != nil || whole.Count() < 2*len(panels) {
		t.Fatalf("%d looks at the context, %v", whole.Count(), err)
	}
	for at := 1; at <= whole.Count(); at++ {
		c := looks.CancelledAt(at)
		if _, err := unjoined.Judge(c, panels, &flange.Found{}, nil, finding.By(rule.Book())); !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled at look %d of %d: %v", at, whole.Count(), err)
		}
	}
}

func ExampleJudge() {
	a, b := panel("roof", plate(r3.Vector{}, 200, 40), 1, flange.Mid), panel("rail", plate(r3.Vector{Z: 90}, 200, 40), 1, flange.Mid)
	findings, err := unjoined.Judge(context.Background(), []unjoined.Panel{a, b}, &flange.Found{}, nil, finding.By(rule.Book()))
	if err != nil {
		fmt.Println(err)
	}
	for _, f := range findings {
		fmt.Println(f.Severity, f.Rule, f.Where)
	}
	// Output:
	// broken panel.alone panel roof lies on no other panel; nearest: rail, 90 mm away
	// broken panel.alone panel rail lies on no other panel; nearest: roof, 90 mm away
}

// A panel is small for its thickness below eight times it, and not from there on.
func TestPanelTooShortForItsThickness(t *testing.T) {
	for long, want := range map[float64]bool{7.9: true, 8.1: false, 8.7: false} {
		said := false
		for _, f := range judge(t, panel("a", plate(r3.Vector{}, 200, 40), 1, flange.Mid),
			panel("b", plate(r3.Vector{X: 50, Y: 25, Z: 1}, long, 6), 1, flange.Mid)) {
			said = said || f.Rule == "panel.unit" && strings.Contains(f.Where, "mm thick")
		}
		if said != want {
			t.Errorf("%v mm long and 1 mm thick: said %v", long, said)
		}
	}
}
