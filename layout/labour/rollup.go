package labour

import (
	"seamwright/layout"
)

// labour adds up the time.
func (e *estimator) labour() layout.Labour {
	var shell sums
	l := layout.Labour{Lines: e.book.time, Factors: e.factors(), Practice: PracticeOf(e.shell), Practised: e.practice,
		CouponsEach: e.shell.Elements.Coupons}
	for i, s := range e.plan.Stations {
		a := e.book.stations[i]
		shell.add(a)
		prepare, change := e.onceABatch(i)
		l.PrepareMinutes += prepare
		l.ChangeMinutes += change
		l.Stations = append(l.Stations, layout.StationLabour{
			Station: s.ID, Name: s.Name, Crew: s.Crew,
			ManMinutes: a.ticks().minutes(), Minutes: a.ticks().minutes() / float64(s.Crew),
			Hand: float64(e.byHand[i]*(1+e.extra)) / 60, Weld: a.time[Spots].minutes(), Roll: a.time[Rolling].minutes(),
			Handling:    a.time[Handling].minutes(),
			RollerMetre: a.metres(), Welds: a.welds, Prepare: prepare, Change: change, Cost: a.money.money(),
		})
	}
	l.ManMinutesPerShell, l.RollerMetres, l.Welds = shell.ticks().minutes(), shell.metres(), shell.welds
	for i, j := range e.plan.Joints {
		l.Joints = append(l.Joints, part(j.ID, e.book.joints[i]))
	}
	for _, s := range e.plan.Subassemblies {
		l.Subassemblies = append(l.Subassemblies, part(s.ID, e.subassembly(s.ID, len(e.plan.Subassemblies))))
	}
	return l
}

func part(id string, a sums) layout.PartLabour {
	return layout.PartLabour{ID: id, ManMinutes: a.ticks().minutes(), Welds: a.welds, RollerMetre: a.metres(), Cost: a.money.money()}
}

// subassembly adds up the station that makes it and the sub-assemblies that it is made of, at most depth levels down.
func (e *estimator) subassembly(id string, depth int) sums {
	var sum sums
	for i, s := range e.plan.Stations {
		if s.Makes == id {
			sum.add(e.book.stations[i])
		}
	}
	for _, s := range e.plan.Subassemblies {
		if s.ID != id || depth == 0 {
			continue
		}
		for _, below := range s.Parts {
			sum.add(e.subassembly(below, depth-1))
		}
	}
	return sum
}

// cost adds up the money.
func (e *estimator) cost() layout.Cost {
	var shell sums
	once := 0.0
	for i, a := range e.book.stations {
		shell.add(a)
		prepare, change := e.onceABatch(i)
		once += prepare + change
	}
	return layout.Cost{
		Currency: e.shell.Rates.Currency, Batch: e.shell.Batch,
		MinutesPerShell:      shell.ticks().minutes() + once/float64(e.shell.Batch),
		CostPerShell:         shell.money.money(),
		CostPerBatch:         layout.Times(shell.money.money(), e.shell.Batch),
		RollerMetresPerShell: shell.metres(),
		Lines:                e.book.money,
		TrimAllowance:        e.shell.Allowances.Trim, PressAllowance: e.shell.Allowances.Press,
	}
}

// writeMinutes puts the minutes into the plan.
func (e *estimator) writeMinutes() {
	for i := range e.plan.Stations {
		s := &e.plan.Stations[i]
		s.Minutes = e.book.stations[i].ticks().minutes() / float64(s.Crew)
	}
	for i := range e.plan.Joints {
		e.plan.Joints[i].Minutes = e.book.joints[i].ticks().minutes()
	}
	for i := range e.plan.Runs {
		e.plan.Runs[i].Minutes = e.runs[e.plan.Runs[i].ID].minutes()
	}
}

// factors are what is laid on all work, and what is not counted because nothing is stated.
func (e *estimator) factors() []layout.Factor {
	a, r := e.shell.Allowances, e.shell.Rates
	list := []layout.Factor{
		{Name: "personal needs", Value: a.Personal / 100, Source: "shell file: allowances.personal_pct"},
		{Name: "fatigue", Value: a.Fatigue / 100, Source: "shell file: allowances.fatigue_pct"},
		{Name: "posture", Value: a.Posture / 100, Source: "shell file: allowances.posture_pct"},
		{Name: "contingency", Value: a.Contingency / 100, Source: "shell file: allowances.contingency_pct"},
		{Name: "allowances together", Value: e.extra, Source: "their sum, on hand and machine-paced work: the gun is held while it welds"},
		{Name: "welds made again", Value: e.again, Source: "shell file: allowances.rework_pct"},
		{Name: "practice over the batch", Value: e.practice, Source: wordsOf(PracticeOf(e.shell), e.shell.Batch)},
		{Name: "kW of the kVA drawn while current flows", Value: r.Utilisation / 100,
			Source: "shell file: rates.utilisation_pct, an estimate; standby, cooling and compressed air are overhead"},
	}
	for _, t := range e.plan.Tips {
		if e.tips[t.ID].Dress == 0 {
			list = append(list, layout.Factor{Name: "tip " + t.ID + " is neither dressed nor used up",
				Source: "shell file: tips.dress_every is not stated"})
		}
	}
	return list
}
