package arming

import (
	"crypto/sha256"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

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
	blocked  []Blocked
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
	if x.Cache == nil {
		return arm()
	}
	out, err := cache.GetHere(x.Cache, x.key(), func() (outfits, error) {
		if err := arm(); err != nil {
			return outfits{}, err
		}
		out := outfits{findings: x.findings, blocked: x.blocked, turns: x.turns}
		for _, w := range x.own {
			out.welds = append(out.welds, outfit{GunID(w.Gun), TipID(w.Tip), w.Turn, w.Tilt, w.Air, w.Step, w.Spot.Clamps, w.Early, w.before,
				w.Apart})
		}
		return out, nil
	})
	if err != nil {
		return err
	}
	x.findings, x.blocked, x.turns = out.findings, out.blocked, out.turns
	for i, o := range out.welds {
		w := x.own[i]
		w.Gun, _ = x.Shell.Gun(o.Gun)
		w.Tip, _ = x.Shell.Tip(o.Tip)
		w.Turn, w.Tilt, w.Air, w.Step, w.Spot.Clamps, w.Early, w.before = o.Turn, o.Tilt, o.Air, o.Step, o.Clamps, o.Early, o.Before
		w.Apart = o.Apart
	}
	return nil
}

func (x *arming) key() cache.Key {
	var strips []lying
	at := map[*joining.Strip]int{}
	for i, s := range x.Strips {
		at[s] = i
		stated := x.Stated(x.Joined, s)
		strips = append(strips, lying{s.ID, s.Key, s.Panels, s.Stack, s.Joint, x.set.Welded[s], stated.Gun, stated.Tip})
	}
	var panels []standing
	for _, p := range x.Parts {
		panels = append(panels, standing{p.Panel.ID, p.Shape.Hash(), p.Sheet.Surface, p.Sheet.Thickness})
	}
	var welds []asked
	for _, w := range x.own {
		welds = append(welds, asked{at[w.Strip], w.Spot, w.Step})
	}
	stage := "arm"
	if x.NoRemedies {
		stage = "arm without remedies"
	}
	return x.Cache.KeyOf(stage, cache.Input{Name: "work", Value: worked{welds, strips, x.set.List, x.Joints}},
		cache.Input{Name: "jig", Value: fixed{x.station, panels, x.Shell.Subassemblies}},
		cache.Input{Name: "tools", Value: tools{x.Shell.Guns, x.Shell.Tips}}, cache.Input{Name: "rules", Value: x.Book})
}

// GunID is the id of a gun; empty for none.
func GunID(g *shell.Gun) string {
	if g == nil {
		return ""
	}
	return g.ID
}

// TipID is the id of a tip; empty for none.
func TipID(t *shell.Tip) string {
	if t == nil {
		return ""
	}
	return t.ID
}
