package schedule

import (
	"context"
	"flag"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/internal/record"
)

var _ = flag.Bool("update", false, "write the records of this package anew")

// Schedules of stations drawn at random are as they were, with their bounds.
func TestSchedulesAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 90 {
		p := rapid.Custom(func(t *rapid.T) Problem { return drawn(t, 4+i/4, i%3 > 0) }).Example(i)
		s, err := Solve(context.Background(), p)
		fmt.Fprintf(&b, "%d: %d tasks, %d persons: %.4f s, bound %.4f, changes %.4f, proven %t, %v:", i, len(p.Tasks), p.Persons, s.Seconds,
			s.Bound, s.Changes, s.Proven, err)
		for _, share := range s.Shares {
			fmt.Fprintf(&b, " %d by %v with %d from %.3f to %.3f", share.Task, share.Persons, share.Unit, share.Start, share.End)
		}
		b.WriteString("\n")
	}
	record.Hold(t, "testdata/schedules.txt", b.String())
}
