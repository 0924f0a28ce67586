package flange_test

import (
	"math"
	"slices"
	"testing"

	"seamwright/geometry/flange"
)

// What is too small for a flange is listed, with its size and place; with other limits it is one.
func TestSmallContactIsListed(t *testing.T) {
	a, b := sheetOf("a", plate(0, 0, 100, 60, 0), 1), sheetOf("b", plate(40, 50, 50, 120, 1), 1)
	for _, sheets := range [][]flange.Sheet{{a, b}, {b, a}} {
		found := find(t, flange.Options{}, sheets...)
		if len(found.Flanges) != 0 || len(found.Small) != 1 {
			t.Fatalf("%d flanges, small %+v", len(found.Flanges), found.Small)
		}
		s := found.Small[0]
		if !(math.Abs(s.Area-100) <= 0.01) || !(math.Abs(s.Width-10) <= 0.1) || !(s.Place.Sub(vec(45, 55, 0.5)).Norm() <= 0.6) ||
			s.Why != flange.TooSmall ||
			!slices.Equal(s.Sheets, []int{0, 1}) {
			t.Errorf("%+v", s)
		}
		if found := find(t, flange.Options{LeastLength: 9}, sheets...); len(found.Flanges) != 1 || len(found.Small) != 0 {
			t.Errorf("least length 9: %d flanges, small %+v", len(found.Flanges), found.Small)
		}
	}
}

// A rest of a flange, and what no weld would fit on by far, is not.
func TestNoSmallContactBesideAFlange(t *testing.T) {
	for _, name := range []string{"straight", "plates", "S", "ring", "sphere"} {
		if found := find(t, flange.Options{}, sheetsFor(name)...); len(found.Small) != 0 {
			t.Errorf("%s: %+v", name, found.Small)
		}
	}
}

// In a stack of four, and in one of two pairs with air between them, only neighbours face each other.
func TestOnlyNeighboursFace(t *testing.T) {
	layers := func(heights ...float64) []flange.Sheet {
		var out []flange.Sheet
		for i, z := range heights {
			out = append(out, sheetOf(string(rune('a'+i)), plate(0, float64(-10*i), 200, 20, z), 1))
		}
		return out
	}
	for _, c := range []struct {
		sheets []flange.Sheet
		near   [][2]int
	}{
		{layers(0, 1, 2, 3), nil},
		{layers(0, 1, 4, 5), [][2]int{{1, 2}}},
		{layers(0, 3, 6, 9), [][2]int{{0, 1}, {1, 2}, {2, 3}}},
		{layers(0, 1, 2, 6), [][2]int{{2, 3}}},
	} {
		var got [][2]int
		for _, n := range find(t, flange.Options{}, c.sheets...).Near {
			got = append(got, n.Sheets)
		}
		if !slices.Equal(got, c.near) {
			t.Errorf("%d sheets: near %v, want %v", len(c.sheets), got, c.near)
		}
	}
}
