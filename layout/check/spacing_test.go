package check

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// 0.9 and 1.2 mm in the optimum-condition schedule, interpolated; the rule's own tests hold the nodes.
const (
	leastPitch   = 15.818921975668612
	leastOfThick = 21.45846395948012
)

func TestLeastPitchOnBothSides(t *testing.T) {
	for _, c := range []struct {
		apart float64
		broke bool
	}{{leastPitch, false}, {leastPitch - 0.0005, false}, {leastPitch - 0.01, true}} {
		s := strap(t)
		s.addWeld("strap/1", s.plan.Welds[4].Along+c.apart)
		r := s.evaluate()
		if !c.broke {
			s.only(r, "pitch.least") // the next weld on the other side is too near
		}
		f := s.one(r, "pitch.least")
		has(t, f.Others, "ten-t 13 mm (common practice)")
		n := 0
		for _, f := range r.Findings {
			if f.Rule == "pitch.least" {
				n++
			}
		}
		if want := map[bool]int{false: 1, true: 2}[c.broke]; n != want {
			t.Errorf("%v apart: %d findings, want %d", c.apart, n, want)
		}
	}
}

// A second strip of another joint, in another plane, that shares one sheet.
func neighbour(t *testing.T, dy, dz float64, panels ...string) *sample {
	s := strap(t)
	s.shell.Joints = append(s.shell.Joints, shell.Joint{ID: "other", Panels: panels})
	s.addJoint("other", panels...)
	s.addStraight("other/1", "other", 0, dy, strapLength)
	for i := range s.flange("other/1").Line {
		s.flange("other/1").Line[i].At[2] = dz
	}
	for i := range strapWelds {
		s.addWeld("other/1", strapStart+float64(i)*strapPitch)
		if !slices.Contains(panels, "roof") { // two thick sheets
			s.plan.Welds[len(s.plan.Welds)-1].Tip = "wide"
		}
	}
	s.tack(10, 13, 16, 19)
	return s
}

func TestSpacingAcrossStrips(t *testing.T) {
	far := leastOfThick / math.Sqrt2
	s := neighbour(t, far+0.01, far+0.01, "rail", "stiff")
	s.only(s.evaluate())
	s = neighbour(t, far-0.1, far-0.1, "rail", "stiff")
	r := s.evaluate()
	s.only(r, "pitch.least")
	f := s.one(r, "pitch.least")
	has(t, f.Where, "flange strap/1 weld 1 and flange other/1 weld 11: 21.3 mm apart, the nearest of 10 pairs")
	if f.Weld != 0 || f.Flange != "strap/1" {
		t.Errorf("%+v", f)
	}
	// Two 1.2 mm sheets ask for more: the greater least pitch of the two counts.
	close(t, "limit", f.Limit, leastOfThick, 1e-9)
}

func TestSpacingNeedsASharedSheet(t *testing.T) {
	s := strap(t)
	s.shell.Panels = append(s.shell.Panels, shell.Panel{ID: "x", Steel: "thick"}, shell.Panel{ID: "y", Steel: "thick"})
	s.shell.Joints = append(s.shell.Joints, shell.Joint{ID: "other", Panels: []string{"x", "y"}})
	s.addJoint("other", "x", "y")
	s.addStraight("other/1", "other", 0, 3, strapLength)
	for i := range strapWelds {
		s.addWeld("other/1", strapStart+float64(i)*strapPitch)
		s.plan.Welds[len(s.plan.Welds)-1].Tip = "wide"
	}
	s.tack(10, 13, 16, 19)
	r := s.evaluate()
	s.only(r)
}

// The grid finds exactly the pairs that a search of all pairs finds.
func TestGridFindsEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, reach := rapid.IntRange(0, 60).Draw(t, "n"), rapid.Float64Range(1, 30).Draw(t, "reach")
		at := rapid.Custom(func(t *rapid.T) layout.Vec {
			c := rapid.Float64Range(-60, 60)
			return layout.Vec{c.Draw(t, "x"), c.Draw(t, "y"), c.Draw(t, "z")}
		})
		spots := make([]spot, n)
		for i := range spots {
			spots[i] = spot{weld: &layout.Weld{Position: at.Draw(t, "at")}}
		}
		g := newGrid(spots, reach)
		found, all := 0, 0
		for i := range spots {
			g.around(i, func(j int) {
				if j > i && spots[i].weld.Position.R3().Distance(spots[j].weld.Position.R3()) < reach {
					found++
				}
			})
			for j := i + 1; j < n; j++ {
				if spots[i].weld.Position.R3().Distance(spots[j].weld.Position.R3()) < reach {
					all++
				}
			}
		}
		if found != all {
			t.Fatalf("%d of %d pairs", found, all)
		}
	})
}

func ring(t *testing.T, radius float64, n int) *sample {
	s := strap(t)
	s.plan.Welds, s.plan.Flanges = nil, nil
	f := s.addRing("strap/1", "strap", radius)
	for i := range n {
		s.addWeld("strap/1", f.Length*float64(i)/float64(n))
	}
	s.joint("strap").Welds = n
	return s
}

// A closed line is judged over its closing point as well.
func TestClosedLine(t *testing.T) {
	s := ring(t, 60, 12) // pitch 31.4
	s.tack(0, 4, 8)
	r := s.evaluate()
	s.only(r)
	if j := judged(t, r, "pitch.greatest"); j.Places != 12 {
		t.Errorf("%+v", j)
	}
	s.plan.Welds = s.plan.Welds[:11] // the last gap is two pitches
	r = s.evaluate()
	s.only(r, "pitch.greatest")
	f := s.one(r, "pitch.greatest")
	has(t, f.Where, "pitch of 62.8 mm between welds 11 and 1")
	close(t, "middle of the gap", math.Hypot(f.At[0]-60*math.Cos(math.Pi/6), f.At[1]+60*math.Sin(math.Pi/6)), 0, 0.1)
	s.plan.Welds[8].Step = "fill"
	s.only(s.evaluate(), "pitch.greatest", "tack.least", "tack.every")
}

