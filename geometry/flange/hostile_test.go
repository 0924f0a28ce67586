package flange_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// Two sheets of kilometres on each other are refused by name rather than cut without end.
func TestSheetsOfNoSizeAreRefused(t *testing.T) {
	if testing.Short() {
		t.Skip("cuts four million points")
	}
	a := flange.Sheet{Name: "field", Mesh: plate(0, 0, 9e5, 9e5, 0), Thickness: 1}
	b := flange.Sheet{Name: "other", Mesh: plate(0, 0, 9e5, 9e5, 1), Thickness: 1}
	_, err := flange.Find(context.Background(), []flange.Sheet{a, b}, flange.Options{Workers: 1})
	if !errors.Is(err, flange.ErrTooLarge) {
		t.Errorf("want the panel refused, got %v", err)
	}
}

// A corner so far away that a micrometre is lost in it, or nowhere, is refused by the panel's name.
func TestFarAwayIsRefused(t *testing.T) {
	good := flange.Sheet{Name: "good", Mesh: plate(0, 0, 200, 20, 0.9), Thickness: 1}
	for _, x := range []float64{2e9, -1e30, math.Inf(1), math.NaN()} {
		bad := flange.Sheet{Name: "bad", Mesh: plate(0, 0, x, 20, 0), Thickness: 1}
		if _, err := flange.Find(context.Background(), []flange.Sheet{good, bad}, flange.Options{}); !errors.Is(err, flange.ErrFarAway) ||
			!strings.Contains(err.Error(), "bad") {
			t.Errorf("%g: %v", x, err)
		}
	}
}

// Coordinates beyond what can be told apart, coincident, flat and minute triangles end in an answer or an error.
func TestHostileSizes(t *testing.T) {
	for _, size := range []float64{1e-30, 1e-9, 1e9, 1e15, 1e30, 1e160} {
		for name, m := range map[string]*mesh.Mesh{
			"plate":      plate(0, 0, size, size, 0),
			"far away":   plate(size, size, size+300, size+20, size),
			"coincident": {Vertices: plate(0, 0, size, size, 0).Vertices, Triangles: [][3]int32{{0, 1, 2}, {0, 1, 2}, {2, 1, 0}, {0, 0, 1}}},
		} {
			small := flange.Sheet{Name: "small", Mesh: plate(0, 0, 200, 20, 0.9), Thickness: 1}
			huge := flange.Sheet{Name: name, Mesh: m, Thickness: 1}
			for _, sheets := range [][]flange.Sheet{{small, huge}, {huge, small}, {huge, huge}} {
				if name != "far away" && size > 1e3 && sheets[1].Mesh == sheets[0].Mesh {
					continue // kilometres of contact: TestSheetsOfNoSizeAreRefused
				}
				_, _ = flange.Find(context.Background(), sheets, flange.Options{Workers: 1})
			}
		}
	}
}
