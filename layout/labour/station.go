package labour

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// accounts opens an account for every station's handling, every joint's spots and every joint's seams at it.
func (e *estimator) accounts(ctx context.Context) ([]Account, error) {
	var list []Account
	for i, s := range e.plan.Stations {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		open := func(joint int, kind Kind) Account {
			a := Account{Station: s.ID, Crew: s.Crew, Kind: kind, at: place{i, joint, kind}}
			if joint >= 0 {
				a.Joint = e.plan.Joints[joint].ID
			}
			return a
		}
		whole := open(-1, Handling)
		whole.Work = e.handling(i)
		whole.Money = e.stationMoney(i)
		list = append(list, whole)
		byJoint := make([][]weld, len(e.plan.Joints))
		for _, w := range e.welds[i] {
			j := e.joints[w.Joint]
			byJoint[j] = append(byJoint[j], w)
		}
		for j, welds := range byJoint {
			if len(welds) > 0 {
				list = append(list, e.spots(open(j, Spots), welds))
			}
			if seams := e.seams(i, j); len(seams) > 0 {
				list = append(list, e.rolling(open(j, Rolling), seams, len(welds) > 0))
			}
		}
	}
	return list, nil
}

// enter posts an account with what practice and allowances make of its work, and pays for it.
func (e *estimator) enter(a Account) {
	var worked ticks
	hand := 0.0
	for _, p := range a.Work {
		t := e.book.postTime(a.at, e.priced(p))
		worked += t
		hand += float64(t.seconds() * p.Hand)
	}
	e.byHand[a.at.station] += hand
	if worked != 0 {
		worked += e.book.postTime(a.at, line{
			kind: layout.WorkPractice, what: "practice over the batch", element: "learning", quantity: hand, unit: "s of hand work",
			each: e.practice - 1,
			from: fmt.Sprintf("batch of %d at a rate of %v a doubling: average factor %.4f on hand work", e.shell.Batch,
				e.shell.Allowances.Learning, e.practice),
		})
		al := e.shell.Allowances
		worked += e.book.postTime(a.at, line{
			kind: layout.WorkAllowances, what: "allowances", quantity: worked.seconds(), unit: "s of work", each: e.extra,
			from: fmt.Sprintf("personal %v %% + fatigue %v %% + posture %v %% + contingency %v %%", al.Personal, al.Fatigue, al.Posture,
				al.Contingency),
		})
		e.pay(a.at, worked)
	}
	e.book.stations[a.at.station].welds += len(a.welds)
	e.book.stations[a.at.station].rolls += a.rolls
	if a.at.joint >= 0 {
		e.book.joints[a.at.joint].welds += len(a.welds)
		e.book.joints[a.at.joint].rolls += a.rolls
	}
	if a.Kind == Spots {
		e.shareOut(a.welds, worked)
	}
	for _, p := range a.Money {
		l := e.priced(p)
		if p.By == Flowing {
			l.quantity = float64(p.Count * worked.minutes() * e.shell.Rates.WaterFlow / 1000)
		}
		paid := e.book.postMoney(a.at, l)
		if p.Wage {
			e.overhead(a.at, paid)
		}
	}
}

// priced is a piece as it is posted.
func (e *estimator) priced(p Piece) line {
	return line{kind: p.Kind, tools: p.Tools, what: p.What, element: p.Element, quantity: p.Quantity(e.shell), each: p.Each, unit: p.Unit,
		from: p.From}
}

// handling counts the work that belongs to the station as a whole.
func (e *estimator) handling(i int) []Piece {
	s, el := e.plan.Stations[i], e.shell.Elements
	mass := 0.0
	for _, part := range s.Arrives {
		mass += e.mass(part)
	}
	pieces := []Piece{
		hand(
			layout.WorkLoad,
			"load panels and sub-assemblies",
			"load_panel_s",
			float64(len(s.Arrives)),
			el.LoadPanel,
			"part",
			"parts that arrive at the station",
		),
		hand(layout.WorkCarry, "carry them", "load_per_kg_s", mass, el.LoadPerKg, "kg", "mass of the parts that arrive"),
		hand(layout.WorkPeg, "peg", "dowel_s", float64(len(s.Dowels)), el.Dowel, "dowel", "dowels of the jig"),
		hand(layout.WorkClamp, "clamp", "clamp_s", float64(len(s.Clamps)), el.Clamp, "clamp", "clamps of the jig"),
		hand(layout.WorkGauge, "gauge", "gauge_s", float64(len(s.HoldPoints)), el.Gauge, "hold point", "hold points of the station"),
		hand(layout.WorkRelease, "release clamps", "release_s", float64(len(s.Clamps)), el.Release, "clamp", "clamps of the jig"),
	}
	for _, w := range s.Work {
		source := w.Source
		if source == "" {
			source = "shell file, no source stated"
		}
		pieces = append(pieces, Piece{Kind: layout.WorkOther, What: w.Name, Count: float64(w.Crew), Each: 60 * w.Minutes, Unit: "person",
			From: source})
	}
	pieces = append(pieces, e.tools(i)...)
	return append(pieces, hand(layout.WorkLiftOut, "lift out", "lift_out_s", 1, el.LiftOut, "lift", "what leaves the station"))
}

