// Package pack binds what is printed for a station or for a whole shell into one book: maps, inspection sheets,
// marking strips, the tree of sub-assemblies, and sheets of labour and cost.
//
//	book, err := pack.Shell(ctx, plan, panels, pack.Options{})
//	err = book.PDF(w)
//
// Sheets of text are A4 upright; maps and strips keep their sizes. The same plan and panels give the same book.
package pack

import (
	"context"
	"fmt"
	"strings"
	"time"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/offer"
	"seamwright/render/paper"
	"seamwright/render/sheet"
	"seamwright/render/strip"
	"seamwright/render/view"
)

// Options steer a pack.
type Options struct {
	Strips   bool       // with the marking strips of all flanges that are welded
	MapSize  paper.Size // of station maps; empty: as each needs
	Workers  int        // how many stations' maps are drawn at once; 0: one for each processor
	Progress func(done, total int)
}

// part is one document of the pack, or the heading of several.
type part struct {
	title string
	level int // of its bookmark
	pages []*paper.Page
}

// Shell is the pack of the whole shell: contents, tree, labour, cost, and then station by station.
func Shell(ctx context.Context, plan *layout.Plan, panels []view.Panel, opt Options) (*paper.Book, error) {
	hash, err := sheet.Hash(plan)
	if err != nil {
		return nil, fmt.Errorf("pack: %w", err)
	}
	b := binder{plan: plan, index: layout.NewIndex(plan), panels: panels, opt: opt, hash: hash}
	b.add("Sub-assemblies", 0, b.tree())
	b.add("Labour", 0, b.labour())
	b.add("Cost", 0, b.cost())
	b.add("The estimate in pictures", 0, offer.PicturePages(plan, hash))
	maps, err := sheet.Stations(ctx, plan, panels, sheet.Options{Size: opt.MapSize, Hash: hash, Workers: opt.Workers, Progress: opt.Progress})
	if err != nil {
		return nil, fmt.Errorf("pack: %w", err)
	}
	for i, st := range plan.Stations {
		if err := b.station(st, maps[i]); err != nil {
			return nil, err
		}
	}
	return b.bind("Print set of the shell"), nil
}

// Station is the pack of one station: its maps, inspection sheet, labour and, if asked for, marking strips.
func Station(ctx context.Context, plan *layout.Plan, panels []view.Panel, station string, opt Options) (*paper.Book, error) {
	index := layout.NewIndex(plan)
	here := index.Station(station)
	if here == nil {
		var ids []string
		for _, s := range plan.Stations {
			ids = append(ids, s.ID)
		}
		return nil, fmt.Errorf("pack: station %q is not in the plan: it has %s", station, strings.Join(ids, ", "))
	}
	hash, err := sheet.Hash(plan)
	if err != nil {
		return nil, fmt.Errorf("pack: %w", err)
	}
	b := binder{plan: plan, index: index, panels: panels, opt: opt, hash: hash, only: &here.Station}
	maps, err := sheet.Station(ctx, plan, panels, station, sheet.Options{Size: opt.MapSize, Hash: hash})
	if err != nil {
		return nil, fmt.Errorf("pack: map of station %s: %w", station, err)
	}
	if err := b.station(here.Station, maps); err != nil {
		return nil, err
	}
	return b.bind("Print set of station " + station), nil
}

// Inspection is the inspection sheet of a station for the n-th shell of the batch, counted from 1. Each page has a QR code that says
// station, shell, sheet and plan.
func Inspection(plan *layout.Plan, index *layout.Index, station string, n int, hash string) ([]*paper.Page, error) {
	here := index.Station(station)
	if here == nil {
		return nil, fmt.Errorf("inspection sheet: station %q is not in the plan", station)
	}
	b := binder{plan: plan, index: index, hash: hash, shell: n}
	pages := b.inspection(here.Station)
	for k, p := range pages {
		code, err := paper.NewQR(Code(station, n, fmt.Sprintf("inspection %d/%d", k+1, len(pages)), hash))
		if err != nil {
			return nil, fmt.Errorf("inspection sheet of %s: %w", station, err)
		}
		p.Layer("code", paper.Style{Fill: paper.Black}).QR(codeAt,
			flow.CodeSide/float64(code.Modules()), code)
	}
	return pages, nil
}

// codeAt is where a sheet's QR code stands, beside the fields of its head. Its side has half a millimetre for a module, at 84 bytes
// (ISO/IEC 18004, from memory).
var codeAt = paper.Point{X: 176, Y: 8}

// Code is what a sheet's QR code says: station, shell, sheet and the beginning of the plan's number.
func Code(station string, shell int, sheet, hash string) string {
	return fmt.Sprintf("%s shell %d %s plan %s", station, shell, sheet, hash[:min(16, len(hash))])
}

// binder collects the documents of a pack.
type binder struct {
	shell  int // number within the batch that the sheets are of; 0: none
	plan   *layout.Plan
	index  *layout.Index
	panels []view.Panel
	opt    Options
	hash   string
	only   *layout.Station // the station that the pack is of; nil: the whole shell
	parts  []part
}

func (b *binder) add(title string, level int, pages []*paper.Page) {
	b.parts = append(b.parts, part{title: title, level: level, pages: pages})
}

// station adds what is printed for one station.
func (b *binder) station(st layout.Station, maps []sheet.Sheet) error {
	b.add("Station "+stationName(st), 0, nil)
	var pages []*paper.Page
	for _, s := range maps {
		pages = append(pages, s.Page)
	}
	b.add("Weld map", 1, pages)
	b.add("Inspection", 1, b.inspection(st))
	b.add("Work at the jig", 1, b.stationLabour(st))
	flanges := b.index.Station(st.ID).Flanges
	if !b.opt.Strips || len(flanges) == 0 {
		return nil
	}
	b.add("Marking strips", 1, nil)
	for _, f := range flanges {
		sheets, err := strip.Sheets(b.index, f.ID, strip.Options{Hash: b.hash, On: maps[0].Faces[f.ID]})
		if err != nil {
			return fmt.Errorf("pack: %w", err)
		}
		var pages []*paper.Page
		for _, s := range sheets {
			pages = append(pages, s.Page)
		}
		b.add("Flange "+f.ID, 2, pages)
	}
	return nil
}

// bind puts the contents before the documents, and bookmarks on all of them.
func (b *binder) bind(title string) *paper.Book {
	book := &paper.Book{Title: b.plan.Shell.Name + ": " + title,
		Subject: b.plan.Shell.Number + ", revision " + words.OrDash(b.plan.Shell.Revision),
		Author:  b.plan.Shell.Creator}
	if t, err := time.Parse(time.DateOnly, b.plan.Shell.Issued); err == nil {
		book.Date = t
	}
	contents := b.contents(title, 1)
	for n := len(contents); ; n = len(contents) { // the list's own pages move what it lists
		if contents = b.contents(title, n); len(contents) == n {
			break
		}
	}
	book.Pages = append(book.Pages, contents...)
	book.Marks = append(book.Marks, paper.Mark{Title: "Contents", Page: 0})
	for _, p := range b.parts {
		book.Marks = append(book.Marks, paper.Mark{Title: p.title, Page: len(book.Pages), Level: p.level})
		book.Pages = append(book.Pages, p.pages...)
	}
	return book
}

// stationName names a station in a list, where maps name it without the comma.
func stationName(st layout.Station) string {
	if st.Name == "" || st.Name == st.ID {
		return st.ID
	}
	return st.ID + ", " + st.Name
}
