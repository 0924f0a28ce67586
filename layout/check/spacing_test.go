package check

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/strips"
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
		s := on(strap.New(t))
		s.AddWeld("strap/1", s.Plan.Welds[4].Along+c.apart)
		r := s.evaluate()
		if !c.broke {
			s.Only(r, "pitch.least") // the next weld on the other side is too near
		}
		f := s.One(r, "pitch.least")
		strap.Has(t, f.Others, "ten-t 13 mm (common practice)")
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

func TestSpacingAcrossStrips(t *testing.T) {
	far := leastOfThick / math.Sqrt2
	s := on(strap.New(t).Neighbour(far+0.01, far+0.01, "rail", "stiff"))
	s.Only(s.evaluate())
	s = on(strap.New(t).Neighbour(far-0.1, far-0.1, "rail", "stiff"))
	r := s.evaluate()
	s.Only(r, "pitch.least")
	f := s.One(r, "pitch.least")
	strap.Has(t, f.Where, "flange strap/1 weld 1 and flange other/1 weld 11: 21.3 mm apart, the nearest of 10 pairs")
	if f.Weld != 0 || f.Flange != "strap/1" {
		t.Errorf("%+v", f)
	}
	// Two 1.2 mm sheets ask for more: the greater least pitch of the two counts.
	strap.Close(t, "limit", f.Limit, leastOfThick, 1e-9)
}

func TestSpacingNeedsASharedSheet(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Panels = append(s.Shell.Panels, shell.Panel{ID: "x", Steel: "thick"}, shell.Panel{ID: "y", Steel: "thick"})
	s.Shell.Joints = append(s.Shell.Joints, shell.Joint{ID: "other", Panels: []string{"x", "y"}})
	s.AddJoint("other", "x", "y")
	s.AddStraight("other/1", "other", 0, 3, strap.Length)
	for i := range strap.Welds {
		s.AddWeld("other/1", strap.Start+float64(i)*strap.Pitch)
		s.Plan.Welds[len(s.Plan.Welds)-1].Tip = "wide"
	}
	s.Tack(10, 13, 16, 19)
	r := s.evaluate()
	s.Only(r)
}

