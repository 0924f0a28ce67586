package tooling

import (
	"context"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout/reach"
	"seamwright/seams/shell"
)

// drawResults draws welds on two lines and which of six tools (three guns, two tips each) reach them.
func drawResults(rng *rand.Rand, n int) ([]reach.Weld, []reach.Result, []reach.Tool) {
	var tools []reach.Tool
	for _, g := range []string{"A", "B", "C"} {
		for _, t := range []string{"t", "u"} {
			tools = append(tools, reach.Tool{Gun: shell.Gun{ID: g}, Tip: shell.Tip{ID: t}})
		}
	}
	var welds []reach.Weld
	var results []reach.Result
	for i := range n {
		welds = append(welds, reach.Weld{Line: []string{"x", "y"}[rng.IntN(2)], S: float64(i)})
		var r reach.Result
		for k := range tools {
			if rng.IntN(2) == 0 {
				r.Reasons = append(r.Reasons, reach.Reason{Tool: k, Kind: reach.Throat, Value: 100, Limit: 100 + float64(1+rng.IntN(50))})
				continue
			}
			p := reach.Pose{Tool: k, Air: make([]float32, 8)}
			for a := range p.Air {
				p.Air[a] = -1
			}
			for range 1 + rng.IntN(4) {
				a := rng.IntN(8)
				p.Air[a] = float32(1 + rng.IntN(9))
				if float64(p.Air[a]) > p.Clearance {
					p.Clearance, p.Turn = float64(p.Air[a]), 45*float64(a)
				}
			}
			r.Poses = append(r.Poses, p)
		}
		results = append(results, r)
	}
	return welds, results, tools
}

func TestChooseTakesTheFewestGunsAndTools(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		welds, results, tools := drawResults(rng, 1+rng.IntN(8))
		used := uint64(0)
		for i, c := range chosen(t, welds, results, tools) {
			if c.Reached != results[i].Reached() {
				t.Fatalf("weld %d: %+v", i, c)
			}
			if !c.Reached {
				for _, r := range results[i].Reasons {
					if r.Missing() < c.Reason.Missing() {
						t.Fatalf("weld %d: the guess %v misses more than %v", i, c.Reason, r)
					}
				}
				continue
			}
			used |= 1 << c.Tool
			p := results[i].Pose(c.Tool)
			if k := int(c.Turn / 45); p.Air == nil || float64(p.Air[k]) != c.Clearance || c.Clearance <= 0 {
				t.Fatalf("weld %d: %+v of %+v", i, c, p)
			}
		}
		bestGuns, bestTools := math.MaxInt, math.MaxInt
		for set := uint64(0); set < 64; set++ {
			covers := true
			for _, r := range results {
				any := !r.Reached()
				for _, p := range r.Poses {
					any = any || set>>p.Tool&1 == 1
				}
				covers = covers && any
			}
			if g, n := guns(set, tools), bits.OnesCount64(set); covers && (g < bestGuns || g == bestGuns && n < bestTools) {
				bestGuns, bestTools = g, n
			}
		}
		if g, n := guns(used, tools), bits.OnesCount64(used); g > bestGuns || g == bestGuns && n > bestTools {
			t.Fatalf("%d guns and %d tools, %d and %d would do", g, n, bestGuns, bestTools)
		}
	})
}

// Of all sets of tools that reach what can be reached, the one taken has the fewest guns, then the fewest tools, then the
// most air: every set is tried, and reckoned here on its own.
func TestChooseTakesTheSetWithTheMostAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		_, results, tools := drawResults(rng, 1+rng.IntN(7))
		type worth struct {
			guns, tools int
			air         float64
		}
		reckon := func(set uint64) (w worth, covers bool) {
			ids := map[string]bool{}
			for k := range tools {
				if set>>k&1 == 1 {
					ids[tools[k].Gun.ID] = true
					w.tools++
				}
			}
			w.guns = len(ids)
			for _, r := range results {
				best := 0.0
				for _, p := range r.Poses {
					if set>>p.Tool&1 == 1 && p.Clearance > best {
						best = p.Clearance
					}
				}
				if best == 0 && r.Reached() {
					return w, false
				}
				w.air += best
			}
			return w, true
		}
		got, covers := reckon(toolSet(results, tools))
		if !covers {
			t.Fatal("a weld that can be reached is left out")
		}
		for set := range uint64(64) {
			w, ok := reckon(set)
			if ok && (w.guns < got.guns || w.guns == got.guns && (w.tools < got.tools || w.tools == got.tools && w.air > got.air+1e-6)) {
				t.Fatalf("set %b is worth %+v, the one taken %+v", set, w, got)
			}
		}
	})
}

// Where every tool that stands at a weld is stuck, one of them is taken and marked; one that comes off goes before.
func TestChooseMarksWhatIsStuck(t *testing.T) {
	air := []float32{-1, 4, 7, -1}
	reason := reach.Reason{Tool: 1, Kind: reach.Retreat, Value: 60, Panel: "fence"}
	results := []reach.Result{
		{Stuck: []reach.Pose{{Tool: 1, Turn: 180, Clearance: 7, Air: air}}, Reasons: []reach.Reason{reason}},
		{Poses: []reach.Pose{{Tool: 0, Turn: 90, Clearance: 4, Air: []float32{-1, 4, -1, -1}}}},
	}
	tools := []reach.Tool{{Gun: shell.Gun{ID: "A"}}, {Gun: shell.Gun{ID: "B"}}}
	out := chosen(t, []reach.Weld{{Line: "f"}, {Line: "f", S: 30}}, results, tools)
	if c := out[0]; c.Reached || !c.Stuck || c.Tool != 1 || c.Turn != 180 || c.Clearance != 7 || c.Reason != reason {
		t.Errorf("the stuck gun: %+v", c)
	}
	if c := out[1]; !c.Reached || c.Stuck || c.Tool != 0 {
		t.Errorf("the gun that comes off: %+v", c)
	}
}

