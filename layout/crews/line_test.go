package crews_test

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"seamwright/internal/record"

	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/layout/stations"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// works is a plan of two feeding jigs and a main jig whose joints take about so many man-minutes as their number of
// welds, with its shell file and labour.
func works(t testing.TB) (*layout.Plan, *shell.Shell) {
	t.Helper()
	p, sh, err := made()
	if err != nil {
		t.Fatal(err)
	}
	return p, sh
}

func made() (*layout.Plan, *shell.Shell, error) {
	sh := shellfile.Default()
	sh.Batch = 24
	sh.Stations = []shell.Station{{ID: "floor", Prepare: 240, Change: 30}, {ID: "side", Prepare: 270}, {ID: "main", Prepare: 480, Change: 60}}
	gun, tip := sh.Guns[0].ID, sh.Tips[0].ID
	p := &layout.Plan{
		Panels: []layout.Panel{{ID: "pan", Mass: 22}, {ID: "sill", Mass: 6}, {ID: "outer", Mass: 12}, {ID: "inner", Mass: 8},
			{ID: "roof", Mass: 9}},
		Subassemblies: []layout.Subassembly{{ID: "under", Parts: []string{"pan", "sill"}}, {ID: "flank", Parts: []string{"outer", "inner"}},
			{ID: "body", Parts: []string{"under", "flank", "roof"}}},
		Stations: []layout.Station{
			{ID: "floor", Crew: 1, Makes: "under", Arrives: []string{"pan", "sill"}, Clamps: make([]layout.Fixture, 8)},
			{ID: "side", Crew: 1, Makes: "flank", Arrives: []string{"outer", "inner"}, HoldPoints: []layout.HoldPoint{{ID: "H1", Before: "door"}}},
			{ID: "main", Crew: 2, Makes: "body", Arrives: []string{"under", "flank", "roof"}, Clamps: make([]layout.Fixture, 10),
				HoldPoints: []layout.HoldPoint{{ID: "H1"}, {ID: "H2", Before: "gutter"}}},
		},
		Settings: []layout.Setting{{ID: "S1", Squeeze: 0.4, Weld: 0.16, Hold: 0.18}, {ID: "R1", Weld: 0.06, Hold: 0.02}},
		Seams: []layout.Seam{{ID: "gutter", Station: "main", Joint: "gutter", Roller: sh.Rollers[0].ID, Setting: "R1", Length: 4460,
			Speed: 30, Time: 149, After: 50}},
	}
	number := map[string]int{}
	for k, j := range []struct {
		id, station string
		panels      []string
		welds       int
	}{
		{"sill-pan", "floor", []string{"sill", "pan"}, 90}, {"door", "side", []string{"outer", "inner"}, 150},
		{"arch", "side", []string{"outer", "inner"}, 60},
		{"gutter", "main", []string{"roof", "outer"}, 100}, {"foot", "main", []string{"pan", "inner"}, 70},
		{"rail", "main", []string{"roof", "inner"}, 40},
	} {
		p.Joints = append(p.Joints, layout.Joint{ID: j.id, Panels: j.panels, Station: j.station})
		for i := range j.welds {
			number[j.station]++
			p.Welds = append(p.Welds, layout.Weld{Number: number[j.station], Station: j.station, Joint: j.id, Run: 100*k + i/12,
				Position: layout.Vec{float64(i) * 35, float64(k) * 400, 0}, Gun: gun, Tip: tip, Setting: "S1"})
		}
	}
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(context.Background(), p, sh); err != nil {
		return nil, nil, err
	}
	p.Flow, err = crews.Flow(p, sh.Batch, sh.Rates.HoursPerWeek)
	return p, sh, err
}

