package labour

import (
	"cmp"
	"fmt"

	"seamwright/layout"
	"seamwright/layout/tour"
	"seamwright/seams/setting"
)

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

// spots fills the account of one joint's welds, which are in welding order.
func (e *estimator) spots(a Account, welds []weld) Account {
	n := float64(len(welds))
	a.welds, a.Welds = welds, n
	a.Work = e.weldPieces(welds)
	byHand, all := 0.0, 0.0
	for _, p := range a.Work {
		all += float64(p.Count * p.Each)
		byHand += float64(p.Count * p.Each * p.Hand)
	}
	again := Piece{Kind: layout.WorkAgain, What: "weld again", Element: "rework_pct", Count: n, By: OnlyAgain, Each: all / n, Unit: "weld",
		From: fmt.Sprintf("%v %% of %d welds, at the mean time of one weld of the joint", e.shell.Allowances.Rework, len(welds))}
	if all > 0 {
		again.Hand = byHand / all
	}
	a.Work = append(append(a.Work, again), e.startRuns(welds)...)
	a.Work = append(a.Work, e.tipCare(welds)...)
	a.Work = append(a.Work, e.alongFlanges(flangesOf(welds))...)
	a.Work = append(a.Work, e.inspection(len(welds)))
	a.Money = append(e.tipMoney(welds), e.gunMoney(welds)...)
	a.Money = append(a.Money, e.water())
	return a
}

// weldPieces are the pieces of work that every weld takes.
func (e *estimator) weldPieces(welds []weld) []Piece {
	el, n := e.shell.Elements, float64(len(welds))
	metres := 0.0
	for _, w := range welds {
		metres += w.move / 1000
	}
	move := hand(
		layout.WorkMove,
		"move the gun",
		"move_mm_per_s",
		metres,
		0,
		"m",
		fmt.Sprintf("straight from weld to weld in welding order at %v mm/s",
			el.MoveSpeed),
	)
	if metres > 0 {
		move.Each = 1000 / el.MoveSpeed
	}
	pieces := []Piece{hand(layout.WorkPosition, "position the gun", "position_s", n, el.Position, "weld", "welds of the joint"), move}
	var bySetting tally
	for _, w := range welds {
		bySetting.add(w.Setting, 1)
	}
	for _, id := range bySetting.names {
		pieces = append(pieces, e.currentPieces(id, bySetting.sum[id])...)
	}
	pieces = append(pieces, hand(layout.WorkOpen, "open", "open_s", n, el.Open, "weld", "welds of the joint"))
	for i := range pieces {
		pieces[i].Weld = true
	}
	return pieces
}

// currentPieces are squeeze, weld and hold of n welds at one setting, at the machine's pace.
func (e *estimator) currentPieces(id string, n float64) []Piece {
	s := e.settings[id]
	from := "setting " + id
	if id == "" {
		from = "no setting: weld and hold time are not counted"
	}
	squeeze := Piece{Kind: layout.WorkSqueeze, What: "squeeze", Count: n, Each: e.squeeze(s), Unit: "weld", From: from}
	switch {
	case s.SqueezeByShell:
		squeeze.Element, squeeze.Usual = "squeeze_s", setting.UsualSqueeze
	case s.Squeeze == 0:
		squeeze.Element, squeeze.From = "squeeze_s", "setting "+id+" states no squeeze time"
	}
	about := layout.Tools{Setting: id}
	squeeze.Tools = about
	return []Piece{
		squeeze,
		{Kind: layout.WorkWeld, What: "weld", Count: n, Each: s.Weld, Unit: "weld", From: from, Tools: about},
		{Kind: layout.WorkHold, What: "hold", Count: n, Each: s.Hold,
			Unit: "weld", From: from, Tools: about},
	}
}

// squeeze is a setting's squeeze time: its own, or the shell file's.
func (e *estimator) squeeze(s layout.Setting) float64 {
	switch {
	case s.SqueezeByShell:
		return cmp.Or(e.shell.Elements.Squeeze, setting.UsualSqueeze)
	case s.Squeeze == 0:
		return e.shell.Elements.Squeeze
	}
	return s.Squeeze
}

