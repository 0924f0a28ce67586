package check

import (
	"fmt"
	"math"
	"strconv"

	"seamwright/layout"
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
	strip *strip
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
	if n := len(g.list); s.flange.Closed && n > 1 && g.list[0].from <= s.along[0]+reach && g.list[n-1].to >= s.along[len(s.along)-1]-reach {
		first, last := g.list[0], g.list[n-1]
		last.to = first.to + s.flange.Length
		if first.short > last.short {
			last.worst, last.value, last.limit, last.short = first.worst, first.value, first.limit, first.short
		}
		g.list = g.list[1:]
	}
	for _, t := range g.list {
		for _, w := range g.strip.welds {
			if w.Along >= t.from-reach && w.Along <= t.to+reach || w.Along+s.flange.Length <= t.to+reach {
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
func (t *stretch) place(s *strip, what string) place {
	return place{words: fmt.Sprintf("flange %s: %s", s.flange.ID, what), at: s.at(t.worst), strip: s, weld: one(t.welds)}
}

// brief prints a number with as many digits as a reader needs.
func brief(v float64) string {
	if math.Abs(v) >= 100 {
		return strconv.FormatFloat(math.Round(v), 'f', -1, 64)
	}
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}

// tenths prints a length.
func tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
