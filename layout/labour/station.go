package labour

import (
	"cmp"
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// station posts the work and money of one station: its handling, then each of its joints.
func (e *estimator) station(i int) {
	whole := place{station: i, joint: -1}
	e.post(whole, e.handling(i))
	e.payForCoupons(whole)
	byJoint := make([][]weld, len(e.plan.Joints))
	for _, w := range e.welds[i] {
		j := e.joints[w.Joint]
		byJoint[j] = append(byJoint[j], w)
	}
	for j, welds := range byJoint {
		if len(welds) > 0 {
			e.spots(place{i, j, spots}, welds)
		}
		if seams := e.seams(i, j); len(seams) > 0 {
			e.roll(place{i, j, rolling}, seams, len(welds) > 0)
		}
	}
	e.prepare(whole)
}

// post enters pieces of work with what practice and allowances make of them, and pays for them. It returns the
// whole time.
func (e *estimator) post(at place, pieces []piece) ticks {
	var worked ticks
	hand := 0.0
	for _, p := range pieces {
		t := e.book.postTime(at, p)
		worked += t
		hand += float64(t.seconds() * p.hand)
	}
	if worked == 0 {
		return 0
	}
	worked += e.book.postTime(at, piece{
		what: "practice over the batch", element: "learning", quantity: hand, unit: "s of hand work", each: e.practice - 1,
		from: fmt.Sprintf("batch of %d at a rate of %v a doubling: average factor %.4f on hand work", e.shell.Batch, e.shell.Allowances.Learning, e.practice),
	})
	a := e.shell.Allowances
	worked += e.book.postTime(at, piece{
		what: "allowances", quantity: worked.seconds(), unit: "s of work", each: e.extra,
		from: fmt.Sprintf("personal %v %% + fatigue %v %% + posture %v %% + contingency %v %%", a.Personal, a.Fatigue, a.Posture, a.Contingency),
	})
	e.pay(at, worked)
	return worked
}

// handling counts the work that belongs to the station as a whole.
func (e *estimator) handling(i int) []piece {
	s, el := e.plan.Stations[i], e.shell.Elements
	mass := 0.0
	for _, part := range s.Arrives {
		mass += e.mass(part)
	}
	pieces := []piece{
		{"load panels and sub-assemblies", "load_panel_s", float64(len(s.Arrives)), el.LoadPanel, "part", "parts that arrive at the station", 1},
		{"carry them", "load_per_kg_s", mass, el.LoadPerKg, "kg", "mass of the parts that arrive", 1},
		{"peg", "dowel_s", float64(len(s.Dowels)), el.Dowel, "dowel", "dowels of the jig", 1},
		{"clamp", "clamp_s", float64(len(s.Clamps)), el.Clamp, "clamp", "clamps of the jig", 1},
		{"gauge", "gauge_s", float64(len(s.HoldPoints)), el.Gauge, "hold point", "hold points of the station", 1},
		{"release clamps", "release_s", float64(len(s.Clamps)), el.Release, "clamp", "clamps of the jig", 1},
	}
	pieces = append(pieces, e.tools(i)...)
	return append(pieces, piece{"lift out", "lift_out_s", 1, el.LiftOut, "lift", "what leaves the station", 1})
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
func (e *estimator) tools(i int) []piece {
	el := e.shell.Elements
	taken, last := 0, ""
	for _, tool := range e.toolsInOrder(i) {
		if tool != last {
			taken++
		}
		last = tool
	}
	coupons, from := e.coupons(i)
	return []piece{
		{"take guns and rollers", "take_gun_s", float64(taken), el.TakeGun, "change", "the first one and each change in welding order; roller seams after the spots", 1},
		{"change tips", "tip_change_s", float64(e.tipChanges(i)), el.TipChange, "change", "changes on a gun in welding order, back to the first tip for the next shell included", 1},
		{"test coupons", "coupon_s", coupons, el.Coupon, "coupon", from, 1},
	}
}

// coupons are so many for each gun and roller that the station uses.
func (e *estimator) coupons(i int) (count float64, from string) {
	tools := e.toolsInOrder(i)
	slices.Sort(tools)
	used := len(slices.Compact(tools))
	each := e.shell.Elements.Coupons
	return float64(each * float64(used)), fmt.Sprintf("%v for a shell and tool x %d guns and rollers in use", each, used)
}

func (e *estimator) payForCoupons(at place) {
	count, from := e.coupons(at.station)
	e.book.postMoney(at, piece{what: "sheet for test coupons", element: "coupon_price", quantity: count, unit: "coupon", each: e.shell.Rates.Coupon, from: from})
}

// toolsInOrder are the guns of the welds in welding order, then the rollers in the order of the welds they wait for.
func (e *estimator) toolsInOrder(i int) []string {
	var tools []string
	for _, w := range e.welds[i] {
		if w.Gun != "" {
			tools = append(tools, "gun "+w.Gun)
		}
	}
	var seams []layout.Roller
	for _, r := range e.plan.Rollers {
		if e.stations[r.Station] == i {
			seams = append(seams, r)
		}
	}
	slices.SortStableFunc(seams, func(a, b layout.Roller) int { return cmp.Compare(a.After, b.After) })
	for _, r := range seams {
		tools = append(tools, "roller "+r.Roller)
	}
	return tools
}

// tipChanges counts for each gun of the station how often its next weld has another tip. A gun ends a shell with its
// last tip and begins the next with its first.
func (e *estimator) tipChanges(i int) int {
	firstTip, lastTip := map[string]string{}, map[string]string{}
	var guns []string
	changes := 0
	for _, w := range e.welds[i] {
		if w.Gun == "" || w.Tip == "" {
			continue
		}
		switch last, used := lastTip[w.Gun]; {
		case !used:
			firstTip[w.Gun] = w.Tip
			guns = append(guns, w.Gun)
		case last != w.Tip:
			changes++
		}
		lastTip[w.Gun] = w.Tip
	}
	for _, g := range guns {
		if firstTip[g] != lastTip[g] {
			changes++
		}
	}
	return changes
}

// prepare pays for the jig's preparation, shared over the batch.
func (e *estimator) prepare(at place) {
	minutes := e.preparation(at.station)
	batch := float64(e.shell.Batch)
	paid := e.book.postMoney(at, piece{
		what: "jig preparation", element: "prepare_min", quantity: minutes / batch, unit: "min", each: e.jigRate() / 60,
		from: fmt.Sprintf("%v min for the batch / %d shells, at %v an hour", minutes, e.shell.Batch, e.jigRate()),
	})
	e.overhead(at, paid)
}

// preparation is the station's jig preparation for a batch, in man-minutes.
func (e *estimator) preparation(i int) float64 {
	at := slices.IndexFunc(e.shell.Stations, func(s shell.Station) bool { return s.ID == e.plan.Stations[i].ID })
	if at < 0 {
		return 0 // the one station of a shell file without stations
	}
	return e.shell.Stations[at].Prepare
}

// jigRate is money for an hour of jig work; where none is stated it is paid as other labour.
func (e *estimator) jigRate() float64 {
	if e.shell.Rates.JigWork == 0 {
		return e.shell.Rates.Labour
	}
	return e.shell.Rates.JigWork
}

// pay posts the wages of some work and the overhead on them.
func (e *estimator) pay(at place, worked ticks) {
	r := e.shell.Rates
	paid := e.book.postMoney(at, piece{
		what: "labour", element: "labour_per_hour", quantity: worked.minutes(), unit: "min", each: r.Labour / 60,
		from: fmt.Sprintf("%s at %v an hour", [kinds]string{"handling", "spots", "roller seams"}[at.kind], r.Labour),
	})
	e.overhead(at, paid)
}

func (e *estimator) overhead(at place, paid coins) {
	r := e.shell.Rates
	e.book.postMoney(at, piece{
		what: "overhead", element: "overhead_pct", quantity: paid.money(), unit: r.Currency, each: r.Overhead / 100,
		from: fmt.Sprintf("%v %% on the labour above", r.Overhead),
	})
}
