package laying

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/internal/plates"
	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/spots"
	"seamwright/seams/inforce"
	"seamwright/seams/shellfile"
)

// loadedLap is two flat sheets that lap over a length and a width, under a shear force.
type loadedLap struct{ a, b, tensile, length, width, shear float64 }

// The bounds of the exhaustive search, by hand: EN 1993-1-3:2006 Table 8.5 and the optimum table's spacing are those that the
// rules go by; here they are written out anew.
func (c loadedLap) thin() float64     { return math.Min(c.a, c.b) }
func (c loadedLap) diameter() float64 { return 5 * math.Sqrt(c.thin()) }

// carries is the design resistance of a weld in N so far from the end of the sheet, in the worst direction, with the nugget that its
// setting lets expect.
func (c loadedLap) carries(end, nugget float64) float64 {
	t, thick, d := c.thin(), math.Max(c.a, c.b), math.Min(c.diameter(), nugget)
	tearing := 2.7 * math.Sqrt(t) * d * c.tensile
	if thick > 2.5*t {
		tearing = math.Min(tearing, math.Min(0.7*d*d*c.tensile, 3.1*t*d*c.tensile))
	}
	return math.Min(tearing, math.Min(math.Pi/4*d*d*c.tensile, 1.4*t*end*c.tensile)) / 1.25
}

// fewest is the least number of welds that carries the load in any number of rows up to six, any distance between them in
// tenths of a millimetre, side by side or staggered, symmetrically over the width, by trying all; 0 where none does.
func (c loadedLap) fewest(nugget, pitch, edge, end, greatest float64) int {
	best := 0
	atLeast := int(math.Ceil((c.length-2*end)/greatest-1e-9)) + 1
	try := func(capacity int, apart float64, rows int) {
		each := c.carries(math.Min(end, (c.width-float64(rows-1)*apart)/2), nugget)
		if n := max(atLeast, int(math.Ceil(c.shear/each-1e-9))); n <= capacity && (best == 0 || n < best) {
			best = n
		}
	}
	line := c.length - 2*end
	try(int(line/pitch+1e-9)+1, 0, 1)
	d := 5 * math.Sqrt(math.Min(c.a, c.b))
	cross, aslant := math.Max(pitch, 15*math.Sqrt(math.Min(c.a, c.b))), 7.5*math.Sqrt(math.Min(c.a, c.b))
	for rows := 2; rows <= 6; rows++ {
		for tenths := math.Ceil(aslant*10 - 1e-9); ; tenths++ {
			apart := tenths / 10
			if apart > 6*d+1e-9 || c.width-float64(rows-1)*apart < 2*edge-1e-9 {
				break
			}
			if apart >= cross {
				try(rows*(int(line/pitch+1e-9)+1), apart, rows)
			}
			if rows > 2 && 2*apart < pitch {
				continue // of three rows the outer ones stand in one column
			}
			step := math.Max(pitch/2, d)
			if apart < cross {
				step = math.Max(step, math.Sqrt(cross*cross-apart*apart))
			} else {
				step = pitch / 2
			}
			columns := int(line/step+1e-9) + 1
			try((columns+1)/2*((rows+1)/2)+columns/2*(rows/2), apart, rows)
		}
	}
	return best
}

