package drawn_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/drawn"
	"seamwright/geometry/flange"
	"seamwright/geometry/space"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func drawnLoop(points ...r3.Vector) drawing.Path {
	return drawing.Path{Layer: "a", Kind: "LWPOLYLINE", Closed: true, Points: points, Length: 1}
}

func drawnRectangle(x0, y0, x1, y1 float64) drawing.Path {
	return drawnLoop(vec(x0, y0, 0), vec(x1, y0, 0), vec(x1, y1, 0), vec(x0, y1, 0))
}

func drawnCircle(x, y, r float64) drawing.Path {
	n := int(math.Ceil(2 * math.Pi / (2 * math.Acos(1-drawing.DefaultChord/r))))
	var points []r3.Vector
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points = append(points, vec(x+r*cos, y+r*sin, 0))
	}
	p := drawnLoop(points...)
	p.Kind = "CIRCLE"
	return p
}

func drawnLine(points ...r3.Vector) drawing.Path {
	return drawing.Path{Layer: "a", Kind: "LINE", Points: points, Length: points[0].Distance(points[len(points)-1])}
}

// TestFlanges wants strips with their lengths, widths and holes, whatever else is drawn.
func TestFlanges(t *testing.T) {
	for _, c := range []struct {
		name  string
		paths []drawing.Path
		want  []string // length, mean width, holes
		notes string   // each has a part
		fault string
	}{
		{"a strip", []drawing.Path{drawnRectangle(0, 0, 300, 16)}, []string{"300.0 16.0 0"}, "", ""},
		{"a ring of two circles", []drawing.Path{drawnCircle(0, 0, 100), drawnCircle(0, 0, 116)}, []string{"678.5 16.0 0 closed"}, "", ""},
		{"holes in a strip", []drawing.Path{drawnRectangle(0, 0, 300, 16), drawnCircle(50, 8, 2.5), drawnCircle(250, 8, 3)},
			[]string{"300.0 16.0 2"}, "", ""},
		{"a hole beside a strip", []drawing.Path{drawnRectangle(0, 0, 260, 15), drawnCircle(130, 165, 10)}, []string{"260.0 15.0 0"}, "",
			"a circle about (130.000, 165.000, 0.000) by itself is a hole"},
		{"a strip and a hole in a broad border", []drawing.Path{drawnRectangle(-100, -100, 600, 500), drawnRectangle(0, 0, 300, 16),
			drawnCircle(150, 8, 3)}, []string{"300.0 16.0 1"}, "too broad for a strip", ""},
		{"an edge for two strips", []drawing.Path{drawnRectangle(0, 0, 300, 30), drawnLine(vec(0, 16, 0), vec(300, 16, 0))},
			[]string{"300.0 14.0 0", "300.0 16.0 0"}, "2 outlines that share edges", ""},
		{"a line without a width", []drawing.Path{drawnLine(vec(0, 0, 0), vec(300, 0, 0))}, nil, "",
			"an open line from (0.000, 0.000, 0.000) to (300.000, 0.000, 0.000) needs a width"},
	} {
		found, notes, faults, _ := drawn.Flanges(context.Background(), c.paths, drawn.Drawing{}, flange.Options{})
		var got []string
		for _, f := range found {
			s := fmt.Sprintf("%.1f %.1f %d", math.Round(f.Length*10)/10, f.Width.Mean, len(f.Holes))
			if f.Closed {
				s += " closed"
			}
			if f.Patch {
				s += " patch"
			}
			got = append(got, s)
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		for what, list := range map[string][2]string{"notes": {strings.Join(notes, "; "), c.notes},
			"faults": {strings.Join(faults, "; "), c.fault}} {
			if (list[1] == "") != (list[0] == "") || !strings.Contains(list[0], list[1]) {
				t.Errorf("%s: %s %q, want %q", c.name, what, list[0], list[1])
			}
		}
	}
}

// TestFlangesPlaced turns a drawing upright: its shared edge is still found.
func TestFlangesPlaced(t *testing.T) {
	paths := []drawing.Path{drawnRectangle(0, 0, 300, 30), drawnLine(vec(0, 16, 0), vec(300, 16, 0))}
	found, _, _, _ := drawn.Flanges(context.Background(), paths, drawn.Drawing{Place: space.Place{Turn: vec(90, 0, 0), Move: vec(0, 7, 0)}},
		flange.Options{})
	if len(found) != 2 || !(math.Abs(found[0].Line[0].Point.Y-7) <= 1e-9) || math.Abs(found[0].Line[0].Axis.Y) < 0.999 {
		t.Errorf("%+v", found)
	}
}

func ExampleFlanges() {
	paths := []drawing.Path{drawnRectangle(0, 0, 300, 16), drawnCircle(50, 8, 2.5)}
	found, _, _, _ := drawn.Flanges(context.Background(), paths, drawn.Drawing{}, flange.Options{})
	for _, f := range found {
		fmt.Printf("layer %s: %.1f mm long, %.1f wide, %d hole\n", f.Layer, f.Length, f.Width.Mean, len(f.Holes))
	}
	// Output: layer a: 300.0 mm long, 16.0 wide, 1 hole
}
