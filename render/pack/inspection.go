package pack

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// inspection is the sheet that goes with one shell through one station: what is measured, counted, looked at and
// broken open, with room for what was found.
func (b *binder) inspection(st layout.Station) []*paper.Page {
	return flow.Fewest(func(dense bool) []*paper.Page { return b.inspectionSet(st, dense) })
}

func (b *binder) inspectionSet(st layout.Station, dense bool) []*paper.Page {
	w := b.work("Inspection sheet", b.plan.Shell.Name+" · "+stationName(st), words.Identification(b.plan.Shell, st.ID))
	field := paper.NewField
	number := " "
	if b.shell > 0 {
		number = fmt.Sprintf("%d of %d", b.shell, b.plan.Shell.Batch)
	}
	w.Letters, w.Dense = paper.AtJig, dense
	w.Draw(paper.FieldHigh+3, func(pen flow.Pen, box paper.Box) {
		pen.Page.Fields(paper.Point{X: box.X0, Y: box.Y0}, []paper.Field{field("Shell no.", number, 45), field("Date", " ", 40),
			field("Shift", " ", 30), field("Inspector", " ", 65)})
	})
	b.proved(w, st)
	b.holdPoints(w, st)
	b.welds(w, st)
	b.seams(w, st)
	opened := b.destructive(w, st)
	released := flow.Table{Title: "Released", Whole: true, Columns: []flow.Column{{Head: "What", Share: 1.8}, {Head: "Good", Share: 0.4},
		{Head: "Not good:\nwhat was done", Share: 1.6},
		{Head: "Name, date,\ntime", Share: 1.2}}, Boxes: true, High: 7.5, Rows: [][]string{
		{"All of the above", "", "", ""}, {"Released to " + b.next(st), "", "", ""},
	}}
	w.Together(opened, released)
	return w.Pages()
}

// next is where the station's product goes.
func (b *binder) next(st layout.Station) string {
	for _, s := range b.plan.Stations {
		if st.Makes != "" && s.ID != st.ID && slices.Contains(s.Arrives, st.Makes) {
			return "station " + s.ID
		}
	}
	return "finishing"
}

// proved lists the settings in use, to be proved at the start of the shift.
func (b *binder) proved(w *work, st layout.Station) {
	t := flow.Table{Columns: []flow.Column{{Head: "Set"}, {Head: "Stack", Share: 1}, {Head: "Force\nkN", Right: true},
		{Head: "Current\nkA", Right: true},
		{Head: "Nugget\nmm", Right: true}, {Head: "Found\nmm", Share: 0.4}, {Head: "Torn\nout"},
		{Head: "Name, time", Share: 0.5}}, Boxes: true,
		High: 8}
	for _, s := range b.index.Station(st.ID).Settings {
		t.Rows = append(t.Rows, []string{s.ID, s.Stack, words.Force(s), words.Current(s), words.Nugget(s), "", "", ""})
	}
	if len(t.Rows) > 0 {
		t.Title, t.Note = w.number("Settings proved"), "Peel or chisel coupons (ISO 10447): "+b.couponsAsked(st)
		w.Table(t)
	}
}

// couponsAsked says which test coupons are due: on a shell with a number those of it, else by which rule.
func (b *binder) couponsAsked(st layout.Station) string {
	each := b.plan.Labour.CouponsEach
	if each == 0 {
		return "the plan counts none, so as the works orders."
	}
	if b.shell == 0 {
		return fmt.Sprintf("before the batch's first weld one of each line below; then %s a shell with each gun and roller, its lines in turn; "+
			"and one after each change of caps.", words.Number(each, 2))
	}
	due := b.index.Station(st.ID).CouponsDue(each, b.shell)
	if len(due) == 0 {
		return "none is due on this shell."
	}
	tools := make([]string, len(due))
	for i, c := range due {
		tools[i] = b.index.ToolWords(c.Tools) + ", " + string(c.Why)
	}
	return "due are " + strings.Join(tools, "; ") + "."
}

