package stations_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"seamwright/internal/record"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/stations"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

func panels(ids ...string) []shell.Panel {
	var list []shell.Panel
	for _, id := range ids {
		list = append(list, shell.Panel{ID: id})
	}
	return list
}

// cab is three stations written in the wrong order: the main jig before the two that feed it.
func cab() *shell.Shell {
	return &shell.Shell{
		Panels: panels("nose", "bulkhead", "pan", "tunnel", "roof"),
		Subassemblies: []shell.Subassembly{
			{ID: "front", Parts: []string{"nose", "bulkhead"}},
			{ID: "floor", Parts: []string{"pan", "tunnel"}},
			{ID: "body", Parts: []string{"front", "floor", "roof"}},
		},
		Stations: []shell.Station{
			{ID: "main", Crew: 2, Makes: "body", Arrives: []string{"floor", "front", "roof"}},
			{ID: "front-jig", Makes: "front", Arrives: []string{"nose", "bulkhead"}},
			{ID: "floor-jig", Makes: "floor", Arrives: []string{"pan", "tunnel"}},
		},
		Guns: []shell.Gun{{ID: "a"}, {ID: "b"}},
	}
}

func arranged(t *testing.T, sh *shell.Shell) *stations.Arrangement {
	t.Helper()
	a, err := stations.Arrange(sh, finding.By(rule.Book()))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func ids(a *stations.Arrangement) string {
	var list []string
	for _, s := range a.Stations {
		list = append(list, s.ID)
	}
	return strings.Join(list, " ")
}

func TestArrangeOrdersByWhatArrives(t *testing.T) {
	a := arranged(t, cab())
	if got := ids(a); got != "front-jig floor-jig main" {
		t.Errorf("order %s", got)
	}
	if len(a.Findings) != 0 {
		t.Errorf("findings on a sound shell: %v", a.Findings)
	}
	main := a.Stations[2]
	if got := strings.Join(main.Present, " "); got != "pan tunnel nose bulkhead roof" {
		t.Errorf("present in the main jig: %s", got)
	}
	if main.Crew != 2 || a.Stations[0].Crew != 1 {
		t.Errorf("crews %d and %d, want 2 and the default 1", main.Crew, a.Stations[0].Crew)
	}
	if got := strings.Join(main.Guns, " "); got != "a b" {
		t.Errorf("guns %s: none stated means all", got)
	}
	if main.GunCount("a") != 1 || main.GunCount("b") != 1 {
		t.Errorf("%v guns: none stated means one of each", main.GunCounts)
	}
	for panel, want := range map[string]string{"nose": "front-jig", "tunnel": "floor-jig", "roof": "main", "door": ""} {
		if got := a.PanelStation(panel); got != want {
			t.Errorf("%s arrives at %q, want %q", panel, got, want)
		}
	}
}

func TestArrangeLeavesTheShellAlone(t *testing.T) {
	sh := cab()
	sh.Stations[0].Arrives = sh.Stations[0].Arrives[:1:3]
	arranged(t, sh)
	if got := sh.Stations[0].Arrives[:3]; !slices.Equal(got, []string{"floor", "front", "roof"}) || sh.Stations[0].ID != "main" {
		t.Errorf("the shell's station became %v", sh.Stations[0])
	}
}

func TestPlace(t *testing.T) {
	a := arranged(t, cab())
	tests := []struct {
		name, stated string
		panels       []string
		station      string
		finding      string
	}{
		{"within a sub-assembly: where it is made", "", []string{"bulkhead", "nose"}, "front-jig", ""},
		{"between sub-assemblies: where they marry", "", []string{"pan", "bulkhead"}, "main", ""},
		{"stated later than it could be", "main", []string{"nose", "bulkhead"}, "main", ""},
		{"stated where it would go anyhow", "floor-jig", []string{"pan", "tunnel"}, "floor-jig", ""},
		{"stated where a panel is missing", "floor-jig", []string{"pan", "roof"}, "main", "panel roof does not lie"},
		{"stated nowhere", "attic", []string{"pan", "roof"}, "main", "no station"},
		{"panels never meet", "", []string{"pan", "door"}, "", "never lie in one station"},
		{"no panels", "", nil, "", "never lie"},
	}
	for _, test := range tests {
		station, finding := a.Place("j", test.stated, test.panels)
		if station != test.station {
			t.Errorf("%s: station %q, want %q", test.name, station, test.station)
		}
		switch {
		case test.finding == "" && finding != nil:
			t.Errorf("%s: finding %v", test.name, finding)
		case test.finding != "" && (finding == nil || finding.Severity != layout.Broken || finding.Where != "j" ||
			!strings.Contains(finding.Remedy, test.finding)):
			t.Errorf("%s: finding %v, want %q", test.name, finding, test.finding)
		}
	}
}

func TestArrangeFindings(t *testing.T) {
	tests := []struct {
		name     string
		change   func(*shell.Shell)
		severity layout.Severity
		where    string
		remedy   string
		order    string
	}{
		{"panel that arrives nowhere and belongs nowhere", func(sh *shell.Shell) { sh.Panels = append(sh.Panels, shell.Panel{ID: "step"}) },
			layout.Doubt, "step", "taken to main, the last station", "front-jig floor-jig main"},
		{"panel of a sub-assembly that nobody loads", func(sh *shell.Shell) { sh.Stations[1].Arrives = []string{"nose"} },
			layout.Note, "bulkhead", "Loaded at front-jig", "front-jig floor-jig main"},
		{"sub-assembly that its user forgets", func(sh *shell.Shell) { sh.Stations[0].Arrives = []string{"front", "roof"} },
			layout.Note, "floor", "Loaded at main", "front-jig floor-jig main"},
		{"sub-assembly made nowhere", func(sh *shell.Shell) { sh.Stations = sh.Stations[:2] },
			layout.Doubt, "floor", "no station makes it", "front-jig main"},
		{"panel in the jig that does not leave with the product", func(sh *shell.Shell) {
			sh.Stations[1].Arrives = append(sh.Stations[1].Arrives, "roof")
			sh.Stations[0].Arrives = []string{"floor", "front"}
		},
			layout.Doubt, "roof", "is no part of front", "front-jig floor-jig main"},
		{"shell in two pieces", func(sh *shell.Shell) {
			sh.Stations[0].Arrives = []string{"floor", "roof"}
			sh.Subassemblies[2].Parts = []string{"floor", "roof"}
		},
			layout.Doubt, "front-jig, main", "ends in pieces", "front-jig floor-jig main"},
	}
	for _, test := range tests {
		sh := cab()
		test.change(sh)
		a := arranged(t, sh)
		if got := ids(a); got != test.order {
			t.Errorf("%s: order %s, want %s", test.name, got, test.order)
		}
		found := slices.ContainsFunc(a.Findings, func(f layout.Finding) bool {
			return f.Severity == test.severity && f.Where == test.where && strings.Contains(f.Remedy, test.remedy)
		})
		if !found {
			t.Errorf("%s: findings %v", test.name, a.Findings)
		}
	}
}

func TestArrangeErrors(t *testing.T) {
	said := record.Errors(t)
	tests := []struct {
		name   string
		change func(*shell.Shell)
		want   string
	}{
		{"stations that wait for each other", func(sh *shell.Shell) {
			sh.Subassemblies[0].Parts, sh.Subassemblies[1].Parts = []string{"floor"}, []string{"pan"}
			sh.Subassemblies[2].Parts = []string{"front"}
			sh.Stations[1].Arrives, sh.Stations[2].Arrives, sh.Stations[0].Arrives = []string{"floor"}, []string{"front"}, []string{"roof"}
		}, "front-jig > floor-jig > front-jig wait for each other"},
		{"station that waits for itself", func(sh *shell.Shell) {
			sh.Stations[1].Arrives = []string{"front"}
			sh.Stations[0].Arrives = []string{"floor"}
		}, "front-jig > front-jig"},
		{"unknown part arrives", func(sh *shell.Shell) { sh.Stations[0].Arrives[0] = "flor" }, `"flor"`},
		{"unknown product", func(sh *shell.Shell) { sh.Stations[0].Makes = "bodi" }, `"bodi"`},
		{"unknown part of a sub-assembly", func(sh *shell.Shell) { sh.Subassemblies[0].Parts[0] = "noze" }, `"noze"`},
		{"sub-assembly within itself", func(sh *shell.Shell) {
			sh.Subassemblies[0].Parts, sh.Subassemblies[2].Parts = []string{"body"}, []string{"front"}
		}, "front > body > front"},
		{"part of two sub-assemblies", func(sh *shell.Shell) { sh.Subassemblies[1].Parts[0] = "nose" }, "nose is a part of front already"},
		{"part loaded twice", func(sh *shell.Shell) { sh.Stations[2].Arrives = append(sh.Stations[2].Arrives, "nose") },
			"arrives here and at station front-jig"},
		{"panel loaded with and without its sub-assembly", func(sh *shell.Shell) {
			sh.Stations[0].Arrives = append(sh.Stations[0].Arrives, "pan")
			sh.Stations[2].Arrives = []string{"tunnel"}
		}, "pan arrives twice"},
		{"sub-assembly made twice", func(sh *shell.Shell) { sh.Stations[2].Makes = "front" }, "only one station"},
		{"negative crew", func(sh *shell.Shell) { sh.Stations[0].Crew = -1 }, "crew is -1"},
		{"station without id", func(sh *shell.Shell) { sh.Stations[0].ID = "" }, "no id"},
		{"station id twice", func(sh *shell.Shell) { sh.Stations[0].ID = "floor-jig" }, "two stations"},
		{"panel id twice", func(sh *shell.Shell) { sh.Panels[0].ID = "pan" }, "two panels"},
		{"sub-assembly named as a panel", func(sh *shell.Shell) { sh.Subassemblies[0].ID = "roof" }, "already the id"},
	}
	for _, test := range tests {
		sh := cab()
		test.change(sh)
		a, err := stations.Arrange(sh, finding.By(rule.Book()))
		if err == nil || !said.Has(err, test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: got %v, %v, want %q", test.name, a, err, test.want)
		}
	}
}

func TestWithoutStationsOneHoldsAll(t *testing.T) {
	a := arranged(t, &shell.Shell{Panels: panels("b", "a"), Guns: []shell.Gun{{ID: "g"}}})
	if ids(a) != stations.Lone || !slices.Equal(a.Stations[0].Present, []string{"b", "a"}) || a.Stations[0].Crew != 1 || len(a.Findings) != 0 {
		t.Errorf("got %+v %v", a.Stations, a.Findings)
	}
}

func TestFixturesComeAlong(t *testing.T) {
	sh := cab()
	sh.Stations[1].Clamps = []shell.Clamp{{ID: "C1", At: [3]float64{1, 2, 3}, Radius: 20}, {ID: "C2", Release: "end"}}
	sh.Stations[1].Dowels = []shell.Dowel{{ID: "D1", Radius: 4}}
	sh.Stations[1].HoldPoints = []shell.HoldPoint{{ID: "H1", Text: "gap", Before: shell.IDList{"j"}, Value: 12, Tolerance: 0.5,
		At: [3]float64{1, 0, 0}, To: [3]float64{13, 0, 0}}}
	sh.Rates.JigBase, sh.Rates.JigFix = 20, 3
	all := arranged(t, sh).Stations
	s := all[0]
	if s.JigHours != 20+3*3 || all[1].JigHours != 0 { // two clamps and a dowel; none
		t.Errorf("%g h and %g h to make the jigs again", s.JigHours, all[1].JigHours)
	}
	if s.Clamps[0] != (layout.Fixture{ID: "C1", At: layout.Vec{1, 2, 3}, Radius: 20, Release: "tacks"}) || s.Clamps[1].Release != "end" ||
		s.Dowels[0].Radius != 4 {
		t.Errorf("fixtures %+v %+v", s.Clamps, s.Dowels)
	}
	if !reflect.DeepEqual(s.HoldPoints[0], layout.HoldPoint{ID: "H1", Text: "gap", Before: "j", Value: 12, Tolerance: 0.5,
		At: layout.Vec{1, 0, 0},
		To: layout.Vec{13, 0, 0}}) {
		t.Errorf("hold point %+v", s.HoldPoints[0])
	}
}

// Whatever the tree and however the stations are shuffled, every station comes after those that feed it, every panel
// lies in the last one, and the earliest meeting place of a sub-assembly's panels is never after its station.
func TestArrangeProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "stations")
		sh := &shell.Shell{}
		for i := range n { // station i makes s<i> of its own panel and feeds a later one
			sh.Panels = append(sh.Panels, shell.Panel{ID: fmt.Sprint("p", i)})
			sh.Subassemblies = append(sh.Subassemblies, shell.Subassembly{ID: fmt.Sprint("s", i), Parts: []string{fmt.Sprint("p", i)}})
			sh.Stations = append(sh.Stations, shell.Station{ID: fmt.Sprint("st", i), Makes: fmt.Sprint("s", i),
				Arrives: []string{fmt.Sprint("p", i)}})
		}
		for i := range n - 1 {
			to := rapid.IntRange(i+1, n-1).Draw(t, "feeds")
			sh.Subassemblies[to].Parts = append(sh.Subassemblies[to].Parts, fmt.Sprint("s", i))
			sh.Stations[to].Arrives = append(sh.Stations[to].Arrives, fmt.Sprint("s", i))
		}
		sh.Stations = rapid.Permutation(sh.Stations).Draw(t, "order")
		a, err := stations.Arrange(sh, finding.By(rule.Book()))
		if err != nil {
			t.Fatal(err)
		}
		at := map[string]int{}
		for i, s := range a.Stations {
			for _, part := range s.Arrives {
				if strings.HasPrefix(part, "s") {
					maker, ok := at[part]
					if !ok || maker >= i {
						t.Fatalf("%s arrives at %s before it is made", part, s.ID)
					}
				}
			}
			at[s.Makes] = i
		}
		last := a.Stations[n-1]
		if len(last.Present) != n || len(a.Findings) != 0 {
			t.Fatalf("last station holds %v of %d panels, findings %v", last.Present, n, a.Findings)
		}
		for i, s := range a.Stations {
			meet, ok := a.Meet(s.Present)
			if !ok || slices.IndexFunc(a.Stations, func(x layout.Station) bool { return x.ID == meet }) > i {
				t.Fatalf("panels of %s meet at %s", s.ID, meet)
			}
		}
	})
}

func ExampleArrange() {
	sh := &shell.Shell{
		Panels:        []shell.Panel{{ID: "sill"}, {ID: "floor"}, {ID: "roof"}},
		Subassemblies: []shell.Subassembly{{ID: "tray", Parts: []string{"sill", "floor"}}},
		Stations: []shell.Station{
			{ID: "main", Arrives: []string{"tray", "roof"}},
			{ID: "bench", Makes: "tray", Arrives: []string{"sill", "floor"}},
		},
	}
	a, err := stations.Arrange(sh, finding.By(rule.Book()))
	if err != nil {
		fmt.Println(err)
	}
	for _, s := range a.Stations {
		fmt.Println(s.ID, s.Present)
	}
	fmt.Println(a.Place("J1", "", []string{"floor", "sill"}))
	// Output:
	// bench [sill floor]
	// main [sill floor roof]
	// bench <nil>
}
