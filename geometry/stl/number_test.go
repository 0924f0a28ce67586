package stl

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// checkNumber holds number against the standard library: where it gives an answer, it is the same to the last bit.
func checkNumber(t *testing.T, text string) (answered bool) {
	t.Helper()
	x, n := number([]byte(text))
	if n == 0 {
		return false
	}
	want, err := strconv.ParseFloat(text[:n], 32)
	if err != nil || math.Float32bits(x) != math.Float32bits(float32(want)) {
		t.Fatalf("%q is %g, want %g (error %v)", text[:n], x, want, err)
	}
	if n < len(text) && strings.ContainsRune("0123456789", rune(text[n])) {
		t.Fatalf("%q is read up to %q", text, text[:n])
	}
	return true
}

func TestNumberRoundsAsTheStandardLibrary(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 7))
	answered, asked := 0, 0
	for range 60_000 {
		f := math.Float32frombits(rng.Uint32())
		x := float64(f)
		switch rng.IntN(4) {
		case 0:
			x = rng.NormFloat64() * 1000
		case 1: // the middle between two float32, and its neighbours
			x = (x + float64(math.Nextafter32(f, 0))) / 2
			x = []float64{x, math.Nextafter(x, 0), math.Nextafter(x, 1e38)}[rng.IntN(3)]
		}
		for _, text := range []string{
			strconv.FormatFloat(x, "efg"[rng.IntN(3)], rng.IntN(20), 64),
			strconv.FormatFloat(x, 'g', -1, 64),
			fmt.Sprintf("%+.*E", rng.IntN(9), x),
			fmt.Sprintf("%d.%0*de%d", rng.IntN(1000), 1+rng.IntN(12), rng.IntN(1e9), rng.IntN(30)-15),
		} {
			asked++
			if checkNumber(t, text) {
				answered++
			}
		}
	}
	if 2*answered < asked {
		t.Errorf("only %d of %d numbers are read the short way", answered, asked)
	}
}

func TestNumberLeavesTheRest(t *testing.T) {
	for _, text := range []string{"", "-", "+", ".", "-.", "e5", "1e", "1e+", "nan", "inf", "x1", "12345678901234567890", "1e99999", "1e30",
		"1e-40", "--1", "+-1"} {
		if x, n := number([]byte(text)); n != 0 {
			t.Errorf("%q is read as %g", text, x)
		}
	}
	for text, length := range map[string]int{"1": 1, "1.": 2, ".5": 2, "-0": 2, "1.5 7": 3, "1,5": 1, "0x1p3": 1, "1_0": 1, "1.0.0": 3,
		"12345678": 8, "1234567.12345678 ": 16, "5e2e3": 3, "1e-05x": 5, "1e+12 3": 5, "2e-7 ": 4, "3e012,": 5} {
		if _, n := number([]byte(text)); n != length {
			t.Errorf("of %q %d characters are read, want %d", text, n, length)
		}
	}
}

func FuzzNumber(f *testing.F) {
	for _, text := range []string{"1", "-1.5e-3", "16777217", "0.1", "3.4028235e38", "1.17549435e-38", "9007199254740993", "8388608.5",
		"00000000000000000001"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { checkNumber(t, text) })
}
