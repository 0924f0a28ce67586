// Package cards makes what hangs at a station and what goes with one shell through the works: a card for each station, an inspection
// sheet for each station, and a card that travels with the shell.
//
//	book, err := cards.Book(plan, hash, cards.Options{Shell: 7})
//	err = book.PDF(w)
//
// Cards are A5 upright, inspection sheets A4. What is for one shell has its number and a QR code: station, shell, sheet, plan. What
// is due by shell number is counted from fresh caps at the batch's first weld; the same plan gives the same book.
package cards

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
	"time"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/pack"
	"seamwright/render/paper"
)

// Options say what is made.
type Options struct {
	Shell   int    // number within the batch, from 1; 0: the stations' cards alone
	Station string // id of the only station that is meant; empty: all
}

// A5 upright, and its margins in mm: 12 at the filing side for two holes (chosen), 8 elsewhere.
var (
	a5   = paper.Size{Name: "A5", Width: 148, Height: 210}
	zone = paper.Box{X0: 12, Y0: 8, X1: 140, Y1: 202}
)

const (
	small = paper.TextHeight
	code  = flow.CodeSide
)

// Book is the cards of all stations; with a shell, its inspection sheets and the card that travels with it.
//
// Errors: a station that the plan does not have, a shell beyond the batch.
func Book(plan *layout.Plan, hash string, opt Options) (*paper.Book, error) {
	if opt.Shell < 0 || opt.Shell > plan.Shell.Batch {
		return nil, fmt.Errorf("cards: shell %d of a batch of %d: number the shells from 1 to %[2]d", opt.Shell, plan.Shell.Batch)
	}
	c := maker{plan: plan, index: layout.NewIndex(plan), hash: hash, shell: opt.Shell}
	var ids []string
	var stations []layout.Station
	for _, s := range plan.Stations {
		ids = append(ids, s.ID)
		if opt.Station == "" || s.ID == opt.Station {
			stations = append(stations, s)
		}
	}
	if len(stations) == 0 {
		return nil, fmt.Errorf("cards: station %q is not in the plan: it has %s", opt.Station, strings.Join(ids, ", "))
	}
	c.book = &paper.Book{Title: plan.Shell.Name + ": cards", Subject: plan.Shell.Number, Author: plan.Shell.Creator}
	if t, err := time.Parse(time.DateOnly, plan.Shell.Issued); err == nil {
		c.book.Date = t
	}
	for _, s := range stations {
		c.add("Card of station "+s.ID, c.station(s))
	}
	if opt.Shell == 0 {
		return c.book, nil
	}
	if opt.Station == "" {
		pages, err := c.travels()
		if err != nil {
			return nil, err
		}
		c.add(fmt.Sprintf("Shell %d", opt.Shell), pages)
	}
	for _, s := range stations {
		pages, err := pack.Inspection(plan, c.index, s.ID, opt.Shell, hash)
		if err != nil {
			return nil, fmt.Errorf("cards: %w", err)
		}
		c.add(fmt.Sprintf("Inspection of shell %d at %s", opt.Shell, s.ID), pages)
	}
	return c.book, nil
}

// maker makes the cards of one plan.
type maker struct {
	plan  *layout.Plan
	index *layout.Index
	hash  string
	shell int
	book  *paper.Book
}

func (c *maker) add(title string, pages []*paper.Page) {
	c.book.Marks = append(c.book.Marks, paper.Mark{Title: title, Page: len(c.book.Pages)})
	c.book.Pages = append(c.book.Pages, pages...)
}

