package reach

import (
	"context"
	"errors"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// edged is a flange with an upturned edge beside the later half of its welds: there the gun comes off only towards the other
// half, or not at all.
func edged() (*Scene, []Weld) {
	var welds []Weld
	for i := range 24 {
		w := weld()
		w.S = 10 * float64(i)
		w.Position.X = w.S - 200
		welds = append(welds, w)
	}
	return scene(append(plates(15), new(sheet).quad(vec(20, 15, 0.5), vec(280, 0, 0), vec(0, 0, 30), 10))...), welds
}

// Angles of which the way off is asked for only when they are about to be taken are the same as with the way off known of
// every angle of every pose.
func TestTurnsAreThoseOfAllKnown(t *testing.T) {
	scene, welds := edged()
	tools := []Tool{opening(20), opening(40)}
	opt := Options{WayOff: true, Tilt: 8, Quiet: true}
	lazy := find(t, scene, welds, opt, tools...)
	s := newSearcher(scene, tools, opt.completed())
	known := make([]Result, len(lazy))
	open, shut := 0, 0
	for i, r := range lazy {
		known[i].Poses = slices.Clone(r.Poses)
		for k := range known[i].Poses {
			if p := &known[i].Poses[k]; p.Open {
				open++
				air := allOff(s, welds[i], *p)
				if !slices.Equal(air, p.Air) {
					shut++
				}
				p.Air, p.Open = air, false
			}
		}
	}
	if open == 0 || shut == 0 {
		t.Errorf("of %d poses something was left to be asked, of %d there was an angle without a way off: the scene proves little", open, shut)
	}
	choose := func(r []Result) []Choice {
		out, err := Choose(context.Background(), scene, welds, r, tools, opt)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	if diff := cmp.Diff(choose(known), choose(lazy)); diff != "" {
		t.Error(diff)
	}
}

// allOff is a pose's air with the way off asked at every angle by itself.
func allOff(s *searcher, w Weld, p Pose) []float32 {
	out := slices.Clone(p.Air)
	for k, a := range p.Air {
		if a <= 0 {
			continue
		}
		if air, all := s.comingOff(w, p, k); all {
			out[k] = air[k]
		}
	}
	return out
}

func TestTurnsStop(t *testing.T) {
	scene, welds, tools := cab(3000, 16)
	opt := Options{WayOff: true}
	results := find(t, scene, welds, opt, tools...)
	ctx, cancel := context.WithCancelCause(context.Background())
	why := errors.New("the user had enough")
	cancel(why)
	if _, err := Choose(ctx, scene, welds, results, tools, opt); !errors.Is(err, why) {
		t.Errorf("error %v", err)
	}
}
