package pack

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

// inspection is the sheet that goes with one shell through one station: what is measured, counted, looked at and
// broken open, with room for what was found.
func (b *binder) inspection(st layout.Station) []*paper.Page {
	w := b.work("Inspection sheet", b.plan.Shell.Name+" · "+stationName(st), b.plan.Shell.Number+" / "+st.ID)
	field := paper.NewField
	number := " "
	if b.shell > 0 {
		number = fmt.Sprintf("%d of %d", b.shell, b.plan.Shell.Batch)
	}
	w.leaf().page.Fields(paper.Point{X: left, Y: w.leaf().y - 3}, []paper.Field{field("Shell no.", number, 45), field("Date", " ", 40),
		field("Shift", " ", 30), field("Inspector", " ", 65)})
	w.leaf().y += paper.FieldHigh - 4
	b.proved(w, st)
	b.holdPoints(w, st)
	b.welds(w, st)
	b.seams(w, st)
	b.destructive(w, st)
	w.heading("Released", 17)
	w.draw(table{columns: []column{{"What", 1.4, false}, {"Good", 0.4, false}, {"Not good: what was done", 1.6, false},
		{"Name, date, time", 1.2, false}}, boxes: true, high: 7.5, rows: [][]string{
		{"All of the above", "", "", ""}, {"Released to " + b.next(st), "", "", ""},
	}})
	return w.finish()
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
	t := table{columns: []column{{"Set", 0, false}, {"Stack", 1, false}, {"Force\nkN", 0, true}, {"Current\nkA", 0, true},
		{"Nugget\nmm", 0, true}, {"Found\nmm", 0.4, false}, {"Torn out:\nyes or no", 0, false}, {"Name, time", 0.5, false}}, boxes: true,
		high: 8}
	for _, s := range b.index.Station(st.ID).Settings {
		t.rows = append(t.rows, []string{s.ID, s.Stack, words.Force(s), words.Current(s), words.Nugget(s), "", "", ""})
	}
	if len(t.rows) > 0 {
		w.numbered("Settings proved", 24)
		w.note("Peel or chisel coupons (ISO 10447): " + b.couponsAsked(st))
		w.draw(t)
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
	t := table{columns: []column{{"Id", 0, false}, {"What", 1.5, false}, {"Before", 0, false}, {"mm", 0, true}, {"Tolerance", 0, false},
		{"Found mm", 0.6, false}, {"Good", 0, false}, {"Name, time", 0.6, false}}, boxes: true, high: 9}
	for _, h := range st.HoldPoints {
		value, tolerance := words.Hold(h)
		t.rows = append(t.rows, []string{h.ID, h.Text, h.BeforeWords(), value, tolerance, "", "", ""})
	}
	if len(t.rows) > 0 {
		w.numbered("Hold points: weld on only when right", 24)
		w.draw(t)
	}
}

// welds lists the runs: how many there must be, and which are looked at.
func (b *binder) welds(w *work, st layout.Station) {
	here := b.index.Station(st.ID)
	look := here.Look
	t := table{columns: []column{{"Welds", 0, false}, {"Joint", 1, false}, {"Step", 0, false}, {"Dia\nmm", 0, true},
		{"Good\nfrom mm", 0, true}, {"Pitch\nmm", 0, true},
		{"Must\nbe", 0, true}, {"Counted", 0, false}, {"Look at", 1.1, false}, {"Good or not", 0, false}}, boxes: true, high: 6.2}
	for _, r := range here.Runs {
		var here []string
		for _, n := range look {
			if n >= r.From && n <= r.To {
				here = append(here, strconv.Itoa(n))
			}
		}
		t.rows = append(t.rows, []string{words.Span(r.From, r.To), r.Joint, string(r.Step), words.Diameter(b.index, r),
			words.Accepted(b.index, r), words.Pitch(r.Pitch),
			strconv.Itoa(r.Count), "",
			strings.Join(here, ", "), ""})
	}
	if len(t.rows) > 0 {
		w.numbered(fmt.Sprintf("Spot welds: count all %d, look at %d", st.Welds, len(look)), 24)
		w.note("Look for welds that are whole and in their place, without crack, hole or metal pushed out at the edge.")
		w.draw(t)
	}
}

func (b *binder) seams(w *work, st layout.Station) {
	t := table{columns: []column{{"Seam", 1, false}, {"Length\nmm", 0, true}, {"Speed\nm/min", 0, true}, {"After\nweld", 0, true},
		{"Good or not, and where", 1, false}, {"Name, time", 0.6, false}}, boxes: true, high: 8}
	for _, r := range b.index.Station(st.ID).Seams {
		t.rows = append(t.rows, []string{r.ID, words.Number(r.Length, 0), words.Speed(r.Speed), strconv.Itoa(r.After), "", ""})
	}
	if len(t.rows) > 0 {
		w.numbered("Roller seams", 24)
		w.note("Look along the whole length for gaps, cracks and burns.")
		w.draw(t)
	}
}

// destructive has room for welds that were opened.
func (b *binder) destructive(w *work, st layout.Station) {
	coupons, due := b.index.Station(st.ID).Coupons, 0
	w.numbered("Opened with chisel, or peeled", 36)
	if coupons > 0 {
		counts := fmt.Sprintf("The plan counts %s for a shell here", words.Coupons(coupons))
		if b.shell > 0 {
			due = len(b.index.Station(st.ID).CouponsDue(b.plan.Labour.CouponsEach, b.shell))
			counts = fmt.Sprintf("Due on this shell: %s, as part 1 says", words.Coupons(float64(due)))
		}
		w.note(counts + ". On the shell: any weld that looks doubtful, and its neighbours; drive in beside it, then bend back.")
	} else {
		w.note("The plan counts no coupon here: as the works orders. On the shell: any weld that looks doubtful, and its neighbours; drive in " +
			"beside it, then bend back.")
	}
	if good := words.GoodFrom(b.index.Station(st.ID)); good != "" {
		w.note("A coupon, or a weld that is opened, is good from the diameter of its setting: " + good + ".")
	}
	t := table{columns: []column{{"Weld or coupon", 0.6, false}, {"Set", 0.3, false}, {"Dia mm", 0.4, false}, {"Broke how", 0.6, false},
		{"What was done", 1.2, false}, {"Name", 0.5, false}}, boxes: true, high: 7}
	for range max(3, due+1) {
		t.rows = append(t.rows, []string{"", "", "", "", "", ""})
	}
	w.draw(t)
}
