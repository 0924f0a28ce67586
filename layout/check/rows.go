package check

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/seams/rule"
)

// leftRow is the number of the row to the left of the weld line.
const leftRow = 2

// lane is the welds of one row, one after the other.
type lane struct {
	welds []*layout.Weld
	whole bool // it goes on over the closing point of a closed line
}

// lanes parts welds by their row: the right row with the welds that stand alone on the line, then the stretches of the left
// row, each of which ends where a weld stands alone.
func lanes(welds []*layout.Weld) []lane {
	right, left := lane{whole: true}, lane{whole: true}
	var ended []lane
	for _, w := range welds {
		switch w.Row {
		case leftRow:
			left.welds = append(left.welds, w)
			continue
		case 0:
			if len(left.welds) > 0 {
				ended = append(ended, left)
			}
			left = lane{}
		}
		right.welds = append(right.welds, w)
	}
	out := append([]lane{right}, ended...)
	if len(left.welds) > 0 {
		left.whole = left.whole && len(ended) == 0
		out = append(out, left)
	}
	return out
}

// follow reports whether two welds are neighbours in a row.
func (s *strip) follow(a, b *layout.Weld) bool {
	return s.pairs[[2]*layout.Weld{a, b}] || s.pairs[[2]*layout.Weld{b, a}]
}

// opposite is the weld of the other row that stands nearest along the line, and how far from it the weld is along the line
// and across it; nil in a single row.
func (s *strip) opposite(w *layout.Weld) (other *layout.Weld, along, across float64) {
	if w.Row == 0 {
		return nil, 0, 0
	}
	along = math.Inf(1)
	for _, o := range s.welds {
		if d := s.apart(o.Along, w.Along); o.Row != 0 && o.Row != w.Row && d < along {
			other, along = o, d
		}
	}
	if other == nil {
		return nil, 0, 0
	}
	return other, along, math.Abs(s.offset(w.Position.R3(), w.Along) - s.offset(other.Position.R3(), other.Along))
}

// rows judges the distances between two rows: side by side or staggered, aslant from weld to weld, and at most. The least
// distance that keeps the current from leaking is judged with all others in space.
func (c *checker) rows() {
	for _, s := range c.strips {
		worst := map[string]rowFault{}
		for _, w := range s.welds {
			if w.Row != leftRow {
				continue
			}
			o, along, across := s.opposite(w)
			if o == nil {
				continue
			}
			least, value := "row.staggered.least", across
			if along < w.WeldDiameter-slackSide { // they overlap, seen across the line
				least = "row.least"
			} else {
				c.rowDistance(s, w, o, "row.least", w.Position.R3().Distance(o.Position.R3()), "aslant", worst)
			}
			c.rowDistance(s, w, o, least, value, "across", worst)
			c.rowDistance(s, w, o, "row.greatest", across, "across", worst)
		}
		for _, id := range []string{"row.least aslant", "row.least across", "row.staggered.least across", "row.greatest across"} {
			if f, ok := worst[id]; ok {
				c.rowFinding(s, f)
			}
		}
	}
	for i := range c.plan.Joints {
		if stated, ok := c.shell.Joint(c.plan.Joints[i].ID); ok && stated.Rows == 2 {
			c.rowWidths(c.plan.Joints[i].ID)
		}
	}
}

// rowFault is the worst pair of welds of a strip by one rule.
type rowFault struct {
	limit rule.Limit
	value float64
	short float64
	words string
	weld  *layout.Weld
	other *layout.Weld
	count int
}

func (c *checker) rowDistance(s *strip, w, o *layout.Weld, id string, value float64, how string, worst map[string]rowFault) {
	l := c.limit(id, s.stack, rule.Given{})
	words := fmt.Sprintf("flange %s: welds %d and %d of its two rows are %s mm apart %s", s.flange.ID, w.Number, o.Number, tenths(value), how)
	if c.keeps(l, value, slackSide, func() string { return words }) {
		return
	}
	f, known := worst[id+" "+how]
	short := math.Abs(value - l.Value)
	if !known || short > f.short {
		f.limit, f.value, f.short, f.words, f.weld, f.other = l, value, short, words, w, o
	}
	f.count++
	worst[id+" "+how] = f
}

func (c *checker) rowFinding(s *strip, f rowFault) {
	at := place{words: f.words, at: f.weld.Position.R3(), strip: s, weld: f.weld.Number, other: f.other}
	if f.count > 1 {
		at.words += fmt.Sprintf(", the worst of %d pairs", f.count)
		at.weld, at.other = 0, nil
	}
	c.find(f.limit, f.value, s.stack, rule.Given{}, at)
}

// rowWidths says where the strips of a joint are too narrow for two rows, which it would need.
func (c *checker) rowWidths(joint string) {
	for _, s := range c.strips {
		if s.flange.Joint != joint || !s.measure || !s.spotted() || len(s.welds) == 0 {
			continue
		}
		between := c.limit("row.staggered.least", s.stack, rule.Given{}).Value
		l := c.limit("row.width.least", s.stack, rule.Given{})
		g := stretches{strip: s}
		for i, along := range s.along {
			left, right := s.sides(along)
			width := s.flange.Line[i].Left + s.flange.Line[i].Right
			l.Value = c.widthNeeded(s, left, right, c.face(s, s.nearest(along))) + between
			if s.nearEnd(along, width/2) || c.keeps(l, width, slackSide, func() string {
				return fmt.Sprintf("flange %s at %s mm", s.flange.ID,
					brief(along))
			}) {
				g.kept()
				continue
			}
			g.miss(along, width, l.Value, l.Value-width)
		}
		for _, t := range g.close(0) {
			l.Value, l.Note = t.limit, ""
			c.find(l, t.value, s.stack, rule.Given{}, t.place(s, fmt.Sprintf("%s mm wide, %s mm too narrow for two rows, from %s to %s mm along it",
				tenths(t.value), tenths(t.short), brief(t.from), brief(t.to))))
		}
	}
}
