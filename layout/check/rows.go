package check

import (
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// lane is the welds of one row, one after the other.
type lane struct {
	welds []*layout.Weld
	whole bool // it goes on over the closing point of a closed line
}

// lanes parts welds by their row: the rightmost row with the welds that stand alone on the line, then the stretches of the other
// rows, each of which ends where a weld stands alone.
func lanes(welds []*layout.Weld) []lane {
	right := lane{whole: true}
	var others, ended []lane // others by row, from the second on
	whole := true
	for _, w := range welds {
		if w.Row > 1 {
			for len(others) < w.Row-1 {
				others = append(others, lane{})
			}
			o := &others[w.Row-2]
			o.welds = append(o.welds, w)
			continue
		}
		if w.Row == 0 {
			ended, others, whole = append(ended, others...), nil, false
		}
		right.welds = append(right.welds, w)
	}
	for _, o := range others {
		o.whole = whole
		ended = append(ended, o)
	}
	return append([]lane{right}, slices.DeleteFunc(ended, func(l lane) bool { return len(l.welds) == 0 })...)
}

// inRow reports whether two welds are in one row; those that stand alone on the line go on with the rightmost one.
func inRow(a, b *layout.Weld) bool { return max(1, a.Row) == max(1, b.Row) }

// inner reports whether a weld has rows on both sides, so that others hold the edges.
func (s *strip) inner(w *layout.Weld) bool { return w.Row > 1 && w.Row < s.lastRow }

// follow reports whether two welds are neighbours in a row.
func (s *strip) follow(a, b *layout.Weld) bool {
	return s.pairs[[2]*layout.Weld{a, b}] || s.pairs[[2]*layout.Weld{b, a}]
}

// opposite is the weld of a neighbouring row that stands nearest along the line, and how far from it the weld is along the line
// and across it; nil in a single row.
func (s *strip) opposite(w *layout.Weld) (other *layout.Weld, along, across float64) {
	right, a, c := s.besideIn(w, w.Row-1)
	left, b, d := s.besideIn(w, w.Row+1)
	if left == nil || right != nil && a <= b {
		return right, a, c
	}
	return left, b, d
}

// besideIn is opposite in one row.
func (s *strip) besideIn(w *layout.Weld, row int) (other *layout.Weld, along, across float64) {
	if w.Row == 0 || row < 1 {
		return nil, 0, 0
	}
	along = math.Inf(1)
	for _, o := range s.welds {
		if d := s.apart(o.Along, w.Along); o.Row == row && d < along {
			other, along = o, d
		}
	}
	if other == nil {
		return nil, 0, 0
	}
	return other, along, math.Abs(s.offset(w.Position.R3(), w.Along) - s.offset(other.Position.R3(), other.Along))
}

// rows judges the distances between neighbouring rows: side by side or staggered, aslant from weld to weld, and at most. The least
// distance that keeps the current from leaking is judged with all others in space.
func (c *checker) rows() {
	for _, s := range c.strips {
		worst := map[string]rowFault{}
		for _, w := range s.welds {
			o, along, across := s.besideIn(w, w.Row-1)
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
		if stated, ok := c.shell.Joint(c.plan.Joints[i].ID); ok && stated.Rows >= 2 {
			c.rowWidths(stated)
			c.rowCount(stated)
		}
	}
}

// rowCount says on which strips of a joint fewer rows are welded than are stated.
func (c *checker) rowCount(j *shell.Joint) {
	for _, s := range c.strips {
		alone := s.flange.Patch && j.RowPitch > 0 // each row is a strip of its own there
		if s.flange.Joint != j.ID || !s.spotted() || len(s.welds) == 0 || alone {
			continue
		}
		l := c.limit("row.stated.least", s.stack, rule.Given{})
		l.Value, l.Unit = l.Value*float64(j.Rows), "rows"
		at := place{words: fmt.Sprintf("flange %s: welded in %s of the %d that are stated", s.flange.ID, rowsText(max(1, s.lastRow)), j.Rows),
			at: s.at(s.flange.Length / 2), strip: s}
		if !c.keeps(l, float64(max(1, s.lastRow)), 0, func() string { return at.words }) {
			c.find(l, float64(max(1, s.lastRow)), s.stack, rule.Given{}, at)
		}
	}
}

func rowsText(n int) string {
	switch n {
	case 1:
		return "one row"
	case 2:
		return "two rows"
	}
	return fmt.Sprintf("%d rows", n)
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
	words := fmt.Sprintf("flange %s: welds %d and %d of two rows are %s mm apart %s", s.flange.ID, w.Number, o.Number, tenths(value), how)
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

// rowWidths says where the strips of a joint are too narrow for the rows that are stated, or for two, which it would need.
func (c *checker) rowWidths(j *shell.Joint) {
	rows := max(2, j.Rows)
	for _, s := range c.strips {
		if s.flange.Joint != j.ID || !s.measure || !s.spotted() || len(s.welds) == 0 {
			continue
		}
		between := float64(rows-1) * math.Max(c.limit("row.staggered.least", s.stack, rule.Given{}).Value, j.RowDistance)
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
			c.find(l, t.value, s.stack, rule.Given{}, t.place(s, fmt.Sprintf("%s mm wide, %s mm too narrow for %s, from %s to %s mm along it",
				tenths(t.value), tenths(t.short), rowsText(rows), brief(t.from), brief(t.to))))
		}
	}
}
