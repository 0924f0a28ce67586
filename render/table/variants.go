package table

import (
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/variants"
)

// Variants is the CSV of the results of variants, a row for each, with how much more or less a shell costs than in the first.
// What could not be planned, or was not yet, has no figures and says why.
func Variants(results []variants.Result) ([]byte, error) {
	rows := [][]string{{
		"row", "name", "settings", "batch", "crew", "man_minutes_per_shell", "currency", "cost_per_shell", "change_pct", "p80_per_shell",
		"cost_per_batch", "bottleneck", "shells_per_week", "batch_hours", "welds_per_shell", "broken", "problem",
	}}
	for _, r := range results {
		row := []string{strconv.Itoa(r.Row), Text(r.Name), Text(strings.Join(r.Settings, ","))}
		switch v := r.Variant; {
		case v != nil:
			change := ""
			if base := results[0].Variant; base != nil && base.CostPerShell > 0 {
				change = number(100*(v.CostPerShell/base.CostPerShell-1), 2)
			}
			row = append(row, strconv.Itoa(v.Batch), strconv.Itoa(v.Crew), number(v.MinutesPerShell, 2), Text(r.Currency),
				layout.Money(v.CostPerShell), change, layout.Money(v.P80PerShell), layout.Money(v.CostPerBatch), Text(v.Bottleneck),
				number(v.ShellsPerWeek, 2), number(v.Makespan/60, 2), strconv.Itoa(v.Welds), strconv.Itoa(v.Broken), "")
		case r.Missing():
			row = append(append(row, make([]string, len(rows[0])-len(row)-1)...), "no result yet: run seamwright variants again")
		default:
			row = append(append(row, make([]string, len(rows[0])-len(row)-1)...), Text(r.Problem))
		}
		rows = append(rows, row)
	}
	return written("variants.csv", rows)
}
