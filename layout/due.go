package layout

import (
	"cmp"
	"math"
	"slices"
)

// Coupon is a test coupon that is due: with which tool, tip and setting, and why.
type Coupon struct {
	Tools
	Why CouponReason
}

// CouponReason is why a test coupon is due.
type CouponReason string

// The reasons of coupons.
const (
	CouponFirst CouponReason = "before the batch's first weld"
	CouponTurn  CouponReason = "due on this shell"
	CouponCaps  CouponReason = "after new caps"
)

// ToolWords name a tool with its tip and setting: "gun A and tip domed with S1".
func (x *Index) ToolWords(t Tools) string {
	if t.Roller != "" {
		return "roller " + cmp.Or(x.Roller(t.Roller).Letter, t.Roller) + " with " + cmp.Or(t.Setting, "no setting")
	}
	words := "gun " + cmp.Or(x.Gun(t.Gun).Letter, t.Gun)
	if t.Tip != "" {
		words += " and tip " + t.Tip
	}
	return words + " with " + cmp.Or(t.Setting, "no setting")
}

// Care is what a tip needs, and after which weld of the shell.
type Care struct {
	Tools
	After int  // number of the weld
	Caps  bool // new caps, instead of dressing
}

// proved lists the station's tools with all the tips and settings that each is used with, in welding order; roller seams come last.
// What no gun reaches is not made, and so not proved.
func (s *AtStation) proved() [][]Tools {
	var out [][]Tools
	add := func(t Tools) {
		k := slices.IndexFunc(out, func(have []Tools) bool { return have[0].Gun == t.Gun && have[0].Roller == t.Roller })
		if k < 0 {
			out = append(out, []Tools{t})
			return
		}
		if !slices.Contains(out[k], t) {
			out[k] = append(out[k], t)
		}
	}
	for _, w := range s.Made() {
		if w.Gun != "" {
			add(Tools{Gun: w.Gun, Tip: w.Tip, Setting: w.Setting})
		}
	}
	for _, r := range s.Seams {
		add(Tools{Roller: r.Roller, Setting: r.Setting})
	}
	return out
}

// CouponsDue are the test coupons of the n-th shell of the batch, counted from 1, where so many are made for a shell with each gun or
// roller: before the batch's first weld each tool with all its tips and settings, later in turn; and one after each change of
// caps. Where none are made for a shell, none are due.
func (s *AtStation) CouponsDue(each float64, n int) []Coupon {
	if !(each > 0) {
		return nil
	}
	made := func(n int) int { return int(math.Ceil(float64(float64(n)*each) - 1e-9)) }
	var out []Coupon
	for _, with := range s.proved() {
		more := len(with) - 1 // beyond the first, before the batch
		from, to := more+made(n-1), more+made(n)
		if n == 1 {
			from = 0
		}
		for k := from; k < to; k++ {
			why := CouponTurn
			if n == 1 && k < len(with) {
				why = CouponFirst
			}
			out = append(out, Coupon{with[k%len(with)], why})
		}
	}
	for _, c := range s.CareDue(n) {
		if c.Caps {
			out = append(out, Coupon{c.Tools, CouponCaps})
		}
	}
	return out
}

// CapLife is after how many welds a tip's caps are changed; 0: nothing says.
func (t Tip) CapLife() int { return t.Dress * max(1, t.Dressings) }

// CareDue says after which welds of the n-th shell of the batch, counted from 1, tips are dressed and caps changed: from fresh caps at
// the batch's first weld on. Welds that are made again bring it forward, and are not counted here.
func (s *AtStation) CareDue(n int) []Care {
	var out []Care
	for _, t := range s.Tools {
		if t.Tip.Dress <= 0 {
			continue
		}
		life := t.Tip.CapLife()
		before := (n - 1) * len(t.Welds)
		for k := (before/t.Tip.Dress + 1) * t.Tip.Dress; k <= before+len(t.Welds); k += t.Tip.Dress {
			weld := t.Welds[k-before-1]
			out = append(out, Care{Tools{Gun: t.Gun, Tip: t.Tip.ID, Setting: s.settingOf(weld)}, weld, k%life == 0})
		}
	}
	slices.SortStableFunc(out, func(a, b Care) int { return a.After - b.After })
	return out
}

// settingOf is the setting of a weld by its number.
func (s *AtStation) settingOf(number int) string {
	for _, w := range s.Welds {
		if w.Number == number {
			return w.Setting
		}
	}
	return ""
}
