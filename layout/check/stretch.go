package check

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
)

// stretch is a part of a strip that does not keep a rule.
type stretch struct {
	from, to float64 // mm along the weld line
	worst    float64 // mm along it
	value    float64 // there
	limit    float64
	short    float64        // by how much the limit is missed there
	welds    []*layout.Weld // within it
}

// stretches gathers places that do not keep a rule into stretches.
type stretches struct {
	strip *strips.Strip
	list  []*stretch
	open  bool
}

// miss adds a place; short is by how much it misses.
func (g *stretches) miss(along, value, limit, short float64) {
	if !g.open {
		g.list = append(g.list, &stretch{from: along, to: along, short: math.Inf(-1)})
		g.open = true
	}
	t := g.list[len(g.list)-1]
	t.to = along
	if short > t.short {
		t.worst, t.value, t.limit, t.short = along, value, limit, short
	}
}

// kept ends the stretch that is open.
func (g *stretches) kept() { g.open = false }

// close joins what meets over the closing point of a closed line, and gives every stretch its welds.
func (g *stretches) close(reach float64) []*stretch {
	s := g.strip
	if n := len(g.list); s.Flange.Closed && n > 1 && g.list[0].from <= s.Along[0]+reach && g.list[n-1].to >= s.Along[len(s.Along)-1]-reach {
		first, last := g.list[0], g.list[n-1]
		last.to = first.to + s.Flange.Length
		if first.short > last.short {
			last.worst, last.value, last.limit, last.short = first.worst, first.value, first.limit, first.short
		}
		g.list = g.list[1:]
	}
	for _, t := range g.list {
		for _, w := range g.strip.Welds {
			if w.Along >= t.from-reach && w.Along <= t.to+reach || w.Along+s.Flange.Length <= t.to+reach {
				t.welds = append(t.welds, w)
			}
		}
	}
	return g.list
}

// span words a list of welds of one strip: "weld 31", "weld 31 to 35".
func span(welds []*layout.Weld) string {
	switch len(welds) {
	case 0:
		return "between welds"
	case 1:
		return fmt.Sprintf("at weld %d", welds[0].Number)
	}
	return fmt.Sprintf("from weld %d to %d", welds[0].Number, welds[len(welds)-1].Number)
}

// one is the number of a weld that stands alone, else 0.
func one(welds []*layout.Weld) int {
	if len(welds) == 1 {
		return welds[0].Number
	}
	return 0
}

// place of a stretch on its strip, with what is wrong there in words.
func (t *stretch) place(s *strips.Strip, what string) ledger.Place {
	return ledger.Place{Words: fmt.Sprintf("flange %s: %s", s.Flange.ID, what), At: s.Line.At(t.worst), Strip: s, Weld: one(t.welds)}
}
