package curve_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"seamwright/geometry/curve"
)

func ExampleLasting() {
	at := []float64{0, 2, 4, 6, 8, 10, 12, 14, 16, 18}
	gap := []float64{0, 0, 0.9, 0, 0, 0.4, 0.4, 0.4, 0, 0}
	fmt.Println(curve.Lasting(at, gap, 18, 3, false)) // a spike is cut to what lasts
	// Output: [0 0 0.225 0 0 0.4 0.4 0.4 0 0]
}

// What lasts is no more than what was, no less than the least, the same again, and, where the values lie on a closed line, the
// same from wherever they are counted.
func TestLasting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		closed := rapid.Bool().Draw(t, "closed")
		x := rapid.SliceOfN(rapid.Float64Range(0, 9), 3, 40).Draw(t, "values")
		at, length := make([]float64, len(x)), 2*float64(len(x)-1)
		for i := range at {
			at[i] = 2 * float64(i)
		}
		if closed {
			length += 2
		}
		low := math.Inf(1)
		for _, v := range x {
			low = min(low, v)
		}
		out := curve.Lasting(at, x, length, 3, closed)
		for i := range x {
			if !(out[i] <= x[i]) || out[i] < low-1e-12 {
				t.Fatalf("%v becomes %v", x, out)
			}
		}
		if closed {
			turned := append(append([]float64{}, x[1:]...), x[0])
			again := curve.Lasting(at, turned, length, 3, true)
			for i := range x {
				if !(math.Abs(again[i]-out[(i+1)%len(x)]) <= 1e-9) {
					t.Fatalf("%v becomes %v, turned %v", x, out, again)
				}
			}
		}
	})
}
