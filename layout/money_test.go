package layout

import "testing"

// Halves go up, as they stand in decimals, whatever their binary neighbours are.
func TestCents(t *testing.T) {
	for _, test := range []struct {
		v    float64
		want string
	}{{0, "0.00"}, {1.005, "1.01"}, {0.125, "0.13"}, {-1.005, "-1.00"}, {-1.006, "-1.01"}, {2.675, "2.68"}, {633.3778, "633.38"}, {0.0049,
		"0.00"},
		{-0.0001, "0.00"}, {0.00499999999, "0.01"}, {12345678.125, "12345678.13"}, {8.004999, "8.01"}} {
		if got := Money(test.v); got != test.want {
			t.Errorf("%v: %s, want %s", test.v, got, test.want)
		}
	}
	if got := Times(725.4814, 24); got != 17411.52 {
		t.Errorf("24 times 725.48 are %v", got)
	}
}
