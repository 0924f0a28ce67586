package laying

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

func basis(joints ...shell.Joint) joining.Basis {
	return joining.Basis{Shell: &shell.Shell{Joints: joints}, Make: finding.By(rule.Book())}
}

// Keys of a joint that is welded at a survey's points are said to have no effect where they have none, and only there.
func TestKeysBesideASurveysPoints(t *testing.T) {
	for _, c := range []struct {
		name    string
		joint   shell.Joint
		points  []int // on each of its strips
		adopted bool
		broad   bool
		want    []string
	}{
		{"plain", shell.Joint{}, []int{3}, true, false, nil},
		{"fewer", shell.Joint{Count: 4}, []int{3, 2}, true, false, []string{"count is 4 and has no effect, as the survey has 5 points"}},
		{"as many", shell.Joint{Count: 5}, []int{3, 2}, true, false, nil},
		{"more", shell.Joint{Count: 6}, []int{3, 2}, true, false, nil}, // the check's
		{"rows", shell.Joint{Rows: 2}, []int{3}, true, false, []string{"rows has no effect"}},
		{"rows of a broad contact", shell.Joint{Rows: 2}, []int{3}, true, true, nil},
		{"twin", shell.Joint{MirrorOf: "other"}, []int{3}, true, false, []string{"have no effect, as mirror_of has it welded as other"}},
		{"not adopted", shell.Joint{Count: 4, Rows: 2, MirrorOf: "other"}, []int{5}, false, false, nil},
	} {
		c.joint.ID = "j"
		x := laying{Basis: basis(c.joint), Joined: &joining.Joined{Joints: []layout.Joint{{ID: "elsewhere"}, {ID: "j"}}}, out: &Laid{}}
		lines := []line{{strip: &joining.Strip{Joint: 0}, adopted: true, request: spots.Request{Places: make([]float64, 9)}}}
		for _, n := range c.points {
			s := &joining.Strip{Joint: 1, Flange: flange.Flange{Patch: c.broad}}
			lines = append(lines, line{strip: s, adopted: c.adopted, request: spots.Request{Places: make([]float64, n)}})
		}
		x.idleBesidePoints(lines)
		if len(x.out.Findings) != len(c.want) {
			t.Errorf("%s: %+v", c.name, x.out.Findings)
			continue
		}
		for i, want := range c.want {
			if f := x.out.Findings[i]; !strings.Contains(f.Where, want) || f.Rule != "joint.key" || f.Joint != "j" {
				t.Errorf("%s: %+v, want %q", c.name, f, want)
			}
		}
	}
}

// An edit that names no flange is of the joint's only strip, and of none where there are more.
func TestEditsOfAStrip(t *testing.T) {
	j := shell.Joint{Welds: []shell.HandWeld{{ID: "here", Flange: "j/1", Do: "add", Along: 3}, {ID: "there", Flange: "j/2", Do: "remove"},
		{ID: "any", Do: "move", Along: 5, To: 9}}}
	for _, c := range []struct {
		strip  string
		strips int
		want   []string
	}{
		{"j/1", 1, []string{"here", "any"}}, {"j/1", 2, []string{"here"}}, {"j/2", 2, []string{"there"}}, {"j/3", 3, nil},
		{"j/3", 1, []string{"any"}},
	} {
		var got []string
		for _, e := range edits(j, c.strip, c.strips) {
			got = append(got, e.ID)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s of %d: %v, want %v", c.strip, c.strips, got, c.want)
		}
	}
	if got, want := edits(j, "j/1", 1)[1], (spots.Edit{ID: "any", Do: "move", Along: 5, To: 9}); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// The weld that rules keep farthest off a stated line is named, with how many stand off it; welds in rows, and those off by less than
// the triangles allow, do not count.
func TestWeldsOffTheStatedLine(t *testing.T) {
	joint := shell.Joint{ID: "j", EdgeOf: "a", Edge: 4}
	for _, c := range []struct {
		offsets []float64
		row     int
		edge    int
		want    string
	}{
		{[]float64{0, 0.049, -0.05}, 0, 1, ""},
		{[]float64{0, 0.051}, 0, 1, "1 welds stand off the line stated from the edge of panel a, up to 0.1 mm"},
		{[]float64{0.3, -1.2, 0.7}, 0, 1, "3 welds stand off the line stated from the edge of panel a, up to 1.2 mm"},
		{[]float64{0.3, -1.2}, 1, 1, ""}, // in rows
		{[]float64{0.3, -1.2}, 0, 0, ""}, // no line is stated
	} {
		l := lineOf("j/1", 0, 100, 15, 40, "a", "b")
		l.strip.Edge = c.edge
		var welds []Weld
		for i, off := range c.offsets {
			welds = append(welds, Weld{Strip: l.strip, Spot: spots.Weld{S: float64(20 * i), Offset: off, Row: c.row}})
		}
		got := pushedOff(basis(joint), []*joining.Strip{l.strip}, append(welds, Weld{Strip: &joining.Strip{}, Spot: spots.Weld{Offset: 9}}))
		if (len(got) == 1) != (c.want != "") || len(got) == 1 && !strings.Contains(got[0].Where, c.want) {
			t.Errorf("%v: %+v", c.offsets, got)
		}
	}
}
