package words

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"seamwright/layout"
)

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(0.25, 2), "0.25"}, {Number(0.25, 1), "0.2"}, {Number(12, 2), "12"}, {Number(-0.001, 2), "0"}, {Number(10000, 1), "10000"},
		{Number(math.NaN(), 1), "?"}, {Number(math.Inf(-1), 1), "?"}, {Number(100, 0), "100"}, {Fixed(12, 2), "12.00"}, {Exact(0.125), "0.125"},
		{Exact(10000), "10000"},
		{Fixed(-0.001, 2), "0.00"},
		{Fixed(math.NaN(), 2), "?"}, {Known(0, 1), "–"}, {Known(4.25, 2), "4.25"}, {OrDash(""), "–"}, {OrDash("x"), "x"},
		{Span(3, 3), "3"}, {Span(1, 10000), "1–10000"}, {List([]int{3, 7, 8, 9}), "3, 7–9"}, {List(nil), ""},
		{First(3, []int{1, 2, 3}), "1–3"}, {First(2, []int{1, 3, 5, 7}), "1, 3, and 2 more"}, {Listed([]int{3, 4}), "3, 4"},
		{Pitch(layout.Range{}), "–"}, {Pitch(layout.Range{Least: 30, Mean: 31.4, Greatest: 30.9}), "31"},
		{Pitch(layout.Range{Least: 28, Mean: 30, Greatest: 53}), "30 (28–53)"}, {Coupons(1), "1 coupon"}, {Coupons(0.25), "0.25 coupons"},
		{Mass(0.0243), "24 g"}, {Mass(0.0996), "100 g"}, {Mass(0.1), "0.1 kg"}, {Mass(12.04), "12 kg"}, {Mass(3.26), "3.3 kg"},
		{Mass(1e-5), "1 g"},
		{Identification(layout.Shell{Number: "T-1"}, "jig"), "T-1 / jig"}, {Identification(layout.Shell{}, "jig"), "jig"},
		{Speed(25.3), "1.52"}, {Station(layout.Station{ID: "a", Name: "a"}), "a"}, {Station(layout.Station{ID: "a", Name: "b"}), "a b"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// A hold point is worded once: a tolerance of a quarter millimetre stays one, and a gauge has no dimension.
func TestHold(t *testing.T) {
	for _, c := range []struct {
		h                layout.HoldPoint
		value, tol, text string
	}{
		{layout.HoldPoint{ID: "H1", Value: 924.25, Tolerance: 0.25}, "924.25", "± 0.25", "H1 924.25 ±0.25"},
		{layout.HoldPoint{ID: "H2"}, "–", "–", "H2"},
		{layout.HoldPoint{ID: "H3", Kind: layout.Symmetry, With: "H1", Tolerance: 2}, "as H1", "± 2", "H3 as H1 ±2"},
	} {
		value, tol := Hold(c.h)
		if value != c.value || tol != c.tol || HoldShort(c.h) != c.text {
			t.Errorf("%q %q %q, want %q %q %q", value, tol, HoldShort(c.h), c.value, c.tol, c.text)
		}
	}
}

func TestWeldsOfRuns(t *testing.T) {
	p := &layout.Plan{Stations: []layout.Station{{ID: "s"}}}
	for run, numbers := range [][]int{{1, 2, 3}, {4, 5}, {9}, {7}} {
		for _, n := range numbers {
			p.Welds = append(p.Welds, layout.Weld{Station: "s", Number: n, Run: run + 1})
		}
	}
	if got := Welds(layout.NewIndex(p), []int{1, 2, 3, 4, 99}); got != "1–5, 9, 7" {
		t.Errorf("got %s", got)
	}
}

func TestSettings(t *testing.T) {
	s := layout.Setting{Force: 2583, Current: 10250, Squeeze: 0.4, Weld: 0.25, Hold: 0.175, Nugget: 5.24}
	if got, want := strings.Join([]string{Force(s), Current(s), Nugget(s), Times(s)}, ", "), "2.58, 10.2, 5.2, 0.4 / 0.25 / "+
		"0.17"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	s.Kind = layout.RollerSetting
	if got := Times(s); got != "on 0.25, off 0.17" {
		t.Errorf("got %s", got)
	}
}

func ExampleList() {
	fmt.Println(List([]int{1, 2, 3, 7}), Span(5, 5), Number(0.25, 2))
	// Output: 1–3, 7 5 0.25
}

// What an input is called where it moves the cost; one without a name is called by its id.
func TestMover(t *testing.T) {
	if got := Mover("learning") + ", " + Mover("none"); got != "practice over the batch, none" {
		t.Error(got)
	}
}
