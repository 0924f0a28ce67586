package reach

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"seamwright/internal/cache"
)

// What is kept gives the same as looking, whatever is changed between two looks, and a key without any one of its inputs
// does not.
func TestKeptLooks(t *testing.T) {
	panels, welds, tools := cab(3000, 16)
	type asked struct {
		scene *Scene
		tools []Tool
		opt   Options
	}
	first := asked{panels, tools, Options{Workers: 1}}
	all := []asked{first}
	change := func(do func(a *asked)) {
		a := first
		a.scene, a.tools = NewScene(slices.Clone(panels.panels)), slices.Clone(tools)
		do(&a)
		all = append(all, a)
	}
	change(func(a *asked) { a.opt.WhyNot = true })
	change(func(a *asked) { a.opt.Enough = 6 })
	change(func(a *asked) { a.tools[0].Gun.ThroatDepth = 60 })
	change(func(a *asked) { a.scene.panels[1].Grow += 2 })
	change(func(a *asked) { a.scene.panels[1].Shape = a.scene.panels[0].Shape })
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