// document is pages of A5 with a head; wide is what the head may take of the width.
func (c *maker) document(kind, title string, wide float64) *flow.Document {
	sh, field := c.plan.Shell, paper.NewField
	return &flow.Document{Size: a5, Letters: paper.AtJig, Name: sh.Name + " · " + kind,
		Box: paper.Box{X0: zone.X0, Y0: zone.Y0 + 2*paper.FieldHigh + 5, X1: zone.X1, Y1: zone.Y1 - 5},
		Dress: func(pen flow.Pen, n, of int) {
			at := paper.Point{X: zone.X0, Y: zone.Y0}
			pen.Page.Fields(at, []paper.Field{field(kind, title, wide)})
			at.Y += paper.FieldHigh
			fields := []paper.Field{field("Rev.", sh.Revision, 12), field("Status", c.plan.Standing(), 60).Whole(),
				field("Page", fmt.Sprintf("%d/%d", n, of), 16)}
			if rest := wide - 88; rest > 30 {
				fields = append([]paper.Field{field("Shell", sh.Number, rest)}, fields...)
			}
			fields[len(fields)-1].Width += wide - widthOf(fields)
			pen.Page.Fields(at, fields)
			pen.Words.Text(paper.Point{X: zone.X0, Y: zone.Y1}, small, paper.Start, paper.Fit("Plan "+c.hash, small, zone.X1-zone.X0))
		}}
}

func widthOf(fields []paper.Field) float64 {
	sum := 0.0
	for _, f := range fields {
		sum += f.Width
	}
	return sum
}

// station is the card that hangs at a station for the whole batch.
func (c *maker) station(s layout.Station) []*paper.Page {
	return flow.Fewest(func(dense bool) []*paper.Page { return c.stationSet(s, dense) })
}

func (c *maker) stationSet(s layout.Station, dense bool) []*paper.Page {
	here := c.index.Station(s.ID)
	name := s.ID
	if s.Name != "" && s.Name != s.ID {
		name += ", " + s.Name
	}
	d := c.document("Card of station", name, zone.Width())
	d.Dense = dense
	d.Note(fmt.Sprintf("Jig %s. Crew of %d. %d spot welds%s on each of %d shells.", words.OrDash(s.Jig), s.Crew, len(here.Welds), rolled(here),
		c.plan.Shell.Batch))
	c.guns(d, here)
	c.settings(d, here)
	c.care(d, here)
	c.coupons(d, here)
	d.Note("Settings are proved by peel or chisel test (ISO 10447) before use. Mind eyes, hands, zinc fume and people with implants; local " +
		"rules come first.")
	return d.Pages()
}

func rolled(here *layout.AtStation) string {
	if here.Rolled > 0 {
		return fmt.Sprintf(" and %s m of roller seam", words.Fixed(here.Rolled/1000, 2))
	}
	return ""
}

// guns lists the tools with their tips: how many welds, and after how many they are cared for.
func (c *maker) guns(d *flow.Document, here *layout.AtStation) {
	d.Title("Guns", 20)
	t := flow.Table{Columns: flow.Heads("", "=Tip", ">Welds\na shell", ">Dress\nafter", ">New caps\nafter")}
	for _, u := range here.Tools {
		dress, caps := "–", "–"
		if u.Tip.Dress > 0 {
			dress, caps = strconv.Itoa(u.Tip.Dress), strconv.Itoa(u.Tip.CapLife())
		}
		t.Rows = append(t.Rows, []string{cmp.Or(words.Gun(c.index, u.Gun), "none"), cmp.Or(u.Tip.Name, u.Tip.ID, "none"),
			strconv.Itoa(len(u.Welds)), dress, caps})
	}
	var rollers []string
	for _, r := range here.Seams {
		roller := c.index.Roller(r.Roller)
		row := []string{cmp.Or(roller.Letter, r.Roller), cmp.Or(roller.Name, r.Roller), words.Fixed(here.Rolled/1000, 2) + " m",
			metres(roller.Dress), metres(roller.Wheels)}
		if key := strings.Join(row, "|"); len(rollers) == 0 || rollers[len(rollers)-1] != key {
			rollers = append(rollers, key)
			t.Rows = append(t.Rows, row)
		}
	}
	d.Table(t)
}

