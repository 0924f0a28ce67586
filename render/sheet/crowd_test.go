package sheet

import (
	"context"
	"strings"
	"testing"

	"seamwright/internal/sample"
)

func TestCrowdedPlacesGetDetails(t *testing.T) {
	plan, panels := sample.Cabin()
	for _, size := range sizes {
		sheets, err := Station(context.Background(), plan, panels, "st10", Options{Size: size})
		if err != nil {
			t.Fatal(err)
		}
		marks, views, details := 0, 0, 0
		for _, s := range sheets {
			if n := overlaps(t, s, size.Frame()); n != (count{}) {
				t.Errorf("%s %s: %+v", size.Name, s.Name, n)
			}
			if s.Labels.Unplaced+s.Labels.Hidden > 0 {
				t.Errorf("%s %s: %+v", size.Name, s.Name, s.Labels)
			}
			for _, v := range s.Views {
				if strings.HasPrefix(v, "Detail") {
					details++
				} else {
					views++
				}
			}
			marks += weldMarks(s)
		}
		if views != 2 {
			t.Errorf("%s: %d views, want 2 of opposite sides", size.Name, views)
		}
		if details == 0 && size.Width < 500 { // larger sheets show the ring large enough
			t.Errorf("%s: no detail of the crowded ring", size.Name)
		}
		if marks != len(plan.Welds) {
			t.Errorf("%s: %d weld marks, want %d", size.Name, marks, len(plan.Welds))
		}
	}
}

func BenchmarkStation(b *testing.B) {
	plan, panels := sample.Cabin()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Station(context.Background(), plan, panels, "st10", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
