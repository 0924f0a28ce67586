package order

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/internal/record"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// line is the welds of one step on a straight flange along x.
func line(step Step, flange string, y float64, xs ...float64) []Stop {
	var out []Stop
	for _, x := range xs {
		out = append(out, Stop{ID: fmt.Sprintf("%s/%s/%g", flange, step, x), Step: step, Position: vec(x, y, 0), Joint: "J" + flange,
			Flange: flange, Along: x, Gun: "A", Tip: "t", Setting: "S1"})
	}
	return out
}

func sequence(t rapid.TB, stops []Stop, opt Options) Plan {
	t.Helper()
	plan, err := Sequence(context.Background(), stops, opt)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, stops, opt, plan)
	return plan
}

// checkPlan holds a plan to the rules in words, on its own.
func checkPlan(t rapid.TB, stops []Stop, opt Options, plan Plan) {
	t.Helper()
	place := map[int]int{}
	for k, i := range plan.Order {
		place[i] = k
	}
	if len(place) != len(stops) || len(plan.Order) != len(stops) {
		t.Fatalf("%d stops became %d", len(stops), len(plan.Order))
	}
	for _, p := range opt.Pairs {
		if place[p.First] > place[p.Then] {
			t.Fatalf("%s comes after %s", stops[p.First].ID, stops[p.Then].ID)
		}
	}
	for i, a := range stops {
		for k, b := range stops {
			early := place[i] < place[k]
			switch {
			case a.Step == Hold && b.Step != Hold && (a.Joint == "" || a.Joint == b.Joint) && !early:
				t.Fatalf("%s comes before hold point %s", b.ID, a.ID)
			case len(opt.Pairs) == 0 && a.Step == Tack && b.Step != Tack && b.Step != Hold && !early:
				t.Fatalf("%s comes before tack %s", b.ID, a.ID)
			case b.Step == Roll && a.Step != Roll && a.Step != Hold && (len(opt.Pairs) == 0 || a.Flange == b.Flange) && !early:
				t.Fatalf("roller seam %s comes before spot %s", b.ID, a.ID)
			}
		}
	}
	covered := 0
	for _, r := range plan.Runs {
		covered += r.Count
		run := plan.Order[r.From : r.From+r.Count]
		for k, i := range run {
			s := stops[i]
			if s.Step != r.Step || s.Joint != r.Joint || s.Flange != r.Flange || s.Gun != r.Gun || s.Tip != r.Tip || s.Setting != r.Setting {
				t.Fatalf("stop %v is in run %v", s, r)
			}
			if k > 1 && (s.Along > stops[run[k-1]].Along) != (stops[run[1]].Along > stops[run[0]].Along) {
				t.Fatalf("run %v does not keep its way along the line", r)
			}
		}
	}
	holds := 0
	for _, s := range stops {
		if s.Step == Hold {
			holds++
		}
	}
	if covered+holds != len(stops) {
		t.Fatalf("%d of %d stops are in runs, %d are hold points", covered, len(stops), holds)
	}
}

func names(stops []Stop, plan Plan) []string {
	var out []string
	for _, i := range plan.Order {
		out = append(out, stops[i].ID)
	}
	return out
}

func TestPatterns(t *testing.T) {
	stops := line(Fill, "f", 0, 0, 150, 300, 450, 600, 750)
	start := vec(0, 0, 0)
	for _, test := range []struct {
		pattern Pattern
		from    float64
		want    []float64
		runs    []int
	}{
		{Through, 0, []float64{0, 150, 300, 450, 600, 750}, []int{6}},
		{MiddleOut, 0, []float64{300, 150, 0, 450, 600, 750}, []int{3, 3}}, // of the two in the middle that for which the way is shorter
		{MiddleOut, 800, []float64{0, 150, 300, 450, 600, 750}, []int{6}},
		{Skips, 0, []float64{0, 300, 600, 750, 450, 150}, []int{3, 3}},
	} {
		for i := range stops {
			stops[i].Pattern = test.pattern
		}
		plan := sequence(t, stops, Options{MiddleFrom: test.from, Start: &start})
		var got []float64
		for _, i := range plan.Order {
			got = append(got, stops[i].Along)
		}
		var runs []int
		for _, r := range plan.Runs {
			runs = append(runs, r.Count)
		}
		if !slices.Equal(got, test.want) || !slices.Equal(runs, test.runs) {
			t.Errorf("pattern %q from %g: %v in runs of %v, want %v in %v", test.pattern, test.from, got, runs, test.want, test.runs)
		}
	}
}

