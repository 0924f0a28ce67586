package labour

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
)

// Summary merges lines of the same work or goods over all stations and joints, so that an estimator sees on one page
// what takes the time or the money: greatest amount first, equal ones by name. Each is the mean for one unit.
// Lines of other units stay apart. The totals add up to those of the lines.
func Summary(lines []layout.Line) []layout.Line {
	type key struct {
		kind                layout.LabourKind
		what, element, unit string
	}
	at := map[key]int{}
	var merged []layout.Line
	var count []int
	for _, l := range lines {
		k := key{l.Kind, l.What, l.Element, l.Unit}
		i, ok := at[k]
		if !ok {
			i = len(merged)
			at[k] = i
			merged, count = append(merged, layout.Line{Kind: l.Kind, What: l.What, Element: l.Element, Unit: l.Unit}), append(count, 0)
		}
		merged[i].Quantity += l.Quantity
		merged[i].Total += l.Total
		count[i]++
	}
	for i := range merged {
		m := &merged[i]
		m.From = fmt.Sprintf("%d lines", count[i])
		if count[i] == 1 {
			m.From = "1 line"
		}
		if m.Quantity != 0 {
			m.Each = m.Total / m.Quantity
		}
	}
	slices.SortStableFunc(merged, func(a, b layout.Line) int {
		return cmp.Or(cmp.Compare(math.Abs(b.Total), math.Abs(a.Total)), cmp.Compare(a.What, b.What), cmp.Compare(a.Element, b.Element))
	})
	return merged
}
