package pack

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"seamwright/layout"
	"seamwright/render/chart"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// cost is the sheet of what a shell and the batch cost.
func (b *binder) cost() []*paper.Page { return flow.Fewest(b.costSet) }

func (b *binder) costSet(dense bool) []*paper.Page {
	p, c := b.plan, b.plan.Cost
	w := b.work("Cost sheet", p.Shell.Name, p.Shell.Number)
	w.Letters, w.Dense = paper.AtJig, dense
	w.Table(flow.Table{Title: "Cost of welding", Columns: []flow.Column{{Share: 1}, {Right: true}}, Rows: [][]string{
		{"A shell", layout.Money(c.CostPerShell) + " " + c.Currency},
		{"The batch of " + strconv.Itoa(c.Batch), layout.Money(c.CostPerBatch) + " " + c.Currency},
		{"Work a shell, jig preparation shared over the batch", number(c.MinutesPerShell, 1) + " man-min"},
		{"Roller seam a shell", number(c.RollerMetresPerShell, 2) + " m"},
	}})
	merged := goods(c.Lines)
	w.Title("Where the money goes: "+c.Currency+" a shell", 40)
	t := flow.Table{Total: true, Columns: flow.Heads("=What", ">Quantity\na shell", "Unit", ">Each", ">"+c.Currency+"\na shell", ">Share",
		">"+c.Currency+"\nthe batch")}
	sum := 0.0
	for _, l := range merged {
		sum += l.Total
	}
	for _, l := range merged {
		percent := "–"
		if sum > 0 {
			percent = number(100*l.Total/sum, 1) + " %"
		}
		t.Rows = append(t.Rows, []string{l.What, quantity(l.Quantity), l.Unit, number(l.Each, 4), layout.Money(l.Total), percent,
			layout.Money(l.Total * float64(c.Batch))})
	}
	w.bars(chart.Shares(c.Lines, 1, 2))
	t.Title = "What is paid for"
	t.Rows = append(t.Rows, []string{"Together", "", "", "", layout.Money(sum), "", layout.Money(layout.Times(sum, c.Batch))})
	w.Table(t)
	b.costByStation(w)
	w.Passage("Not in these figures", "Panels and their steel, people who stand by, freight, gauges, painting and trim. Lines are "+
		"rounded one by one, sums from what they are the sum of; the batch is the cents of a shell times its number. Every line with the "+
		"inputs that it follows from is in cost.csv and in the workbook.")
	return w.Pages()
}

// quantity keeps small numbers readable.
func quantity(v float64) string {
	if v < 1 {
		return number(v, 4)
	}
	return number(v, 2)
}

// goods adds lines up by what is paid for and its unit, greatest first.
func goods(lines []layout.Line) []layout.Line {
	var out []layout.Line
	for _, l := range lines {
		i := slices.IndexFunc(out, func(o layout.Line) bool { return o.What == l.What && o.Unit == l.Unit })
		if i < 0 {
			i = len(out)
			out = append(out, layout.Line{What: l.What, Unit: l.Unit})
		}
		out[i].Quantity += l.Quantity
		out[i].Total += l.Total
	}
	for i, l := range out {
		if l.Quantity != 0 {
			out[i].Each = l.Total / l.Quantity
		}
	}
	slices.SortStableFunc(out, func(a, b layout.Line) int { return cmp.Compare(b.Total, a.Total) })
	return out
}

func (b *binder) costByStation(w *work) {
	c := b.plan.Cost
	t := flow.Table{Total: true, Columns: flow.Heads("=Station", ">Man-min", ">"+c.Currency+"\na shell", ">Share",
		">"+c.Currency+"\nthe batch")}
	man, sum := 0.0, 0.0
	for _, s := range b.plan.Labour.Stations {
		man, sum = man+s.ManMinutes, sum+s.Cost
	}
	for _, s := range b.plan.Labour.Stations {
		name := s.Station
		if s.Name != "" && s.Name != s.Station {
			name += ", " + s.Name
		}
		percent := "–"
		if sum > 0 {
			percent = number(100*s.Cost/sum, 1) + " %"
		}
		t.Rows = append(t.Rows, []string{name, number(s.ManMinutes, 1), layout.Money(s.Cost), percent, layout.Money(s.Cost * float64(c.Batch))})
	}
	if len(t.Rows) == 0 {
		return
	}
	t.Rows = append(t.Rows, []string{"All", number(man, 1), layout.Money(sum), "", layout.Money(layout.Times(sum, c.Batch))})
	t.Title = fmt.Sprintf("By station, batch of %d", c.Batch)
	w.Table(t)
}
