package rollers

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// An oval with straights of 300 mm and ends of 30 mm radius: the straights are rolled, the ends are not.
func oval() Line {
	const leg, radius = 300.0, 30.0
	arc := math.Pi * radius
	return along(2*leg+2*arc, true, func(s float64) (p, t, axis r3.Vector) {
		up := vec(0, 0, 1)
		bow := func(s, x float64, side float64) (p, t, axis r3.Vector) {
			sin, cos := math.Sincos(s / radius)
			return vec(x+side*radius*sin, side*-radius*cos, 0), vec(side*cos, side*sin, 0), up
		}
		switch {
		case s <= leg:
			return vec(s, -radius, 0), vec(1, 0, 0), up
		case s <= leg+arc:
			return bow(s-leg, leg, 1)
		case s <= 2*leg+arc:
			return vec(leg-(s-leg-arc), radius, 0), vec(-1, 0, 0), up
		}
		return bow(s-2*leg-arc, 0, -1)
	})
}

func TestPartsAndWhatLiesBetween(t *testing.T) {
	r := request(oval())
	r.LeastRun = 50
	p := lay(t, r)
	if p.Whole || len(p.Rollable) != 2 || len(p.Unrolled()) != 2 {
		t.Fatalf("%+v and %+v", p.Rollable, p.Unrolled())
	}
	length := 600 + 2*math.Pi*30
	sum := 0.0
	for _, s := range p.Rollable {
		part := p.Part(s, 30)
		if part.Closed || !near(part.Length, p.over(s), 0.5) || part.Length < 250 || part.Length > 300 || !near(part.Seconds, part.Length/30,
			1e-9) {
			t.Errorf("stretch %+v: %g mm", s, part.Length)
		}
		for i := range part.S {
			if i > 0 && part.Points[i].Distance(part.Points[i-1]) > 3 {
				t.Errorf("stretch %+v: a jump at %g", s, part.S[i])
			}
		}
		sum += p.over(s)
	}
	for _, u := range p.Unrolled() {
		cut := Cut(r.Line, u.From, u.To)
		n := len(cut.Stations)
		if got := cut.Stations[n-1].S - cut.Stations[0].S; !near(got, u.To-u.From, 1e-9) || cut.Closed {
			t.Errorf("cut of %g mm for %+v", got, u)
		}
		for i := 1; i < n; i++ {
			if cut.Stations[i].S <= cut.Stations[i-1].S || cut.Stations[i].Point.Distance(cut.Stations[i-1].Point) > 3 {
				t.Errorf("stations of the cut at %g and %g", cut.Stations[i-1].S, cut.Stations[i].S)
			}
		}
		sum += u.To - u.From
	}
	if !near(sum, length, 0.01) {
		t.Errorf("%g mm in all, the line has %g", sum, length)
	}
	if !near(p.CanRoll(), 2*280, 45) {
		t.Errorf("%g mm can be rolled", p.CanRoll())
	}
}

func TestShortStretchesAreNotRolled(t *testing.T) {
	r := request(arch(80)) // only its ends, nearer than they can be measured
	r.LeastRun = 50
	p := lay(t, r)
	if len(p.Rollable) != 0 || len(p.Unrolled()) != 1 || p.CanRoll() != 0 {
		t.Errorf("%+v, %+v", p.Rollable, p.Unrolled())
	}
	if u := p.Unrolled()[0]; u.From != 0 || !near(u.To, math.Pi*80, 1e-9) {
		t.Errorf("%+v", u)
	}
	if p = lay(t, request(straight(30))); !p.Whole || p.Unrolled() != nil || len(p.Part(p.Rollable[0], 0).Points) != len(p.Points) {
		t.Error("a short line that can be rolled from end to end is rolled")
	}
}

func TestRollerDoesNotGetPastADowel(t *testing.T) {
	r := request(straight(400))
	r.KeepOuts = []KeepOut{{ID: "dowel D1", At: vec(200, 4, 0), Radius: 8}, {ID: "elsewhere", At: vec(100, 40, 0), Radius: 8}}
	p := lay(t, r)
	if len(p.Rollable) != 2 || len(p.Problems) != 1 || p.Problems[0].Kind != InTheWay || p.Problems[0].KeepOut != "dowel D1" {
		t.Fatalf("%+v, %v", p.Rollable, p.Problems)
	}
	half := math.Sqrt(11*11 - 4*4) // 8 and half of 6 mm of wheel
	u := p.Unrolled()
	if len(u) != 1 || u[0].From > 200-half || u[0].From < 200-half-2 || u[0].To < 200+half || u[0].To > 200+half+2 {
		t.Errorf("%+v, want 200 -+ %g", u, half)
	}
	if want := "f1, 190.0 to 210.0 mm: dowel D1 is in the way of the roller"; p.Problems[0].String() != want {
		t.Errorf("%q", p.Problems[0])
	}
}

// Rolled and unrolled stretches share the line out, whatever is in the way.
func TestStretchesShareTheLineOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := []Line{straight(500), ring(90), gutter(150, 30), oval()}
		r := request(rapid.SampledFrom(lines).Draw(t, "line"))
		r.LeastRun = rapid.Float64Range(0, 80).Draw(t, "least")
		for range rapid.IntRange(0, 3).Draw(t, "keep-outs") {
			st := rapid.SampledFrom(r.Line.Stations).Draw(t, "at")
			r.KeepOuts = append(r.KeepOuts, KeepOut{At: st.Point, Radius: rapid.Float64Range(0, 60).Draw(t, "radius")})
		}
		p := lay(t, r)
		_, length := p.whole()
		sum := p.CanRoll()
		for _, u := range p.Unrolled() {
			if u.To <= u.From {
				t.Fatalf("unrolled %+v", u)
			}
			sum += u.To - u.From
		}
		if !(math.Abs(sum-length) <= 1e-6) {
			t.Fatalf("%g mm of %g: %+v and %+v", sum, length, p.Rollable, p.Unrolled())
		}
		for _, s := range p.Rollable {
			for _, at := range p.Part(s, 0).Points {
				for _, k := range r.KeepOuts {
					if at.Distance(k.At) < k.Radius+3-1e-9 {
						t.Fatalf("rolled %g mm from a keep-out", at.Distance(k.At))
					}
				}
			}
		}
	})
}
