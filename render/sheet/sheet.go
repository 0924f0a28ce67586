// Package sheet draws station maps: the sheets that a station lead pins to the jig. One station gives one
// or more SVG sheets in true millimetres: views with numbered welds, and the tables that go with them.
//
//	panels := []view.Panel{view.NewPanel("roof", near.NewShape(roof), 0.9), view.NewPanel("rail", near.NewShape(rail), 1.2)}
//	sheets, err := sheet.Station(ctx, plan, panels, "st10", sheet.Options{})
//	for _, s := range sheets {
//		os.WriteFile(s.Name+".svg", s.SVG, 0o644)
//	}
//
// Views are named by the side of the shell that they look at, with the shell standing as one drives it: +X to the
// front, +Y to the left, +Z up.
//
// The same plan and panels give the same bytes.
package sheet

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/render/annotate"
	"seamwright/render/figure"
	"seamwright/render/flow"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// Options steer the sheets. The zero value is good.
type Options struct {
	Size paper.Size // when empty: A4 where little has to be shown, else A3, or A2 or A1 where labels find no room on a smaller one
	Hash string     // of the plan, as Hash gives it; empty: worked out, which takes as long as writing the plan

	Pictures *view.Pictures // kept from one call to the next; nil: none

	Workers  int                   // of Stations: how many it draws at once; 0: one for each processor
	Progress func(done, total int) // of Stations, never called twice at once
}

// Sheet is one finished sheet.
type Sheet struct {
	Name   string // file name without extension: "st10-1"
	Number int    // from 1
	Of     int
	SVG    []byte
	Page   *paper.Page
	Views  []string // captions of the views on it: "View A, from +X, 1:10"
	Labels annotate.Labels
	Faces  map[string]string // by flange welded at the station: the panel on whose outer face the map looks
}

// Station draws all sheets of one station: first the views, then what of the tables finds no room beside
// them. panels must hold every panel that is present at the station; others are left out.
func Station(ctx context.Context, plan *layout.Plan, panels []view.Panel, stationID string, opt Options) ([]Sheet, error) {
	d, err := station(ctx, layout.NewIndex(plan), panels, stationID, opt, &gallery{})
	return d.sheets, err
}

// drawing is a station's finished sheets, and what they were drawn from.
type drawing struct {
	sheets []Sheet
	pages  []*page
}

func station(ctx context.Context, index *layout.Index, panels []view.Panel, stationID string, opt Options, shared *gallery) (drawing,
	error) {
	job, err := collect(ctx, index, panels, stationID, opt.Pictures)
	if err != nil {
		return drawing{}, err
	}
	job.gallery = shared
	for _, step := range []func() error{func() error { return job.identify(opt.Hash) }, job.portraits} {
		if err := step(); err != nil {
			return drawing{}, fmt.Errorf("station %s: %w", stationID, err)
		}
	}
	if opt.Size != (paper.Size{}) {
		return job.draw(opt.Size, false)
	}
	if d, ok, err := job.drawSmall(); ok || err != nil {
		return d, err
	}
	var best drawing
	sizes := []paper.Size{paper.A3, paper.A2, paper.A1}
	for i, size := range sizes {
		d, err := job.draw(size, i+1 < len(sizes))
		if err != nil {
			return drawing{}, err
		}
		if d.sheets != nil && (best.sheets == nil || unplaced(d) < unplaced(best)) {
			best = d
		}
		if best.sheets != nil && unplaced(best) == 0 {
			break
		}
	}
	return best, nil
}

