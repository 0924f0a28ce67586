package steel_test

import (
	"strconv"
	"strings"
	"testing"

	"seamwright/seams/steel"
)

// Every row that was read, just within each end of its thickness and in each of its widths.
func TestTolerances(t *testing.T) {
	for _, r := range rows(t, "testdata/thickness-tolerance-en10131.csv") {
		grade := steel.Grade{Yield: 140}
		if strings.HasPrefix(r["Re_class"], "260") {
			grade.Yield = 260
		}
		value := func(key string) float64 {
			v, err := strconv.ParseFloat(r[key], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		for width, keys := range map[float64][2]string{1200: {"normal_w<=1200", "special_S_w<=1200"},
			1500: {"normal_1200-1500", "special_1200-1500"}, 1501: {"normal_>1500", "special_>1500"}} {
			for _, thickness := range []float64{value("t_over_mm") + 1e-6, value("t_to_mm")} {
				got, ok := steel.FindTolerance(grade, thickness, width)
				if !ok || got.Normal != value(keys[0]) || got.Special != value(keys[1]) || got.Certainty != r["certainty"] {
					t.Errorf("%s, %g mm, %g wide: %+v, %v; want %s and %s", r["Re_class"], thickness, width, got, ok, r[keys[0]], r[keys[1]])
				}
			}
		}
	}
}

func TestNoTolerance(t *testing.T) {
	for name, c := range map[string]struct {
		grade     steel.Grade
		thickness float64
	}{
		"zinc on it":            {steel.Grade{Zinc: true, Yield: 140}, 1},
		"thinner":               {steel.Grade{Yield: 140}, 0.35},
		"thicker":               {steel.Grade{Yield: 140}, 3.01},
		"firm, beyond what was": {steel.Grade{Yield: 280}, 1.2},
		"harder":                {steel.Grade{Yield: 340, MaxYield: 420}, 1},
	} {
		if got, ok := steel.FindTolerance(c.grade, c.thickness, 1000); ok {
			t.Errorf("%s: %+v", name, got)
		}
	}
}
