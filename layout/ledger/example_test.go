package ledger_test

import (
	"context"
	"fmt"

	"seamwright/internal/strap"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
)

func Example() {
	plan, sh := strap.Whole() // two sheets along 300 mm, ten welds
	in, err := inforce.For(sh)
	if err != nil {
		fmt.Println(err)
		return
	}
	all, err := strips.Gather(context.Background(), plan, sh, in)
	if err != nil {
		fmt.Println(err)
		return
	}
	l := ledger.New(all)
	for _, s := range all.Strips {
		limit := l.Limit("edge.least", s.Stack, rule.Given{})
		for _, w := range s.Welds {
			words := fmt.Sprintf("flange %s: weld %d", s.Flange.ID, w.Number)
			if !l.Keeps(limit, w.Left, 0, func() string { return words }) {
				l.Find(limit, w.Left, s.Stack, rule.Given{}, ledger.Place{Words: words, Strip: s, Weld: w.Number})
			}
		}
	}
	for _, j := range l.Sum().Judged {
		fmt.Printf("%s: %d of %d places keep it, with the least to spare at %s: %.1f mm, limit %.1f mm\n", j.Rule, j.Kept, j.Places, j.Where,
			j.Value, j.Limit)
	}
	// Output:
	// edge.least: 10 of 10 places keep it, with the least to spare at flange strap/1: weld 1: 9.0 mm, limit 5.9 mm
}
