package sheet

import (
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/flow"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

// arrangement is which views go where.
type arrangement struct {
	size    paper.Size
	scale   figure.Scale       // of all views but details
	columns int                // table columns beside the views
	under   bool               // tables stand below the views of the last sheet with views
	tight   bool               // tables are cut wherever a column ends, which saves a sheet
	dense   bool               // and their lines stand nearer to each other
	full    bool               // columns of sheets without views are filled with those later tables that leave least of them blank
	pages   [][]*figure.Figure // views by sheet
	band    float64            // mm above the title block of the first sheet for the plan's standing
}

// band is the room for the standing of a plan that is not for production.
func (j *job) band() float64 {
	if j.plan.Standing() == layout.ForProduction {
		return 0
	}
	return standingBand
}

// arrangements lists ways to set out the station, the best first: the largest scale that keeps welds apart on paper, then the
// fewest sheets, with tables beside the views rather than on sheets of their own; then ways with more sheets, for when
// labels find no room.
func (j *job) arrangements(size paper.Size) []*arrangement {
	var best []*arrangement
	var details []*figure.Figure
	least := 0
	for columns := columnsOf(size) - 1; columns >= 0; columns-- {
		j.set.Details = nil
		out := j.arrangementsWith(size, columns)
		n := j.count(out[0], nil)
		if columns == 0 {
			n++ // steps beside their views are worth a sheet
		}
		much := best != nil && out[0].scale < muchLarger*best[0].scale
		if best == nil || much || out[0].scale <= best[0].scale && n < least {
			best, least, details = out, n, j.set.Details
		}
	}
	j.set.Details = details
	return best
}

// muchLarger is the share of a scale's denominator below which another is so much larger that tables beside the views give way to it. Our
// own choice.
const muchLarger = 0.6

// arrangementsWith lists ways with so many table columns beside the views.
func (j *job) arrangementsWith(size paper.Size, columns int) []*arrangement {
	all := j.packings(size, columns)
	first := j.first(all)
	out := append(all[first:], spread(all[first])...)
	best := *out[0]
	best.pages = j.withDetails(out[0])
	if len(j.set.Details) == 0 {
		out = out[1:] // it is the same once more
	}
	out = append([]*arrangement{&best}, out...)
	below := best
	if below.under = true; columns == 0 && len(below.zones(len(below.pages)-1).tables) > 0 {
		out = append([]*arrangement{&below}, out...)
	}
	return out
}

// withDetails makes details of the crowded places of an arrangement's views; it returns the arrangement's pages with the details, which
// come after the views.
func (j *job) withDetails(a *arrangement) [][]*figure.Figure {
	with := &arrangement{size: a.size, scale: a.scale, band: a.band, columns: a.columns}
	for _, page := range a.pages {
		with.pages = append(with.pages, slices.Clone(page))
	}
	j.set.MakeDetails(a.scale)
	for _, d := range j.set.Details {
		with.add(d)
	}
	return with.pages
}

// count is how many sheets an arrangement takes with its tables, the engineer's page left out, where each sheet names so many panels;
// nil: all that are present. It cuts tables, sets their lines nearer to each other, or changes their order, where that saves a sheet.
func (j *job) count(a *arrangement, named [][]string) int {
	a.tight, a.dense, a.full = false, false, false
	tables := a.tablesOf(j, named)
	least := tables.count(a)
	for _, way := range []struct{ tight, dense, full bool }{
		{true, false, false}, {false, true, false}, {true, true, false}, {false, false, true}, {false, true, true},
	} {
		if least == len(a.pages) || way.full && named == nil {
			break // all stands beside the views; or sheets are not set yet, and steps far from their views are no good order
		}
		closer := *a
		closer.tight, closer.dense, closer.full = way.tight, way.dense, way.full
		if n := tables.count(&closer); n < least {
			least, a.tight, a.dense, a.full = n, way.tight, way.dense, way.full
		}
	}
	return least
}

// counted are the tables of an arrangement before any of them is set.
type counted struct {
	all []*flow.Table
	own [][]*flow.Table // by sheet with views: those that belong to them; nil where nothing stands beside them
}

func (a *arrangement) tablesOf(j *job, named [][]string) counted {
	out := counted{all: j.tables.AtJig(j.thumbsTable()), own: make([][]*flow.Table, len(a.pages))}
	for _, t := range out.all {
		if t.Paint != nil {
			t.Paint = func(flow.Pen, int, paper.Box) {}
		}
	}
	for i, figures := range a.pages {
		if len(a.zones(i).tables) == 0 {
			continue
		}
		here := j.station.Present
		if named != nil {
			here = named[i]
		}
		out.own[i] = j.besides(figures, here, a.several())
	}
	return out
}

// fresh are copies of tables, of which nothing is set yet.
func fresh(tables []*flow.Table) []*flow.Table {
	out := make([]*flow.Table, len(tables))
	for i, t := range tables {
		if t != nil {
			c := *t
			out[i] = &c
		}
	}
	return out
}

// count is how many sheets the tables make of an arrangement.
func (c counted) count(a *arrangement) int {
	tables := a.set(fresh(c.all))
	fill := func(z zones, views bool) {
		tables = a.fill(flow.NewPen(paper.New(a.size, "")), tables, z.tables, views)
	}
	n := len(a.pages)
	for i := range a.pages {
		if c.own[i] == nil {
			continue
		}
		own := fresh(c.own[i])
		tables = append(flow.WithRows(own...), tables...)
		fill(a.zones(i), true)
		tables = slices.DeleteFunc(tables, func(t *flow.Table) bool { return t != own[0] && slices.Contains(own, t) })
	}
	for rows := -1; len(tables) > 0 && rows != left(tables); n++ {
		rows = left(tables)
		fill(a.tablesOnly(), false)
	}
	return n
}

// fill sets tables into the columns of a sheet, and returns what is left over, begun ones included.
func (a *arrangement) fill(pen flow.Pen, tables []*flow.Table, columns []paper.Box, views bool) []*flow.Table {
	for _, box := range columns {
		if a.full && !views { // beside views stands first what belongs to them
			tables = flow.FillUp(pen, tables, box)
		} else {
			tables, _ = flow.Fill(pen, tables, box)
		}
	}
	return tables
}

// set has tables cut where the arrangement is tight, and their lines near each other where it is dense.
func (a *arrangement) set(tables []*flow.Table) []*flow.Table {
	for _, t := range tables {
		t.Tight, t.Dense = a.tight, a.dense
	}
	return tables
}

// left is how many rows of tables are not drawn.
func left(tables []*flow.Table) int {
	n := 0
	for _, t := range tables {
		n += t.Left()
	}
	return n
}

// first is the packing with fewest sheets that keeps welds apart.
func (j *job) first(all []*arrangement) int {
	first := slices.IndexFunc(all, func(a *arrangement) bool { return j.set.Spacing(a.scale) >= figure.LeastSpacing })
	if first < 0 { // details show what is crowded
		first = slices.IndexFunc(all, func(a *arrangement) bool { return j.set.Spacing(a.scale) >= 2*sign.WeldRadius })
	}
	if first < 0 {
		first = len(all) - 1
	}
	return first
}

// spread gives every view a sheet of its own at the same scale, where views share sheets.
func spread(a *arrangement) []*arrangement {
	wide := &arrangement{size: a.size, scale: a.scale, band: a.band, columns: a.columns}
	for _, f := range slices.Concat(a.pages...) {
		wide.pages = append(wide.pages, []*figure.Figure{f})
	}
	if len(wide.pages) == len(a.pages) {
		return nil
	}
	return []*arrangement{wide}
}

// packings packs the views at every scale and keeps, for each number of sheets, the largest scale.
func (j *job) packings(size paper.Size, columns int) []*arrangement {
	var all []*arrangement
	area := (&arrangement{size: size, band: j.band(), columns: columns}).zones(0).views
	for _, f := range j.set.Figures {
		f.Reset()
		f.Limit = paper.Point{X: area.Width(), Y: area.Height()}
	}
	list := figure.Scales()
	if columns > 0 { // beside tables the next recommended scale may be half as large, and waste most of the room
		list = figure.FineScales()
	}
	for _, s := range list {
		a := &arrangement{size: size, scale: s, band: j.band(), columns: columns}
		for _, f := range j.set.Figures {
			a.add(f)
		}
		if whole := !slices.ContainsFunc(a.sheets(), func(i int) bool { return !a.fits(i) }); !whole && s < list[len(list)-1] {
			continue
		}
		if len(all) == 0 || len(a.pages) < len(all[0].pages) {
			all = append([]*arrangement{a}, all...)
		}
	}
	return all
}

func (a *arrangement) sheets() []int {
	out := make([]int, len(a.pages))
	for i := range out {
		out[i] = i
	}
	return out
}

// add puts a view onto the last sheet, or onto a new one where that is full.
func (a *arrangement) add(f *figure.Figure) {
	if i := len(a.pages) - 1; i >= 0 {
		a.pages[i] = append(a.pages[i], f)
		if a.fits(i) {
			return
		}
		a.pages[i] = a.pages[i][:len(a.pages[i])-1]
	}
	a.pages = append(a.pages, []*figure.Figure{f})
}

// fits reports whether the views of a sheet fit onto it.
func (a *arrangement) fits(i int) bool {
	area := a.zones(i).views
	_, h := a.rows(a.pages[i], area.Width())
	return h <= area.Height()
}

// rows sets views side by side, in order; it counts the views of each row and adds up the rows' height, which
// is infinite when one view is wider than a row.
func (a *arrangement) rows(figures []*figure.Figure, width float64) (counts []int, height float64) {
	w, h, high, count := 0.0, 0.0, 0.0, 0
	for _, f := range figures {
		fw, fh := f.Size(a.scale)
		if count > 0 && w+fw > width {
			counts, h = append(counts, count), h+high
			w, high, count = 0, 0, 0
		}
		if fw > width {
			h = math.Inf(1)
		}
		w, high, count = w+fw, max(high, fh), count+1
	}
	return append(counts, count), h + high
}

// several reports whether welds are shown on more than one sheet.
func (a *arrangement) several() bool {
	n := 0
	for _, figures := range a.pages {
		if slices.ContainsFunc(figures, func(f *figure.Figure) bool { return !f.Gauge }) {
			n++
		}
	}
	return n > 1
}

// halfEmpty is the share of a sheet's room for views below which they are drawn larger. Our own choice.
const halfEmpty = 0.5

// enlarge draws the views of a sheet that would be half empty as large as its room allows.
func (a *arrangement) enlarge(i int) {
	area := a.zones(i).views
	if a.under && i == len(a.pages)-1 {
		return // tables fill the rest
	}
	filled := func() float64 {
		sum := 0.0
		for _, f := range a.pages[i] {
			w, h := f.Size(a.scale)
			sum += w * h
		}
		return sum / (area.Width() * area.Height())
	}
	for _, f := range a.pages[i] {
		f.Reset()
	}
	if filled() >= halfEmpty {
		return
	}
	for _, s := range figure.FineScales() {
		was := make([]figure.Scale, len(a.pages[i]))
		for k, f := range a.pages[i] {
			was[k] = f.Own
			if now := f.Own; now == 0 && s < a.scale || s < now {
				f.Own = s
			}
		}
		if a.fits(i) {
			return
		}
		for k, f := range a.pages[i] {
			f.Own = was[k]
		}
	}
}

// settle gives every view of a sheet its cell: rows share the height, and views of a row the width, in
// proportion to what they need.
func (a *arrangement) settle(i int, figures []*figure.Figure) {
	area := a.zones(i).views
	rows, _ := a.rows(figures, area.Width())
	need, total := make([]float64, len(rows)), 0.0
	for r, k := 0, 0; r < len(rows); k, r = k+rows[r], r+1 {
		for _, f := range figures[k : k+rows[r]] {
			_, h := f.Size(a.scale)
			need[r] = max(need[r], h)
		}
		total += need[r]
	}
	y, k := area.Y0, 0
	for r, n := range rows {
		h := area.Height() * need[r] / total
		a.settleRow(figures[k:k+n], paper.Box{X0: area.X0, Y0: y, X1: area.X1, Y1: y + h})
		y, k = y+h, k+n
	}
}

func (a *arrangement) settleRow(row []*figure.Figure, box paper.Box) {
	wide := 0.0
	for _, f := range row {
		w, _ := f.Size(a.scale)
		wide += w
	}
	x := box.X0
	for _, f := range row {
		w, _ := f.Size(a.scale)
		w *= box.Width() / wide
		f.Settle(paper.Box{X0: x, Y0: box.Y0, X1: x + w, Y1: box.Y1}, a.scale)
		x += w
	}
}
