package stations_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

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
		p := roofing()
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
	p := roofing()
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

// Two do together what wants two, for as long as stated.
func TestWorkOfTwo(t *testing.T) {
	p := paid()
	p.Stations[0].Work = []layout.Work{{ID: "w", Name: "Hang the door", Crew: 2, Minutes: 6}, {ID: "v", Name: "Seal it", Crew: 1, Minutes: 3}}
	p.Labour.Lines = append(p.Labour.Lines, layout.Line{Kind: layout.WorkOther, Station: "main", Total: 720},
		layout.Line{Kind: layout.WorkOther, Station: "main", Total: 180})
	p.Labour.Stations[0].ManMinutes += 15
	p.Stations[0].Steps = stations.Steps(p, 0, 5)
	if err := stations.ShareOut(context.Background(), p, nil); err != nil {
		t.Fatal(err)
	}
	for _, s := range p.Stations[0].Steps {
		if s.Do != layout.DoWork {
			continue
		}
		if long := s.To - s.From; s.Work == "w" && (len(s.Persons) != 2 || math.Abs(long/6-1) > 0.2) ||
			s.Work == "v" && (len(s.Persons) != 1 || math.Abs(long/3-1) > 0.2) { // allowances are laid on it
			t.Errorf("%+v", s)
		}
	}
}
