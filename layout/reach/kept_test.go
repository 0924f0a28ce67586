package reach

import (
	"context"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"seamwright/geometry/axial"
	"seamwright/internal/cache"
)

// What is kept gives the same as looking, whatever is changed between two looks, and a key without any one of its inputs
// does not.
func TestKeptLooks(t *testing.T) {
	panels, welds, tools := cab(3000, 16)
	type asked struct {
		scene *axial.Scene
		tools []Tool
		opt   Options
	}
	first := asked{panels, tools, Options{Workers: 1}}
	all := []asked{first}
	change := func(do func(a *asked)) {
		a := first
		a.scene, a.tools = &axial.Scene{Panels: slices.Clone(panels.Panels)}, slices.Clone(tools)
		do(&a)
		all = append(all, a)
	}
	change(func(a *asked) { a.opt.WhyNot = true })
	change(func(a *asked) { a.opt.Enough = 6 })
	change(func(a *asked) { a.tools[0].Gun.ThroatDepth = 60 })
	change(func(a *asked) { a.scene.Panels[1].Grow += 2 })
	change(func(a *asked) { a.scene.Panels[1].Shape = a.scene.Panels[0].Shape })
	change(func(a *asked) { a.opt.Workers = 2 })
	same := func(c *cache.Cache) bool {
		for _, a := range all {
			plain := find(t, a.scene, welds, a.opt, a.tools...)
			a.opt.Cache = c
			if !cmp.Equal(plain, find(t, a.scene, welds, a.opt, a.tools...)) {
				return false
			}
		}
		return true
	}
	c := cache.New()
	if !same(c) {
		t.Error("kept looks differ")
	}
	if found, _ := c.Counts(); found == 0 {
		t.Error("nothing was found")
	}
	for _, input := range []string{"reach-jig.panels", "reach-jig.shapes", "reach-jig.tools", "reach-jig.options", "reach.jig", "reach.weld"} {
		c := cache.New()
		c.LeaveOut(func(stage, name string) bool { return stage+"."+name == input })
		if same(c) {
			t.Errorf("keys without %s give the same", input)
		}
	}
}

// The same of the angles along stretches.
func TestKeptTurns(t *testing.T) {
	type asked struct {
		scene   *axial.Scene
		welds   []Weld
		results []Result
	}
	panels, welds := edged()
	tools, opt := []Tool{opening(20)}, Options{WayOff: true, Quiet: true}
	found := func(s *axial.Scene, w []Weld) asked { return asked{s, w, find(t, s, w, opt, tools...)} }
	first := found(panels, welds)
	other := slices.Clone(first.results)
	for i := range other { // so that another angle must be asked for
		other[i].Poses = slices.Clone(other[i].Poses)
		for k := range other[i].Poses {
			p := &other[i].Poses[k]
			p.Air = slices.Clone(p.Air)
			p.Air[nearest(p.Turn, len(p.Air))] = touch
		}
	}
	moved := slices.Clone(welds)
	for i := range moved {
		moved[i].Position.X += 60
	}
	bare := &axial.Scene{Panels: panels.Panels[:2]}
	all := []asked{first, {panels, welds, other}, {panels, moved, other}, {bare, moved, other}}
	same := func(c *cache.Cache) bool {
		for _, a := range all {
			plain, err := Turns(context.Background(), a.scene, stretches(a.welds, a.results, tools), tools, opt)
			if err != nil {
				t.Fatal(err)
			}
			how := opt
			how.Cache = c
			kept, err := Turns(context.Background(), a.scene, stretches(a.welds, a.results, tools), tools, how)
			if err != nil {
				t.Fatal(err)
			}
			if !cmp.Equal(plain, kept) {
				return false
			}
		}
		return true
	}
	if !same(cache.New()) {
		t.Error("kept turns differ")
	}
	for _, input := range []string{"reach-turns.jig", "reach-turns.welds", "reach-turns.poses"} {
		c := cache.New()
		c.LeaveOut(func(stage, name string) bool { return stage+"."+name == input })
		if same(c) {
			t.Errorf("keys without %s give the same", input)
		}
	}
}