// A row as long as MiddleFrom is filled from its middle, a shorter one from end to end; so is any row of three.
func TestMiddleOutBeginsAtItsLength(t *testing.T) {
	for _, test := range []struct {
		from, length float64
		runs         int
	}{{750, 750, 2}, {751, 750, 1}, {0, 600, 2}, {0, 599, 1}} {
		stops := line(Fill, "f", 0, 0, test.length/4, test.length/2, test.length)
		if plan := sequence(t, stops, Options{MiddleFrom: test.from}); len(plan.Runs) != test.runs {
			t.Errorf("%g mm long, from %g: %d runs, want %d", test.length, test.from, len(plan.Runs), test.runs)
		}
	}
	if plan := sequence(t, line(Fill, "f", 0, 0, 400, 800), Options{}); len(plan.Runs) != 1 {
		t.Errorf("three welds in %d runs", len(plan.Runs))
	}
}

func TestTacksGoThroughWhateverThePattern(t *testing.T) {
	plan := sequence(t, line(Tack, "f", 0, 0, 200, 400, 600, 800, 1000), Options{})
	if len(plan.Runs) != 1 || plan.Runs[0].Travel != 1000 {
		t.Errorf("tacks in runs %+v", plan.Runs)
	}
}

func TestRunsBreakWhereTheGunChanges(t *testing.T) {
	stops := line(Fill, "f", 0, 0, 40, 80, 120, 160, 200)
	stops[2].Gun, stops[3].Gun = "B", "B"
	plan := sequence(t, stops, Options{GunChange: 30})
	if len(plan.Runs) != 3 || plan.GunChanges != 1 {
		t.Errorf("%d runs, %d gun changes, want 3 and 1: %+v", len(plan.Runs), plan.GunChanges, plan.Runs)
	}
	// tacks between fill welds do not break the run
	stops = append(line(Fill, "f", 0, 40, 120), line(Tack, "f", 0, 0, 80, 160)...)
	if plan = sequence(t, stops, Options{}); len(plan.Runs) != 2 {
		t.Errorf("runs %+v, want one of tacks and one of fill", plan.Runs)
	}
}

func station() []Stop {
	stops := append(line(Tack, "f1", 0, 10, 200, 390), line(Fill, "f1", 0, 50, 90, 130, 240, 280, 330)...)
	stops = append(stops, line(Tack, "f2", 500, 10, 300)...)
	stops = append(stops, line(Fill, "f2", 500, 60, 110, 160, 210)...)
	under := line(Released, "f2", 500, 250)
	under[0].Clamps = []string{"clamp C4"}
	stops = append(stops, under...)
	return append(stops,
		Stop{ID: "seam R1", Step: Roll, Position: vec(0, 500, 0), End: vec(310, 500, 0), Joint: "Jf2", Flange: "f2", Gun: "R", Setting: "R1"},
		Stop{ID: "hold point H1", Step: Hold, Position: vec(0, 0, 0)},
		Stop{ID: "hold point H2", Step: Hold, Position: vec(0, 500, 0), Joint: "Jf2"},
		Stop{ID: "hold point H3", Step: Hold, Position: vec(0, 900, 0), Joint: "elsewhere"},
	)
}