func dutiesOf(t testing.TB, p *layout.Plan, sh *shell.Shell) []crews.Duty {
	t.Helper()
	d, err := crews.Duties(context.Background(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// follows says whether duty a must come before b, by way of others or not.
func follows(d []crews.Duty, a, b int) bool {
	return slices.ContainsFunc(d[b].After, func(c int) bool { return c == a || follows(d, a, c) })
}

func TestDutiesAddUpToTheLabour(t *testing.T) {
	p, sh := works(t)
	byJig := map[string]float64{}
	for _, d := range dutiesOf(t, p, sh) {
		byJig[d.Jig] += d.ManMinutes
	}
	for _, s := range p.Labour.Stations {
		if !(math.Abs(byJig[s.Station]-s.ManMinutes) <= 0.01) {
			t.Errorf("%s: %v man-minutes, the labour has %v", s.Station, byJig[s.Station], s.ManMinutes)
		}
	}
}

func TestDutiesWait(t *testing.T) {
	p, sh := works(t)
	d := dutiesOf(t, p, sh)
	at := func(jig, text string) int {
		i := slices.IndexFunc(d, func(d crews.Duty) bool { return d.Jig == jig && d.Text == text })
		if i < 0 {
			t.Fatalf("no duty %q at %s: %v", text, jig, d)
		}
		return i
	}
	for _, test := range []struct {
		first, firstText, then, thenText string
		waits                            bool
	}{
		{"floor", "load pan", "floor", "peg and clamp", true},
		{"floor", "peg and clamp", "floor", "weld sill-pan", true},
		{"floor", "weld sill-pan", "floor", "open the clamps and lift out", true},
		{"floor", "open the clamps and lift out", "main", "load under", true},
		{"side", "load inner", "side", "weld arch", true}, // no clamps there: the joint waits for its parts alone
		{"side", "gauge H1", "side", "weld door", true},
		{"side", "gauge H1", "side", "weld arch", false},
		{"side", "take the tools, prove them on test coupons", "side", "weld arch", true},
		{"main", "gauge H1", "main", "weld foot", true},
		{"main", "gauge H2", "main", "weld foot", false},
		{"main", "gauge H2", "main", "weld gutter", true},
		{"main", "weld gutter", "main", "roll gutter", true},
		{"main", "roll gutter", "main", "open the clamps and lift out", true},
		{"main", "load roof", "main", "weld foot", true}, // the clamps close on all parts
		{"floor", "weld sill-pan", "side", "weld door", false},
	} {
		if got := follows(d, at(test.first, test.firstText), at(test.then, test.thenText)); got != test.waits {
			t.Errorf("%s at %s waits for %s at %s: %v", test.thenText, test.then, test.firstText, test.first, got)
		}
	}
}

// Without stations a joint waits for the parts that bring its panels and for no others.
func TestDutiesOfALoneJig(t *testing.T) {
	p, sh := works(t)
	all := []string{"pan", "sill", "outer", "inner", "roof"}
	p.Stations = []layout.Station{{ID: stations.Lone, Crew: 1, Arrives: all}}
	for i := range p.Welds {
		p.Welds[i].Station, p.Welds[i].Number = stations.Lone, i+1
	}
	p.Seams[0].Station = stations.Lone
	d := dutiesOf(t, p, sh)
	foot := slices.IndexFunc(d, func(d crews.Duty) bool { return d.Joint == "foot" })
	inner := slices.IndexFunc(d, func(d crews.Duty) bool { return d.Text == "load inner" })
	roof := slices.IndexFunc(d, func(d crews.Duty) bool { return d.Text == "load roof" })
	if !follows(d, inner, foot) || follows(d, roof, foot) {
		t.Errorf("the joint of pan and inner waits for inner: %v, for the roof: %v", follows(d, inner, foot), follows(d, roof, foot))
	}
}

func TestStatedLineIsTheFlow(t *testing.T) {
	p, sh := works(t)
	l, err := crews.Stated(p, sh)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(l.Flow, p.Flow) || l.Takt != p.Flow.BottleneckMinutes || len(l.Posts) != 3 || l.Posts[2].Crew != 2 {
		t.Errorf("%+v", l)
	}
	r, err := l.Simulate(context.Background(), p, sh, crews.Play{Runs: 1, Exact: true})
	if err != nil || !(math.Abs(r.Makespan.P50-p.Flow.MakespanPrepared) <= 1e-9) {
		t.Errorf("played %v (%v), the flow says %v", r.Makespan.P50, err, p.Flow.MakespanPrepared)
	}
	spread, err := l.Simulate(context.Background(), p, sh, crews.Play{Runs: 200, Seed: 1, Spread: 0.1})
	if err != nil || !(spread.Makespan.P50 < spread.Makespan.P80) || !(math.Abs(spread.Makespan.P50/p.Flow.MakespanPrepared-1) <= 0.25) {
		t.Errorf("%+v (%v)", spread.Makespan, err)
	}
}

// placed checks a balanced line against the duties: everything done once, nothing before what it waits for.
func placed(t *testing.T, p *layout.Plan, sh *shell.Shell, l crews.Line, duties []crews.Duty) {
	t.Helper()
	order, n, minutes := map[string]int{}, 0, 0.0
	for _, post := range l.Posts {
		for _, d := range post.Duties {
			n++
			order[d] = n
		}
		minutes += post.ManMinutes
		if post.Minutes > l.Takt+1e-9 || len(post.Jigs) == 0 {
			t.Errorf("%+v beyond the takt of %v", post, l.Takt)
		}
	}
	if n != len(duties) || !(math.Abs(minutes-p.Labour.ManMinutesPerShell) <= 0.02) {
		t.Errorf("%d duties of %d, %v man-minutes of %v", n, len(duties), minutes, p.Labour.ManMinutesPerShell)
	}
	for _, d := range duties {
		for _, b := range d.After {
			if order[duties[b].Jig+": "+duties[b].Text] >= order[d.Jig+": "+d.Text] {
				t.Errorf("%s comes before %s", d.Text, duties[b].Text)
			}
		}
	}
}

func TestBalance(t *testing.T) {
	p, sh := works(t)
	duties := dutiesOf(t, p, sh)
	for _, want := range []crews.Want{{Stations: 3}, {Stations: 5}, {Takt: 45}, {Takt: 60, Crew: 2}, {Stations: 40}} {
		l, err := crews.Balance(context.Background(), p, sh, want)
		if err != nil {
			t.Errorf("%+v: %v", want, err)
			continue
		}
		placed(t, p, sh, l, duties)
		if !l.Proven || want.Takt > 0 && l.Takt > want.Takt+0.01 || want.Stations > 0 && (len(l.Posts) > want.Stations ||
			!(math.Abs(l.Bound-l.Takt) <= 0.02)) {
			t.Errorf("%+v: %d stations, takt %v, bound %v, proven %v", want, len(l.Posts), l.Takt, l.Bound, l.Proven)
		}
		sum, longest := 0.0, 0.0
		for _, post := range l.Posts {
			sum, longest = sum+post.Minutes, math.Max(longest, post.Minutes)
		}
		if !(math.Abs(l.Flow.Makespan-(sum+23*longest)) <= 1e-6) || !(math.Abs(l.Flow.Efficiency-sum/longest/float64(len(l.Posts))) <= 1e-9) {
			t.Errorf("%+v: makespan %v, efficiency %v", want, l.Flow.Makespan, l.Flow.Efficiency)
		}
	}
}

func TestBalanceKeepsJigs(t *testing.T) {
	p, sh := works(t)
	l, err := crews.Balance(context.Background(), p, sh, crews.Want{Stations: 2, KeepJigs: true})
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, post := range l.Posts {
		for _, jig := range post.Jigs {
			if seen[jig] {
				t.Errorf("jig %s stands at two stations", jig)
			}
			seen[jig] = true
		}
	}
	if len(seen) != 3 || len(l.Notes) != 0 || !l.Proven {
		t.Errorf("%+v", l)
	}
	free, err := crews.Balance(context.Background(), p, sh, crews.Want{Stations: 4})
	if err != nil || len(free.Notes) == 0 || !strings.Contains(free.Notes[0], "spread over stations") {
		t.Errorf("%v (%v)", free.Notes, err)
	}
	for i, s := range free.Jigs {
		stated, _ := sh.Station(s.Jig)
		minutes := float64(len(s.Stations)-1) * stated.Prepare
		cost := minutes / 60 * sh.Rates.Labour / 24 // jig work is paid as other labour, without overhead
		if len(s.Stations) < 2 || s.Minutes != minutes || !(math.Abs(s.Cost-cost) <= 1e-9) || s.Clamped == (s.Jig == "side") {
			t.Errorf("%+v, want %g min and %g", s, minutes, cost)
		}
		if s.Clamped != strings.Contains(free.Notes[i], "travels with the work, or is made again") {
			t.Errorf("%+v: %s", s, free.Notes[i])
		}
	}
	if len(free.Jigs)+1 != len(free.Notes) || len(l.Jigs) != 0 || l.Moved != l.Takt { // and one of all moving
		t.Errorf("%+v, %+v", free.Jigs, l.Jigs)
	}
}

// A jig made again by hand: 24 h for its frame and 3 h for each of its 8 clamps, 48 h, with 240 min of preparation at 60 an hour and 50 %
// overhead on both, for a batch of 24.
func TestAJigMadeAgain(t *testing.T) {
	p, sh := works(t)
	sh.Rates.JigWork, sh.Rates.Overhead, sh.Rates.Currency = 60, 50, "EUR"
	p.Stations[0].JigHours, p.Stations[1].JigHours, p.Stations[2].JigHours = 48, 0, 54
	l, err := crews.Balance(context.Background(), p, sh, crews.Want{Stations: 4})
	if err != nil {
		t.Fatal(err)
	}
	made := 0
	for i, s := range l.Jigs {
		more := float64(len(s.Stations) - 1)
		k := slices.IndexFunc(p.Stations, func(x layout.Station) bool { return x.ID == s.Jig })
		hours := more * p.Stations[k].JigHours
		stated, _ := sh.Station(s.Jig)
		cost := (more*stated.Prepare/60 + hours) * 90 / 24
		if s.Hours != hours || !(math.Abs(s.Cost-cost) <= 1e-9) {
			t.Errorf("%+v, want %g h and %g", s, hours, cost)
		}
		text := fmt.Sprintf("making it %.0f man-hours, %.0f EUR: %.2f EUR a shell over this batch", hours, hours*90, hours*90/24)
		if hours > 0 {
			made++
		}
		if (hours > 0) != strings.Contains(l.Notes[i], text) {
			t.Errorf("%+v: %s", s, l.Notes[i])
		}
	}
	if made == 0 {
		t.Errorf("no jig with clamps is spread: %+v", l.Jigs)
	}
}

// What a jig spread over stations holds is lifted over and clamped anew, or travels with it. The jig of floor: lifting out 300 s, loading
// 120 and 3 for each of 28 kg, 8 clamps at 12 and 5, with 26 % of allowances; or two jigs go round, and are rolled on and back in 5 minutes
// each. At 45 an hour and 50 % overhead, beside 195 for the jig itself.
func TestWhatASplitJigHoldsIsMoved(t *testing.T) {
	p, sh := works(t)
	sh.Rates.Labour, sh.Rates.JigWork, sh.Rates.Overhead, sh.Rates.Currency = 45, 60, 50, "EUR"
	p.Stations[0].JigHours, p.Stations[0].JigMove, p.Stations[0].Present = 48, 5, []string{"pan", "sill"}
	for _, c := range []struct {
		move         float64 // of the floor's jig, man-minutes
		travel, more float64 // a shell; minutes at station 2, which takes it in
	}{{5, 195 + 10.0/60*67.5, 5}, {30, 195 + 60.0/60*67.5, 640.0 / 60 * 1.26}} {
		p.Stations[0].JigMove = c.move
		l, err := crews.Balance(context.Background(), p, sh, crews.Want{Stations: 4})
		if err != nil {
			t.Fatal(err)
		}
		s := l.Jigs[0]
		again := 640.0 / 60 * 1.26 // 300 + 120 + 84 + 136 s
		if s.Jig != "floor" || s.Going != 2 || !(math.Abs(s.Handling-again) <= 1e-9) || !(math.Abs(s.AgainCost-195-again/60*67.5) <= 1e-9) ||
			s.Moving != 2*c.move || !(math.Abs(s.TravelCost-c.travel) <= 1e-9) {
			t.Errorf("%+v: want %g min of handling, %g travelling", s, again, c.travel)
		}
		for _, want := range []string{fmt.Sprintf("takes %.1f man-minutes, so that it costs %.2f EUR a shell in all", again, s.AgainCost),
			fmt.Sprintf("2 go round, one at each station from the first to the last, and rolling them on and back takes %.1f man-minutes a shell",
				s.Moving)} {
			if !strings.Contains(l.Notes[0], want) {
				t.Errorf("%q lacks %q", l.Notes[0], want)
			}
		}
		if least := l.Posts[1].Minutes + c.more/float64(l.Posts[1].Crew); l.Moved < least-1e-9 || l.Moved <= l.Takt {
			t.Errorf("takt %g, with moving %g, at station 2 alone %g", l.Takt, l.Moved, least)
		}
		if last := l.Notes[len(l.Notes)-1]; !strings.Contains(last, fmt.Sprintf("the longest takes %.1f min, not %.1f", l.Moved, l.Takt)) {
			t.Error(last)
		}
	}
}

func TestBalanceErrors(t *testing.T) {
	said := record.Errors(t)
	p, sh := works(t)
	for name, test := range map[string]struct {
		want crews.Want
		text string
	}{
		"nothing wanted": {crews.Want{}, "either a takt or a number of stations"},
		"both wanted":    {crews.Want{Takt: 50, Stations: 3}, "either a takt or a number of stations"},
		"negative":       {crews.Want{Takt: -1}, "0 or more"},
		"not a number":   {crews.Want{Takt: math.NaN()}, "0 or more"},
		"too short":      {crews.Want{Takt: 10}, "weld door (side) takes"},
	} {
		if _, err := crews.Balance(context.Background(), p, sh, test.want); err == nil || !said.Has(err, test.text) {
			t.Errorf("%s: %v, want %q", name, err, test.text)
		}
	}
}

func ExampleBalance() {
	p, sh, err := made()
	if err != nil {
		fmt.Println(err)
	}
	l, err := crews.Balance(context.Background(), p, sh, crews.Want{Takt: 75})
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%d stations, takt %.1f min, efficiency %.0f %%, proven %v\n", len(l.Posts), l.Takt, 100*l.Flow.Efficiency, l.Proven)
	// Output: 3 stations, takt 61.3 min, efficiency 87 %, proven true
}

// long is a plan of n stations in a row, each with twelve joints of 20 welds on what the one before made.
func long(n int) (*layout.Plan, *shell.Shell) {
	sh := shellfile.Default()
	sh.Batch = 24
	gun, tip := sh.Guns[0].ID, sh.Tips[0].ID
	p := &layout.Plan{Settings: []layout.Setting{{ID: "S1", Squeeze: 0.4, Weld: 0.16, Hold: 0.18}}}
	for s := range n {
		id := fmt.Sprint("st", s)
		sh.Stations = append(sh.Stations, shell.Station{ID: id, Prepare: 240})
		st := layout.Station{ID: id, Crew: 1, Makes: fmt.Sprint("made", s), Clamps: make([]layout.Fixture, 6)}
		if s > 0 {
			st.Arrives = append(st.Arrives, fmt.Sprint("made", s-1))
		}
		p.Subassemblies = append(p.Subassemblies, layout.Subassembly{ID: st.Makes, Parts: st.Arrives})
		for k := range 4 {
			panel := fmt.Sprint("panel", s, "-", k)
			p.Panels = append(p.Panels, layout.Panel{ID: panel, Mass: 5})
			st.Arrives = append(st.Arrives, panel)
		}
		p.Subassemblies[s].Parts = st.Arrives
		p.Stations = append(p.Stations, st)
		for k := range 12 {
			j := layout.Joint{ID: fmt.Sprint("j", s, "-", k), Station: id, Panels: []string{fmt.Sprint("panel", s, "-", k%4),
				fmt.Sprint("panel", s, "-", (k+1)%4)}}
			p.Joints = append(p.Joints, j)
			for w := range 20 {
				p.Welds = append(p.Welds, layout.Weld{Number: 20*k + w + 1, Station: id, Joint: j.ID, Run: 12*s + k + 1,
					Position: layout.Vec{float64(35 * w), float64(400 * k), 0}, Gun: gun, Tip: tip, Setting: "S1"})
			}
		}
	}
	return p, sh
}

func BenchmarkBalance(b *testing.B) {
	for _, n := range []int{2, 5, 10, 20, 40} {
		p, sh := long(n)
		var err error
		if p.Labour, p.Cost, err = labour.Estimate(context.Background(), p, sh); err != nil {
			b.Fatal(err)
		}
		takt := p.Labour.ManMinutesPerShell / float64(n) * 1.1
		b.Run(fmt.Sprintf("stations=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				line, err := crews.Balance(b.Context(), p, sh, crews.Want{Takt: takt})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(line.Posts)), "posts")
				b.ReportMetric(line.Bound, "bound")
			}
		})
	}
}

// A part that closes a gauged opening is loaded after the gauging, in the duties as in the steps, and what does not need it
// does not wait for it.
func TestDutiesLoadLateParts(t *testing.T) {
	p, sh := works(t)
	main := &p.Stations[2]
	main.Clamps[0] = layout.Fixture{ID: "C1", Radius: 10}
	for i := range main.Clamps[1:] {
		main.Clamps[i+1].At = layout.Vec{0, 0, 5000}
	}
	p.Flanges = []layout.Flange{{ID: "F", Joint: "gutter", Line: []layout.LinePoint{{At: layout.Vec{0, 0, 0}}, {At: layout.Vec{50, 0, 0}}}}}
	p.Runs = []layout.Run{{ID: 1, Station: "main", Joint: "foot", From: 1, To: 70}, {ID: 2, Station: "main", Joint: "gutter", From: 71,
		To: 170}}
	d := dutiesOf(t, p, sh)
	at := func(text string) int {
		for i := range d {
			if d[i].Jig == "main" && d[i].Text == text {
				return i
			}
		}
		t.Fatalf("no duty %q: %v", text, d)
		return 0
	}
	for _, test := range []struct {
		first, then string
		waits       bool
	}{
		{"gauge H2", "load roof", true}, {"load roof", "clamp roof", true}, {"clamp roof", "weld gutter", true}, {"load roof", "weld rail", true},
		{"load roof", "weld foot", false}, {"peg and clamp", "weld foot", true}, {"peg and clamp", "gauge H2", true},
	} {
		if got := follows(d, at(test.first), at(test.then)); got != test.waits {
			t.Errorf("%s waits for %s: %v", test.then, test.first, got)
		}
	}
	if d[at("clamp roof")].ManMinutes >= d[at("peg and clamp")].ManMinutes || d[at("clamp roof")].ManMinutes <= 0 {
		t.Errorf("one clamp takes %v, nine %v", d[at("clamp roof")].ManMinutes, d[at("peg and clamp")].ManMinutes)
	}
}
