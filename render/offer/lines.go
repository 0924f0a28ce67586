package offer

import (
	"fmt"

	"seamwright/layout"
	"seamwright/layout/labour"
)

// Columns of the sheets Work and Money.
const (
	colStation, colJoint, colWhat, colCount, colQuantity, colUnit, colEach, colTotal = "A", "B", "C", "D", "E", "F", "G", "H"
	colHand                                                                          = "I"
	colFrom                                                                          = "J"
)

// rows are the sheet rows of an account's work.
type rows struct {
	first, weldLast, pieceLast, practice, allowances int
	minutes                                          float64
}

// lines writes the sheets Work and Money.
func (b *book) lines(accounts []labour.Account) {
	names := []string{"station", "joint", "what", "counted", "quantity", "unit", "each", "total", "by hand", "from the plan"}
	widths := []float64{16, 20, 32, 12, 12, 14, 12, 12, 9, 70}
	b.heads(workSheet, 1, names, widths)
	names[8] = "after overhead"
	b.heads(moneySheet, 1, names, widths)
	work, money := 2, 2
	for _, a := range accounts {
		r, next := b.work(a, work)
		if next > work {
			money = b.wages(a, r, money)
		}
		money = b.bought(a, r, money)
		work = next
	}
}

// place writes what a line belongs to.
func (b *book) place(sheet string, row int, a labour.Account, what, unit, from string) {
	for _, c := range [][2]string{{colStation, a.Station}, {colJoint, a.Joint}, {colWhat, what}, {colUnit, unit}, {colFrom, from}} {
		b.text(sheet, cell(c[0], row), c[1], plain)
	}
}

// work writes an account's work from a row on and returns the next free row. Pieces that nothing is done of are left
// out only where they are counted as none, so that a time of zero may be changed.
func (b *book) work(a labour.Account, row int) (rows, int) {
	r := rows{first: row}
	byHand := 0.0
	for _, p := range a.Work {
		if p.Count == 0 {
			continue
		}
		b.piece(a, p, row, r)
		bare := b.basis.Quantity(p) * p.Each
		byHand += bare * p.Hand
		r.minutes += bare / 60
		if p.Weld {
			r.weldLast = row
		}
		r.pieceLast = row
		row++
	}
	if row == r.first {
		return r, row
	}
	r.practice, r.allowances = row, row+1
	b.place(workSheet, r.practice, a, "practice over the batch", "s of hand work",
		"batch ^ log2(learning) - 1 on hand work: cumulative average (Wright 1936), on from shells_before, to plateau_shells")
	b.formula(workSheet, cell(colQuantity, r.practice), fmt.Sprintf("SUMPRODUCT(%s,%s)", span(colTotal, r.first, r.pieceLast),
		span(colHand, r.first, r.pieceLast)), byHand, "0.000", plain)
	b.formula(workSheet, cell(colEach, r.practice), b.practice(),
		b.basis.Pace.Practice-1, "0.0000", plain)
	b.product(workSheet, r.practice, byHand*(b.basis.Pace.Practice-1))
	worked := r.minutes*60 + byHand*(b.basis.Pace.Practice-1)
	b.place(workSheet, r.allowances, a, "allowances", "s of work", "personal + fatigue + posture + contingency")
	b.formula(workSheet, cell(colQuantity, r.allowances), "SUM("+span(colTotal, r.first, r.practice)+")", worked, "0.000", plain)
	b.formula(workSheet, cell(colEach, r.allowances), fmt.Sprintf("(%s+%s+%s+%s)/100", b.ref("personal_pct"), b.ref("fatigue_pct"),
		b.ref("posture_pct"), b.ref("contingency_pct")), b.basis.Pace.Allowances, "0.0000", plain)
	b.product(workSheet, r.allowances, worked*b.basis.Pace.Allowances)
	r.minutes = worked * (1 + b.basis.Pace.Allowances) / 60
	return r, row + 2
}

