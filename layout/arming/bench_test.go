package arming

import (
	"context"
	"fmt"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout"
	"seamwright/layout/reach"
	"seamwright/seams/shell"
)

// What would do for welds that nothing reaches, by welds and guns with two tips each: a plate of many facets, 300 mm deep, for throats of
// 50 mm and up.
func BenchmarkWouldDo(b *testing.B) {
	plate := func(z float64) axial.Panel {
		m := &mesh.Mesh{}
		for i := range 201 {
			for k := range 61 {
				m.Vertices = append(m.Vertices, r3.Vector{X: float64(i)*10 - 1000, Y: float64(k)*10 - 300, Z: z})
				if i > 0 && k > 0 {
					at := int32(i*61 + k)
					m.Triangles = append(m.Triangles, [3]int32{at - 62, at - 1, at}, [3]int32{at - 62, at, at - 61})
				}
			}
		}
		return axial.Panel{Name: fmt.Sprint(z), Shape: near.NewShape(m), Grow: 0.5}
	}
	scene := &axial.Scene{Panels: []axial.Panel{plate(0), plate(1)}}
	for _, size := range []struct{ welds, guns int }{{1, 1}, {1, 5}, {10, 1}, {10, 5}, {100, 5}, {100, 10}} {
		x := &arming{jig: jig{scene: scene}, opt: reach.Options{WayOff: true, Workers: 1}}
		var of, allowed []int
		for g := range size.guns {
			for t := range 2 {
				allowed = append(allowed, len(x.tools))
				x.tools = append(x.tools, reach.Tool{Gun: shell.Gun{ID: fmt.Sprint("g", g), ThroatDepth: 50 + 20*float64(g), ThroatGap: 200,
					Arm: 30, Stroke: 60}, Tip: shell.Tip{ID: fmt.Sprint("t", t), Face: 5, Shank: 12 + 4*float64(t), Length: 60}})
			}
		}
		for i := range size.welds {
			of = append(of, i)
			x.asked = append(x.asked, reach.Weld{Position: r3.Vector{X: float64(i-size.welds/2) * 15, Z: 0.5}, Along: r3.Vector{X: 1},
				Axis: r3.Vector{Z: 1}, Stack: 2, Sheets: []int{0, 1}, Tools: allowed})
		}
		b.Run(fmt.Sprintf("welds=%d/guns=%d", size.welds, size.guns), func(b *testing.B) {
			b.ReportAllocs()
			var got []layout.Measure
			for b.Loop() {
				var err error
				if got, err = x.wouldDo(context.Background(), of); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(got)), "measures")
		})
	}
}
