package sheet

import (
	"fmt"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

// drawTitle draws the title block into the lower right corner: fields and their order follow ISO 7200:2004 (from memory). Values
// too long for their field are shortened; the tables and the plan hold them in full.
func (p *page) drawTitle(number, of int, scale string) {
	j, z := p.job, p.zones
	sh, st := j.plan.Shell, j.station
	kind := "Weld map"
	if p.office {
		kind = "Engineer"
	}
	field := paper.NewField
	rows := [][]paper.Field{
		{field("Legal owner", sh.Owner, 66), field("Document type", kind, 30), field("Status", j.plan.Standing(), 58).Whole(),
			field("Paper", p.paper.SizeName(), 26)},
		{field("Title", title(sh, st), 128), field("Identification number", words.Identification(sh, st.ID), 52)},
		{field("Created by", sh.Creator, 40), field("Approved by", sh.Approver, 40), field("Date of issue", sh.Issued, 34),
			field("Rev.", sh.Revision, 18), field("Sheet", fmt.Sprintf("%d/%d", number, of), 22), field("Scale", scale, 26)},
		{field("Jig", st.Jig, 66), field("Makes", st.Makes, 62), field("Crew", fmt.Sprint(st.Crew), 18),
			field("Batch", fmt.Sprint(sh.Batch), 34)},
	}
	top := z.title.Y1 - titleHeight
	for r, row := range rows {
		p.paper.Fields(paper.Point{X: z.title.X0, Y: top + float64(r)*paper.FieldHigh}, row)
	}
	names := p.paper.Layer("title-names", paper.Style{Fill: paper.Black})
	if standing := j.plan.Standing(); number == 1 && standing != layout.ForProduction {
		high := min(standingHeight, standingHeight*(titleWidth-8)/paper.Width(standing, standingHeight)) // all of it must be read
		names.Text(paper.Point{X: z.title.X0 + 4, Y: top - barBand - 2}, high, paper.Start, standing)
	}
	p.paper.Layer("title-border", paper.Style{Stroke: paper.Black, Width: paper.W70}).Rect(paper.Box{X0: z.title.X0, Y0: top, X1: z.title.X1,
		Y1: z.title.Y1})
	y := top + float64(len(rows))*paper.FieldHigh + 4.3
	for _, hash := range []string{"Input " + words.OrDash(sh.Input), "Plan " + j.hash} {
		names.Text(paper.Point{X: z.title.X0 + 1.5, Y: y}, paper.TextHeight, paper.Start, paper.Fit(hash, paper.TextHeight, titleWidth-3))
		y += linePitch
	}
}

func title(sh layout.Shell, st layout.Station) string {
	return sh.Name + " · " + words.Station(st)
}