// hand is a piece of hand work that is counted from the plan.
func hand(kind layout.LabourKind, what, element string, count, each float64, unit, from string) Piece {
	return Piece{Kind: kind, What: what, Element: element, Count: count, Each: each, Unit: unit, From: from, Hand: 1}
}

// mass is that of a panel or of all panels of a sub-assembly, in kg.
func (e *estimator) mass(part string) float64 {
	sum := 0.0
	for _, id := range e.plan.PanelsOf(part) {
		for _, p := range e.plan.Panels {
			if p.ID == id {
				sum += p.Mass
			}
		}
	}
	return sum
}

// tools counts guns taken up, tips changed and test coupons.
func (e *estimator) tools(i int) []Piece {
	el := e.shell.Elements
	taken, last := 0, ""
	for _, tool := range e.toolsInOrder(i) {
		if tool != last {
			taken++
		}
		last = tool
	}
	pieces := []Piece{
		hand(layout.WorkTakeTool, "take guns and rollers", "take_gun_s", float64(taken), el.TakeGun, "change",
			"the first one and each change in welding order; roller seams after the spots"),
		hand(layout.WorkChangeTip, "change tips", "tip_change_s", float64(e.tipChanges(i)), el.TipChange, "change",
			"changes on a gun in welding order, back to the first tip for the next shell included"),
		hand(layout.WorkChangeSetting, "change settings", "setting_change_s", float64(e.settingChanges(i)), el.SetChange, "change",
			"changes on a gun in welding order, back to the first setting for the next shell included"),
	}
	for _, c := range e.coupons(i) {
		coupons := hand(layout.WorkCoupon, "test coupons"+c.when, "coupon_s", c.count, el.Coupon, "coupon", c.from)
		coupons.By = c.by
		pieces = append(pieces, coupons)
	}
	return pieces
}

// coupons is test coupons of one sort: how many, and why.
type coupons struct {
	count float64
	by    By
	when  string // after their name
	from  string
}

// coupons are what the sheets ask for: so many for a shell with each gun and roller, whose settings take turns; each of its settings
// and tips once before the batch; and one after each change of caps. layout.AtStation.CouponsDue deals them out over the shells.
func (e *estimator) coupons(i int) []coupons {
	tools := e.toolsUsed(i)
	out := []coupons{{tools, ByCoupons, "", fmt.Sprintf("%v for a shell and tool x %v guns and rollers in use", e.shell.Elements.Coupons,
		tools)}}
	if more := float64(e.provedWith(i)) - tools; more > 0 {
		out = append(out, coupons{more, FirstMade, " before the batch", fmt.Sprintf("before the batch's first weld each further tip and "+
			"setting of a tool: %v / %d shells",
			more, e.shell.Batch)})
	}
	caps := 0.0
	var words []string
	for _, u := range e.tipUse(e.welds[i]) {
		caps += u.welds / u.life
		words = append(words, u.perPair())
	}
	if caps > 0 {
		out = append(out, coupons{caps, AfterCaps, " after new caps", "one after each change of caps: " + strings.Join(words, "; ")})
	}
	return out
}

// provedWith is how many tools with a tip and a setting the station uses.
func (e *estimator) provedWith(i int) int {
	with := map[layout.Tools]bool{}
	for _, w := range e.welds[i] {
		if w.Gun != "" {
			with[layout.Tools{Gun: w.Gun, Tip: w.Tip, Setting: w.Setting}] = true
		}
	}
	for _, r := range e.plan.Seams {
		if e.stations[r.Station] == i {
			with[layout.Tools{Roller: r.Roller, Setting: r.Setting}] = true
		}
	}
	return len(with)
}

// toolsUsed is the number of guns and rollers that the station uses.
func (e *estimator) toolsUsed(i int) float64 {
	tools := e.toolsInOrder(i)
	slices.Sort(tools)
	return float64(len(slices.Compact(tools)))
}

