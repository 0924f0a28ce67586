package labour

import (
	"fmt"
	"math"
)

// Practice is the factor on the first shell's hand time that gives the average over a batch: batch^log2(rate), the
// cumulative-average model (Wright 1936). At 80 % the average of two is 0.80 and of four 0.64. A rate of 0 counts as
// not stated and 1 as no practice: the factor is then 1. Rates below 0.5 are refused: the second shell would
// take less than no time, since the total batch x batch^log2(rate) falls; at 0.5 it takes none.
func Practice(rate float64, batch int) (float64, error) {
	if batch < 1 {
		return 0, fmt.Errorf("batch is %d: it must be at least 1", batch)
	}
	if rate == 0 || rate == 1 {
		return 1, nil
	}
	if !(rate >= 0.5 && rate < 1) {
		return 0, fmt.Errorf("allowances: learning is %v: it must be from 0.5 to 1 (1: none; 0.9: a tenth less with each doubling)", rate)
	}
	return math.Pow(float64(batch), math.Log2(rate)), nil
}

// UnitTime is the time of the n-th shell in parts of the first one's: n^(b+1) - (n-1)^(b+1) with b = log2(rate), so
// that the shells 1 to n average Practice(rate, n).
func UnitTime(rate float64, n int) (float64, error) {
	average, err := Practice(rate, n)
	if err != nil || n == 1 {
		return average, err
	}
	before, err := Practice(rate, n-1)
	return float64(float64(n)*average) - float64(float64(n-1)*before), err
}