func metres(v float64) string {
	if v > 0 {
		return words.Exact(v) + " m"
	}
	return "–"
}

// settings are those that are set at the timer here.
func (c *maker) settings(d *flow.Document, here *layout.AtStation) {
	t := flow.Table{Columns: flow.Heads("", "=Sheets", ">kN", ">kA", ">Squeeze, weld,\nhold, cycles",
		">Good\nfrom mm")}
	for _, s := range here.Settings {
		times := fmt.Sprintf("%d, %d, %d", s.SqueezeCycles, s.WeldCycles, s.HoldCycles)
		switch {
		case s.Kind == layout.RollerSetting && s.WeldCycles > 0:
			times = fmt.Sprintf("%d on, %d off", s.WeldCycles, s.HoldCycles)
		case s.WeldCycles == 0:
			times = fmt.Sprintf("%s, %s, %s s", words.Fixed(s.Squeeze, 2), words.Fixed(s.Weld, 2), words.Fixed(s.Hold, 2))
		}
		good := "–"
		if v := here.Accepted(s.ID); v > 0 {
			good = words.Fixed(v, 1)
		}
		t.Rows = append(t.Rows, []string{s.ID, s.Stack, words.Fixed(s.Force/1000, 2), words.Fixed(s.Current/1000, 1), times, good})
	}
	if len(t.Rows) == 0 {
		return
	}
	d.Title("Settings", 24)
	d.Table(t)
}

// mostDue are listed; a longer list says by which rule it goes on.
const mostDue = 48

// care lists by shell number after which weld tips are dressed and caps changed.
func (c *maker) care(d *flow.Document, here *layout.AtStation) {
	type due struct{ dress, caps []string }
	list := map[string]*due{}
	var order []string
	left := map[string]int{}
	for n := 1; n <= c.plan.Shell.Batch; n++ {
		for _, v := range here.CareDue(n) {
			key := c.short(layout.Tools{Gun: v.Gun, Tip: v.Tip})
			if list[key] == nil {
				list[key] = &due{}
				order = append(order, key)
			}
			to := &list[key].dress
			if v.Caps {
				to = &list[key].caps
			}
			if len(*to) == mostDue {
				left[key]++
				continue
			}
			*to = append(*to, fmt.Sprintf("%d:%d", n, v.After))
		}
	}
	if len(order) == 0 {
		d.Title("Dressing and caps", 8)
		d.Note("No tip of this station comes to be dressed in this batch, or none has a stated number of welds to be dressed after.")
		return
	}
	t := flow.Table{Title: "Dressing and caps, by shell and weld", Columns: flow.Heads("", "", "="),
		Note: "7:120 is after weld 120 of shell 7; sooner if welds are made again."}
	for _, key := range order {
		for _, v := range []struct {
			do   string
			when []string
		}{{"dress", list[key].dress}, {"NEW CAPS", list[key].caps}} {
			if len(v.when) > 0 {
				t.Rows = append(t.Rows, []string{key, v.do, strings.Join(v.when, ", ")})
			}
		}
		if n := left[key]; n > 0 {
			t.Rows = append(t.Rows, []string{key, "", fmt.Sprintf("and %d times more: count the welds, as the table of guns says", n)})
		}
	}
	d.Table(t)
}

// short names a tool with its tip and setting by their signs: "A, domed, S1".
func (c *maker) short(t layout.Tools) string {
	parts := []string{words.Gun(c.index, t.Gun)}
	if t.Roller != "" {
		parts[0] = cmp.Or(c.index.Roller(t.Roller).Letter, t.Roller)
	}
	for _, w := range []string{t.Tip, t.Setting} {
		if w != "" {
			parts = append(parts, w)
		}
	}
	return strings.Join(parts, ", ")
}

