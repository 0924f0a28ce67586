package planner

import (
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/seams/parts"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// ring is a jig in which left and right are joined over floor and over roof; a flap hangs on the left, and a lid lies loose. Each
// part is a square of 10 mm at its own x.
func ring() *guarding {
	x := &guarding{Basis: joining.Basis{Shell: &shell.Shell{}, Make: finding.By(rule.Book())}}
	for k, id := range []string{"floor", "left", "right", "roof", "flap", "lid"} {
		x.Shell.Panels = append(x.Shell.Panels, shell.Panel{ID: id})
		x.station.Arrives = append(x.station.Arrives, id)
		a := float64(k) * 100
		x.Parts = append(x.Parts, parts.Part{Panel: shell.Panel{ID: id}, Steel: shell.Steel{Thickness: 1}, Shape: near.NewShape(&mesh.Mesh{
			Vertices:  []r3.Vector{{X: a}, {X: a + 10}, {X: a + 10, Y: 10}, {X: a, Y: 10}},
			Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}})})
	}
	for _, j := range [][]string{{"sill-l", "floor", "left"}, {"sill-r", "floor", "right"}, {"rail-l", "left", "roof"},
		{"rail-r", "right", "roof"}, {"hinge", "left", "flap"}} {
		x.joints = append(x.joints, layout.Joint{ID: j[0], Panels: j[1:], Kind: layout.SpotJoint})
	}
	return x
}

func place3(part int) r3.Vector { return r3.Vector{X: float64(part)*100 + 5, Y: 5, Z: 3} }

// A dimension between two parts is fixed by whatever joins them, over any way and however far, and by nothing else.
func TestFixing(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to r3.Vector
		want     string
	}{
		{"left to right", place3(1), place3(2), "sill-l sill-r rail-l rail-r"},
		{"floor to left: both ways round", place3(0), place3(1), "sill-l sill-r rail-l rail-r"},
		{"flap to left", place3(4), place3(1), "hinge"},
		{"flap to right", place3(4), place3(2), "sill-l sill-r rail-l rail-r hinge"},
		{"on the roof alone", place3(3), place3(3), "rail-l rail-r"},
		{"on the loose lid", place3(5), place3(1), ""},
		{"an end in the air", place3(1), r3.Vector{X: 1005, Z: 50}, ""},
		{"an end just off the left", place3(1).Add(r3.Vector{Z: 0.9}), place3(4), "hinge"},
		{"an end too far off the left", place3(1).Add(r3.Vector{Z: 1.1}), place3(4), ""},
	} {
		if got := strings.Join(ring().fixing(c.from, c.to), " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestNamedHoldPoints(t *testing.T) {
	x := ring()
	x.joints[4].Kind = layout.RollerJoint
	for _, c := range []struct{ ids, want string }{
		{"rail-r", "rail-r"}, {"tacks", "sill-l sill-r rail-l rail-r"}, {"roof", "rail-l rail-r"}, {"sill-l roof", "sill-l rail-l rail-r"},
		{"elsewhere", ""},
	} {
		if got := strings.Join(x.named(strings.Fields(c.ids)), " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.ids, got, c.want)
		}
	}
}

// A hold point that comes after half of what fixes its dimension is told of, with what it should stand before.
func TestLateHoldPoint(t *testing.T) {
	x := ring()
	p := &layout.Plan{Joints: x.joints, Stations: []layout.Station{x.station}}
	p.Stations[0].ID = "jig"
	for k := range p.Joints {
		p.Joints[k].Station = "jig"
		p.Welds = append(p.Welds, layout.Weld{Number: k + 1, Station: "jig", Joint: p.Joints[k].ID})
	}
	for k, want := range []int{0, 0, 1, 1} { // before the joint of number k+1 of the four that fix it
		h := layout.HoldPoint{ID: "H1", Before: p.Joints[k].ID, Joints: []string{p.Joints[k].ID}, At: joining.Vec(place3(1)),
			To: joining.Vec(place3(2))}
		p.Stations[0].HoldPoints = []layout.HoldPoint{h}
		got := lateHolds(x.Basis, p)
		if len(got) != want {
			t.Errorf("before %s: %v", h.Before, got)
			continue
		}
		if want > 0 && (got[0].Rule != "hold.late" || !strings.Contains(got[0].Remedy, "sill-l, sill-r, rail-l, rail-r")) {
			t.Errorf("%+v", got[0])
		}
	}
}

// What is stated and welded nowhere here is told of.
func TestGuard(t *testing.T) {
	x := ring()
	for k := range x.joints {
		x.joints[k].Station = "jig"
	}
	s := x.station
	s.ID = "jig"
	s.HoldPoints = []layout.HoldPoint{{ID: "H1", At: joining.Vec(place3(1)), To: joining.Vec(place3(4))}, {ID: "H2", Before: "gone"}}
	at := &joining.Placed{Stations: []layout.Station{s}}
	out := guard(x.Basis, at, &joining.Joined{Joints: x.joints})
	holds := out.Stations[0].HoldPoints
	if !slices.Equal(holds[0].Joints, []string{"hinge"}) || holds[1].Joints != nil || len(at.Stations[0].HoldPoints[0].Joints) > 0 {
		t.Errorf("%+v", holds)
	}
	if len(out.Findings) != 1 || out.Findings[0].Rule != "hold.nothing" || len(at.Findings) > 0 {
		t.Errorf("%v", out.Findings)
	}
}

// What a stated hold point measures from or to may lie on no part: then nobody knows what fixes it, which is told of. Not so where both
// ends lie on parts, and where nothing is stated, as it then comes before the first weld.
func TestOpenHoldPoint(t *testing.T) {
	air := r3.Vector{X: 1005, Z: 50}
	for _, c := range []struct {
		name     string
		before   string
		from, to r3.Vector
		open     bool
	}{{"on parts", "hinge", place3(1), place3(4), false}, {"begins in the air", "hinge", air, place3(4), true},
		{"ends in the air", "hinge", place3(1), air, true}, {"both in the air", "hinge", air, air, true},
		{"not stated", "", place3(1), air, false}} {
		x := ring()
		for k := range x.joints {
			x.joints[k].Station = "jig"
		}
		s := x.station
		s.ID, s.HoldPoints = "jig", []layout.HoldPoint{{ID: "H1", Before: c.before, At: joining.Vec(c.from), To: joining.Vec(c.to)}}
		out := guard(x.Basis, &joining.Placed{Stations: []layout.Station{s}}, &joining.Joined{Joints: x.joints})
		if len(out.Findings) != map[bool]int{true: 1}[c.open] {
			t.Errorf("%s: %v", c.name, out.Findings)
			continue
		}
		if !c.open {
			continue
		}
		if f := out.Findings[0]; f.Rule != "hold.open" || f.Severity != layout.Note || f.Station != "jig" || f.At != joining.Vec(c.from) ||
			!strings.Contains(f.Where, "hold point H1 waits before hinge as stated") {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
}