// practice is the formula of the average factor on hand work, less 1: of the batch's shells, each the difference of what so many
// and one more take together, and no shorter from the plateau on.
func (b *book) practice() string {
	rate, batch, before, plateau := b.ref("learning"), b.ref("batch"), b.ref("shells_before"), b.ref("plateau_shells")
	total := func(n string) string {
		of := func(n string) string { return fmt.Sprintf("IF(%[1]s=0,0,(%[1]s)^(1+LOG(%[2]s,2)))", n, rate) }
		return fmt.Sprintf("IF(OR(%[1]s=0,%[2]s<=%[1]s),%[3]s,%[4]s+(%[2]s-%[1]s)*(%[4]s-%[5]s))", plateau, n, of(n), of(plateau),
			of("("+plateau+"-1)"))
	}
	return fmt.Sprintf("IF(%[1]s=0,0,(%[2]s-(%[3]s))/%[4]s-1)", rate, total("("+before+"+"+batch+")"), total(before), batch)
}

func span(column string, from, to int) string { return cell(column, from) + ":" + cell(column, to) }

// product writes quantity x each.
func (b *book) product(sheet string, row int, value float64) {
	b.formula(sheet, cell(colTotal, row), cell(colQuantity, row)+"*"+cell(colEach, row), value, "0.000", plain)
}

// piece writes one piece of work.
func (b *book) piece(a labour.Account, p labour.Piece, row int, r rows) {
	b.place(workSheet, row, a, p.What, p.Unit, p.From)
	b.number(workSheet, cell(colCount, row), p.Count, "0.###", plain)
	b.formula(workSheet, cell(colQuantity, row), b.quantity(p, row), b.basis.Quantity(p), "0.###", plain)
	switch {
	case p.By == labour.OnlyAgain:
		welds := span(colTotal, r.first, r.weldLast)
		b.formula(workSheet, cell(colEach, row), fmt.Sprintf("SUM(%s)/%s", welds, cell(colCount, row)), p.Each, "0.000", plain)
		b.formula(workSheet, cell(colHand, row), fmt.Sprintf("IF(SUM(%[1]s)=0,0,SUMPRODUCT(%[1]s,%[2]s)/SUM(%[1]s))", welds,
			span(colHand, r.first, r.weldLast)), p.Hand, "0.00", plain)
	case p.Kind == layout.WorkMove:
		b.formula(workSheet, cell(colEach, row), "1000/"+b.ref(p.Element), p.Each, "0.000", plain)
		b.number(workSheet, cell(colHand, row), p.Hand, "0.00", plain)
	case b.known(p.Element):
		b.formula(workSheet, cell(colEach, row), b.ref(p.Element), p.Each, "0.000", plain)
		b.number(workSheet, cell(colHand, row), p.Hand, "0.00", plain)
	default:
		b.number(workSheet, cell(colEach, row), p.Each, "0.000", plain)
		b.number(workSheet, cell(colHand, row), p.Hand, "0.00", plain)
	}
	b.product(workSheet, row, b.basis.Quantity(p)*p.Each)
}

// quantity is the formula that turns what was counted into the quantity.
func (b *book) quantity(p labour.Piece, row int) string {
	count, again, used := cell(colCount, row), b.ref("rework_pct"), b.ref("utilisation_pct")
	switch p.By {
	case labour.WithAgain:
		return fmt.Sprintf("%s*(1+%s/100)", count, again)
	case labour.OnlyAgain:
		return fmt.Sprintf("%s*%s/100", count, again)
	case labour.OneIn:
		return fmt.Sprintf("IF(%[2]s=0,0,%[1]s/%[2]s)", count, b.ref("inspect_every"))
	case labour.ByCoupons:
		return fmt.Sprintf("%s*%s", count, b.ref("coupons"))
	case labour.OverBatch:
		return fmt.Sprintf("%s/%s", count, b.ref("batch"))
	case labour.FirstMade:
		return fmt.Sprintf("IF(%s=0,0,%s/%s)", b.ref("coupons"), count, b.ref("batch"))
	case labour.AfterCaps:
		return fmt.Sprintf("IF(%s=0,0,%s*(1+%s/100))", b.ref("coupons"), count, again)
	case labour.Drawn:
		return fmt.Sprintf("%s*(1+%s/100)*%s/100", count, again, used)
	case labour.Rolled:
		return fmt.Sprintf("%s*%s/100", count, used)
	}
	return count
}

