package reach

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"seamwright/geometry/axial"
)

// edged is a flange with an upturned edge beside the later half of its welds: there the gun comes off only towards the other
// half, or not at all.
func edged() (*axial.Scene, []Weld) {
	var welds []Weld
	for i := range 24 {
		w := weld()
		w.S = 10 * float64(i)
		w.Position.X = w.S - 200
		welds = append(welds, w)
	}
	return scene(append(plates(15), new(sheet).quad(vec(20, 15, 0.5), vec(280, 0, 0), vec(0, 0, 30), 10))...), welds
}

// Angles of which more is looked at only when they are about to be taken are the same as with all known of every angle of every
// pose.
func TestTurnsAreThoseOfAllKnown(t *testing.T) {
	cab, cabWelds, cabTools := cab(5000, 24)
	edged, edgedWelds := edged()
	for _, test := range []struct {
		scene *axial.Scene
		welds []Weld
		tools []Tool
	}{{edged, edgedWelds, []Tool{opening(20), opening(40)}}, {cab, cabWelds, cabTools}} {
		opt := Options{WayOff: true, Tilt: 8, Quiet: true}
		lazy := find(t, test.scene, test.welds, opt, test.tools...)
		s := newSearcher(test.scene, test.tools, opt.completed())
		known := make([]Result, len(lazy))
		open, less := 0, 0
		for i, r := range lazy {
			known[i].Poses = slices.Clone(r.Poses)
			for k := range known[i].Poses {
				if p := &known[i].Poses[k]; p.Open != Known {
					open++
					air := allKnown(s, test.welds[i], *p)
					if !slices.Equal(air, p.Air) {
						less++
					}
					p.Air, p.Open = air, Known
					if best := s.best(wide(air)); s.fan.Degrees(best) != p.Turn || !(math.Abs(wide(air)[best]-p.Clearance) <= 1e-5) {
						t.Errorf("weld %d, tool %d: %g degrees with %g mm, with all known %g with %g", i, p.Tool, p.Turn, p.Clearance,
							s.fan.Degrees(best), air[best])
					}
				}
			}
		}
		if open == 0 || less == 0 {
			t.Errorf("of %d poses something was left to be asked, of %d there was less air than thought: the scene proves little", open, less)
		}
		turns := func(r []Result) [][]Turn {
			out, err := Turns(context.Background(), test.scene, stretches(test.welds, r, test.tools), test.tools, opt)
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		if diff := cmp.Diff(turns(known), turns(lazy)); diff != "" {
			t.Error(diff)
		}
	}
}

// stretches are, for each tool, the welds of each line that it reaches without a break.
func stretches(welds []Weld, results []Result, tools []Tool) []Stretch {
	var out []Stretch
	for k := range tools {
		open := ""
		for i, w := range welds {
			p := results[i].Pose(k)
			if p.Air == nil {
				open = ""
				continue
			}
			if open == "" || open != w.Line {
				out, open = append(out, Stretch{}), w.Line
			}
			s := &out[len(out)-1]
			s.Welds, s.Poses = append(s.Welds, w), append(s.Poses, p)
		}
	}
	return out
}

func wide(air []float32) []float64 {
	out := make([]float64, len(air))
	for k, a := range air {
		out[k] = float64(a)
	}
	return out
}

// allKnown is a pose's air with arms and way off looked at by all angles at once.
func allKnown(s *searcher, w Weld, p Pose) []float32 {
	f := frameOf(w)
	if p.Tilt != 0 {
		f = s.leaning(f, p)
	}
	l := s.lookAt(w, []int{p.Tool}, f, p.Tilt*math.Pi/180)
	air, _ := armAir(l.View, barsOf(s.tools[p.Tool].Gun), s.fan, s.opt.Enough, nil, nil)
	tips := s.tipsAir(l, p.Tool)
	for k := range air {
		if air[k] = min(air[k], tips[k]); air[k] <= 0 {
			air[k] = touch
		}
	}
	s.wayOff(l, s.tools[p.Tool], air, s.every...)
	o := outlook{air: air}
	return o.rounded()
}

func TestTurnsStop(t *testing.T) {
	scene, welds, tools := cab(3000, 16)
	opt := Options{WayOff: true}
	results := find(t, scene, welds, opt, tools...)
	ctx, cancel := context.WithCancelCause(context.Background())
	why := errors.New("the user had enough")
	cancel(why)
	if _, err := Turns(ctx, scene, stretches(welds, results, tools), tools, opt); !errors.Is(err, why) {
		t.Errorf("error %v", err)
	}
}
