package reach

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"seamwright/internal/cache"
	"seamwright/internal/work"
)

// What a millimetre of air less than enough, a degree from square and a degree of turn from one weld to the
// next are worth against each other.
const (
	squareWorth = 0.01
	turnWorth   = 0.05
)

// stretch is welds of a line, one after another, with the same tool.
type stretch struct {
	at    []int // of all welds asked about
	welds []Weld
	poses []Pose // with the tool
}

func stretchOf(at []int, tool int, welds []Weld, results []Result) stretch {
	s := stretch{at: at}
	for _, i := range at {
		s.welds, s.poses = append(s.welds, welds[i]), append(s.poses, poseOf(results[i], tool))
	}
	return s
}

// turn is the angle of the gun at a weld, in degrees, and its air.
type turn struct{ Turn, Clearance float64 }

// turnAll gives the welds of each stretch their angles.
func turnAll(ctx context.Context, scene *Scene, all []stretch, tools []Tool, opt Options) ([][]turn, error) {
	if opt.Cache == nil {
		return turnEach(ctx, scene, all, tools, opt)
	}
	jig := jigKey(scene, tools, opt)
	keys := make([]cache.Key, len(all))
	for i, s := range all {
		keys[i] = opt.Cache.KeyOf("reach-turns", cache.Input{Name: "jig", Value: jig}, cache.Input{Name: "welds", Value: s.welds},
			cache.Input{Name: "poses", Value: s.poses})
	}
	return cache.Each(opt.Cache, keys, func(wanting []int) ([][]turn, error) {
		asked := make([]stretch, len(wanting))
		for k, i := range wanting {
			asked[k] = all[i]
		}
		return turnEach(ctx, scene, asked, tools, opt)
	})
}

func turnEach(ctx context.Context, scene *Scene, all []stretch, tools []Tool, opt Options) ([][]turn, error) {
	out := make([][]turn, len(all))
	var free sync.Pool // searchers
	err := work.Each(ctx, opt.Workers, len(all), func(i int) error {
		s, ok := free.Get().(*searcher)
		if !ok {
			s = newSearcher(scene, tools, opt)
		}
		defer free.Put(s)
		var err error
		out[i], err = s.turn(ctx, all[i])
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("reach: stopped: %w", err)
	}
	return out, nil
}

// turn takes along a stretch angles with much air that turn little from weld to weld and stand square to the line. Where the
// gun comes off again is asked for only at angles that are taken as if it did everywhere: an angle that is then lost makes no
// other way along the stretch the better, so the first way on which it comes off everywhere is the best of all.
func (s *searcher) turn(ctx context.Context, along stretch) ([]turn, error) {
	air, sure := make([][]float32, len(along.poses)), make([][]int, len(along.poses)) // sure: at these angles it comes off
	drawn := make([]bool, len(along.poses))                                           // that is known of every angle
	for i, p := range along.poses {
		air[i], sure[i], drawn[i] = p.Air, []int{nearest(p.Turn, len(p.Air))}, !p.Open
	}
	for {
		path := bestTurns(air)
		open := false
		for i, k := range path {
			if err := ctx.Err(); err != nil {
				return nil, context.Cause(ctx)
			}
			if drawn[i] || slices.Contains(sure[i], k) {
				continue
			}
			air[i], drawn[i] = s.comingOff(along.welds[i], along.poses[i], k)
			open, sure[i] = open || drawn[i], append(sure[i], k)
		}
		if open {
			continue
		}
		out := make([]turn, len(path))
		for i, k := range path {
			out[i] = turn{360 * float64(k) / float64(len(air[i])), float64(air[i][k])}
		}
		return out, nil
	}
}

// nearest is the number of an angle in degrees, of n round.
func nearest(degrees float64, n int) int { return int(math.Round(degrees/360*float64(n))) % n }

// comingOff is a pose's air, but for the angle at which the gun does not come off; where it does not at the one that is
// asked for, that is found out of every angle, as is then said.
func (s *searcher) comingOff(w Weld, p Pose, angle int) (air []float32, all bool) {
	tool := s.tools[p.Tool]
	l := &seen{weld: w, ways: map[shape]known{}, turned: &s.turned}
	f := frameOf(w)
	if p.Tilt != 0 {
		f = s.leaning(f, p)
	}
	l.turn(s.scene, f, w.Absent)
	l.above, l.below = s.scene.surfaces(w, f)
	left := make([]float64, len(p.Air))
	for k, a := range p.Air {
		left[k] = float64(a)
	}
	if s.wayOff(l, tool, left, angle); left[angle] > 0 {
		return p.Air, false
	}
	s.wayOff(l, tool, left, s.every...)
	air = make([]float32, len(left))
	for k, a := range left {
		air[k] = float32(a)
	}
	return air, true
}

// bestTurns is a shortest path along a stretch with the angles as states.
func bestTurns(air [][]float32) []int {
	var layers [][]float64
	var from [][]int
	for i, own := range air {
		n := len(own)
		costs, back := make([]float64, n), make([]int, n)
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
					d := math.Abs(float64(k - m))
					d = 360 / float64(n) * min(d, float64(n)-d)
					if c += turnWorth * d; c < best-1e-9 {
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
