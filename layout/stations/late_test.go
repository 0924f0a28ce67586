package stations_test

import (
	"reflect"
	"strings"
	"testing"

	"seamwright/internal/onejig"
	"seamwright/layout"
	"seamwright/layout/stations"
)

// stacked is a station where parts go over each other's joints.
func stacked() *layout.Plan {
	return &layout.Plan{
		Panels:        []layout.Panel{{ID: "base"}, {ID: "in-l"}, {ID: "in-r"}, {ID: "lid"}, {ID: "cap"}},
		Subassemblies: []layout.Subassembly{{ID: "inner", Parts: []string{"in-l", "in-r"}}},
		Stations:      []layout.Station{{ID: "jig", Arrives: []string{"lid", "base", "inner", "cap"}}},
		Joints: []layout.Joint{
			{ID: "inner-base", Station: "jig", Panels: []string{"in-r", "base"}}, {ID: "lid-base", Station: "jig", Panels: []string{"lid", "base"}},
			{ID: "cap-lid", Station: "jig", Panels: []string{"cap", "lid"}}, {ID: "cap-inner", Station: "jig", Panels: []string{"cap", "in-l"}},
		},
	}
}

func TestLoadPhases(t *testing.T) {
	p := stacked()
	for name, test := range map[string]struct {
		early  []stations.Early
		phases [][]string
		joints map[string]int
	}{
		"nothing early": {nil, [][]string{{"lid", "base", "inner", "cap"}}, map[string]int{"cap-lid": 0}},
		"one lid": {[]stations.Early{{Joint: "inner-base", Part: "lid"}}, [][]string{{"base", "inner", "cap"}, {"lid"}},
			map[string]int{"inner-base": 0, "cap-lid": 1, "cap-inner": 0}},
		"one on another": {
			[]stations.Early{{Joint: "lid-base", Part: "cap"}, {Joint: "inner-base", Part: "lid"}},
			[][]string{{"base", "inner"}, {"lid"}, {"cap"}}, map[string]int{"inner-base": 0, "lid-base": 1, "cap-lid": 2, "cap-inner": 2},
		},
		"what is not here": {[]stations.Early{{Joint: "gone", Part: "lid"}, {Joint: "inner-base", Part: "gone"}},
			[][]string{{"lid", "base", "inner", "cap"}}, nil},
	} {
		l, circle := stations.LoadPhases(p.Stations[0].Arrives, p.Joints, p.PanelsOf, test.early)
		if circle != nil || l.Phases() != len(test.phases) {
			t.Errorf("%s: %d phases, circle %v", name, l.Phases(), circle)
			continue
		}
		for k, parts := range test.phases {
			if !reflect.DeepEqual(l.In(k), parts) {
				t.Errorf("%s: phase %d loads %v, want %v", name, k, l.In(k), parts)
			}
		}
		for _, j := range p.Joints {
			if want, ok := test.joints[j.ID]; ok && l.Joint(j) != want {
				t.Errorf("%s: joint %s in phase %d, want %d", name, j.ID, l.Joint(j), want)
			}
		}
	}
}

func TestLoadPhasesNamesTheCircle(t *testing.T) {
	p := stacked()
	early := []stations.Early{{Joint: "inner-base", Part: "lid"}, {Joint: "lid-base", Part: "cap"}, {Joint: "cap-inner", Part: "lid"}}
	_, circle := stations.LoadPhases(p.Stations[0].Arrives, p.Joints, p.PanelsOf, early)
	if want := []stations.Early{early[1], early[2]}; !sameTurn(circle, want) {
		t.Errorf("circle %v, want %v", circle, want)
	}
}

// sameTurn says whether two circles are one, wherever they begin.
func sameTurn(a, b []stations.Early) bool {
	for k := range a {
		if reflect.DeepEqual(append(append([]stations.Early{}, a[k:]...), a[:k]...), b) {
			return true
		}
	}
	return false
}

// A part that would keep guns off is loaded, and its clamp closed, after the welds that it would hide.
func TestStepsLoadWhatBlocksLater(t *testing.T) {
	p := onejig.Plan()
	p.Stations[0].HoldPoints = nil
	p.Welds = []layout.Weld{{Number: 1, Station: "main", Joint: "sill", Before: []string{"roof"}}}
	got := strings.Join(words(stations.Steps(p, 0, 5)), "\n")
	want := strings.Join([]string{
		"load: Load Sides, 16 kg.",
		"peg: Peg with dowel D1.",
		"clamp: Close clamps C1 and C3.",
		"tack: Tack welds 1 to 3 (3) on joint sill: gun A, tip dome.",
		"release: Open clamp C1.",
		"fill: Weld where the clamps were, weld 4 on joint sill: gun A, tip dome.",
		"load: Load Roof skin (roof), 11 kg.",
		"clamp: Close clamp C2.",
		"tack: Tack welds 5 to 8 (4) on joint cap: gun b, tip narrow.",
	}, "\n")
	if !strings.HasPrefix(got, want) {
		t.Errorf("got\n%s", got)
	}
}
