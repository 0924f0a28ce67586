package pack

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/render/paper"
)

var update = flag.Bool("update", false, "write the golden files")

// poppler runs one of its programs on the book.
func poppler(t *testing.T, book *paper.Book, program string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is missing: install the Debian package poppler-utils", program)
		}
		t.Skipf("NOT TESTED: %s is missing: install the Debian package poppler-utils", program)
	}
	file := filepath.Join(t.TempDir(), "pack.pdf")
	var b bytes.Buffer
	if err := book.PDF(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		args[i] = strings.ReplaceAll(a, "PDF", file)
	}
	out, err := exec.Command(path, args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The figures of the plan are on the pages as text, each on the sheet where it belongs.
func TestNumbersAreOnTheSheets(t *testing.T) {
	book := mustShell(t, Options{Strips: true})
	pages := strings.Split(string(poppler(t, book, "pdftotext", "-layout", "PDF", "-")), "\f")
	if len(pages) != len(book.Pages)+1 {
		t.Fatalf("%d pages of text, want %d", len(pages)-1, len(book.Pages))
	}
	on := func(mark string) string {
		i := slices.IndexFunc(book.Marks, func(m paper.Mark) bool { return m.Title == mark })
		if i < 0 {
			t.Fatalf("no bookmark %q", mark)
		}
		end := len(book.Pages)
		for _, m := range book.Marks[i+1:] {
			if m.Page > book.Marks[i].Page {
				end = m.Page
				break
			}
		}
		return strings.Join(pages[book.Marks[i].Page:end], "\n")
	}
	for mark, want := range map[string][]string{
		"Contents":       {`Cab & <"cart">`, "60.50 EUR", "0, 0, 1", "Marking strips", "Print every sheet at 100 %"},
		"Sub-assemblies": {"floor & more", "sill", "1.20", "floor with sill", "at fl", "12 welds", "8 welds", "0.4 m rolled"},
		"Labour": {"45.0 man-min", "2.0 h", "20, 0.40 m", "20.0 min a shell", "main, person 2", "practice over the batch", "-1.7",
			"120", "neither", "dressed"},
		"Cost":              {"726.00 EUR", "36.00", "59.5 %", "0.0067", "432.00", "456.00", "270.00"},
		"Station fl, Floor": {"Weld map"},
		"Inspection": {"C-7 / fl", "count all 12, look at 3", "4, 8, 12", "2.25", "9.1", "4.6", "The plan counts no coupon",
			"Released to station main"},
		"Work at the jig":    {"Crew of 1, 20.0 min at the jig", "Tack welds 1 to 3."},
		"Flange side/1":      {"START", "free edge", "12 of fl", "396.0 mm"},
		"Station main, Main": nil,
	} {
		if want == nil {
			continue
		}
		text := on(mark)
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s: %q is not on it:\n%s", mark, w, text)
			}
		}
	}
	if !strings.Contains(strings.Join(pages, ""), "1.5 coupons") {
		t.Error("the main jig's coupons are not counted")
	}
}

// The list of contents names the page on which each document begins.
func TestContentsAreRight(t *testing.T) {
	for name, opt := range map[string]Options{"plain": {}, "with strips": {Strips: true}} {
		book := mustShell(t, opt)
		list := string(poppler(t, book, "pdftotext", "-layout", "-l", "1", "PDF", "-"))
		_, list, _ = strings.Cut(list, "Sheets Page")
		station := 0
		for _, m := range book.Marks[1:] {
			if m.Level == 0 && strings.HasPrefix(m.Title, "Station") {
				station = strings.Index(list, m.Title)
				continue
			}
			if m.Level > 1 {
				continue
			}
			at := station + strings.Index(list[station:], m.Title)
			line, _, _ := strings.Cut(list[at:], "\n")
			fields := strings.Fields(line)
			if got := fields[len(fields)-1]; got != fmt.Sprint(m.Page+1) {
				t.Errorf("%s: %s is said to be on page %s, but is on %d:\n%s", name, m.Title, got, m.Page+1, list)
			}
		}
	}
}

// Every page has its size; the check bar of the map measures 100 mm in pixels.
func TestMapKeepsItsSize(t *testing.T) {
	book := mustShell(t, Options{MapSize: paper.A3})
	i := slices.IndexFunc(book.Pages, func(p *paper.Page) bool { return p.Width == 420 })
	if i < 0 {
		t.Fatal("no A3 page")
	}
	img, err := png.Decode(bytes.NewReader(poppler(t, book, "pdftoppm", "-r", "254", "-png", "-f", fmt.Sprint(i+1), "-l", fmt.Sprint(i+1),
		"PDF")))
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); !(math.Abs(float64(b.Dx())-4200) <= 1) || !(math.Abs(float64(b.Dy())-2970) <= 1) {
		t.Errorf("%d x %d pixels, want 4200 x 2970", b.Dx(), b.Dy())
	}
	bar := barOf(t, book.Pages[i])
	y, longest, run := int(math.Round((bar.Y0+bar.Y1)/2*10)), 0, 0
	for x := range img.Bounds().Dx() {
		if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
			run++
		} else {
			run = 0
		}
		longest = max(longest, run)
	}
	if !(math.Abs(float64(longest)-1000) <= 1) {
		t.Errorf("the bar is %d pixels of 0.1 mm", longest)
	}
}