// Along a line every sequence of tools of the set is tried.
func TestChooseAlongALineEqualsExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		welds, results, tools := drawResults(rng, 1+rng.IntN(5))
		var line []int
		for i := range welds {
			if results[i].Reached() {
				line = append(line, i)
			}
		}
		out := make([]Choice, len(welds))
		chooseAlong(line, results, tools, 63, out)
		cost := func(tool []int) float64 {
			sum := 0.0
			for k, w := range line {
				sum -= results[w].Pose(tool[k]).Clearance
				if k > 0 {
					sum += changeWeight(tools, tool[k-1], tool[k])
				}
			}
			return sum
		}
		best := math.Inf(1)
		tool := make([]int, len(line))
		var try func(k int)
		try = func(k int) {
			if k == len(line) {
				best = math.Min(best, cost(tool))
				return
			}
			for _, p := range results[line[k]].Poses {
				tool[k] = p.Tool
				try(k + 1)
			}
		}
		try(0)
		for k, w := range line {
			tool[k] = out[w].Tool
		}
		if got := cost(tool); len(line) > 0 && !(math.Abs(got-best) <= 1e-6) {
			t.Fatalf("cost %g, exhaustive %g", got, best)
		}
	})
}

// The gun does not swing from side to side for a little more air.
// Along a line a change of tip weighs more than air, and a change of gun more than several of tips.
func TestChooseAlongWeighsChanges(t *testing.T) {
	tools := []reach.Tool{{Gun: shell.Gun{ID: "A"}, Tip: shell.Tip{ID: "t"}}, {Gun: shell.Gun{ID: "A"}, Tip: shell.Tip{ID: "u"}},
		{Gun: shell.Gun{ID: "B"}, Tip: shell.Tip{ID: "t"}}}
	const at, au, bt = 0, 1, 2
	for _, test := range []struct {
		name string
		air  []map[int]float64 // by weld and tool
		want []int
	}{
		{"no change of tip for air", []map[int]float64{{at: 1}, {at: 1, au: 200}, {at: 1}}, []int{at, at, at}},
		{"tips change before guns", []map[int]float64{{at: 1}, {au: 1, bt: 200}, {at: 1}}, []int{at, au, at}},
		{"no tip changed in vain", []map[int]float64{{at: 1}, {au: 200, bt: 1}, {bt: 1}}, []int{at, bt, bt}},
		{"air where nothing changes", []map[int]float64{{at: 1, au: 2}, {at: 1, au: 2}}, []int{au, au}},
	} {
		var results []reach.Result
		var line []int
		for i, w := range test.air {
			var r reach.Result
			for tool := range tools {
				if air, ok := w[tool]; ok {
					r.Poses = append(r.Poses, reach.Pose{Tool: tool, Clearance: air})
				}
			}
			results, line = append(results, r), append(line, i)
		}
		out := make([]Choice, len(results))
		chooseAlong(line, results, tools, 1<<len(tools)-1, out)
		for i, c := range out {
			if c.Tool != test.want[i] {
				t.Errorf("%s: weld %d takes tool %d, want %d", test.name, i, c.Tool, test.want[i])
			}
		}
	}
}

func TestAnglesStayAlike(t *testing.T) {
	var welds []reach.Weld
	var results []reach.Result
	for i := range 6 {
		air := make([]float32, 72)
		for k := range air {
			air[k] = -1
		}
		air[18], air[54] = 8, 8
		air[18+36*(i%2)] = 9 // now the one side, now the other
		welds = append(welds, reach.Weld{Line: "f", S: float64(i)})
		results = append(results, reach.Result{Poses: []reach.Pose{{Tool: 0, Air: air, Clearance: 9, Turn: 90 + 180*float64(i%2)}}})
	}
	out := chosen(t, welds, results, []reach.Tool{{}})
	for i, c := range out {
		if c.Turn != out[0].Turn {
			t.Errorf("weld %d at %g degrees, the first at %g", i, c.Turn, out[0].Turn)
		}
	}
}

func TestChooseWithoutTools(t *testing.T) {
	if out := chosen(t, []reach.Weld{{Line: "f"}}, []reach.Result{{}}, nil); out[0].Tool != -1 || out[0].Reached {
		t.Errorf("%+v", out[0])
	}
}

// A leaning gun is chosen as it was found to lean.
func TestChooseKeepsTheLean(t *testing.T) {
	p := reach.Pose{Air: []float32{-1, 4, -1, -1}, Turn: 90, Clearance: 4, Tilt: 6, Towards: 270}
	r := reach.Result{Poses: []reach.Pose{p}, Reasons: []reach.Reason{{Kind: reach.Wall}}}
	c := chosen(t, []reach.Weld{{Line: "f"}}, []reach.Result{r}, []reach.Tool{{}})[0]
	if !c.Reached || c.Tilt != 6 || c.Towards != 270 || c.Turn != 90 || c.Clearance != 4 {
		t.Errorf("chosen %+v of %+v", c, p)
	}
}

// chosen is Choose for guns that need not come off.
func chosen(t rapid.TB, welds []reach.Weld, results []reach.Result, tools []reach.Tool) []Choice {
	t.Helper()
	out, err := Choose(context.Background(), nil, welds, results, tools, reach.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
