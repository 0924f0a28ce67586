// Package joining gives each joint its station and its flanges: what every stage of planning goes on from.
//
//	joints, err := joining.Join(ctx, basis, means, placed, found, key, false)
package joining

import (
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/planfile"
	"seamwright/layout/reach"
	"seamwright/seams/inforce"
	"seamwright/seams/parts"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Basis is what every stage reads and none changes.
type Basis struct {
	Shell *shell.Shell // with the joints that were found where it states none
	Parts []parts.Part
	Rules *inforce.Rules
	Make  finding.Maker
	Book  cache.Key // of the rules
}

// Means are how a stage does its work; no result depends on them, but for remedies that are not looked for.
type Means struct {
	NoRemedies bool
	Cache      *cache.Cache
	Workers    int
	Progress   func(stage string, done, total int)
	Ways       *Ways
}

// Vec is a place or direction as the plan holds it.
func Vec(v r3.Vector) layout.Vec { return layout.Vec{v.X, v.Y, v.Z} }

// Point is a place of the shell file, mm.
func Point(v [3]float64) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }

// flangeKeys are keys of all that was found of each flange. They are worked out once for what is found by one key.
func flangeKeys(c *cache.Cache, found []flange.Flange, by cache.Key) ([]cache.Key, error) {
	if c == nil {
		return make([]cache.Key, len(found)), nil
	}
	return cache.GetHere(c, c.KeyOf("flange keys", cache.Input{Name: "found", Value: by}), func() ([]cache.Key, error) {
		out := make([]cache.Key, len(found))
		for i, f := range found {
			out[i] = flangeKey(c, f)
		}
		return out, nil
	})
}

// flangeKey is a key of a flange, but for its name.
func flangeKey(c *cache.Cache, f flange.Flange) cache.Key {
	if c == nil {
		return cache.Key{}
	}
	f.ID = ""
	return c.KeyOf("flange", cache.Input{Name: "flange", Value: f})
}

// measures are a strip's weld line and outline as the plan holds them: as they are, and rounded as they are written.
type measures struct{ exact, rounded layout.Flange }

// measured gives the lists of a strip alone.
func measured(m Means, s *Strip) (measures, error) {
	make := func() (measures, error) {
		var out measures
		measureStrip(&out.exact, s.Flange)
		alone := layout.Plan{Flanges: []layout.Flange{out.exact}}
		if err := planfile.Round(&alone); err != nil {
			return out, fmt.Errorf("flange %s: %w", s.ID, err)
		}
		out.rounded = alone.Flanges[0]
		return out, nil
	}
	if m.Cache == nil {
		return make()
	}
	return cache.GetHere(m.Cache, m.Cache.KeyOf("measured", cache.Input{Name: "strip", Value: s.Key}), make)
}

// BookKey is a key of the rules in force.
func BookKey(c *cache.Cache, book rule.Rules) cache.Key {
	if c == nil {
		return cache.Key{}
	}
	return c.KeyOf("book", cache.Input{Name: "rules", Value: book})
}

// Stated is what the shell file says of a strip's joint; of one that was found, and of none, nothing.
func (b Basis) Stated(j *Joined, s *Strip) *shell.Joint {
	if s.Joint >= 0 {
		if out, ok := b.Shell.Joint(j.Joints[s.Joint].ID); ok {
			return out
		}
	}
	return &shell.Joint{}
}

// Gear returns the shell file's own gun and tip for a tool.
func (b Basis) Gear(t reach.Tool) (*shell.Gun, *shell.Tip) {
	g, _ := b.Shell.Gun(t.Gun.ID)
	tip, _ := b.Shell.Tip(t.Tip.ID)
	return g, tip
}

// ToolsAt is every gun at hand with each of its tips, in the order of the shell file.
func (b Basis) ToolsAt(station layout.Station) []reach.Tool {
	return slices.DeleteFunc(b.EveryTool(), func(t reach.Tool) bool {
		return len(station.Guns) > 0 && !slices.Contains(station.Guns, t.Gun.ID)
	})
}

// EveryTool is every gun of the shell file with each of its tips.
func (b Basis) EveryTool() []reach.Tool {
	var out []reach.Tool
	for _, g := range b.Shell.Guns {
		for _, id := range g.Tips {
			if t, ok := b.Shell.Tip(id); ok {
				out = append(out, reach.Tool{Gun: g, Tip: *t})
			}
		}
	}
	return out
}
