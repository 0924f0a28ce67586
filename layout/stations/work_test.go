package stations_test

import (
	"slices"
	"strings"
	"testing"

	"seamwright/internal/onejig"
	"seamwright/layout"
	"seamwright/layout/stations"
)

// Work besides welding stands right before what waits for it, else as soon as what it waits for is done, else at the end.
func TestWorkBesidesWelding(t *testing.T) {
	for _, c := range []struct {
		name          string
		before, after []string
		above, below  string // beginnings of the steps around it
	}{
		{"neither", nil, nil, "Roll seam", "Look at"},
		{"before a part", []string{"roof"}, nil, "Hold point H2", "Load Roof"},
		{"before a joint", []string{"cap"}, nil, "Close clamp C2", "Tack welds 5"},
		{"before tacks", []string{"tacks"}, nil, "Hold point H1", "Tack welds 1"},
		{"before a joint, after its tacks", []string{"cap"}, []string{"tacks"}, "Open clamp C2", "Fill welds 9"},
		{"before a hold point", []string{"H2"}, nil, "Weld where", "Hold point H2"},
		{"after a part", nil, []string{"sides"}, "Load Sides", "Peg with"},
		{"after a hold point", nil, []string{"H1"}, "Hold point H1", "Tack welds 1"},
		{"after a joint", nil, []string{"sill"}, "Weld where", "Hold point H2"},
		{"after a joint with a seam", nil, []string{"cap"}, "Roll seam", "Look at"},
		{"after tacks", nil, []string{"tacks"}, "Tack welds 5", "Open clamp C2"},
	} {
		p := onejig.Plan()
		p.Stations[0].Work = []layout.Work{{ID: "w", Name: "Prime it", Before: c.before, After: c.after, Crew: 1, Minutes: 3}}
		steps := stations.Steps(p, 0, 5)
		at := slices.IndexFunc(steps, func(s layout.Step) bool { return s.Do == layout.DoWork })
		if at < 1 || !strings.HasPrefix(steps[at-1].Text, c.above) || !strings.HasPrefix(steps[at+1].Text, c.below) || steps[at].Work != "w" {
			t.Errorf("%s: %s", c.name, strings.Join(words(steps), "\n"))
		}
	}
}

// Work waits for other work, and comes once.
func TestWorkAfterWork(t *testing.T) {
	p := onejig.Plan()
	p.Stations[0].Work = []layout.Work{{ID: "b", Name: "Second", After: []string{"a"}, Before: []string{"roof"}, Crew: 1},
		{ID: "a", Name: "First", Crew: 2}, {ID: "c", Name: "Third", After: []string{"b"}, Crew: 1}}
	var got []string
	for _, s := range stations.Steps(p, 0, 5) {
		if s.Do == layout.DoWork {
			got = append(got, s.Text)
		}
	}
	if strings.Join(got, " ") != "First, 2 together. Second. Third." {
		t.Error(got)
	}
}
