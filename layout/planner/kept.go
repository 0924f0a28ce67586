package planner

import (
	"crypto/sha256"
	"fmt"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/rollers"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

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
func measured(m means, s *strip) (measures, error) {
	make := func() (measures, error) {
		var out measures
		measureStrip(&out.exact, s.flange)
		alone := layout.Plan{Flanges: []layout.Flange{out.exact}}
		if err := layout.Round(&alone); err != nil {
			return out, fmt.Errorf("flange %s: %w", s.id, err)
		}
		out.rounded = alone.Flanges[0]
		return out, nil
	}
	if m.cache == nil {
		return make()
	}
	return cache.GetHere(m.cache, m.cache.KeyOf("measured", cache.Input{Name: "strip", Value: s.key}), make)
}

// rolledPath is the path of a roller along a strip.
func rolledPath(m means, s *strip, r rollers.Request) (rollers.Path, error) {
	if m.cache == nil {
		return rollers.Lay(r)
	}
	bare := r
	bare.Line.Stations = nil
	key := m.cache.KeyOf("roller", cache.Input{Name: "strip", Value: s.key}, cache.Input{Name: "request", Value: bare})
	return cache.GetHere(m.cache, key, func() (rollers.Path, error) { return rollers.Lay(r) })
}

// laidSpots is the spots of a line; its key is that of its points.
func laidSpots(c *cache.Cache, key cache.Key, r spots.Request) (spots.Layout, error) {
	if c == nil {
		return spots.Lay(r)
	}
	bare := r
	bare.Line.Points = nil
	key = c.KeyOf("spots", cache.Input{Name: "line", Value: key}, cache.Input{Name: "request", Value: bare})
	return cache.GetHere(c, key, func() (spots.Layout, error) { return spots.Lay(r) })
}

// outfit is what one weld was given.
type outfit struct {
	Gun, Tip        string
	Turn, Tilt, Air float64
	Step            layout.WeldStep
	Clamps          []string
	Early           *latePart
	Before          []string
	Apart           bool
}

// outfits are those of one station's welds, in their order, and what is said of them.
type outfits struct {
	welds    []outfit
	findings []layout.Finding
	blocked  []blocked
	turns    []string
}

// lying is a strip as it counts for guns.
type lying struct {
	ID      string
	Key     cache.Key
	Panels  []string
	Stack   rule.Stack
	Joint   int
	Setting string
	Gun     string // that its joint states
	Tip     string
}

// standing is a panel as it counts for guns.
type standing struct {
	ID        string
	Shape     [sha256.Size]byte
	Surface   flange.Surface
	Thickness float64
}

// asked is a weld as it counts for guns.
type asked struct {
	Strip int
	Spot  spots.Weld
	Step  layout.WeldStep
}

// worked is what is to be welded.
type worked struct {
	Welds    []asked
	Strips   []lying
	Settings []layout.Setting
	Joints   []layout.Joint
}

// fixed is what stands and arrives at a station.
type fixed struct {
	Station       layout.Station
	Panels        []standing
	Subassemblies []shell.Subassembly
}

// tools are all guns and tips of the shell file, as those that are elsewhere may be a remedy.
type tools struct {
	Guns []shell.Gun
	Tips []shell.Tip
}

// outfitted arms the welds of the station, unless all that decides on their guns is known.
func (x *arming) outfitted(arm func() error) error {
	if x.cache == nil {
		return arm()
	}
	out, err := cache.GetHere(x.cache, x.key(), func() (outfits, error) {
		if err := arm(); err != nil {
			return outfits{}, err
		}
		out := outfits{findings: x.findings, blocked: x.blocked, turns: x.turns}
		for _, w := range x.own {
			out.welds = append(out.welds, outfit{gunID(w.gun), tipID(w.tip), w.turn, w.tilt, w.air, w.step, w.spot.Clamps, w.early, w.before,
				w.apart})
		}
		return out, nil
	})
	if err != nil {
		return err
	}
	x.findings, x.blocked, x.turns = out.findings, out.blocked, out.turns
	for i, o := range out.welds {
		w := x.own[i]
		w.gun, _ = x.shell.Gun(o.Gun)
		w.tip, _ = x.shell.Tip(o.Tip)
		w.turn, w.tilt, w.air, w.step, w.spot.Clamps, w.early, w.before = o.Turn, o.Tilt, o.Air, o.Step, o.Clamps, o.Early, o.Before
		w.apart = o.Apart
	}
	return nil
}

func (x *arming) key() cache.Key {
	var strips []lying
	at := map[*strip]int{}
	for i, s := range x.strips {
		at[s] = i
		stated := x.stated(x.joined, s)
		strips = append(strips, lying{s.id, s.key, s.panels, s.stack, s.joint, x.set.welded[s], stated.Gun, stated.Tip})
	}
	var panels []standing
	for _, p := range x.parts {
		panels = append(panels, standing{p.Panel.ID, p.Shape.Hash(), p.Sheet.Surface, p.Sheet.Thickness})
	}
	var welds []asked
	for _, w := range x.own {
		welds = append(welds, asked{at[w.strip], w.spot, w.step})
	}
	stage := "arm"
	if x.noRemedies {
		stage = "arm without remedies"
	}
	return x.cache.KeyOf(stage, cache.Input{Name: "work", Value: worked{welds, strips, x.set.list, x.joints}},
		cache.Input{Name: "jig", Value: fixed{x.station, panels, x.shell.Subassemblies}},
		cache.Input{Name: "tools", Value: tools{x.shell.Guns, x.shell.Tips}}, cache.Input{Name: "rules", Value: x.book})
}

// bookKey is a key of the rules in force.
func bookKey(c *cache.Cache, book rule.Rules) cache.Key {
	if c == nil {
		return cache.Key{}
	}
	return c.KeyOf("book", cache.Input{Name: "rules", Value: book})
}