func TestReasonsOfPitch(t *testing.T) {
	s := strap(t) // pitch 30.67
	s.shell.Joints[0].Sealed = true
	r := s.evaluate()
	s.only(r, "pitch.sealed.greatest")
	if f := s.one(r, "pitch.sealed.greatest"); f.Limit != 30 || f.Severity != layout.Doubt {
		t.Errorf("%s", words(f))
	}
	// sigma = k E (t/s)²: at 30.67 mm a 0.9 mm sheet carries 520.6 MPa. Calculated.
	slender := 0.9 / strapPitch
	carries := 2.878634617 * 210000 * slender * slender
	s = strap(t)
	for i := range s.shell.Steels { // so that it stays elastic
		s.shell.Steels[i].Tensile, s.shell.Steels[i].Yield = 400, 1200
	}
	s.shell.Joints[0].Compression = carries - 0.1
	s.only(s.evaluate())
	s.shell.Joints[0].Compression = carries + 0.1
	r = s.evaluate()
	s.only(r, "pitch.buckling.greatest")
	f := s.one(r, "pitch.buckling.greatest")
	has(t, f.Source, "Flabel")
	has(t, f.Others, "plate 32.14 mm (memory), aisi 20.61 mm (memory)")
	if f.Severity != layout.Broken {
		t.Errorf("%s", words(f))
	}
	// A pitch that the joint asks for is in doubt when it is not kept; the book's own aim is a note.
	s = strap(t)
	s.shell.Joints[0].Pitch = 25
	r = s.evaluate()
	s.only(r, "pitch.wanted")
	wanted := s.one(r, "pitch.wanted")
	if wanted.Severity != layout.Doubt || wanted.Limit != 25 || len(r.Findings) != 1 || wanted.Weld != 0 {
		t.Errorf("%s", words(wanted))
	}
	has(t, wanted.Where, ", the widest of 9; also ")
	has(t, wanted.Where, " and 4 more")
	s.shell.Joints[0].Pitch = 10
	s.only(s.evaluate(), "pitch.least", "pitch.wanted")
}

func TestWhatIsInTheWayIsNamed(t *testing.T) {
	s := strap(t)
	w := s.plan.Welds[4].Position
	s.plan.Welds = append(s.plan.Welds[:4:4], s.plan.Welds[5:]...)
	s.plan.Stations[0].Clamps = []layout.Fixture{{ID: "C7", At: layout.Vec{w[0], 0, 5}, Radius: 10, Release: "end"},
		{ID: "C8", At: layout.Vec{w[0], 400, 5}, Radius: 10, Release: "end"}}
	r := s.evaluate()
	s.only(r, "pitch.greatest")
	has(t, s.one(r, "pitch.greatest").Where, "pitch of 61.3 mm between welds 4 and 6 (clamp C7 in the way)")
}

// Three sheets in the middle of two: the ends where they meet are no ends of sheets, and the pitch goes on across them.
func TestStripsThatGoOn(t *testing.T) {
	build := func(first, pitch float64) *sample {
		s := strap(t)
		s.shell.Joints = append(s.shell.Joints, shell.Joint{ID: "three", Panels: []string{"roof", "rail", "stiff"}})
		s.addJoint("three", "roof", "rail", "stiff")
		s.shell.Joints[0].Panels = []string{"roof", "rail"}
		f := s.addStraight("strap/2", "strap", strapLength, 2, 200)
		f.Panels = []string{"roof", "rail", "stiff"}
		for a := first; a < 195; a += pitch {
			s.addWeld("strap/2", a)
		}
		last := len(s.plan.Welds) - 1
		s.move(last, 188.8)
		s.tack(10, 14, last)
		for i := strapWelds; i <= last; i++ {
			s.plan.Welds[i].Tip = "wide" // the nugget goes by the thick pair
		}
		return s
	}
	s := build(16, 28.8)
	r := s.evaluate()
	s.only(r)
	if n := judged(t, r, "end.least").Places; n != 2 { // the outer ends only
		t.Errorf("%d ends judged", n)
	}
	s = build(30, 31.6)
	r = s.evaluate()
	s.only(r, "pitch.greatest")
	has(t, s.one(r, "pitch.greatest").Where, "flange strap/1 weld 10 to flange strap/2 weld 11: 42.0 mm where the strips meet")
}

// Over a bend welds may be near in space and far enough along the panel, which the plan says.
func TestSpacingAlongASheet(t *testing.T) {
	far := leastOfThick / math.Sqrt2
	for _, c := range []struct {
		along float64
		broke bool
	}{{leastOfThick + 0.01, false}, {leastOfThick - 0.1, true}} {
		s := neighbour(t, far-0.5, far-0.5, "rail", "stiff")
		for i := range strapWelds {
			s.plan.NearWelds = append(s.plan.NearWelds, layout.NearWelds{Station: "jig", Weld: strapWelds + 1 + i, OtherStation: "jig",
				Other: i + 1, Sheet: "rail", Straight: 20.75, Along: c.along})
		}
		r := s.evaluate()
		if !c.broke {
			s.only(r)
			continue
		}
		f := s.one(r, "pitch.least")
		close(t, "distance", f.Value, c.along, 1e-9)
	}
}