// wages writes the pay for an account's work, with overhead.
func (b *book) wages(a labour.Account, r rows, row int) int {
	minutes := "SUM(" + workSheet + "!" + span(colTotal, r.first, r.allowances) + ")/60"
	rate := b.basis.Wage()
	b.place(moneySheet, row, a, "labour", "min", a.Kind.String())
	b.formula(moneySheet, cell(colQuantity, row), minutes, r.minutes, "0.000", plain)
	b.formula(moneySheet, cell(colEach, row), b.ref("labour_per_hour")+"/60", rate, "0.0000", plain)
	b.product(moneySheet, row, r.minutes*rate)
	b.withOverhead(row, true, r.minutes*rate)
	return row + 1
}

// withOverhead writes the last figure of a line of money.
func (b *book) withOverhead(row int, wage bool, value float64) {
	if !wage {
		b.formula(moneySheet, cell(colHand, row), cell(colTotal, row), value, "0.0000", plain)
		return
	}
	b.formula(moneySheet, cell(colHand, row), fmt.Sprintf("%s*(1+%s/100)", cell(colTotal, row), b.ref("overhead_pct")),
		value*(1+b.basis.Overhead()), "0.0000", plain)
}

// bought writes what is paid besides wages for the work.
func (b *book) bought(a labour.Account, r rows, row int) int {
	for _, p := range a.Money {
		if p.Count == 0 && p.By != labour.OverBatch {
			continue
		}
		b.place(moneySheet, row, a, p.What, p.Unit, p.From)
		quantity := b.basis.Quantity(p)
		if p.By == labour.Flowing {
			quantity = p.Count * r.minutes * b.basis.Water() / 1000
		}
		b.counted(a, p, row)
		formula := b.quantity(p, row)
		if p.By == labour.Flowing {
			formula = "0"
			if r.allowances > 0 {
				formula = fmt.Sprintf("%s*SUM(%s!%s)/60*%s/1000", cell(colCount, row), workSheet, span(colTotal, r.first, r.allowances),
					b.ref("water_l_per_min"))
			}
		}
		b.formula(moneySheet, cell(colQuantity, row), formula, quantity, "0.######", plain)
		b.price(p, row)
		b.product(moneySheet, row, quantity*p.Each)
		b.withOverhead(row, p.Wage, quantity*p.Each)
		row++
	}
	return row
}

// counted writes what was counted for a line of money: minutes once a batch come from the inputs.
func (b *book) counted(a labour.Account, p labour.Piece, row int) {
	at := cell(colCount, row)
	key := "stations." + a.Station + ".prepare_min"
	if p.Kind == layout.PaidChangeover {
		key = "stations." + a.Station + ".changeover_min"
	}
	if p.By == labour.OverBatch && b.known(key) {
		b.formula(moneySheet, at, b.ref(key), p.Count, "0.###", plain)
		return
	}
	b.number(moneySheet, at, p.Count, "0.######", plain)
}

// price writes a line's each.
func (b *book) price(p labour.Piece, row int) {
	formula := b.ref(p.Element)
	switch p.Kind {
	case layout.PaidPreparation:
		formula = fmt.Sprintf("IF(%[1]s=0,%[2]s,%[1]s)/60", formula, b.ref("labour_per_hour"))
	case layout.PaidLabour, layout.PaidChangeover:
		formula += "/60"
	}
	if !b.known(p.Element) {
		b.number(moneySheet, cell(colEach, row), p.Each, "0.0000", plain)
		return
	}
	b.formula(moneySheet, cell(colEach, row), formula, p.Each, "0.0000", plain)
}
