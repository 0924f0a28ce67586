package view

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
)

// What clusters, bundles and tiles leave out changes nothing: painting every triangle, and trying every edge, gives the same pixels,
// pieces and extent, with panels that touch, stand behind each other, or lie at the same depth.
func TestNothingIsLeftOutThatShows(t *testing.T) {
	stamped := 0
	for _, pixel := range []float64{0.4, 2, 9, 40} {
		rapid.Check(t, func(t *rapid.T) {
			panels := somePanels(t)
			dir := rapid.SampledFrom(Candidates()).Draw(t, "direction")
			extent := r2.EmptyRect()
			for _, p := range panels {
				for _, v := range p.shape.Mesh.Vertices {
					at, _ := dir.Project(v)
					extent = extent.AddPoint(at)
				}
			}
			if got := dir.Extent(panels); got != extent {
				t.Fatalf("extent %v, want %v", got, extent)
			}
			window := extent
			if rapid.Bool().Draw(t, "part") {
				window = extent.ExpandedByMargin(-extent.X.Length() / 4)
				if window.IsEmpty() {
					window = extent
				}
			}
			got, err := newBuffer(context.Background(), panels, dir, window, pixel, nil)
			if err != nil {
				t.Fatal(err)
			}
			want, _ := blank(panels, dir, window, pixel)
			for i := range panels {
				for k, v := range panels[i].shape.Mesh.Triangles {
					p, q, r := want.point(i, v[0]), want.point(i, v[1]), want.point(i, v[2])
					for _, c := range []*projected{&p, &q, &r} {
						want.place(c)
					}
					want.paint(want.base[i]+int32(k), [3]*projected{&p, &q, &r})
				}
			}
			if !slices.Equal(got.tri, want.tri) || !slices.Equal(got.depth, want.depth) {
				t.Fatal("other pixels")
			}
			stamps := NewStamps(rapid.SampledFrom([]int{4_000_000, 20_000, 200}).Draw(t, "stamp pixels"))
			var pressed *buffer
			for range 3 { // asked for, made, and made use of
				if pressed != nil {
					_, _ = pressed.pieces(context.Background())
				}
				if pressed, err = newBuffer(context.Background(), panels, dir, window, pixel, stamps); err != nil {
					t.Fatal(err)
				}
				if !slices.Equal(pressed.tri, want.tri) || !slices.Equal(pressed.depth, want.depth) {
					t.Fatal("other pixels with stamps")
				}
			}
			for _, s := range pressed.stamps {
				if s != nil {
					stamped++
				}
			}
			for i := range want.deep.values {
				want.deep.values[i] = math.Inf(1) // nothing is hidden before it is tried
			}
			a, _ := got.pieces(context.Background())
			b, _ := want.pieces(context.Background())
			c, _ := pressed.pieces(context.Background())
			if !slices.Equal(a, b) || !slices.Equal(c, b) {
				t.Fatalf("%d pieces, with stamps %d, want %d", len(a), len(c), len(b))
			}
		})
	}
	if stamped == 0 {
		t.Error("no stamp was made use of")
	}
}

// somePanels are sheets, bowls and cubes, some of them in one place twice or so near that each shows through.
func somePanels(t *rapid.T) []Panel {
	var out []Panel
	for k := range rapid.IntRange(1, 5).Draw(t, "panels") {
		at := r3.Vector{X: float64(rapid.IntRange(0, 3).Draw(t, "x")) * 30, Y: float64(rapid.IntRange(0, 3).Draw(t, "y")) * 30,
			Z: rapid.SampledFrom([]float64{0, 0, 0.1, 0.3, 5, 40}).Draw(t, "z")}
		bulge := rapid.SampledFrom([]float64{0, 0, 15, -30}).Draw(t, "bulge")
		n := rapid.IntRange(1, 24).Draw(t, "squares")
		m := grid("sheet", n, 90, at, func(x, y float64) float64 { return bulge * math.Sin(x/90*math.Pi) * math.Sin(y/90*math.Pi) })
		if rapid.IntRange(0, 4).Draw(t, "cube") == 0 {
			m = cube(at, 40)
		}
		out = append(out, panel(fmt.Sprint(k), m, 1))
	}
	if rapid.Bool().Draw(t, "again") {
		out = append(out, panel("again", out[0].shape.Mesh, 1), panel("none", &mesh.Mesh{Name: "none"}, 1))
	}
	return out
}
