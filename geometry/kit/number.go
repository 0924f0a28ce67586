package kit

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// Weighted is a value that counts by its weight.
type Weighted struct{ Value, Weight float64 }

// MedianByWeight is the value with half of the weight on either side.
func MedianByWeight(list []Weighted) float64 {
	slices.SortFunc(list, func(a, b Weighted) int { return cmp.Or(cmp.Compare(a.Value, b.Value), cmp.Compare(a.Weight, b.Weight)) })
	whole, half := 0.0, 0.0
	for _, x := range list {
		whole += x.Weight
	}
	for _, x := range list {
		if half += x.Weight; 2*half >= whole {
			return x.Value
		}
	}
	return list[len(list)-1].Value
}

// CosDegrees is the cosine of an angle in degrees.
func CosDegrees(a float64) float64 { return math.Cos(a * math.Pi / 180) }

// AlikeTo is the share of their size by which two measures must differ to be told apart: far above rounding,
// so that turning the panels does not change which is which.
const AlikeTo = 1e-7

// SortByKeys sorts by the first key; what is alike in it by the next, and so on; by index in the end.
func SortByKeys(order []int, keys []func(i int) float64) {
	if len(order) < 2 {
		return
	}
	if len(keys) == 0 {
		slices.Sort(order)
		return
	}
	key := keys[0]
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(a, b)) })
	from := 0
	for i := 1; i <= len(order); i++ {
		if i < len(order) && !(key(order[i])-key(order[i-1]) > AlikeTo*math.Max(1, math.Abs(key(order[i])))) {
			continue
		}
		SortByKeys(order[from:i], keys[1:])
		from = i
	}
}

// Before is an order of places that rounding does not change: by x, then y, then z, where they differ by more
// than a share of the size.
func Before(p, q r3.Vector, size float64) bool {
	for k := range 3 {
		if a, b := component(p, k), component(q, k); math.Abs(a-b) > AlikeTo*size {
			return a < b
		}
	}
	return false
}

func component(v r3.Vector, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// Zeros is n zeros for who reads them before writing to them. Of fresh memory that is read first the system shows one page of zeros for
// all, and when it is written to at last it finds another page and tells the other processors: so it is written to at once.
func Zeros[T any](n int) []T {
	out := make([]T, n)
	clear(out)
	return out
}

// Sized is a buffer of n zeros, in the place of an old one if that is large enough.
func Sized[T any](old []T, n int) []T {
	if cap(old) < n {
		return make([]T, n)
	}
	old = old[:n]
	clear(old)
	return old
}

// Median of an even number is the mean of the two in the middle.
func Median(x []float64) float64 {
	slices.Sort(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

// Negative has every value's sign turned: dips become peaks.
func Negative(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = -x[i]
	}
	return out
}

// CountIf is 1 for what is so, and 0.
func CountIf(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Rounding is far above that of coordinates of a few kilometres and far below what is measured, mm.
const Rounding = 1e-6
