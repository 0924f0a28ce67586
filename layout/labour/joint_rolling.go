package labour

import (
	"fmt"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// seams are the roller seams of one joint at one station.
func (e *estimator) seams(station, joint int) []layout.Seam {
	var list []layout.Seam
	for _, r := range e.plan.Seams {
		if e.stations[r.Station] == station && e.joints[r.Joint] == joint {
			list = append(list, r)
		}
	}
	return list
}

// rolling fills the account of a joint's roller seams. Flanges that were fitted and marked out for spots are not fitted
// and marked again.
func (e *estimator) rolling(a Account, seams []layout.Seam, spotted bool) Account {
	a.Work = []Piece{
		hand(layout.WorkStartSeam, "start the roller", "roller_start_s", float64(len(seams)), e.shell.Elements.RollerStart, "seam",
			"roller seams of the joint"),
	}
	flanges := map[string]bool{}
	var metres tally
	for _, r := range seams {
		flanges[r.Flange] = true
		metres.add(r.Roller, r.Length/1000)
		a.rolls += int64(r.Length*1000 + 0.5)
		a.Work = append(
			a.Work,
			Piece{Kind: layout.WorkRoll, What: "roll", Count: r.Time, Each: 1, Unit: "s", From: fmt.Sprintf("seam %s: %.3f m at %.1f mm/s", r.ID,
				r.Length/1000, r.Speed)},
		)
	}
	a.Work = append(a.Work, e.wheelCare(metres)...)
	if !spotted {
		a.Work = append(a.Work, e.alongFlanges(flanges)...)
	}
	a.Money = append(e.wheelMoney(metres), e.rollerMoney(seams)...)
	a.Money = append(a.Money, e.water())
	return a
}

// wheelCare is the dressing and changing of wheels that the metres bring about.
func (e *estimator) wheelCare(metres tally) []Piece {
	el := e.shell.Elements
	var pieces []Piece
	for _, id := range metres.names {
		r, m := e.rollers[id], metres.sum[id]
		if r.Dress > 0 {
			pieces = append(pieces, hand(layout.WorkDressWheel, "dress wheels", "dressing_s", m/r.Dress, el.Dressing, "dressing",
				fmt.Sprintf("%.3f m / %v m per dressing of roller %s", m, r.Dress, id)))
		}
		if r.Wheels > 0 {
			pieces = append(
				pieces,
				hand(layout.WorkChangeWheel, "change wheels", "wheel_change_s", m/r.Wheels, el.WheelChange, "pair", perWheels(m, r)),
			)
		}
	}
	return pieces
}

func perWheels(metres float64, r shell.Roller) string {
	return fmt.Sprintf("%.3f m / %v m per pair of wheels of roller %s", metres, r.Wheels, r.ID)
}

func (e *estimator) wheelMoney(metres tally) []Piece {
	var pieces []Piece
	for _, id := range metres.names {
		r, m := e.rollers[id], metres.sum[id]
		if r.Wheels > 0 {
			pieces = append(
				pieces,
				Piece{
					Kind:    layout.PaidWheels,
					What:    "wheels",
					Element: "rollers." + id + ".price",
					Count:   m / r.Wheels,
					Each:    r.Price,
					Unit:    "pair",
					Tools:   layout.Tools{Roller: id},
					From:    perWheels(m, r),
				},
			)
		}
	}
	return pieces
}

// rollerMoney is energy: current flows for the setting's on time out of on and off time.
func (e *estimator) rollerMoney(seams []layout.Seam) []Piece {
	var seconds, drawn tally
	for _, r := range seams {
		s := e.settings[r.Setting]
		if s.Weld > 0 {
			on := r.Time * s.Weld / (s.Weld + s.Hold)
			seconds.add(r.Roller, on)
			drawn.add(r.Roller, e.rollers[r.Roller].Draws(s.Current)*on)
		}
	}
	var pieces []Piece
	for _, id := range seconds.names {
		pieces = append(pieces, e.energy(layout.Tools{Roller: id}, e.rollers[id].Voltage, drawn.sum[id], seconds.sum[id], Rolled))
	}
	return pieces
}

// gunMoney is energy: current flows for the settings' weld times.
func (e *estimator) gunMoney(welds []weld) []Piece {
	var seconds, drawn tally
	for _, w := range welds {
		s := e.settings[w.Setting]
		seconds.add(w.Gun, s.Weld)
		drawn.add(w.Gun, e.guns[w.Gun].Draws(s.Current)*s.Weld)
	}
	var pieces []Piece
	for _, id := range seconds.names {
		pieces = append(pieces, e.energy(layout.Tools{Gun: id}, e.guns[id].Voltage, drawn.sum[id], seconds.sum[id], Drawn))
	}
	return pieces
}

// energy is an estimate, and says so: the stated share of the apparent power while current flows, in kVA·s over so many seconds. Standby,
// cooling and compressed air belong to overhead.
func (e *estimator) energy(tool layout.Tools, voltage, drawn, seconds float64, by By) Piece {
	name, again := "roller "+tool.Roller, ""
	if tool.Gun != "" {
		name = "gun " + tool.Gun
	}
	if by == Drawn && e.again > 0 {
		again = fmt.Sprintf(" + %v %% again", e.shell.Allowances.Rework)
	}
	kva := fmt.Sprintf("%.4g kVA", drawn/max(seconds, 1e-12))
	if voltage > 0 {
		kva += fmt.Sprintf(" (%g V at its open ends x the settings' current)", voltage)
	}
	return Piece{
		Kind: layout.PaidEnergy, What: "energy", Element: "energy_per_kwh", Count: drawn / 3600, By: by, Each: e.shell.Rates.Energy,
		Unit: "kWh", Tools: tool,
		From: fmt.Sprintf("estimate: %s, %s x %.2f s of current%s x %v %% of it as kW", name, kva, seconds, again, e.shell.Rates.Utilisation),
	}
}

// water is cooling water that runs to waste while a gun or roller is in somebody's hands.
func (e *estimator) water() Piece {
	r := e.shell.Rates
	return Piece{Kind: layout.PaidWater, What: "water", Element: "water_per_m3", Count: 1, By: Flowing, Each: r.Water, Unit: "m³",
		From: fmt.Sprintf("%v l/min over the man-minutes of the joint's spots or seams", r.WaterFlow)}
}