// barOf is where the page says its bar of 100 mm is.
func barOf(t *testing.T, p *paper.Page) paper.Box {
	t.Helper()
	for _, l := range p.Layers {
		for _, it := range l.Items {
			if l.Name == "check-bar" && math.Abs(it.Box().Width()-100) < 1e-9 {
				return it.Box()
			}
		}
	}
	t.Fatal("no check bar")
	return paper.Box{}
}

// sheets are the pack's own sheets of text, which other packages have no part in.
func sheets() map[string][]*paper.Page {
	b := binder{plan: sample(), index: layout.NewIndex(sample()), hash: "0123456789abcdef"}
	return map[string][]*paper.Page{
		"tree": b.tree(), "labour": b.labour(), "cost": b.cost(), "inspection": b.inspection(sample().Stations[1]),
		"station": b.stationLabour(sample().Stations[0]),
	}
}

// Nothing lies beyond the frame, and no two words over each other.
func TestSheetsAreTidy(t *testing.T) {
	for name, pages := range sheets() {
		for i, p := range pages {
			var words []paper.Box
			for _, l := range p.Layers {
				for _, it := range l.Items {
					b := it.Box()
					if l.Name == "sheet" {
						continue
					}
					if b.X0 < 20-1e-6 || b.X1 > paper.A4.Width-10+1e-6 || b.Y0 < 10-1e-6 || b.Y1 > paper.A4.Height-10+1e-6 {
						t.Errorf("%s %d: layer %s: %v is beyond the frame", name, i+1, l.Name, b)
					}
					if it.Kind != paper.Text {
						continue
					}
					for _, w := range words {
						if w.Overlaps(b) {
							t.Errorf("%s %d: %q at %v lies over words at %v", name, i+1, it.Text, b, w)
						}
					}
					words = append(words, b)
				}
			}
		}
	}
}

