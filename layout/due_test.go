package layout

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bench is a station with two guns, one of them with two settings and a tip that wears, and a roller.
func dueBench() *AtStation {
	p := &Plan{Stations: []Station{{ID: "jig"}}, Tips: []Tip{{ID: "t", Dress: 4, Dressings: 2}, {ID: "u"}},
		Seams: []Seam{{ID: "R", Station: "jig", Roller: "r", Setting: "R1"}}}
	for i, w := range []Weld{{Gun: "g", Tip: "t", Setting: "S1"}, {Gun: "g", Tip: "t", Setting: "S2"}, {Gun: "g", Tip: "t", Setting: "S2"},
		{Gun: "h", Tip: "u", Setting: "S1"}, {Setting: "S3"}} {
		w.Station, w.Number = "jig", i+1
		p.Welds = append(p.Welds, w)
	}
	return NewIndex(p).Station("jig")
}

func TestCouponsDue(t *testing.T) {
	here := dueBench()
	for n, want := range []string{1: "g S1 first, g S2 first, h S1 first, r R1 first", 2: "g S1 turn, h S1 turn, r R1 turn",
		3: "g S2 turn, h S1 turn, r R1 turn, g S2 caps"} {
		if n == 0 {
			continue
		}
		got := ""
		for _, c := range here.CouponsDue(1, n) {
			if got != "" {
				got += ", "
			}
			got += c.Gun + c.Roller + " " + c.Setting + " " + map[CouponReason]string{CouponFirst: "first", CouponTurn: "turn",
				CouponCaps: "caps"}[c.Why]
		}
		if got != want {
			t.Errorf("shell %d: %s, want %s", n, got, want)
		}
	}
	if got := here.CouponsDue(0, 1); len(got) != 0 {
		t.Errorf("none are made, due are %v", got)
	}
}

// A tool that no weld is made with, as none is reached, is not proved: the labour counts no coupon for it either.
func TestNoCouponForWhatIsNotReached(t *testing.T) {
	p := &Plan{Stations: []Station{{ID: "jig"}}, Welds: []Weld{{Number: 1, Station: "jig", Gun: "g", Tip: "t", Setting: "S1"},
		{Number: 2, Station: "jig", Gun: "g", Tip: "t", Setting: "S2", Unreached: true},
		{Number: 3, Station: "jig", Gun: "h", Tip: "u", Setting: "S1", Unreached: true}}}
	got := NewIndex(p).Station("jig").CouponsDue(1, 1)
	if want := (Tools{Gun: "g", Tip: "t", Setting: "S1"}); len(got) != 1 || got[0].Tools != want {
		t.Errorf("%+v, want one with %+v", got, want)
	}
}

// Three worn welds a shell: dressing after the 4th, caps after the 8th of all.
func TestCareDue(t *testing.T) {
	here := dueBench()
	got := ""
	for n := 1; n <= 5; n++ {
		for _, c := range here.CareDue(n) {
			got += fmt.Sprintf("%d:%d:%v ", n, c.After, c.Caps)
		}
	}
	if want := "2:1:false 3:2:true 4:3:false "; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// Over a batch the coupons dealt out are those that the labour counts, but for parts of one with each tool and of each pair of caps.
func TestCouponsAddUp(t *testing.T) {
	here := dueBench()
	rapid.Check(t, func(t *rapid.T) {
		batch, each := rapid.IntRange(1, 60).Draw(t, "batch"), float64(rapid.IntRange(1, 40).Draw(t, "quarters"))/4
		dealt := 0
		for n := 1; n <= batch; n++ {
			dealt += len(here.CouponsDue(each, n))
		}
		const tools, further, perCaps = 3, 1, 8.0
		counted := tools*each*float64(batch) + further + 3*float64(batch)/perCaps
		if math.Abs(float64(dealt)-counted) >= tools+1 {
			t.Fatalf("%d dealt out, %g counted", dealt, counted)
		}
	})
}

// A cap lasts as many dressings as it takes, and one where none are stated.
func TestCapLife(t *testing.T) {
	for _, c := range []struct{ dress, dressings, want int }{{200, 0, 200}, {200, 1, 200}, {200, 15, 3000}, {0, 15, 0}} {
		if got := (Tip{Dress: c.dress, Dressings: c.dressings}).CapLife(); got != c.want {
			t.Errorf("dressed every %d welds, %d times: %d, want %d", c.dress, c.dressings, got, c.want)
		}
	}
}