func (b *binder) holdPoints(w *work, st layout.Station) {
	t := flow.Table{Columns: []flow.Column{{Head: "Id"}, {Head: "What", Share: 2.2}, {Head: "Before", Share: 0.9}, {Head: "mm", Right: true},
		{Head: "Tole-\nrance"},
		{Head: "Found\nmm", Share: 0.6}, {Head: "Good"}, {Head: "Name, time", Share: 0.6}}, Boxes: true, High: 9}
	for _, h := range st.HoldPoints {
		value, tolerance := words.Hold(h)
		t.Rows = append(t.Rows, []string{h.ID, h.Text, h.BeforeWords(), value, tolerance, "", "", ""})
	}
	if len(t.Rows) > 0 {
		t.Title = w.number("Hold points: weld on only when right")
		w.Table(t)
	}
}

// welds lists the runs: how many there must be, and which are looked at.
func (b *binder) welds(w *work, st layout.Station) {
	here := b.index.Station(st.ID)
	look := here.Look
	t := flow.Table{Columns: []flow.Column{{Head: "Welds"}, {Head: "Joint", Share: 1}, {Head: "Dia\nmm", Right: true},
		{Head: "Good\nfrom mm", Right: true}, {Head: "Must\nbe", Right: true}, {Head: "Counted"}, {Head: "Look at", Share: 0.9},
		{Head: "Good\nor not"}}, Boxes: true, High: 6.2}
	for _, r := range here.Runs {
		var here []string
		for _, n := range look {
			if n >= r.From && n <= r.To {
				here = append(here, strconv.Itoa(n))
			}
		}
		t.Rows = append(t.Rows, []string{words.Span(r.From, r.To), r.Joint, words.Diameter(b.index, r), words.Accepted(b.index, r),
			strconv.Itoa(r.Count), "",
			strings.Join(here, ", "), ""})
	}
	if len(t.Rows) > 0 {
		t.Title = w.number(fmt.Sprintf("Spot welds: count all %d, look at %d", st.Welds, len(look)))
		t.Note = "Look for welds that are whole and in their place, without crack, hole or metal pushed out at the edge."
		w.Table(t)
	}
}

func (b *binder) seams(w *work, st layout.Station) {
	t := flow.Table{Columns: []flow.Column{{Head: "Seam", Share: 1}, {Head: "Length\nmm", Right: true},
		{Head: "Speed\nm/min", Right: true}, {Head: "After\nweld", Right: true},
		{Head: "Good or not,\nand where", Share: 1}, {Head: "Name, time", Share: 0.6}}, Boxes: true, High: 8}
	for _, r := range b.index.Station(st.ID).Seams {
		t.Rows = append(t.Rows, []string{r.ID, words.Number(r.Length, 0), words.Speed(r.Speed), strconv.Itoa(r.After), "", ""})
	}
	if len(t.Rows) > 0 {
		t.Title, t.Note = w.number("Roller seams"), "Look along the whole length for gaps, cracks and burns."
		w.Table(t)
	}
}

// destructive has room for welds that were opened.
func (b *binder) destructive(w *work, st layout.Station) flow.Table {
	coupons, due := b.index.Station(st.ID).Coupons, 0
	counts := "The plan counts no coupon here: as the works orders"
	switch {
	case coupons > 0 && b.shell > 0:
		due = len(b.index.Station(st.ID).CouponsDue(b.plan.Labour.CouponsEach, b.shell))
		counts = fmt.Sprintf("Due on this shell: %s, as part 1 says", words.Coupons(float64(due)))
	case coupons > 0:
		counts = fmt.Sprintf("The plan counts %s for a shell here", words.Coupons(coupons))
	}
	t := flow.Table{Title: w.number("Opened with chisel, or peeled"), Columns: []flow.Column{{Head: "Weld or\ncoupon", Share: 0.6},
		{Head: "Set", Share: 0.3}, {Head: "Dia mm", Share: 0.4}, {Head: "Broke how", Share: 0.6}, {Head: "What was done", Share: 1.2},
		{Head: "Name", Share: 0.5}},
		Boxes: true, High: 7}
	t.Note = counts + ". On the shell: any weld that looks doubtful, and its neighbours; drive in beside it, then bend back."
	if good := words.GoodFrom(b.index.Station(st.ID)); good != "" {
		t.Note += " A coupon, or a weld that is opened, is good from the diameter of its setting: " + good + "."
	}
	for range max(3, due+1) {
		t.Rows = append(t.Rows, []string{"", "", "", "", "", ""})
	}
	return t
}