// The grid finds exactly the pairs that a search of all pairs finds.
func TestGridFindsEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, reach := rapid.IntRange(0, 60).Draw(t, "n"), rapid.Float64Range(1, 30).Draw(t, "reach")
		at := rapid.Custom(func(t *rapid.T) layout.Vec {
			c := rapid.Float64Range(-60, 60)
			return layout.Vec{c.Draw(t, "x"), c.Draw(t, "y"), c.Draw(t, "z")}
		})
		spots := make([]strips.Spot, n)
		for i := range spots {
			spots[i] = strips.Spot{Weld: &layout.Weld{Position: at.Draw(t, "at")}}
		}
		g := newGrid(spots, reach)
		found, all := 0, 0
		for i := range spots {
			g.around(i, func(j int) {
				if j > i && spots[i].Weld.Position.R3().Distance(spots[j].Weld.Position.R3()) < reach {
					found++
				}
			})
			for j := i + 1; j < n; j++ {
				if spots[i].Weld.Position.R3().Distance(spots[j].Weld.Position.R3()) < reach {
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
	s := on(strap.New(t))
	s.Plan.Welds, s.Plan.Flanges = nil, nil
	f := s.AddRing("strap/1", "strap", radius)
	for i := range n {
		s.AddWeld("strap/1", f.Length*float64(i)/float64(n))
	}
	s.Joint("strap").Welds = n
	return s
}

// A closed line is judged over its closing point as well.
func TestClosedLine(t *testing.T) {
	s := ring(t, 60, 12) // pitch 31.4
	s.Tack(0, 4, 8)
	r := s.evaluate()
	s.Only(r)
	if j := strap.Judged(t, r, "pitch.greatest"); j.Places != 12 {
		t.Errorf("%+v", j)
	}
	s.Plan.Welds = s.Plan.Welds[:11] // the last gap is two pitches
	r = s.evaluate()
	s.Only(r, "pitch.greatest")
	f := s.One(r, "pitch.greatest")
	strap.Has(t, f.Where, "pitch of 62.8 mm between welds 11 and 1")
	strap.Close(t, "middle of the gap", math.Hypot(f.At[0]-60*math.Cos(math.Pi/6), f.At[1]+60*math.Sin(math.Pi/6)), 0, 0.1)
	s.Plan.Welds[8].Step = "fill"
	s.Only(s.evaluate(), "pitch.greatest", "tack.least", "tack.every")
}

func TestReasonsOfPitch(t *testing.T) {
	s := on(strap.New(t)) // pitch 30.67
	s.Shell.Joints[0].Sealed = true
	r := s.evaluate()
	s.Only(r, "pitch.sealed.greatest")
	if f := s.One(r, "pitch.sealed.greatest"); f.Limit != 30 || f.Severity != layout.Doubt {
		t.Errorf("%s", strap.Words(f))
	}
	// sigma = k E (t/s)²: at 30.67 mm a 0.9 mm sheet carries 520.6 MPa. Calculated.
	slender := 0.9 / strap.Pitch
	carries := 2.878634617 * 210000 * slender * slender
	s = on(strap.New(t))
	for i := range s.Shell.Steels { // so that it stays elastic
		s.Shell.Steels[i].Tensile, s.Shell.Steels[i].Yield = 400, 1200
	}
	s.Shell.Joints[0].Compression = carries - 0.1
	s.Only(s.evaluate())
	s.Shell.Joints[0].Compression = carries + 0.1
	r = s.evaluate()
	s.Only(r, "pitch.buckling.greatest")
	f := s.One(r, "pitch.buckling.greatest")
	strap.Has(t, f.Source, "Flabel")
	strap.Has(t, f.Others, "plate 32.14 mm (memory), aisi 20.61 mm (memory)")
	if f.Severity != layout.Broken {
		t.Errorf("%s", strap.Words(f))
	}
	// A pitch that the joint asks for is in doubt when it is not kept; the book's own aim is a note.
	s = on(strap.New(t))
	s.Shell.Joints[0].Pitch = 25
	r = s.evaluate()
	s.Only(r, "pitch.wanted")
	wanted := s.One(r, "pitch.wanted")
	if wanted.Severity != layout.Doubt || wanted.Limit != 25 || len(r.Findings) != 1 || wanted.Weld != 0 {
		t.Errorf("%s", strap.Words(wanted))
	}
	strap.Has(t, wanted.Where, ", the widest of 9; also ")
	strap.Has(t, wanted.Where, " and 4 more")
	s.Shell.Joints[0].Pitch = 10
	s.Only(s.evaluate(), "pitch.least", "pitch.wanted")
}

func TestWhatIsInTheWayIsNamed(t *testing.T) {
	s := on(strap.New(t))
	w := s.Plan.Welds[4].Position
	s.Plan.Welds = append(s.Plan.Welds[:4:4], s.Plan.Welds[5:]...)
	s.Plan.Stations[0].Clamps = []layout.Fixture{{ID: "C7", At: layout.Vec{w[0], 0, 5}, Radius: 10, Release: "end"},
		{ID: "C8", At: layout.Vec{w[0], 400, 5}, Radius: 10, Release: "end"}}
	r := s.evaluate()
	s.Only(r, "pitch.greatest")
	strap.Has(t, s.One(r, "pitch.greatest").Where, "pitch of 61.3 mm between welds 4 and 6 (clamp C7 in the way)")
}

// Three sheets in the middle of two: the ends where they meet are no ends of sheets, and the pitch goes on across them.
func TestStripsThatGoOn(t *testing.T) {
	build := func(first, pitch float64) *sample {
		s := on(strap.New(t))
		s.Shell.Joints = append(s.Shell.Joints, shell.Joint{ID: "three", Panels: []string{"roof", "rail", "stiff"}})
		s.AddJoint("three", "roof", "rail", "stiff")
		s.Shell.Joints[0].Panels = []string{"roof", "rail"}
		f := s.AddStraight("strap/2", "strap", strap.Length, 2, 200)
		f.Panels = []string{"roof", "rail", "stiff"}
		for a := first; a < 195; a += pitch {
			s.AddWeld("strap/2", a)
		}
		last := len(s.Plan.Welds) - 1
		s.Move(last, 188.8)
		s.Tack(10, 14, last)
		for i := strap.Welds; i <= last; i++ {
			s.Plan.Welds[i].Tip = "wide" // the strap.Nugget goes by the thick pair
		}
		return s
	}
	s := build(16, 28.8)
	r := s.evaluate()
	s.Only(r)
	if n := strap.Judged(t, r, "end.least").Places; n != 2 { // the outer ends only
		t.Errorf("%d ends judged", n)
	}
	s = build(30, 31.6)
	r = s.evaluate()
	s.Only(r, "pitch.greatest")
	strap.Has(t, s.One(r, "pitch.greatest").Where, "flange strap/1 weld 10 to flange strap/2 weld 11: 42.0 mm where the strips meet")
}

// Over a bend welds may be near in space and far enough along the panel, which the plan says.
func TestSpacingAlongASheet(t *testing.T) {
	far := leastOfThick / math.Sqrt2
	for _, c := range []struct {
		along float64
		broke bool
	}{{leastOfThick + 0.01, false}, {leastOfThick - 0.1, true}} {
		s := on(strap.New(t).Neighbour(far-0.5, far-0.5, "rail", "stiff"))
		for i := range strap.Welds {
			s.Plan.NearWelds = append(s.Plan.NearWelds, layout.NearWelds{Station: "jig", Weld: strap.Welds + 1 + i, OtherStation: "jig",
				Other: i + 1, Sheet: "rail", Straight: 20.75, Along: c.along})
		}
		r := s.evaluate()
		if !c.broke {
			s.Only(r)
			continue
		}
		f := s.One(r, "pitch.least")
		strap.Close(t, "distance", f.Value, c.along, 1e-9)
	}
}
