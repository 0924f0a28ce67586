package sheet

import (
	"fmt"

	"seamwright/layout"
	"seamwright/render/paper"
)

// field is one box of the title block: fields and their order follow ISO 7200:2004 (from memory).
type field struct {
	name  string
	value string
	width float64 // mm
}

const rowHeight = 10.0

// drawTitle draws the title block into the lower right corner. Values too long for their field are
// shortened; the tables and the plan hold them in full.
func (j *job) drawTitle(p *paper.Page, z zones, number, of int, scale string) {
	sh, st := j.plan.Shell, j.station
	rows := [][]field{
		{{"Legal owner", sh.Owner, 66}, {"Document type", "Weld map", 30}, {"Status", j.plan.Standing(), 58}, {"Paper", paperName(p), 26}},
		{{"Title", title(sh, st), 128}, {"Identification number", sh.Number + " / " + st.ID, 52}},
		{{"Created by", sh.Creator, 40}, {"Approved by", sh.Approver, 40}, {"Date of issue", sh.Issued, 34}, {"Rev.", sh.Revision, 18},
			{"Sheet", fmt.Sprintf("%d/%d", number, of), 22}, {"Scale", scale, 26}},
		{{"Jig", st.Jig, 66}, {"Makes", st.Makes, 62}, {"Crew", fmt.Sprint(st.Crew), 18}, {"Batch", fmt.Sprint(sh.Batch), 34}},
	}
	lines := p.Layer("title-block", paper.Style{Stroke: paper.Black, Width: paper.W35})
	names := p.Layer("title-names", paper.Style{Fill: paper.Black})
	top := z.title.Y1 - titleHeight
	if standing := j.plan.Standing(); number == 1 && standing != layout.ForProduction {
		names.Text(paper.Point{X: z.title.X0 + 4, Y: top - barBand - 2}, standingHeight, paper.Start,
			paper.Fit(standing, standingHeight, titleWidth-8))
	}
	p.Layer("title-border", paper.Style{Stroke: paper.Black, Width: paper.W70}).Rect(paper.Box{X0: z.title.X0, Y0: top, X1: z.title.X1,
		Y1: z.title.Y1})
	for r, row := range rows {
		x, y := z.title.X0, top+float64(r)*rowHeight
		for _, f := range row {
			drawField(names, f, x, y)
			if x += f.width; x < z.title.X1-1 {
				lines.Line(paper.Point{X: x, Y: y}, paper.Point{X: x, Y: y + rowHeight})
			}
		}
		lines.Line(paper.Point{X: z.title.X0, Y: y + rowHeight}, paper.Point{X: z.title.X1, Y: y + rowHeight})
	}
	y := top + float64(len(rows))*rowHeight + 4.3
	for _, hash := range []string{"Input " + orDash(sh.Input), "Plan " + j.hash} {
		names.Text(paper.Point{X: z.title.X0 + 1.5, Y: y}, paper.TextHeight, paper.Start, paper.Fit(hash, paper.TextHeight, titleWidth-3))
		y += linePitch
	}
}

// drawField writes a field's name and its value as large as fits.
func drawField(l *paper.Layer, f field, x, y float64) {
	l.Text(paper.Point{X: x + 1.5, Y: y + 3.5}, paper.TextHeight, paper.Start, f.name)
	value, height := orDash(f.value), 3.5
	if paper.Width(value, height) > f.width-3 {
		height = paper.TextHeight
	}
	l.Text(paper.Point{X: x + 1.5, Y: y + 8.8}, height, paper.Start, paper.Fit(value, height, f.width-3))
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

func title(sh layout.Shell, st layout.Station) string {
	return sh.Name + " · " + stationName(st)
}

func stationName(st layout.Station) string {
	if st.Name == "" || st.Name == st.ID {
		return st.ID
	}
	return st.ID + " " + st.Name
}

func paperName(p *paper.Page) string {
	for _, s := range []paper.Size{paper.A4, paper.A3, paper.A2, paper.A1} {
		if s.Width == p.Width && s.Height == p.Height {
			return s.Name
		}
	}
	return fmt.Sprintf("%g x %g", p.Width, p.Height)
}
