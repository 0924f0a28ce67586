package offer

import (
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/price"
)

// Columns of the sheets Work and Money.
const (
	colStation, colJoint, colWhat, colCount, colQuantity, colUnit, colEach, colTotal = "A", "B", "C", "D", "E", "F", "G", "H"
	colHand                                                                          = "I"
	colFrom                                                                          = "J"
)

// colBreak is the first column of figures for other quantities.
const colBreak = 'K'

// rows are the sheet rows of an account's work, and its minutes: of the batch's average shell first, then of the other quantities'.
type rows struct {
	first, weldLast, pieceLast, practice, allowances int
	minutes                                          []float64
}

// Figures are kept as the labour keeps them: time in steps of 0.006 s, money in steps of 0.0001.
func ticks(v float64) float64 { return float64(layout.Whole(v/0.006)*6) / 1000 }
func coins(v float64) float64 { return layout.Whole(v*1e4) / 1e4 }

func inTicks(formula string) string { return "ROUND((" + formula + ")/0.006+0.0000001,0)*0.006" }
func inCoins(formula string) string { return "ROUND(" + formula + "+0.00000000001,4)" }

// quantities are the batch and the other quantities, each with the cells that hold its number of shells and its factor of practice, and
// the column of its figures.
type quantity struct {
	shells         int
	n, practice    string // cells
	column         string // on the sheets Work and Money; empty: the batch, which has its own
	practiceFactor float64
}

func (b *book) quantities(o price.Offer) {
	b.of = append(b.of, quantity{shells: o.Batch.Shells, n: priceSheet + "!$B$4", practice: priceSheet + "!$B$5",
		practiceFactor: b.basis.PracticeAt(o.Batch.Shells)})
	for i, v := range o.Breaks {
		at := columnName(3 + i)
		b.of = append(b.of, quantity{shells: v.Shells, n: priceSheet + "!$" + at + "$4", practice: priceSheet + "!$" + at + "$5",
			column: columnName(int(colBreak-'A') + 1 + i), practiceFactor: b.basis.PracticeAt(v.Shells)})
	}
}

// columnName is the name of a column counted from 1.
func columnName(n int) string {
	name, err := excelize.ColumnNumberToName(n)
	if err != nil {
		return "XFD"
	}
	return name
}