// toolsInOrder are the guns of the welds in welding order, then the rollers in the plan's order.
func (e *estimator) toolsInOrder(i int) []string {
	var tools []string
	for _, w := range e.welds[i] {
		if w.Gun != "" {
			tools = append(tools, "gun "+w.Gun)
		}
	}
	for _, r := range e.plan.Seams {
		if e.stations[r.Station] == i {
			tools = append(tools, "roller "+r.Roller)
		}
	}
	return tools
}

// tipChanges counts for each gun of the station how often its next weld has another tip.
func (e *estimator) tipChanges(i int) int {
	return e.changes(i, func(w weld) string { return w.Tip })
}

// settingChanges counts for each gun of the station how often its next weld has another setting.
func (e *estimator) settingChanges(i int) int {
	return e.changes(i, func(w weld) string { return w.Setting })
}

// changes counts for each gun of the station how often its next weld wants something else; welds that want nothing are passed
// over. A gun ends a shell with its last and begins the next with its first.
func (e *estimator) changes(i int, of func(weld) string) int {
	first, last := map[string]string{}, map[string]string{}
	var guns []string
	changes := 0
	for _, w := range e.welds[i] {
		wants := of(w)
		if w.Gun == "" || wants == "" {
			continue
		}
		switch has, used := last[w.Gun]; {
		case !used:
			first[w.Gun] = wants
			guns = append(guns, w.Gun)
		case has != wants:
			changes++
		}
		last[w.Gun] = wants
	}
	for _, g := range guns {
		if first[g] != last[g] {
			changes++
		}
	}
	return changes
}

// stationMoney is what a station costs besides its handling: coupons, and what is done once for a batch.
func (e *estimator) stationMoney(i int) []Piece {
	sh := e.shell
	prepare, change := e.onceABatch(i)
	rate := sh.Rates.JigWork
	if rate == 0 { // not stated: paid as other labour
		rate = sh.Rates.Labour
	}
	from := func(minutes, rate float64) string {
		return fmt.Sprintf("%v min for the batch / %d shells, at %v an hour", minutes, sh.Batch, rate)
	}
	var pieces []Piece
	for _, c := range e.coupons(i) {
		pieces = append(pieces, Piece{Kind: layout.PaidCoupons, What: "sheet for test coupons" + c.when, Element: "coupon_price",
			Count: c.count, By: c.by,
			Each: sh.Rates.Coupon, Unit: "coupon", From: c.from})
	}
	return append(pieces, []Piece{
		{
			Kind:    layout.PaidPreparation,
			What:    "jig preparation",
			Element: "jig_per_hour",
			Count:   prepare,
			By:      OverBatch,
			Each:    rate / 60,
			Unit:    "min",
			From:    from(prepare, rate),
			Wage:    true,
		},
		{
			Kind:    layout.PaidChangeover,
			What:    "changeover",
			Element: "labour_per_hour",
			Count:   change,
			By:      OverBatch,
			Each:    sh.Rates.Labour / 60,
			Unit:    "min",
			From:    from(change, sh.Rates.Labour),
			Wage:    true,
		},
	}...)
}

// onceABatch is the station's jig preparation and changeover for a batch, in man-minutes.
func (e *estimator) onceABatch(i int) (prepare, change float64) {
	at := slices.IndexFunc(e.shell.Stations, func(s shell.Station) bool { return s.ID == e.plan.Stations[i].ID })
	if at < 0 {
		return 0, 0 // the one station of a shell file without stations
	}
	return e.shell.Stations[at].Prepare, e.shell.Stations[at].Change
}

// pay posts the wages of some work and the overhead on them.
func (e *estimator) pay(at place, worked ticks) {
	r := e.shell.Rates
	paid := e.book.postMoney(at, line{
		kind: layout.PaidLabour, what: "labour", element: "labour_per_hour", quantity: worked.minutes(), unit: "min", each: r.Labour / 60,
		from: fmt.Sprintf("%s at %v an hour", at.kind, r.Labour),
	})
	e.overhead(at, paid)
}

func (e *estimator) overhead(at place, paid coins) {
	r := e.shell.Rates
	e.book.postMoney(at, line{
		kind: layout.PaidOverhead, what: "overhead", element: "overhead_pct", quantity: paid.money(), unit: r.Currency, each: r.Overhead / 100,
		from: fmt.Sprintf("%v %% on the labour above", r.Overhead),
	})
}