func TestStation(t *testing.T) {
	stops := station()
	plan := sequence(t, stops, Options{GunChange: 20, TipChange: 60, WalkSpeed: 500})
	got := names(stops, plan)
	if got[0] != "hold point H1" || got[len(got)-1] != "hold point H3" && got[len(got)-2] != "seam R1" {
		t.Errorf("order %v", got)
	}
	if h := slices.Index(got, "hold point H2"); stops[plan.Order[h+1]].Joint != "Jf2" {
		t.Errorf("hold point H2 is not right before its joint: %v", got)
	}
	why := func(id string) string {
		return plan.Waits[slices.IndexFunc(stops, func(s Stop) bool { return s.ID == id })]
	}
	if w := why("f2/released/250"); w != "waits for clamp C4" {
		t.Errorf("the weld under the clamp %q", w)
	}
	if w := why("seam R1"); w != "waits for the spots" {
		t.Errorf("the roller seam %q", w)
	}
	if w := why("f1/fill/50"); w != "waits for the tacks" {
		t.Errorf("a fill weld %q", w)
	}
	if w := why("f1/tack/200"); w != "" {
		t.Errorf("a tack within its run %q", w)
	}
	if plan.GunChanges != 1 || !plan.Proven {
		t.Errorf("%d gun changes, proven %v", plan.GunChanges, plan.Proven)
	}
}

// What is loaded between welds parts the work: tacks of the later phase come after the fill of the earlier one.
func TestPhases(t *testing.T) {
	stops := append(line(Tack, "a", 0, 0, 80), line(Fill, "a", 0, 40)...)
	late := append(line(Tack, "b", 10, 0, 80), line(Fill, "b", 10, 40)...)
	for i := range late {
		late[i].Phase, late[i].Loaded = 1, "the roof"
	}
	stops = append(append(stops, late...), Stop{ID: "H", Step: Hold, Joint: "Jb"})
	for _, exact := range []int{0, -1} {
		plan, err := Sequence(context.Background(), stops, Options{ExactUpTo: exact})
		if err != nil {
			t.Fatal(err)
		}
		steps := ""
		for _, i := range plan.Order {
			steps += stops[i].Flange + string(stops[i].Step[0]) + " "
		}
		if steps != "at at af h bt bt bf " {
			t.Errorf("order %s", steps)
		}
		if w := plan.Waits[5]; w != "waits until the roof is loaded; waits for the tacks" {
			t.Errorf("the late fill weld %q", w)
		}
	}
	stops[0].Phase = -1
	if _, err := Sequence(context.Background(), stops, Options{}); err == nil || !strings.Contains(err.Error(), "phase -1") {
		t.Errorf("error %v", err)
	}
}

func TestPairs(t *testing.T) {
	stops := append(line(Fill, "a", 0, 0, 40), line(Fill, "b", 10, 0, 40)...)
	near := vec(0, 0, 0)
	plan := sequence(t, stops, Options{Start: &near, Pairs: []Pair{{First: 3, Then: 0, Why: "waits for the post"}}})
	if stops[plan.Order[0]].Flange != "b" || plan.Waits[0] != "waits for the post" {
		t.Errorf("order %v, waits %v", names(stops, plan), plan.Waits)
	}
	// a tack that waits for a fill weld leaves the first stage, and takes its own fill with it
	stops = append(line(Fill, "a", 0, 0, 40), line(Tack, "b", 10, 0, 80)...)
	stops = append(stops, line(Fill, "b", 10, 40)...)
	plan = sequence(t, stops, Options{Pairs: []Pair{{First: 1, Then: 2}}})
	if got := names(stops, plan); got[4] != "b/fill/40" {
		t.Errorf("order %v", got)
	}
	if plan.Waits[2] != "waits for a/fill/40" {
		t.Errorf("waits %q", plan.Waits[2])
	}
	// a pair within a run decides its direction
	stops = line(Fill, "a", 0, 0, 40, 80)
	plan = sequence(t, stops, Options{Start: &near, Pairs: []Pair{{First: 2, Then: 0}}})
	if plan.Order[0] != 2 || len(plan.Runs) != 1 {
		t.Errorf("order %v", names(stops, plan))
	}
	// what comes before a hold point comes before all that the hold point does
	stops = append(line(Tack, "a", 0, 0), line(Tack, "b", -10, 0)...)
	stops = append(stops, Stop{ID: "H", Step: Hold, Joint: "Ja"})
	plan = sequence(t, stops, Options{Pairs: []Pair{{First: 1, Then: 2}}})
	if got := names(stops, plan); !slices.Equal(got, []string{"b/tack/0", "H", "a/tack/0"}) {
		t.Errorf("order %v", got)
	}
}

