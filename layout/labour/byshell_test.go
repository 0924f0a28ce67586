package labour_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
)

// What the plan says of its n-th shell is what the labour says at the pace of that shell, and the test coupons that are dealt out over
// the batch are those that it counts, but for parts of one with each tool and for each pair of caps.
func TestShellByShell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sh := sample.Works()
		sh.Batch = rapid.IntRange(1, 60).Draw(t, "batch")
		sh.Allowances.Learning = float64(rapid.IntRange(80, 100).Draw(t, "learning")) / 100
		sh.Allowances.ShellsBefore, sh.Allowances.Rework = rapid.IntRange(0, 9).Draw(t, "before"), 0
		sh.Elements.Coupons = float64(rapid.IntRange(0, 8).Draw(t, "coupons")) / 4
		p := sample.Cab(sh)
		for _, t := range sh.Tips {
			p.Tips = append(p.Tips, layout.Tip{ID: t.ID, Dress: t.Dress, Dressings: t.Dressings})
		}
		var err error
		if p.Labour, p.Cost, err = labour.Estimate(t.Context(), p, sh); err != nil {
			t.Fatal(err)
		}
		accounts, err := labour.Accounts(t.Context(), p, sh)
		if err != nil {
			t.Fatal(err)
		}
		n := rapid.IntRange(1, sh.Batch).Draw(t, "shell")
		pace, err := labour.PaceAt(sh, n)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, a := range accounts {
			want += pace.Minutes(a, sh)
		}
		if got := p.ShellWork(n); !(math.Abs(got-want) <= 1e-4*float64(len(p.Labour.Lines))) {
			t.Fatalf("shell %d of %d: %g man-minutes, want %g", n, sh.Batch, got, want)
		}
		index := layout.NewIndex(p)
		for _, s := range p.Stations {
			here := index.Station(s.ID)
			counted := here.Coupons * float64(sh.Batch)
			dealt, tools := 0, map[string]bool{}
			for k := 1; k <= sh.Batch; k++ {
				for _, c := range here.CouponsDue(p.Labour.CouponsEach, k) {
					dealt++
					tools[c.Gun+"/"+c.Roller] = true
				}
			}
			if off := math.Abs(float64(dealt) - counted); off > float64(2*len(tools))+1e-6 {
				t.Fatalf("station %s, batch %d: %d coupons are dealt out, %g counted", s.ID, sh.Batch, dealt, counted)
			}
		}
	})
}