// Stations draws all sheets of every station, in the plan's order. The sheets do not depend on the number of workers.
// Cancelled, it stops soon.
func Stations(ctx context.Context, plan *layout.Plan, panels []view.Panel, opt Options) ([][]Sheet, error) {
	if opt.Hash == "" {
		var err error
		if opt.Hash, err = Hash(plan); err != nil {
			return nil, err
		}
	}
	out, order, index := make([][]Sheet, len(plan.Stations)), largestFirst(plan.Stations), layout.NewIndex(plan)
	var mu sync.Mutex
	shared := gallery{stamps: view.NewStamps(stampPixels)}
	ready := 0
	err := work.Each(ctx, opt.Workers, len(order), func(k int) error {
		i := order[k]
		d, err := station(ctx, index, panels, plan.Stations[i].ID, opt, &shared)
		if err != nil {
			return fmt.Errorf("map of station %s: %w", plan.Stations[i].ID, err)
		}
		out[i] = d.sheets
		mu.Lock()
		defer mu.Unlock()
		if ready++; opt.Progress != nil {
			opt.Progress(ready, len(out))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// stampPixels is how many pixels are kept of panels by themselves, of 12 bytes each. Our own choice.
const stampPixels = 12_000_000

// largestFirst are the places of the stations, that with the most panels first, so that it is not drawn last and alone.
func largestFirst(stations []layout.Station) []int {
	order := make([]int, len(stations))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return len(stations[b].Present) - len(stations[a].Present) })
	return order
}

// A station is drawn on A4, which every office printer has, where that takes no more than smallSheets, as much paper
// as three A3 sheets, and keeps neighbouring welds smallSpacing mm apart on paper, so that a larger sheet would show
// little more. Our own choice.
const (
	smallSheets  = 6
	smallSpacing = 5.0
)

// drawSmall draws the station on A4, and reports whether all of it fits there with every number.
func (j *job) drawSmall() (d drawing, ok bool, err error) {
	small := j.packings(paper.A4, 0)
	if a := small[j.first(small)]; len(a.pages) > 1 || j.set.Spacing(a.scale) < smallSpacing {
		return drawing{}, false, nil
	}
	if d, err = j.draw(paper.A4, false); err != nil || len(d.sheets) > smallSheets {
		return drawing{}, false, nil // a row too high for A4 fits a larger sheet
	}
	for _, s := range d.sheets {
		if s.Labels.Unplaced+s.Labels.Dropped > 0 {
			return drawing{}, false, nil
		}
	}
	return d, true, nil
}

// draw tries the ways to set out the station on one size of sheet until all labels find a place. Where a larger size is at hand,
// nothing is drawn of ways in which they hardly find one.
func (j *job) draw(size paper.Size, larger bool) (drawing, error) {
	var best drawing
	for _, set := range j.arrangements(size) {
		for i, figures := range set.pages {
			set.enlarge(i)
			set.settle(i, figures)
		}
		if larger && annotate.Crammed(j.set, slices.Concat(set.pages...)) {
			continue
		}
		if err := j.set.Draw(j.ctx, slices.Concat(set.pages...), j.gallery.stamps); err != nil {
			return drawing{}, fmt.Errorf("station %s: %w", j.station.ID, err)
		}
		d, err := j.compose(set)
		if err != nil {
			return drawing{}, err
		}
		if best.sheets == nil || unplaced(d) < unplaced(best) {
			best = d
		}
		if unplaced(best) == 0 {
			break
		}
	}
	return best, nil
}

// unplaced counts call-outs for which no room was found.
func unplaced(d drawing) int {
	n := 0
	for _, s := range d.sheets {
		n += s.Labels.Unplaced
	}
	return n
}

// compose draws the arranged sheets and writes them: the views with what is welded in them, the other tables, and last the
// engineer's page.
func (j *job) compose(set *arrangement) (drawing, error) {
	var pages []*page
	var named [][]string
	for i, figures := range set.pages {
		if err := j.ctx.Err(); err != nil {
			return drawing{}, err
		}
		pages = append(pages, j.newPage(set, set.zones(i), figures))
		named = append(named, pages[i].drawn.Named)
	}
	j.count(set, named)
	tables := set.set(j.tables.AtJig(j.thumbsTable()))
	if lost := j.tables.Lost(lost(pages)); len(lost.Rows) > 0 {
		tables = slices.Insert(tables, min(1, len(tables)), lost)
	}
	for _, p := range pages {
		tables = j.fillBeside(p, tables, set.several())
	}
	for _, office := range []bool{false, true} {
		if office {
			tables = j.tables.Engineer()
		}
		for len(tables) > 0 {
			p := j.newPage(set, set.tablesOnly(), nil)
			p.office = office
			pages = append(pages, p)
			rows := tables[0].Left()
			left := p.fill(tables)
			if len(left) == len(tables) && left[0].Left() == rows {
				return drawing{}, fmt.Errorf("station %s: table %q has a row too high for a %s sheet: use a larger one", j.station.ID,
					tables[0].Title, set.size.Name)
			}
			tables = left
		}
	}
	sheets, err := j.write(pages)
	return drawing{sheets, pages}, err
}

// lost is what found no room in the views.
func lost(pages []*page) [][]string {
	var out [][]string
	for _, p := range pages {
		out = append(out, p.drawn.Lost...)
	}
	return out
}

// fillBeside fills a sheet's columns beside its views: with the panels' names, where views take several sheets with the steps of
// these views as far as there is room, and then with what is next.
func (j *job) fillBeside(p *page, tables []*flow.Table, several bool) []*flow.Table {
	if len(p.zones.tables) == 0 {
		if p.listed {
			return tables
		}
		return append(flow.WithRows(j.tables.Panels(p.figures, p.drawn.Named)), tables...)
	}
	own := j.besides(p.figures, p.drawn.Named, several)
	left := p.fill(append(flow.WithRows(own...), tables...))
	return slices.DeleteFunc(left, func(t *flow.Table) bool { return t != own[0] && slices.Contains(own, t) })
}

// besides are the tables that belong to the views of one sheet: its panels' names, which must stand somewhere, and its steps.
func (j *job) besides(figures []*figure.Figure, named []string, several bool) []*flow.Table {
	out := []*flow.Table{j.tables.Panels(figures, named)}
	if several {
		out = append(out, j.tables.Steps(figures))
	}
	return out
}

// write finishes the sheets.
func (j *job) write(pages []*page) ([]Sheet, error) {
	var out []Sheet
	faces := j.set.Faces()
	for i, p := range pages {
		if err := j.ctx.Err(); err != nil {
			return nil, err
		}
		p.finish(i+1, len(pages))
		s := Sheet{Name: fmt.Sprintf("%s-%d", fileName(j.station.ID), i+1), Number: i + 1, Of: len(pages), Page: p.paper, Views: p.captions,
			Labels: p.drawn.Labels, Faces: faces}
		var b bytes.Buffer
		if err := p.paper.SVG(&b); err != nil {
			return nil, fmt.Errorf("station %s: %w", j.station.ID, err)
		}
		s.SVG = b.Bytes()
		out = append(out, s)
	}
	return out, nil
}

// fileName keeps the letters of any alphabet, digits, dots, hyphens, underscores and plus signs of an id: all that the shell
// file lets stand in one, so that two stations never have one name.
func fileName(id string) string {
	out := []rune(id)
	for i, r := range out {
		ok := strings.ContainsRune("-_+", r) || r == '.' && i > 0 || unicode.In(r, unicode.L, unicode.M, unicode.N)
		if !ok {
			out[i] = '_'
		}
	}
	return string(out)
}