// Two runs of which each has a weld that waits for one of the other are taken apart.
func TestKnotsOfRunsAreUntied(t *testing.T) {
	stops := append(line(Fill, "a", 0, 0, 40, 80), line(Fill, "b", 10, 0, 40, 80)...)
	plan := sequence(t, stops, Options{Pairs: []Pair{{First: 0, Then: 4}, {First: 3, Then: 1}}})
	if len(plan.Runs) != 6 {
		t.Errorf("%d runs, want 6: %+v", len(plan.Runs), plan.Runs)
	}
}

// A gun that is put down keeps its tip: only its next work with another tip costs a change, and so does making it ready for
// the next shell.
func TestTipsStayOnGunsThatArePutDown(t *testing.T) {
	weld := func(id int, gun, tip string) Stop {
		return Stop{ID: fmt.Sprint(id), Step: Fill, Flange: fmt.Sprint(id), Position: vec(float64(id)*100, 0, 0), Gun: gun, Tip: tip}
	}
	for _, test := range []struct {
		stops     []Stop
		guns, tip int
	}{
		{[]Stop{weld(0, "A", "t"), weld(1, "B", "u"), weld(2, "A", "t")}, 2, 0},
		{[]Stop{weld(0, "A", "t"), weld(1, "B", "u"), weld(2, "A", "v")}, 2, 2},
		{[]Stop{weld(0, "A", "t"), weld(1, "B", "u"), weld(2, "A", "v"), weld(3, "B", "u"), weld(4, "A", "t")}, 4, 2},
	} {
		opt := Options{TipChange: 60}
		for i := 1; i < len(test.stops); i++ {
			opt.Pairs = append(opt.Pairs, Pair{First: i - 1, Then: i}) // no other order
		}
		for _, exact := range []int{0, -1} {
			opt.ExactUpTo = exact
			plan := sequence(t, test.stops, opt)
			if seconds := plan.Travel/500 + float64(60*test.tip); plan.GunChanges != test.guns || plan.TipChanges != test.tip ||
				!(math.Abs(plan.Seconds-seconds) <= 1e-9) {
				t.Errorf("%d stops: %d changes of gun and %d of tip in %g s, want %d and %d in %g s", len(test.stops), plan.GunChanges,
					plan.TipChanges, plan.Seconds, test.guns, test.tip, seconds)
			}
		}
	}
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	two := line(Fill, "a", 0, 0, 40)
	for _, test := range []struct {
		want  string
		stops []Stop
		opt   Options
	}{
		{"wait for each other", two, Options{Pairs: []Pair{{First: 0, Then: 1}, {First: 1, Then: 0}}}},
		{"there are stops 0 to 1", two, Options{Pairs: []Pair{{First: 0, Then: 2}}}},
		{"there are stops 0 to 1", two, Options{Pairs: []Pair{{First: 1, Then: 1}}}},
		{"not at a finite place", []Stop{{ID: "x", Step: Fill, Position: vec(math.NaN(), 0, 0)}}, Options{}},
		{"is not known", []Stop{{ID: "x", Step: "glue"}}, Options{}},
		{"is not known", []Stop{{ID: "x", Step: Fill, Pattern: "inwards"}}, Options{}},
		{"is none", two, Options{GunChange: -1}},
		{"is none", two, Options{WalkSpeed: math.Inf(1)}},
		{"before everything", append([]Stop{{ID: "H", Step: Hold}}, two...), Options{Pairs: []Pair{{First: 1, Then: 0}}}},
	} {
		if _, err := Sequence(context.Background(), test.stops, test.opt); err == nil || !said.Has(err, test.want) ||
			strings.Contains(err.Error(),
				"\n") {
			t.Errorf("error %v, want one line about %q", err, test.want)
		}
	}
	if plan, err := Sequence(context.Background(), nil, Options{}); err != nil || len(plan.Order) != 0 || !plan.Proven {
		t.Errorf("no stops: %+v, %v", plan, err)
	}
}