// laid lays the lap as a joint of a shell is laid.
func (c loadedLap) laid(t testing.TB, dir string) (own line, used, nugget float64) {
	t.Helper()
	text := fmt.Sprintf("name: lap\nsteels: [{id: s, thickness_mm: %g, tensile_mpa: %g, yield_mpa: 160}, {id: u, thickness_mm: %g, "+
		"tensile_mpa: %g, yield_mpa: 160}]\npanels: [{id: a, mesh: a.stl, steel: s}, {id: b, mesh: b.stl, steel: u}]\n"+
		"joints: [{id: lap, panels: [a, b], load: {shear_n: %g}}]\n", c.a, c.tensile, c.b, c.tensile, c.shear)
	path := filepath.Join(dir, "shell.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	sh, _, err := shellfile.Read(path, nil)
	if err != nil {
		t.Fatal(err)
	}
	x := laying{Basis: joining.Basis{Shell: sh}, Joined: &joining.Joined{}, out: &Laid{}}
	if x.Rules, err = inforce.For(sh); err != nil {
		t.Fatal(err)
	}
	s := &joining.Strip{ID: "lap/1", Panels: []string{"a", "b"}}
	if s.Stack, err = x.Rules.Stack(s.Panels); err != nil {
		t.Fatal(err)
	}
	s.Limits = x.Rules.Limits(s.Stack, &sh.Joints[0])
	s.Flange.Length = c.length
	for k := range 41 {
		at := c.length * float64(k) / 40
		s.Flange.Line = append(s.Flange.Line, flange.LinePoint{S: at, Point: r3.Vector{X: at}, Along: r3.Vector{X: 1}, Across: r3.Vector{Y: 1},
			Axis: r3.Vector{Z: 1}, Left: c.width / 2, Right: c.width / 2, LeftEdge: flange.FreeEdge, RightEdge: flange.FreeEdge})
	}
	x.Joints = []layout.Joint{{ID: "lap", Panels: s.Panels, Kind: layout.SpotJoint, Flanges: []string{s.ID}, Length: c.length}}
	x.Strips = []*joining.Strip{s}
	f := layout.Flange{ID: s.ID, Joint: "lap", Panels: s.Panels, Length: c.length}
	for _, st := range s.Flange.Line {
		f.Line = append(f.Line, layout.LinePoint{Along: st.S, At: joining.Vec(st.Point), Normal: joining.Vec(st.Axis), Left: st.Left,
			Right: st.Right, Air: st.Gap, Ends: [2]layout.Edge{st.LeftEdge, st.RightEdge}})
	}
	x.Flanges = []layout.Flange{f}
	own = line{strip: s, request: spots.Request{Line: spots.Line{ID: s.ID, Sheets: s.Panels, Points: s.Flange.Line}, Limits: s.Limits}}
	if own.request.Apart, err = x.RowsApart(s.Stack); err != nil {
		t.Fatal(err)
	}
	lines := []line{own}
	if err := lines[0].lay(); err != nil {
		t.Fatal(err)
	}
	if err := x.carryLoads(context.Background(), lines); err != nil {
		t.Fatal(err)
	}
	if used, _, err = x.utilisation(context.Background(), 0, []*line{&lines[0]}); err != nil {
		t.Fatal(err)
	}
	return lines[0], used, x.Rules.Strength(s.Stack, nil).Nugget
}

// Never more welds are laid for a load than the exhaustive search finds.
func TestFewestWeldsAgainstExhaustiveSearch(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a.stl", "b.stl"} {
		if err := os.WriteFile(filepath.Join(dir, name), plates.STL(plates.Flat(0, 0, 1, 1, 0)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cases := []loadedLap{{1, 1, 270, 200, 30, 36000}, {1, 1, 270, 200, 30, 40000}}
	rng := rand.New(rand.NewPCG(7, 1))
	sheet := func() float64 { return []float64{0.7, 0.8, 1, 1.2, 1.5, 2}[rng.IntN(6)] }
	for len(cases) < 200 {
		c := loadedLap{sheet(), sheet(), []float64{270, 340, 420}[rng.IntN(3)], 80 + float64(rng.IntN(320)), 14 + float64(rng.IntN(460))/10, 0}
		each := c.carries(1000, 1000)
		c.shear = each * (2 + rng.Float64()*c.length/20*c.width/14)
		cases = append(cases, c)
	}
	rows, over, unmet := map[int]int{}, 0, 0
	for _, c := range cases {
		got, used, nugget := c.laid(t, dir)
		l := got.strip.Limits
		want := c.fewest(nugget, l.LeastPitch.Value, l.EdgeDistance.Value, l.EndDistance.Value, l.GreatestPitch.Value)
		n := len(got.laid.Welds)
		last := 0
		for _, w := range got.laid.Welds {
			last = max(last, w.Row)
		}
		rows[last]++
		switch {
		case want == 0:
			unmet++
		case used > 1+1e-9:
			t.Errorf("%+v: %d welds used %.4f; %d carry it", c, n, used, want)
		case n > want:
			t.Errorf("%+v: %d welds in %d rows; %d carry it", c, n, last, want)
		case n < want:
			over++
		}
		keepsDistances(t, c, got)
	}
	t.Logf("of %d joints by rows %v; %d carried by no arrangement, %d with fewer than the search finds", len(cases), rows, unmet, over)
}

// keepsDistances holds the welds against the least pitch, edges and ends, each pair by itself.
func keepsDistances(t *testing.T, c loadedLap, l line) {
	t.Helper()
	for i, w := range l.laid.Welds {
		y := w.Position.Y
		if c.width/2-math.Abs(y) < l.strip.Limits.EdgeDistance.Value-1e-6 && l.strip.Limits.EdgeDistance.Value*2 <= c.width {
			t.Errorf("%+v: weld %d is %g mm from the edge", c, i, c.width/2-math.Abs(y))
		}
		for k, o := range l.laid.Welds[:i] {
			if d := w.Position.Distance(o.Position); d < l.strip.Limits.LeastPitch.Value-0.06 {
				t.Fatalf("%+v: welds %d and %d are %g mm apart, least %g", c, k, i, d, l.strip.Limits.LeastPitch.Value)
			}
		}
	}
}
