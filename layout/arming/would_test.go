package arming

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/reach"
)

// handGun is a gun with a long tip that is wider along the flange than across it.
func handGun() reach.Tool {
	var t reach.Tool
	t.Gun.ID, t.Tip.ID = "deep", "narrow"
	t.Gun.ThroatDepth, t.Gun.ThroatGap, t.Gun.Arm = 400, 250, 45
	t.Tip.Length, t.Tip.Shank, t.Tip.ShankLong, t.Tip.Face = 40, 16, 18, 5
	return t
}

func TestLeastSizeThatDoes(t *testing.T) {
	for _, c := range []struct {
		m     size
		bound float64 // from which on it does
		want  float64 // in whole steps, on the side that does; 0: none does
	}{
		{sizes[0], 431.2, 432}, {sizes[0], 799.5, 800}, {sizes[0], 900, 0}, {sizes[1], 250.4, 251}, {sizes[1], 551, 0},
		{sizes[2], 33.3, 33}, {sizes[2], 20, 20}, {sizes[2], 19, 0}, {sizes[3], 41.5, 42}, {sizes[3], 160, 160}, {sizes[3], 161, 0},
		{sizes[4], 12.2, 12}, {sizes[4], 12.7, 12.5}, {sizes[4], 5, 5}, {sizes[4], 4.9, 0},
	} {
		tool, calls := handGun(), 0
		own, far := *c.m.of(&tool), c.m.far(tool)
		got, ok, err := c.m.least(tool, far, func(t reach.Tool) (bool, error) {
			calls++
			if far < own {
				return *c.m.of(&t) <= c.bound, nil
			}
			return *c.m.of(&t) >= c.bound, nil
		})
		if err != nil || ok != (c.want > 0) || ok && c.m.rounded(got, own) != c.want || calls > 40 {
			t.Errorf("%s from %g: %g, %v, %v, want %g; asked %d times", c.m.name, c.bound, c.m.rounded(got, own), ok, err, c.want, calls)
		}
	}
}

func TestAWiderTipKeepsItsLength(t *testing.T) {
	if got := sizes[4].with(handGun(), 20).Tip; got.Shank != 20 || got.ShankLong != 20 {
		t.Errorf("20 across: %+v", got)
	}
	if got := sizes[4].with(handGun(), 8).Tip; got.Shank != 8 || got.ShankLong != 18 {
		t.Errorf("8 across: %+v", got)
	}
	round := handGun()
	round.Tip.ShankLong = 0
	if got := sizes[4].with(round, 8).Tip; got.Shank != 8 || got.ShankLong != 0 {
		t.Errorf("8 round: %+v", got)
	}
}

// What is asked for together does, in whole steps; each size is needed at all, and none could be a step nearer to the gun's own.
func TestSizesThatDoTogether(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		tool := handGun()
		needs := map[layout.MeasureKind]float64{}
		for _, m := range sizes {
			own, far := *m.of(&tool), m.far(tool)
			if rapid.Bool().Draw(r, string(m.name)) {
				needs[m.name] = own + (far-own)*rapid.Float64Range(0.01, 0.98).Draw(r, "share")
			}
		}
		does := func(t reach.Tool) (bool, error) {
			for _, m := range sizes {
				need, ok := needs[m.name]
				own, far := *m.of(&tool), m.far(tool)
				if ok && (far > own) != (*m.of(&t) >= need) && *m.of(&t) != need {
					return false, nil
				}
			}
			return true, nil
		}
		got, err := togetherDo(tool, does)
		if err != nil || len(got) != len(needs) {
			r.Fatalf("%d sizes for %v, %v", len(got), needs, err)
		}
		for k, g := range got {
			i := 0
			for sizes[i].name != g.Kind {
				i++
			}
			m, own := sizes[i], *sizes[i].of(&tool)
			need := needs[g.Kind]
			beyond := (g.Needed - need) * math.Copysign(1, g.Needed-own)
			if !g.Together || g.Has != own || g.Gun != "deep" || g.Tip != "narrow" || beyond < 0 || beyond > 2*m.to {
				r.Errorf("%s: %+v for %g", g.Kind, g, need)
			}
			if k > 0 && i == 0 {
				r.Error("the sizes stand in another order than they are named in")
			}
		}
	})
	if got, err := togetherDo(handGun(), func(reach.Tool) (bool, error) { return false, nil }); got != nil || err != nil {
		t.Errorf("where nothing does: %v, %v", got, err)
	}
}

func TestMeasuresInWords(t *testing.T) {
	depth := func(gun string, needed, has float64) layout.Measure {
		return layout.Measure{Gun: gun, Tip: "domed", Kind: layout.ThroatDepth, Has: has, Needed: needed}
	}
	const one = "one of these would do: "
	arm := layout.Measure{Gun: "deep", Tip: "domed", Kind: layout.ArmDiameter, Has: 45, Needed: 30, Stuck: true}
	for _, c := range []struct {
		all  []layout.Measure
		want string
	}{
		{nil, ""},
		{[]layout.Measure{depth("light", 450, 200), depth("deep", 480, 400), arm}, one + "throat depth of 480 mm instead of 400 " +
			"(gun deep, tip domed); arm of 30 mm instead of 45 (gun deep, tip domed, not seen to come straight off again)"},
		{[]layout.Measure{depth("deep", 480, 400), depth("light", 480, 400)},
			one + "throat depth of 480 mm instead of 400 (gun deep, tip domed)"},
	} {
		if got := measuresText(c.all); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for i := range 2 {
		all := []layout.Measure{depth("deep", 480, 400), arm}
		all[0].Together, all[1].Together = true, true
		all[0].Stuck = i == 1
		want := "gun deep with tip domed would reach with a throat depth of 480 mm instead of 400, a arm of 30 mm instead of 45, all together"
		if i == 1 {
			want += ", not seen to come straight off again"
		}
		if got := measuresText(all); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestHelpedInWords(t *testing.T) {
	if got := helped(3, 7); got != "; that helps 3 of the 7" {
		t.Error(got)
	}
	if got := helped(7, 7); got != "" {
		t.Error(got)
	}
}