// drawStops draws stops of mixed steps, guns and places, each on a flange of its own unless runs are wanted.
func drawStops(rng *rand.Rand, n int, runs bool) ([]Stop, Options) {
	var stops []Stop
	for len(stops) < n {
		k := len(stops)
		s := Stop{ID: fmt.Sprint("w", k), Step: []Step{Tack, Fill, Fill, Released}[rng.IntN(4)], Position: vec(2000*rng.Float64(),
			1500*rng.Float64(), 800*rng.Float64()),
			Joint: fmt.Sprint("J", k%3), Flange: fmt.Sprint("f", k), Gun: []string{"A", "B", "C"}[rng.IntN(3)],
			Tip: []string{"t", "u"}[rng.IntN(2)], Setting: []string{"S1", "S2"}[rng.IntN(2)], Pattern: Through}
		if rng.IntN(6) == 0 {
			s.Step, s.End, s.Tip = Roll, s.Position.Add(vec(400*rng.Float64(), 0, 0)), ""
		}
		stops = append(stops, s)
		if runs && s.Step != Roll {
			for range rng.IntN(3) {
				s.Along += 30
				s.ID, s.Position = fmt.Sprint("w", len(stops)), s.Position.Add(vec(20, 15, 0))
				stops = append(stops, s)
			}
		}
	}
	opt := Options{WalkSpeed: 500, GunChange: 6 * rng.Float64(), TipChange: 4 * rng.Float64(), SetChange: float64(rng.IntN(2)) * rng.Float64()}
	for range rng.IntN(4) {
		a, b := rng.IntN(len(stops)), rng.IntN(len(stops))
		if a < b && (stops[a].Step == Tack || stops[b].Step != Tack) && stops[a].Flange != stops[b].Flange &&
			(stops[a].Step != Roll || stops[b].Step == Roll) {
			opt.Pairs = append(opt.Pairs, Pair{First: a, Then: b})
		}
	}
	if rng.IntN(2) == 0 {
		start := vec(0, 0, 0)
		opt.Start = &start
	}
	return stops, opt
}

// Whatever is drawn, the rules hold, the same input gives the same plan, and the reported seconds are those
// of the order, counted anew.
func TestRulesHoldOnLargeStations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		stops, opt := drawStops(rng, rapid.IntRange(1, 25).Draw(t, "stops"), true)
		pattern := []Pattern{Through, MiddleOut, Skips}[rng.IntN(3)]
		tacks := []Pattern{"", Through, DatumFirst, DatumLast}[rng.IntN(4)] // the others leave the line's way
		for i := range stops {
			if stops[i].Pattern = pattern; stops[i].Step == Tack {
				stops[i].Pattern = tacks
			}
		}
		plan, err := Sequence(context.Background(), stops, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, stops, opt, plan)
		if again, _ := Sequence(context.Background(), stops, opt); !reflect.DeepEqual(plan, again) {
			t.Fatal("the same stops were ordered in two ways")
		}
	})
}

// The shortest way through all points of a square grid is known: one step for each point but the first.
func TestSearchOnGridsOfKnownOptimum(t *testing.T) {
	for _, side := range []int{6, 10, 14} {
		var stops []Stop
		for i := range side * side {
			k := i * 37 % (side * side) // in no order that helps
			stops = append(stops, Stop{ID: fmt.Sprint(k), Step: Fill, Flange: fmt.Sprint(k), Position: vec(float64(k%side)*100, float64(k/side)*100,
				0)})
		}
		plan := sequence(t, stops, Options{})
		best := float64(side*side-1) * 100
		t.Logf("%d stops: %.1f %% above the optimum", side*side, 100*(plan.Travel/best-1))
		if plan.Travel < best-1e-6 || plan.Travel > 1.05*best {
			t.Errorf("%d stops: %g mm, the optimum is %g mm", side*side, plan.Travel, best)
		}
	}
}
