package layout

import (
	"fmt"
	"strconv"
)

// PaidRows word what is paid for beside what is worked: a name and a figure each.
func (p *Plan) PaidRows() [][2]string {
	paid := p.Cost.Paid
	people := fmt.Sprintf("%d, as many as the jigs' crews (people is not stated)", paid.Places)
	if paid.People > 0 {
		people = fmt.Sprintf("%d for %d places at %d jigs", paid.People, paid.Places, len(paid.Jigs))
	}
	rows := [][2]string{{"people there at once", people}, {"shifts a day", strconv.Itoa(paid.Shifts)},
		{"worked, preparation included", decimal(paid.Worked/60, 1) + " h"},
		{"at their jigs, waiting for each other included", decimal(paid.AtJigs/60, 1) + " h"},
		{"paid", decimal(paid.Paid/60, 1) + " h"}}
	if paid.Paid > 0 {
		off := max(0, paid.Paid-paid.Worked)
		rows = append(rows, [2]string{"paid and not worked", fmt.Sprintf("%s h, %s %%", decimal(off/60, 1), decimal(100*off/paid.Paid, 1))})
	}
	rows = append(rows, [2]string{"which costs, a shell", Money(paid.StandBy) + " " + p.Cost.Currency},
		[2]string{"from the first start until the batch is out", fmt.Sprintf("%s h; no order of work takes less than %s h",
			decimal(paid.Minutes/60, 1), decimal(paid.Bound/60, 1))})
	if paid.Weeks > 0 {
		rows = append(rows, [2]string{"calendar", decimal(paid.Weeks, 1) + " weeks"})
	}
	limit := "the jig of station " + paid.Limit
	if paid.Limit == "people" {
		limit = "people: the jigs wait for them"
	}
	return append(rows, [2]string{"what limits", limit})
}

func decimal(v float64, places int) string { return strconv.FormatFloat(v, 'f', places, 64) }
