package shell

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A bare id stands for one gun, in every format that a shell file may have.
func TestGunsAtHand(t *testing.T) {
	edit := func(guns string) string {
		return strings.Replace(base, "makes: sub,", "makes: sub, guns: "+guns+",", 1)
	}
	for _, c := range []struct {
		guns string
		want []AtHand
	}{
		{"[g]", []AtHand{{"g", 1}}},
		{"[{id: g}]", []AtHand{{"g", 1}}},
		{"[{id: g, count: 3}]", []AtHand{{"g", 3}}},
		{"[]", []AtHand{}},
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