func TestGolden(t *testing.T) {
	for name, pages := range sheets() {
		for i, p := range pages {
			var out bytes.Buffer
			if err := p.SVG(&out); err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("testdata", fmt.Sprintf("%s-%d.svg", name, i+1))
			if *update {
				if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(out.String(), "\n")); d != "" {
				t.Errorf("%s differs; look at the change and run with -update:\n%.3000s", file, d)
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	if err := mustShell(t, Options{Strips: true}).PDF(&a); err != nil {
		t.Fatal(err)
	}
	if err := mustShell(t, Options{Strips: true}).PDF(&b); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same plan gave other bytes")
	}
}

// A set warns of broken rules that concern it: the shell's of all, a station's of its own and of those that name
// no station.
func TestBrokenRulesAreSaid(t *testing.T) {
	for station, c := range map[string]struct{ shell, floor bool }{"main": {true, false}, "fl": {true, true}, "": {true, true}} {
		p := sample()
		p.Findings = append(p.Findings, layout.Finding{Severity: layout.Broken, Station: station})
		whole, one := binder{plan: p}, binder{plan: p, index: layout.NewIndex(p), only: &p.Stations[0]}
		if got := whole.broken() > 0; got != c.shell {
			t.Errorf("broken at %q: the shell's set warns: %v", station, got)
		}
		if got := one.broken() > 0; got != c.floor {
			t.Errorf("broken at %q: the floor's set warns: %v", station, got)
		}
	}
}

func TestUnknownStation(t *testing.T) {
	if _, err := Station(context.Background(), sample(), panels(), "x", Options{}); err == nil ||
		err.Error() != `pack: station "x" is not in the plan: it has fl, main` {
		t.Errorf("error %v", err)
	}
}

func TestEmptyPlanGivesASet(t *testing.T) {
	book, err := Shell(context.Background(), &layout.Plan{}, nil, Options{Strips: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := book.PDF(&bytes.Buffer{}); err != nil {
		t.Error(err)
	}
}

// The chart of shells ends when the plan's own flow says that the batch is out.
func TestChartAgreesWithFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &layout.Plan{}
		n := rapid.IntRange(1, 7).Draw(t, "stations")
		for i := range n {
			s := layout.Station{ID: fmt.Sprint(i), Makes: fmt.Sprint("p", i), Crew: rapid.IntRange(1, 3).Draw(t, "crew")}
			for k := range i { // every product goes to one later station
				if p.Stations[k].Name == "" && (i == n-1 || rapid.Bool().Draw(t, "used")) {
					s.Arrives = append(s.Arrives, fmt.Sprint("p", k))
					p.Stations[k].Name = "used"
				}
			}
			p.Stations = append(p.Stations, s)
			p.Labour.Stations = append(p.Labour.Stations, layout.StationLabour{Station: s.ID, Crew: s.Crew, Minutes: rapid.Float64Range(0.1,
				50).Draw(t, "minutes")})
		}
		shells := rapid.IntRange(1, 5).Draw(t, "shells")
		flow, err := crews.Flow(p, shells, 40)
		if err != nil {
			t.Fatal(err)
		}
		_, to := layout.NewIndex(p).FirstShells(shells)
		end, first := 0.0, 0.0
		for i := range to {
			first, end = math.Max(first, to[i][0]), math.Max(end, to[i][shells-1])
		}
		if !(math.Abs(end-flow.Makespan) <= 1e-9*(1+end)) || !(math.Abs(first-flow.FirstShell) <= 1e-9*(1+first)) {
			t.Fatalf("chart ends at %g, first shell at %g; flow says %g and %g", end, first, flow.Makespan, flow.FirstShell)
		}
	})
}

// The bars of a crew add up to the station's man-minutes, and end with its minutes at the jig.
func TestBarsAddUp(t *testing.T) {
	p := sample()
	for i, st := range p.Stations {
		sum := 0.0
		for _, r := range crewRows(layout.NewIndex(p).Station(st.ID), 3) {
			for _, s := range r.slots {
				sum += s.to - s.from
			}
		}
		if want := p.Labour.Stations[i].ManMinutes; !(math.Abs(sum-want) <= 1e-9) {
			t.Errorf("%s: bars are %g min, want %g", st.ID, sum, want)
		}
		rows := crewRows(layout.NewIndex(p).Station(st.ID), 3)
		if len(rows) != st.Crew {
			t.Errorf("%s: %d rows for a crew of %d", st.ID, len(rows), st.Crew)
		}
		if end := rows[0].slots[len(rows[0].slots)-1].to; !(math.Abs(end-3-p.Labour.Stations[i].Minutes) <= 1e-9) {
			t.Errorf("%s: bars end after %g min, want %g", st.ID, end-3, p.Labour.Stations[i].Minutes)
		}
	}
	if used := (&binder{plan: p, index: layout.NewIndex(p)}).usedPhases("main"); !used[len(used)-1] || used[0] {
		t.Errorf("phases of the main jig: %v; work that no phase names must be other work", used)
	}
}

// However deep or wide, each panel is drawn once and no tree is higher than a page.
func TestTreesFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := 0
		var grow func(depth int) *twig
		grow = func(depth int) *twig {
			if depth == 0 || rapid.IntRange(0, 3).Draw(t, "kind") == 0 {
				count++
				return &twig{name: fmt.Sprint("panel ", count), thick: "1"}
			}
			x := &twig{name: "sub-assembly with a longer name", lines: []string{"at station", "100 welds"}}
			for range rapid.IntRange(1, 14).Draw(t, "parts") {
				x.parts = append(x.parts, grow(depth-1))
			}
			return x
		}
		root := grow(rapid.IntRange(1, 3).Draw(t, "depth") + 1)
		const page = 220.0
		drawn := 0
		var tally func(x *twig)
		tally = func(x *twig) {
			if x.panel() {
				drawn++
			}
			for _, p := range x.parts {
				tally(p)
			}
		}
		for _, x := range split(root, page) {
			tally(x)
			if h := x.high(boxWide(x.rank())); h > page+1e-9 || x.rank() > deepest {
				t.Fatalf("a tree is %g mm high and %d deep", h, x.rank())
			}
		}
		if drawn != count {
			t.Fatalf("%d of %d panels are drawn", drawn, count)
		}
	})
}

// A sub-assembly of any number of panels goes over as many pages as it needs, none of them drawn on below its end.
func TestLongTreesKeepToThePage(t *testing.T) {
	for n := 1; n <= 90; n++ {
		plan := sample()
		plan.Subassemblies[0].Parts = nil
		for i := range n {
			id := fmt.Sprint("p", i)
			plan.Panels = append(plan.Panels, layout.Panel{ID: id, Thickness: 1, Station: "fl"})
			plan.Subassemblies[0].Parts = append(plan.Subassemblies[0].Parts, id)
		}
		b := binder{plan: plan, index: layout.NewIndex(plan)}
		bottom := b.work("", "", "").Box.Y1
		for i, p := range b.tree() {
			for _, l := range p.Layers {
				for _, it := range l.Items {
					if box := it.Box(); l.Name != "sheet" && l.Name != "words" && box.Y1 > bottom+1e-6 { // words: the foot of the page
						t.Fatalf("%d panels, page %d: layer %s reaches to %g, the page ends at %g", n, i+1, l.Name, box.Y1, bottom)
					}
				}
			}
		}
	}
}

// However many sub-assemblies stand side by side, a name of a dozen letters fits into a line of a box.
func TestBoxesOfTheTreeAreLegible(t *testing.T) {
	for side := 1; side <= deepest; side++ {
		if lines := (&twig{name: "wheelhouse-l"}).text(boxWide(side)); len(lines) != 1 || boxWide(side) < 30 {
			t.Errorf("%d side by side: boxes of %g mm, %q", side, boxWide(side), lines)
		}
	}
}
