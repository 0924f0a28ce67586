package reach

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"seamwright/geometry/axial"
	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout/retreat"
)

// What a millimetre of air less than enough, a degree from square and a degree of turn from one weld to the
// next are worth against each other.
const (
	squareWorth = 0.01
	turnWorth   = 0.05
)

// Stretch is welds of a line, one after another, with the same tool: their poses are with that.
type Stretch struct {
	Welds []Weld
	Poses []Pose // with the tool
}

// Turn is the angle of the gun at a weld, in degrees, and its air.
type Turn struct{ Turn, Clearance float64 }

// Turns gives the welds of each stretch their angles: with much air, turning little from weld to weld, and square to the line. Poses are
// those of Find with the same scene, tools and options; what they leave open is settled where an angle is about to be taken. It fails
// only when the context ends.
func Turns(ctx context.Context, scene *axial.Scene, all []Stretch, tools []Tool, opt Options) ([][]Turn, error) {
	opt = opt.completed()
	var jig cache.Key
	if opt.Cache != nil {
		jig = jigKey(scene, tools, opt)
	}
	out := make([][]Turn, len(all))
	var free sync.Pool // searchers
	err := work.Each(ctx, opt.Workers, len(all), func(i int) (err error) {
		made := func() ([]Turn, error) {
			s, ok := free.Get().(*searcher)
			if !ok {
				s = newSearcher(scene, tools, opt)
			}
			defer free.Put(s)
			return s.turn(ctx, all[i])
		}
		if opt.Cache == nil {
			out[i], err = made()
			return err
		}
		key := opt.Cache.KeyOf("reach-turns", cache.Input{Name: "jig", Value: jig}, cache.Input{Name: "welds", Value: all[i].Welds},
			cache.Input{Name: "poses", Value: all[i].Poses})
		out[i], err = cache.GetHere(opt.Cache, key, made)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("reach: stopped: %w", err)
	}
	return out, nil
}

// turn takes along a stretch angles with much air that turn little from weld to weld and stand square to the line. What is open is
// looked at only at angles that are about to be taken with the most air that they may have: air that is then lost makes no
// other way along the stretch the better, so the first way on which all is as it was thought is the best of all.
func (s *searcher) turn(ctx context.Context, along Stretch) ([]Turn, error) {
	looks, air := make([]outlook, len(along.Poses)), make([][]float32, len(along.Poses))
	for i, p := range along.Poses {
		looks[i], air[i] = s.outlookOf(p), p.Air
	}
	for {
		path, settled := bestTurns(air), true
		for i, k := range path {
			if err := ctx.Err(); err != nil {
				return nil, context.Cause(ctx)
			}
			if !s.settleAgain(along.Welds[i], along.Poses[i], &looks[i], k) {
				settled, air[i] = false, looks[i].rounded()
			}
		}
		if !settled {
			continue
		}
		out := make([]Turn, len(path))
		for i, k := range path {
			out[i] = Turn{360 * float64(k) / float64(len(air[i])), float64(air[i][k])}
		}
		return out, nil
	}
}

// settleAgain is settle at a weld that others were looked at since.
func (s *searcher) settleAgain(w Weld, p Pose, o *outlook, k int) bool {
	if o.armed && o.drawn || slices.Contains(o.sure, k) {
		return true
	}
	l := &seen{
		weld: w, tools: []int{p.Tool}, tips: make([][]float64, len(s.tools)), bars: map[bars][]float64{}, barsAt: map[barsAt]float64{},
		ways: map[retreat.Gun]known{}, View: &s.view,
	}
	l.tips[p.Tool] = slices.Clone(o.air)
	f := frameOf(w)
	if p.Tilt != 0 {
		f = s.leaning(f, p)
	}
	l.Turn(s.scene, f, w.Absent)
	l.above, l.below = s.scene.Surfaces(f, w.Sheets, w.Stack)
	return s.settle(l, o, k)
}

// nearest is the number of an angle in degrees, of n round.
func nearest(degrees float64, n int) int { return int(math.Round(degrees/360*float64(n))) % n }

// bestTurns is a shortest path along a stretch with the angles as states.
func bestTurns(air [][]float32) []int {
	var layers [][]float64
	var from [][]int
	var away []float64 // what a turn by so many angles costs
	for i, own := range air {
		n := len(own)
		costs, back := make([]float64, n), make([]int, n)
		for d := len(away); d < n; d++ {
			away = append(away, turnWorth*(360/float64(n)*min(float64(d), float64(n)-float64(d))))
		}
		for k, a := range own {
			if a <= 0 {
				costs[k] = math.Inf(1)
				continue
			}
			off := math.Mod(360*float64(k)/float64(n), 180) - 90
			costs[k] = -float64(a) + squareWorth*math.Abs(off)
			if i > 0 {
				best := math.Inf(1)
				for m, c := range layers[i-1] {
					if c += away[max(k-m, m-k)]; c < best-1e-9 {
						best, back[k] = c, m
					}
				}
				costs[k] += best
			}
		}
		layers, from = append(layers, costs), append(from, back)
	}
	at, last := 0, layers[len(layers)-1]
	for k := range last {
		if last[k] < last[at]-1e-9 {
			at = k
		}
	}
	out := make([]int, len(air))
	for i := len(air) - 1; i >= 0; i-- {
		out[i], at = at, from[i][at]
	}
	return out
}
