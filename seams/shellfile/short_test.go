package shellfile

import (
	"strings"
	"testing"

	"seamwright/seams/shell"

	"github.com/google/go-cmp/cmp"
)

// A bare id stands for one gun, in every format that a shell file may have.
func TestGunsAtHand(t *testing.T) {
	edit := func(guns string) string {
		return strings.Replace(base, "makes: sub,", "makes: sub, guns: "+guns+",", 1)
	}
	for _, c := range []struct {
		guns string
		want []shell.AtHand
	}{
		{"[g]", []shell.AtHand{{ID: "g", Count: 1}}},
		{"[{id: g}]", []shell.AtHand{{ID: "g", Count: 1}}},
		{"[{id: g, count: 3}]", []shell.AtHand{{ID: "g", Count: 3}}},
		{"[]", []shell.AtHand{}},
	} {
		sh, _, err := Read(put(t, "b.yaml", edit(c.guns)), nil)
		if err != nil {
			t.Errorf("%s: %v", c.guns, err)
			continue
		}
		if diff := cmp.Diff(c.want, sh.Stations[0].Guns); diff != "" {
			t.Errorf("%s: (-want +got):\n%s", c.guns, diff)
		}
	}
	sh, _, err := Read(put(t, "b.yaml", edit("[g]")), map[string]string{"stations.first.guns.g.count": "2"})
	if err != nil || sh.Stations[0].Guns[0].Count != 2 {
		t.Errorf("override: %v", err)
	}
}

// A bare id stands for a list of one; parts and tacks may wait as well as joints.
func TestHoldPointBefore(t *testing.T) {
	for _, c := range []struct {
		before string
		want   shell.IDList
	}{
		{"j", shell.IDList{"j"}},
		{"[j]", shell.IDList{"j"}},
		{"[sub, tacks, c]", shell.IDList{"sub", "tacks", "c"}},
		{"[]", shell.IDList{}},
	} {
		sh, _, err := Read(put(t, "b.yaml", strings.Replace(base, "before: j,", "before: "+c.before+",", 1)), nil)
		if err != nil {
			t.Errorf("%s: %v", c.before, err)
			continue
		}
		if diff := cmp.Diff(c.want, sh.Stations[1].HoldPoints[0].Before); diff != "" {
			t.Errorf("%s: (-want +got):\n%s", c.before, diff)
		}
		if sh.Stations[1].HoldPoints[0].Kind != shell.Gauge {
			t.Errorf("%s: kind %q", c.before, sh.Stations[1].HoldPoints[0].Kind)
		}
	}
	sh, _, err := Read(put(t, "b.yaml", base), map[string]string{"stations.main.hold_points.H1.before": "tacks, a"})
	if err != nil || cmp.Diff(shell.IDList{"tacks", "a"}, sh.Stations[1].HoldPoints[0].Before) != "" {
		t.Errorf("override: %v", err)
	}
}
