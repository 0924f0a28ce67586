package layout_test

import (
	"fmt"
	"testing"

	"seamwright/layout"
)

func ExampleStation_Persons() {
	s := layout.Station{Crew: 2, Steps: []layout.Step{{Do: layout.DoLoad}, {Do: layout.DoTack, Runs: []int{7, 8}}, {Do: layout.DoLiftOut}}}
	s.Crewing = layout.Crewing{Minutes: 9, Shares: []layout.Share{
		{Person: 1, Step: 1, From: 0, To: 2}, {Person: 1, Step: 2, Run: 7, From: 2, To: 4}, {Person: 1, Step: 2, Run: 8, From: 4.01, To: 7},
		{Person: 1, Step: 3, From: 7, To: 9}, {Person: 2, Step: 3, From: 7, To: 8}}}
	for k, own := range s.Persons() {
		for _, v := range own {
			fmt.Println(k+1, v.From, v.To, v.Step, v.Do, v.Runs)
		}
	}
	// Output:
	// 1 0 2 1 load []
	// 1 2 7 2 tack [7 8]
	// 1 7 9 3 lift out []
	// 2 0 7 0  []
	// 2 7 8 3 lift out []
	// 2 8 9 0  []
}

func TestSure(t *testing.T) {
	for _, c := range []struct {
		crewing layout.Crewing
		want    string
	}{
		{layout.Crewing{Minutes: 5, Bound: 5, Proven: true}, "proven the least"},
		{layout.Crewing{Minutes: 5, Bound: 4.91}, "found by search, less than 0.1 min above what is proven to be needed"},
		{layout.Crewing{Minutes: 5, Bound: 4.2}, "found by search; at least 4.2 min are needed"},
	} {
		if got := c.crewing.Sure(); got != c.want {
			t.Errorf("%+v: %s", c.crewing, got)
		}
	}
	if got := (layout.Station{Crew: 2}).Persons(); got != nil {
		t.Errorf("without a schedule: %v", got)
	}
}