// coupons lists by setting the shells on which a test coupon is due.
func (c *maker) coupons(d *flow.Document, here *layout.AtStation) {
	each := c.plan.Labour.CouponsEach
	t := flow.Table{Title: "Test coupons, by shell", Columns: flow.Heads("", "="),
		Note: "Shell 1: all, before its first weld. One more after new caps."}
	shells := map[string][]int{}
	left := map[string]int{}
	var order []string
	for n := 1; n <= c.plan.Shell.Batch && each > 0; n++ {
		for _, v := range here.CouponsDue(each, n) {
			if v.Why == layout.CouponCaps {
				continue
			}
			key := c.short(v.Tools)
			if shells[key] == nil {
				order = append(order, key)
			}
			if len(shells[key]) == mostDue {
				left[key]++
				continue
			}
			shells[key] = append(shells[key], n)
		}
	}
	for _, key := range order {
		text := words.List(shells[key])
		if left[key] > 0 {
			text += fmt.Sprintf(", and so on: %d more", left[key])
		}
		t.Rows = append(t.Rows, []string{key, text})
	}
	if len(t.Rows) == 0 {
		d.Title("Test coupons", 8)
		d.Note("The plan counts none here: as the works orders.")
		return
	}
	d.Table(t)
}

// travels is the card that goes with the shell from station to station.
func (c *maker) travels() ([]*paper.Page, error) {
	pages := flow.Fewest(c.travelSet)
	for k, p := range pages {
		qr, err := paper.NewQR(pack.Code("shell", c.shell, fmt.Sprintf("travels %d/%d", k+1, len(pages)), c.hash))
		if err != nil {
			return nil, fmt.Errorf("cards: %w", err)
		}
		p.Layer("code", paper.Style{Fill: paper.Black}).QR(paper.Point{X: zone.X1 - code, Y: zone.Y0 - 2}, code/float64(qr.Modules()), qr)
	}
	return pages, nil
}

func (c *maker) travelSet(dense bool) []*paper.Page {
	sh := c.plan.Shell
	d := c.document("Travels with the shell", fmt.Sprintf("%s: shell %d of %d", cmp.Or(sh.Number, sh.Name), c.shell, sh.Batch),
		zone.Width()-code-2)
	d.Box.Y0 += 4
	d.Dense = dense
	t := flow.Table{Title: "Through the stations", Boxes: true, High: 9, Columns: flow.Heads("", "=Station", ">Welds",
		"Due", "Good", "Name, date")}
	for i, s := range c.plan.Stations {
		here := c.index.Station(s.ID)
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), s.ID, strconv.Itoa(len(here.Welds)), c.due(here), "",
			"                "})
	}
	d.Table(t)
	d.Note("Due: c coupons, d dressings, n new caps on this shell; the station's card says which. Hand on once the " +
		"inspection sheet is signed.")
	marks := flow.Table{Title: "What was found and done", Boxes: true, Whole: true, High: 7.5, Columns: flow.Heads("Station", "=What",
		"Name, date         ")}
	for range 3 {
		marks.Rows = append(marks.Rows, []string{"", "", ""})
	}
	d.Table(marks)
	d.Skip(2)
	d.Draw(12, func(pen flow.Pen, box paper.Box) {
		pen.Page.Fields(paper.Point{X: box.X0, Y: box.Y0}, []paper.Field{paper.NewField("Shell is whole and released: name, date", " ",
			box.Width())})
	})
	return d.Pages()
}

// due counts what a station must see to on this shell.
func (c *maker) due(here *layout.AtStation) string {
	dress, caps := 0, 0
	for _, v := range here.CareDue(c.shell) {
		if v.Caps {
			caps++
		} else {
			dress++
		}
	}
	var words []string
	for _, v := range []struct {
		n    int
		sign string
	}{{len(here.CouponsDue(c.plan.Labour.CouponsEach, c.shell)), "c"}, {dress, "d"}, {caps, "n"}} {
		if v.n > 0 {
			words = append(words, fmt.Sprint(v.n, v.sign))
		}
	}
	return cmp.Or(strings.Join(words, " "), "–")
}