// lines writes the sheets Work and Money.
func (b *book) lines(accounts []labour.Account) {
	names := []string{"station", "joint", "what", "counted", "quantity", "unit", "each", "total", "by hand", "from the plan"}
	widths := []float64{16, 20, 32, 12, 12, 14, 12, 12, 9, 70}
	money, time := slices.Clone(names), names
	money[8] = "after overhead"
	for _, q := range b.of[1:] {
		time, money = append(time, fmt.Sprintf("total, batch of %d as planned", q.shells)),
			append(money, fmt.Sprintf("after overhead, batch of %d as planned", q.shells))
		widths = append(widths, 12)
	}
	b.heads(workSheet, 1, time, widths)
	b.heads(moneySheet, 1, money, widths)
	work, row := 2, 2
	for _, a := range accounts {
		r, next := b.work(a, work)
		if next > work {
			row = b.wages(a, r, row)
		}
		row = b.bought(a, r, row)
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
	varies := slices.ContainsFunc(a.Work, func(p labour.Piece) bool { return p.Count != 0 && byBatch(p.By) })
	byHand, bare := make([]float64, len(b.of)), make([]float64, len(b.of))
	for _, p := range a.Work {
		if p.Count == 0 {
			continue
		}
		b.piece(a, p, row, r)
		for k, q := range b.of {
			total := ticks(b.basis.QuantityOf(p, q.shells) * p.Each)
			bare[k], byHand[k] = bare[k]+total, byHand[k]+total*p.Hand
			if k > 0 && varies {
				b.formula(workSheet, cell(q.column, row), inTicks(b.quantity(p, row, q.n)+"*"+cell(colEach, row)), total, "0.000", plain)
			}
		}
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
	b.place(workSheet, r.allowances, a, "allowances", "s of work", "personal + fatigue + posture + contingency")
	extra := fmt.Sprintf("(%s+%s+%s+%s)/100", b.ref("personal_pct"), b.ref("fatigue_pct"), b.ref("posture_pct"), b.ref("contingency_pct"))
	b.formula(workSheet, cell(colEach, r.allowances), extra, b.basis.Pace.Allowances, "0.0000", plain)
	for k, q := range b.of {
		column, pieces := q.column, colTotal
		if k == 0 {
			column = colTotal
		} else if varies {
			pieces = q.column
		}
		hand := fmt.Sprintf("SUMPRODUCT(%s,%s)", span(pieces, r.first, r.pieceLast), span(colHand, r.first, r.pieceLast))
		practice := ticks(byHand[k] * (q.practiceFactor - 1))
		if k == 0 {
			b.formula(workSheet, cell(colQuantity, r.practice), hand, byHand[k], "0.000", plain)
			b.formula(workSheet, cell(colEach, r.practice), q.practice+"-1", q.practiceFactor-1, "0.0000", plain)
			b.formula(workSheet, cell(colQuantity, r.allowances), fmt.Sprintf("SUM(%s)", span(colTotal, r.first, r.practice)), bare[k]+practice,
				"0.000", plain)
		}
		b.formula(workSheet, cell(column, r.practice), inTicks(fmt.Sprintf("%s*(%s-1)", hand, q.practice)), practice, "0.000", plain)
		worked := fmt.Sprintf("(SUM(%s)+%s)", span(pieces, r.first, r.pieceLast), cell(column, r.practice))
		allowed := ticks((bare[k] + practice) * b.basis.Pace.Allowances)
		b.formula(workSheet, cell(column, r.allowances), inTicks(worked+"*"+cell(colEach, r.allowances)), allowed, "0.000", plain)
		r.minutes = append(r.minutes, (bare[k]+practice+allowed)/60)
	}
	return r, row + 2
}

// byBatch says whether a quantity depends on how many shells are made.
func byBatch(by labour.By) bool { return by == labour.OverBatch || by == labour.FirstMade }

// minutes is the formula of an account's man-minutes for one of the quantities.
func (b *book) minutes(a labour.Account, r rows, k int) string {
	column, pieces := b.of[k].column, colTotal
	if k == 0 {
		column = colTotal
	} else if slices.ContainsFunc(a.Work, func(p labour.Piece) bool { return p.Count != 0 && byBatch(p.By) }) {
		pieces = column
	}
	return fmt.Sprintf("(SUM(%s!%s)+%s!%s+%s!%s)/60", workSheet, span(pieces, r.first, r.pieceLast), workSheet, cell(column, r.practice),
		workSheet,
		cell(column, r.allowances))
}

// practice is the formula of the average factor on hand work: of the batch's shells, each the difference of what so many
// and one more take together, and no shorter from the plateau on.
func (b *book) practice(batch string) string {
	rate, before, plateau := b.ref("learning"), b.ref("shells_before"), b.ref("plateau_shells")
	total := func(n string) string {
		of := func(n string) string { return fmt.Sprintf("IF(%[1]s=0,0,(%[1]s)^(1+LOG(%[2]s,2)))", n, rate) }
		return fmt.Sprintf("IF(OR(%[1]s=0,%[2]s<=%[1]s),%[3]s,%[4]s+(%[2]s-%[1]s)*(%[4]s-%[5]s))", plateau, n, of(n), of(plateau),
			of("("+plateau+"-1)"))
	}
	return fmt.Sprintf("IF(%[1]s=0,1,(%[2]s-(%[3]s))/%[4]s)", rate, total("("+before+"+"+batch+")"), total(before), batch)
}

func span(column string, from, to int) string { return cell(column, from) + ":" + cell(column, to) }

// product writes quantity x each, as it is kept.
func (b *book) product(sheet string, row int, value float64) {
	formula := cell(colQuantity, row) + "*" + cell(colEach, row)
	if sheet == workSheet {
		b.formula(sheet, cell(colTotal, row), inTicks(formula), ticks(value), "0.000", plain)
		return
	}
	b.formula(sheet, cell(colTotal, row), inCoins(formula), coins(value), "0.0000", plain)
}

// piece writes one piece of work.
func (b *book) piece(a labour.Account, p labour.Piece, row int, r rows) {
	b.place(workSheet, row, a, p.What, p.Unit, p.From)
	b.number(workSheet, cell(colCount, row), p.Count, "0.###", plain)
	b.formula(workSheet, cell(colQuantity, row), b.quantity(p, row, b.ref("batch")), b.basis.Quantity(p), "0.###", plain)
	switch {
	case p.By == labour.OnlyAgain:
		welds := span(colCount, r.first, r.weldLast) + "," + span(colEach, r.first, r.weldLast)
		b.formula(workSheet, cell(colEach, row), fmt.Sprintf("SUMPRODUCT(%s)/%s", welds, cell(colCount, row)), p.Each, "0.000", plain)
		b.formula(workSheet, cell(colHand, row), fmt.Sprintf("IF(SUMPRODUCT(%[1]s)=0,0,SUMPRODUCT(%[1]s,%[2]s)/SUMPRODUCT(%[1]s))", welds,
			span(colHand, r.first, r.weldLast)), p.Hand, "0.00", plain)
	case p.Kind == layout.WorkMove:
		b.formula(workSheet, cell(colEach, row), "1000/"+b.ref(p.Element), p.Each, "0.000", plain)
		b.number(workSheet, cell(colHand, row), p.Hand, "0.00", plain)
	case b.known(p.Element):
		formula := b.ref(p.Element)
		if p.Usual > 0 {
			formula = fmt.Sprintf("IF(%[1]s=0,%[2]g,%[1]s)", formula, p.Usual)
		}
		b.formula(workSheet, cell(colEach, row), formula, p.Each, "0.000", plain)
		b.number(workSheet, cell(colHand, row), p.Hand, "0.00", plain)
	default:
		b.number(workSheet, cell(colEach, row), p.Each, "0.000", plain)
		b.number(workSheet, cell(colHand, row), p.Hand, "0.00", plain)
	}
	b.product(workSheet, row, b.basis.Quantity(p)*p.Each)
}

// quantity is the formula that turns what was counted into the quantity, for a cell of shells.
func (b *book) quantity(p labour.Piece, row int, n string) string {
	count := cell(colCount, row)
	again := func(formula string) string { return fmt.Sprintf(formula, count, b.ref("rework_pct")) }
	switch p.By {
	case labour.WithAgain:
		return again("%s*(1+%s/100)")
	case labour.OnlyAgain:
		return again("%s*%s/100")
	case labour.OneIn:
		return fmt.Sprintf("IF(%[2]s=0,0,%[1]s/%[2]s)", count, b.ref("inspect_every"))
	case labour.ByCoupons:
		return fmt.Sprintf("%s*%s", count, b.ref("coupons"))
	case labour.OverBatch:
		return fmt.Sprintf("%s/%s", count, n)
	case labour.FirstMade:
		return fmt.Sprintf("IF(%s=0,0,%s/%s)", b.ref("coupons"), count, n)
	case labour.AfterCaps:
		return fmt.Sprintf("IF(%s=0,0,%s)", b.ref("coupons"), again("%s*(1+%s/100)"))
	case labour.Drawn:
		return again("%s*(1+%s/100)") + "*" + b.ref("utilisation_pct") + "/100"
	case labour.Rolled:
		return fmt.Sprintf("%s*%s/100", count, b.ref("utilisation_pct"))
	}
	return count
}

// wages writes the pay for an account's work, with overhead.
func (b *book) wages(a labour.Account, r rows, row int) int {
	rate := b.basis.Wage()
	b.place(moneySheet, row, a, "labour", "min", a.Kind.String())
	b.formula(moneySheet, cell(colQuantity, row), b.minutes(a, r, 0), r.minutes[0], "0.000", plain)
	b.formula(moneySheet, cell(colEach, row), b.ref("labour_per_hour")+"/60", rate, "0.0000", plain)
	b.product(moneySheet, row, r.minutes[0]*rate)
	b.withOverhead(row, true, coins(r.minutes[0]*rate))
	for k, q := range b.of[1:] {
		paid := coins(r.minutes[k+1] * rate)
		b.paid(row, q, inCoins(b.minutes(a, r, k+1)+"*"+cell(colEach, row)), paid, true)
	}
	return row + 1
}

// loaded is a formula with overhead on top, and what it comes to.
func (b *book) loaded(formula string, value float64) (string, float64) {
	return fmt.Sprintf("%[1]s+ROUND(%[1]s*%[2]s/100+0.00000000001,4)", formula, b.ref("overhead_pct")), value +
		coins(value*b.basis.Overhead())
}

// withOverhead writes the last figure of a line of money.
func (b *book) withOverhead(row int, wage bool, value float64) {
	formula := cell(colTotal, row)
	if wage {
		formula, value = b.loaded(formula, value)
	}
	b.formula(moneySheet, cell(colHand, row), formula, value, "0.0000", plain)
}

// paid writes what a line of money comes to at another quantity.
func (b *book) paid(row int, q quantity, formula string, value float64, wage bool) {
	if wage {
		formula, value = b.loaded(formula, value)
	}
	b.formula(moneySheet, cell(q.column, row), formula, value, "0.0000", plain)
}

// bought writes what is paid besides wages for the work.
func (b *book) bought(a labour.Account, r rows, row int) int {
	for _, p := range a.Money {
		if p.Count == 0 && p.By != labour.OverBatch {
			continue
		}
		b.place(moneySheet, row, a, p.What, p.Unit, p.From)
		b.counted(a, p, row)
		formula, quantity := b.boughtQuantity(a, p, r, row, 0)
		b.formula(moneySheet, cell(colQuantity, row), formula, quantity, "0.######", plain)
		b.price(p, row)
		b.product(moneySheet, row, quantity*p.Each)
		b.withOverhead(row, p.Wage, coins(quantity*p.Each))
		for k, q := range b.of[1:] {
			if !byBatch(p.By) && p.By != labour.Flowing {
				b.formula(moneySheet, cell(q.column, row), cell(colHand, row), coins(quantity*p.Each), "0.0000", plain)
				continue
			}
			formula, quantity := b.boughtQuantity(a, p, r, row, k+1)
			b.paid(row, q, inCoins("("+formula+")*"+cell(colEach, row)), coins(quantity*p.Each), p.Wage)
		}
		row++
	}
	return row
}

// boughtQuantity is the formula of what is bought for one of the quantities, and what it comes to.
func (b *book) boughtQuantity(a labour.Account, p labour.Piece, r rows, row, k int) (string, float64) {
	q := b.of[k]
	if p.By != labour.Flowing {
		n := q.n
		if k == 0 {
			n = b.ref("batch")
		}
		return b.quantity(p, row, n), b.basis.QuantityOf(p, q.shells)
	}
	if r.allowances == 0 {
		return "0", 0
	}
	return fmt.Sprintf("%s*%s*%s/1000", cell(colCount, row), b.minutes(a, r, k), b.ref("water_l_per_min")),
		p.Count * r.minutes[k] * b.basis.Water() / 1000
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
	if !b.known(p.Element) {
		b.number(moneySheet, cell(colEach, row), p.Each, "0.0000", plain)
		return
	}
	formula := b.ref(p.Element)
	switch p.Kind {
	case layout.PaidPreparation:
		formula = fmt.Sprintf("IF(%[1]s=0,%[2]s,%[1]s)/60", formula, b.ref("labour_per_hour"))
	case layout.PaidLabour, layout.PaidChangeover:
		formula += "/60"
	}
	b.formula(moneySheet, cell(colEach, row), formula, p.Each, "0.0000", plain)
}
