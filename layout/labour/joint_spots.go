package labour

import "fmt"

// tally adds up amounts by name and keeps the order in which names came.
type tally struct {
	names []string
	sum   map[string]float64
}

func (t *tally) add(name string, v float64) {
	if t.sum == nil {
		t.sum = map[string]float64{}
	}
	if _, ok := t.sum[name]; !ok {
		t.names = append(t.names, name)
	}
	t.sum[name] += v
}

// spots posts the work and money of one joint's welds, which are in welding order.
func (e *estimator) spots(at place, welds []weld) {
	n := float64(len(welds))
	pieces := e.weldPieces(welds)
	hand, machine := 0.0, 0.0
	for _, p := range pieces {
		hand += float64(p.amount() * p.hand)
		machine += float64(p.amount() * (1 - p.hand))
	}
	again := piece{"weld again", "rework_pct", float64(n * e.again), (hand + machine) / n, "weld", fmt.Sprintf("%v %% of %d welds, at the mean time of one weld of the joint", e.shell.Allowances.Rework, len(welds)), 0}
	if hand+machine > 0 {
		again.hand = hand / (hand + machine)
	}
	pieces = append(pieces, again)
	pieces = append(pieces, e.tipCare(welds)...)
	pieces = append(pieces, e.marking(flangesOf(welds)), e.inspection(len(welds)))
	e.book.stations[at.station].welds += len(welds)
	e.book.joints[at.joint].welds += len(welds)
	e.shareOut(welds, e.post(at, pieces))
	e.payForTips(at, welds)
	e.payForGuns(at, welds)
}

// weldPieces are the pieces of work that every weld takes.
func (e *estimator) weldPieces(welds []weld) []piece {
	el, n := e.shell.Elements, float64(len(welds))
	metres := 0.0
	for _, w := range welds {
		metres += w.move / 1000
	}
	move := piece{"move the gun", "move_mm_per_s", metres, 0, "m", fmt.Sprintf("straight from weld to weld in welding order at %v mm/s", el.MoveSpeed), 1}
	if metres > 0 {
		move.each = 1000 / el.MoveSpeed
	}
	pieces := []piece{{"position the gun", "position_s", n, el.Position, "weld", "welds of the joint", 1}, move}
	var bySetting tally
	for _, w := range welds {
		bySetting.add(w.Setting, 1)
	}
	for _, id := range bySetting.names {
		pieces = append(pieces, e.currentPieces(id, bySetting.sum[id])...)
	}
	return append(pieces, piece{"open", "open_s", n, el.Open, "weld", "welds of the joint", 1})
}

// currentPieces are squeeze, weld and hold of n welds at one setting.
func (e *estimator) currentPieces(id string, n float64) []piece {
	s := e.settings[id]
	from := "setting " + id
	if id == "" {
		from = "no setting: weld and hold time are not counted"
	}
	squeeze := piece{"squeeze", "", n, s.Squeeze, "weld", from, 0}
	if s.Squeeze == 0 {
		squeeze.element, squeeze.each, squeeze.from = "squeeze_s", e.shell.Elements.Squeeze, "setting "+id+" states no squeeze time"
	}
	return []piece{squeeze, {"weld", "", n, s.Weld, "weld", from, 0}, {"hold", "", n, s.Hold, "weld", from, 0}}
}

// weldSeconds is the time at one weld before practice and allowances.
func (e *estimator) weldSeconds(w weld) float64 {
	el, s := e.shell.Elements, e.settings[w.Setting]
	t := el.Position + el.Open + s.Weld + s.Hold + s.Squeeze
	if s.Squeeze == 0 {
		t += el.Squeeze
	}
	if w.move > 0 {
		t += w.move / el.MoveSpeed
	}
	return t
}

// shareOut gives each run its share of the joint's time.
func (e *estimator) shareOut(welds []weld, worked ticks) {
	var runs []int
	var weights []float64
	index := map[int]int{}
	for _, w := range welds {
		k, ok := index[w.Run]
		if !ok {
			k = len(runs)
			index[w.Run] = k
			runs, weights = append(runs, w.Run), append(weights, 0)
		}
		weights[k] += e.weldSeconds(w)
	}
	for k, t := range share(worked, weights) {
		e.runs[runs[k]] += t
	}
}

// tipCare is the dressing of tips and changing of caps that the welds bring about.
func (e *estimator) tipCare(welds []weld) []piece {
	el := e.shell.Elements
	var pieces []piece
	for _, u := range e.tipUse(welds) {
		pieces = append(pieces,
			piece{"dress tips", "dressing_s", u.made / u.dress, el.Dressing, "dressing", fmt.Sprintf("%s / %v per dressing of tip %s", u.words, u.dress, u.tip), 1},
			piece{"change caps", "cap_change_s", u.made / u.life, el.CapChange, "pair", fmt.Sprintf("%s / %v per pair of caps of tip %s", u.words, u.life, u.tip), 1})
	}
	return pieces
}

// tipUse is how many welds one tip makes of how many.
type tipUse struct {
	tip               string
	made, dress, life float64
	words             string
}

// tipUse counts welds by tip, those made again included. A pair of caps lasts dress_every x dressings welds, one
// round of dress_every when no dressings are stated. A tip without dress_every is neither dressed nor used up;
// the factors say so.
func (e *estimator) tipUse(welds []weld) []tipUse {
	var byTip tally
	for _, w := range welds {
		byTip.add(w.Tip, 1)
	}
	var uses []tipUse
	for _, id := range byTip.names {
		t := e.tips[id]
		if t.Dress == 0 {
			continue
		}
		uses = append(uses, tipUse{
			tip: id, made: byTip.sum[id] * (1 + e.again), dress: float64(t.Dress), life: float64(t.Dress * max(t.Dressings, 1)), words: e.withAgain(byTip.sum[id]),
		})
	}
	return uses
}

// withAgain is a number of welds in words, those made again named.
func (e *estimator) withAgain(n float64) string {
	if e.again == 0 {
		return fmt.Sprintf("%v welds", n)
	}
	return fmt.Sprintf("%v welds + %v %% again", n, e.shell.Allowances.Rework)
}

// marking is the marking out of the weld lines of some flanges.
func (e *estimator) marking(flanges map[string]bool) piece {
	metres := 0.0
	for _, f := range e.plan.Flanges {
		if flanges[f.ID] {
			metres += f.Length / 1000
		}
	}
	return piece{"mark out", "mark_s_per_m", metres, e.shell.Elements.Marking, "m", "weld lines of the joint's flanges", 1}
}

func flangesOf(welds []weld) map[string]bool {
	ids := map[string]bool{}
	for _, w := range welds {
		ids[w.Flange] = true
	}
	return ids
}

func (e *estimator) inspection(welds int) piece {
	every := e.shell.Elements.InspectEvery
	p := piece{what: "inspect", element: "inspect_s", each: e.shell.Elements.Inspect, unit: "weld", from: fmt.Sprintf("%d welds, one in %d looked at", welds, every), hand: 1}
	if every > 0 {
		p.quantity = float64(welds) / float64(every)
	}
	return p
}
