package check

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// rows judges the distances between neighbouring rows: side by side or staggered, aslant from weld to weld, and at most. The least
// distance that keeps the current from leaking is judged with all others in space.
func (c *checker) rows() {
	for _, s := range c.Strips {
		worst := map[string]rowFault{}
		for _, w := range s.Welds {
			o, along, across := s.Neighbour(w, w.Row-1)
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
	for i := range c.Plan.Joints {
		if stated, ok := c.Shell.Joint(c.Plan.Joints[i].ID); ok && stated.Rows >= 2 {
			c.rowWidths(stated)
			c.rowCount(stated)
		}
	}
}

// rowCount says on which strips of a joint fewer rows are welded than are stated.
func (c *checker) rowCount(j *shell.Joint) {
	for _, s := range c.Strips {
		alone := s.Flange.Patch && j.RowPitch > 0 // each row is a strip of its own there
		if s.Flange.Joint != j.ID || !s.Spotted() || len(s.Welds) == 0 || alone {
			continue
		}
		l := c.Limit("row.stated.least", s.Stack, rule.Given{})
		l.Value, l.Unit = l.Value*float64(j.Rows), "rows"
		words := fmt.Sprintf("flange %s: welded in %s of the %d that are stated", s.Flange.ID, rowsText(max(1, s.LastRow)), j.Rows)
		at := ledger.Place{Words: words, At: s.Line.At(s.Flange.Length / 2), Strip: s}
		if !c.Keeps(l, float64(max(1, s.LastRow)), 0, func() string { return at.Words }) {
			c.Find(l, float64(max(1, s.LastRow)), s.Stack, rule.Given{}, at)
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

func (c *checker) rowDistance(s *strips.Strip, w, o *layout.Weld, id string, value float64, how string, worst map[string]rowFault) {
	l := c.Limit(id, s.Stack, rule.Given{})
	words := fmt.Sprintf("flange %s: welds %d and %d of two rows are %s mm apart %s", s.Flange.ID, w.Number, o.Number,
		finding.Tenths(value), how)
	if c.Keeps(l, value, slackSide, func() string { return words }) {
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

func (c *checker) rowFinding(s *strips.Strip, f rowFault) {
	at := ledger.Place{Words: f.words, At: f.weld.Position.R3(), Strip: s, Weld: f.weld.Number, Other: f.other}
	if f.count > 1 {
		at.Words += fmt.Sprintf(", the worst of %d pairs", f.count)
		at.Weld, at.Other = 0, nil
	}
	c.Find(f.limit, f.value, s.Stack, rule.Given{}, at)
}

// rowWidths says where the strips of a joint are too narrow for the rows that are stated, or for two, which it would need.
func (c *checker) rowWidths(j *shell.Joint) {
	rows := max(2, j.Rows)
	for _, s := range c.Strips {
		if s.Flange.Joint != j.ID || !s.Measured || !s.Spotted() || len(s.Welds) == 0 {
			continue
		}
		between := float64(rows-1) * math.Max(c.Limit("row.staggered.least", s.Stack, rule.Given{}).Value, j.RowDistance)
		l := c.Limit("row.width.least", s.Stack, rule.Given{})
		g := stretches{strip: s}
		for i, along := range s.Along {
			left, right := s.Sides(along)
			width := s.Flange.Line[i].Left + s.Flange.Line[i].Right
			l.Value = c.WidthNeeded(s, left, right, c.Face(s, s.Nearest(along))) + between
			if s.NearEnd(along, width/2) || c.Keeps(l, width, slackSide, func() string {
				return fmt.Sprintf("flange %s at %s mm", s.Flange.ID,
					finding.Brief(along))
			}) {
				g.kept()
				continue
			}
			g.miss(along, width, l.Value, l.Value-width)
		}
		for _, t := range g.close(0) {
			l.Value, l.Note = t.limit, ""
			c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, fmt.Sprintf("%s mm wide, %s mm too narrow for %s, from %s to %s mm along it",
				finding.Tenths(t.value), finding.Tenths(t.short), rowsText(rows), finding.Brief(t.from), finding.Brief(t.to))))
		}
	}
}