// startRuns is taking hold of the gun at each run, and changing posture where the run asks for it. The way there is counted
// as moving.
func (e *estimator) startRuns(welds []weld) []Piece {
	runs := map[int]bool{}
	turns := 0
	for _, w := range welds {
		runs[w.Run] = true
		if w.turns {
			turns++
		}
	}
	return []Piece{
		hand(layout.WorkStartRun, "grip the gun for a run", "start_run_s", float64(len(runs)), e.shell.Elements.StartRun, "run",
			"runs of the joint"),
		hand(layout.WorkPosture, "change posture", "posture_s", float64(turns), e.shell.Elements.Posture, "run",
			fmt.Sprintf("runs of the joint whose first weld has its axis turned by more than %v degrees, or lies more than %v mm higher or lower, "+
				"than the weld before; the station's first run", tour.PostureAngle, tour.PostureRise)),
	}
}

// weldSeconds is the time at one weld before practice and allowances.
func (e *estimator) weldSeconds(w weld) float64 {
	el, s := e.shell.Elements, e.settings[w.Setting]
	t := el.Position + el.Open + s.Weld + s.Hold + e.squeeze(s)
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
			runs, weights = append(runs, w.Run), append(weights, e.shell.Elements.StartRun)
		}
		weights[k] += e.weldSeconds(w)
		if w.turns {
			weights[k] += e.shell.Elements.Posture
		}
	}
	for k, t := range share(worked, weights) {
		e.runs[runs[k]] += t
	}
}

// tipCare is the dressing of tips and changing of caps that the welds bring about.
func (e *estimator) tipCare(welds []weld) []Piece {
	el := e.shell.Elements
	var pieces []Piece
	for _, u := range e.tipUse(welds) {
		dress := hand(
			layout.WorkDressTip,
			"dress tips",
			"dressing_s",
			u.welds/u.dress,
			el.Dressing,
			"dressing",
			fmt.Sprintf("%s / %v per dressing of tip %s",
				u.words, u.dress, u.tip),
		)
		caps := hand(layout.WorkChangeCaps, "change caps", "cap_change_s", u.welds/u.life, el.CapChange, "pair", u.perPair())
		dress.By, caps.By = WithAgain, WithAgain
		dress.Tools.Tip, caps.Tools.Tip = u.tip, u.tip
		pieces = append(pieces, dress, caps)
	}
	return pieces
}

func (e *estimator) tipMoney(welds []weld) []Piece {
	var pieces []Piece
	for _, u := range e.tipUse(welds) {
		pieces = append(
			pieces,
			Piece{Kind: layout.PaidCaps, What: "caps", Element: "tips." + u.tip + ".price", Count: u.welds / u.life, By: WithAgain,
				Each: e.tips[u.tip].Price, Tools: layout.Tools{Tip: u.tip}, Unit: "pair", From: u.perPair()},
		)
	}
	return pieces
}

// tipUse is how many welds one tip makes, and how long it lasts.
type tipUse struct {
	tip                string
	welds, dress, life float64
	words              string
}

func (u tipUse) perPair() string {
	return fmt.Sprintf("%s / %v per pair of caps of tip %s", u.words, u.life, u.tip)
}

// tipUse counts welds by tip; those made again come on top. A pair of caps lasts dress_every x dressings welds, one
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
			tip: id, welds: byTip.sum[id], dress: float64(t.Dress), life: float64(t.Dress * max(t.Dressings, 1)), words: e.withAgain(byTip.sum[id]),
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

// alongFlanges is fitting some flanges together and marking out their weld lines.
func (e *estimator) alongFlanges(flanges map[string]bool) []Piece {
	metres := 0.0
	for _, f := range e.plan.Flanges {
		if flanges[f.ID] {
			metres += f.Length / 1000
		}
	}
	el := e.shell.Elements
	return []Piece{
		hand(layout.WorkFit, "fit flanges together", "fit_s_per_m", metres, el.Fit, "m", "the joint's flanges"),
		hand(layout.WorkMark, "mark out", "mark_s_per_m", metres, el.Marking, "m", "weld lines of the joint's flanges"),
	}
}

func flangesOf(welds []weld) map[string]bool {
	ids := map[string]bool{}
	for _, w := range welds {
		ids[w.Flange] = true
	}
	return ids
}

func (e *estimator) inspection(welds int) Piece {
	every := e.shell.Elements.InspectEvery
	p := hand(
		layout.WorkInspect,
		"inspect",
		"inspect_s",
		float64(welds),
		e.shell.Elements.Inspect,
		"weld",
		fmt.Sprintf("%d welds, one in %d looked at", welds,
			every),
	)
	p.By = OneIn
	return p
}
