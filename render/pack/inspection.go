package pack

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamwright/layout"
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
		nugget := "–"
		if s.Nugget > 0 {
			nugget = number(s.Nugget, 1)
		}
		t.rows = append(t.rows, []string{s.ID, s.Stack, number(s.Force/1000, 2), number(s.Current/1000, 1), nugget, "", "", ""})
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
			"and one "+
			"after each change of caps.", number(each, 2))
	}
	due := b.index.Station(st.ID).CouponsDue(each, b.shell)
	if len(due) == 0 {
		return "none is due on this shell."
	}
	words := make([]string, len(due))
	for i, c := range due {
		words[i] = b.index.ToolWords(c.Tools) + ", " + string(c.Why)
	}
	return "due are " + strings.Join(words, "; ") + "."
}

func (b *binder) holdPoints(w *work, st layout.Station) {
	t := table{columns: []column{{"Id", 0, false}, {"What", 1.5, false}, {"Before", 0, false}, {"mm", 0, true}, {"±", 0, true},
		{"Found mm", 0.6, false}, {"Good", 0, false}, {"Name, time", 0.6, false}}, boxes: true, high: 9}
	for _, h := range st.HoldPoints {
		before := h.BeforeWords()
		t.rows = append(t.rows, []string{h.ID, h.Text, before, number(h.Value, 1), number(h.Tolerance, 1), "", "", ""})
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
		pitch := "–"
		if r.Pitch.Mean > 0 {
			pitch = number(r.Pitch.Mean, 0)
		}
		t.rows = append(t.rows, []string{span(r.From, r.To), r.Joint, string(r.Step), b.diameter(r), b.accepted(r), pitch,
			strconv.Itoa(r.Count), "",
			strings.Join(here, ", "), ""})
	}
	if len(t.rows) > 0 {
		w.numbered(fmt.Sprintf("Spot welds: count all %d, look at %d", st.Welds, len(look)), 24)
		w.note("Look for welds that are whole and in their place, without crack, hole or metal pushed out at the edge.")
		w.draw(t)
	}
}

func span(from, to int) string {
	if from == to {
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d–%d", from, to)
}

func (b *binder) diameter(r layout.Run) string {
	if welds := b.index.Run(r.ID); len(welds) > 0 && welds[0].WeldDiameter > 0 {
		return number(welds[0].WeldDiameter, 1)
	}
	return "–"
}

// accepted is the greatest diameter from which a weld of the run that is peeled or chiselled is good: more than 4 root t
// where the strength of a loaded joint counts on it.
func (b *binder) accepted(r layout.Run) string {
	good := 0.0
	for _, w := range b.index.Run(r.ID) {
		good = max(good, w.Accepted)
	}
	if good == 0 {
		return "–"
	}
	return number(good, 1)
}

func (b *binder) seams(w *work, st layout.Station) {
	t := table{columns: []column{{"Seam", 1, false}, {"Length\nmm", 0, true}, {"Speed\nm/min", 0, true}, {"After\nweld", 0, true},
		{"Good or not, and where", 1, false}, {"Name, time", 0.6, false}}, boxes: true, high: 8}
	for _, r := range b.index.Station(st.ID).Seams {
		t.rows = append(t.rows, []string{r.ID, number(r.Length, 0), number(r.Speed*0.06, 2), strconv.Itoa(r.After), "", ""})
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
		counts := fmt.Sprintf("The plan counts %s for a shell here", couponText(coupons))
		if b.shell > 0 {
			due = len(b.index.Station(st.ID).CouponsDue(b.plan.Labour.CouponsEach, b.shell))
			counts = fmt.Sprintf("Due on this shell: %s, as part 1 says", couponText(float64(due)))
		}
		w.note(counts + ". On the shell: any weld that looks doubtful, and its neighbours; drive in beside it, then bend back.")
	} else {
		w.note("The plan counts no coupon here: as the works orders. On the shell: any weld that looks doubtful, and its neighbours; drive in " +
			"beside it, then bend back.")
	}
	if good := b.goodFrom(st); good != "" {
		w.note("A coupon, or a weld that is opened, is good from the diameter of its setting: " + good + ".")
	}
	t := table{columns: []column{{"Weld or coupon", 0.6, false}, {"Set", 0.3, false}, {"Dia mm", 0.4, false}, {"Broke how", 0.6, false},
		{"What was done", 1.2, false}, {"Name", 0.5, false}}, boxes: true, high: 7}
	for range max(3, due+1) {
		t.rows = append(t.rows, []string{"", "", "", "", "", ""})
	}
	w.draw(t)
}

// goodFrom lists the diameters from which opened welds are good, by setting.
func (b *binder) goodFrom(st layout.Station) string {
	here := b.index.Station(st.ID)
	var words []string
	for _, s := range here.Settings {
		if good := here.Accepted(s.ID); good > 0 {
			words = append(words, fmt.Sprintf("%s %s mm", s.ID, number(good, 1)))
		}
	}
	return strings.Join(words, ", ")
}

func couponText(n float64) string {
	if n == 1 {
		return "1 coupon"
	}
	return strconv.FormatFloat(math.Round(n*100)/100, 'f', -1, 64) + " coupons"
}
