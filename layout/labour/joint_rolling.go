package labour

import (
	"fmt"

	"seamwright/layout"
)

// seams are the roller seams of one joint at one station.
func (e *estimator) seams(station, joint int) []layout.Roller {
	var list []layout.Roller
	for _, r := range e.plan.Rollers {
		if e.stations[r.Station] == station && e.joints[r.Joint] == joint {
			list = append(list, r)
		}
	}
	return list
}

// roll posts the work and money of a joint's roller seams. Weld lines that were marked out for spots are not marked again.
func (e *estimator) roll(at place, seams []layout.Roller, marked bool) {
	el := e.shell.Elements
	pieces := []piece{{"start the roller", "roller_start_s", float64(len(seams)), el.RollerStart, "seam", "roller seams of the joint", 1}}
	flanges := map[string]bool{}
	var metres tally
	for _, r := range seams {
		flanges[r.Flange] = true
		metres.add(r.Roller, r.Length/1000)
		e.addMetres(at, r.Length)
		pieces = append(pieces, piece{"roll", "", r.Time, 1, "s", fmt.Sprintf("seam %s: %.3f m at %.1f mm/s", r.ID, r.Length/1000, r.Speed), 0})
	}
	pieces = append(pieces, e.wheelCare(metres)...)
	if !marked {
		pieces = append(pieces, e.marking(flanges))
	}
	e.post(at, pieces)
	e.payForWheels(at, metres)
	e.payForRolling(at, seams)
}

func (e *estimator) addMetres(at place, millimetres float64) {
	micrometres := int64(millimetres*1000 + 0.5)
	e.book.stations[at.station].rolls += micrometres
	e.book.joints[at.joint].rolls += micrometres
}

// wheelCare is the dressing and changing of wheels that the metres bring about.
func (e *estimator) wheelCare(metres tally) []piece {
	el := e.shell.Elements
	var pieces []piece
	for _, id := range metres.names {
		r, m := e.rollers[id], metres.sum[id]
		if r.Dress > 0 {
			pieces = append(pieces, piece{"dress wheels", "dressing_s", m / r.Dress, el.Dressing, "dressing", fmt.Sprintf("%.3f m / %v m per dressing of roller %s", m, r.Dress, id), 1})
		}
		if r.Wheels > 0 {
			pieces = append(pieces, piece{"change wheels", "wheel_change_s", m / r.Wheels, el.WheelChange, "pair", fmt.Sprintf("%.3f m / %v m per pair of wheels of roller %s", m, r.Wheels, id), 1})
		}
	}
	return pieces
}

func (e *estimator) payForWheels(at place, metres tally) {
	for _, id := range metres.names {
		r, m := e.rollers[id], metres.sum[id]
		if r.Wheels > 0 {
			e.book.postMoney(at, piece{what: "wheels", element: "price", quantity: m / r.Wheels, each: r.Price, unit: "pair", from: fmt.Sprintf("%.3f m / %v m per pair of wheels of roller %s", m, r.Wheels, id)})
		}
	}
}

// payForRolling pays for energy: current flows for the setting's on time out of on and off time.
func (e *estimator) payForRolling(at place, seams []layout.Roller) {
	var seconds tally
	for _, r := range seams {
		s := e.settings[r.Setting]
		if s.Weld > 0 {
			seconds.add(r.Roller, r.Time*s.Weld/(s.Weld+s.Hold))
		}
	}
	for _, id := range seconds.names {
		e.payForEnergy(at, "roller "+id, e.rollers[id].Power, seconds.sum[id])
	}
}

func (e *estimator) payForTips(at place, welds []weld) {
	for _, u := range e.tipUse(welds) {
		e.book.postMoney(at, piece{what: "caps", element: "price", quantity: u.made / u.life, each: e.tips[u.tip].Price, unit: "pair", from: fmt.Sprintf("%s / %v per pair of caps of tip %s", u.words, u.life, u.tip)})
	}
}

func (e *estimator) payForGuns(at place, welds []weld) {
	var seconds tally
	for _, w := range welds {
		seconds.add(w.Gun, float64(e.settings[w.Setting].Weld*(1+e.again)))
	}
	for _, id := range seconds.names {
		e.payForEnergy(at, "gun "+id, e.guns[id].Power, seconds.sum[id])
	}
}

// payForEnergy is an estimate, and says so: the stated share of the rated power while current flows. Standby,
// cooling and compressed air belong to overhead.
func (e *estimator) payForEnergy(at place, tool string, kva, seconds float64) {
	r := e.shell.Rates
	e.book.postMoney(at, piece{
		what: "energy", element: "energy_per_kwh", quantity: kva * seconds / 3600 * r.Utilisation / 100, each: r.Energy, unit: "kWh",
		from: fmt.Sprintf("estimate: %s, %v kVA x %.2f s of current x %v %% drawn", tool, kva, seconds, r.Utilisation),
	})
}
