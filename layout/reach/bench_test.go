package reach

import (
	"context"
	"fmt"
	"math"
	"testing"

	"seamwright/seams/shell"
)

// cab is a box of panels the size of a tractor's cab, of about so many triangles, with welds on the flanges
// along its twelve edges and three guns.
func cab(triangles, count int) (*Scene, []Weld, []Tool) {
	const x, y, z, wide = 1600.0, 1400.0, 1700.0, 36.0
	area := 2 * (x*y + y*z + x*z)
	size := math.Sqrt(2 * area / float64(triangles))
	walls := []*sheet{
		new(sheet).quad(vec(0, 0, 0), vec(x, 0, 0), vec(0, y, 0), size), new(sheet).quad(vec(0, 0, z), vec(x, 0, 0), vec(0, y, 0), size),
		new(sheet).quad(vec(0, 0, 0), vec(x, 0, 0), vec(0, 0, z), size), new(sheet).quad(vec(0, y, 0), vec(x, 0, 0), vec(0, 0, z), size),
		new(sheet).quad(vec(0, 0, 0), vec(0, y, 0), vec(0, 0, z), size), new(sheet).quad(vec(x, 0, 0), vec(0, y, 0), vec(0, 0, z), size),
	}
	// flanges stand out of the edges along x, at y and z of either side, in the plane z = const
	var welds []Weld
	for i, e := range [][2]float64{{0, 0}, {y, 0}, {0, z}, {y, z}} {
		out := -wide
		if e[0] > 0 {
			out = wide
		}
		for _, lift := range []float64{-0.5, 0.5} {
			walls[i] = walls[i].quad(vec(0, e[0], e[1]+lift), vec(x, 0, 0), vec(0, out, 0), 4)
		}
		for k := range count / 4 {
			w := weld()
			w.Line, w.S, w.Sheets = fmt.Sprint("f", i), float64(k), []int{i}
			w.Position = vec(30+(x-60)*float64(k)/float64(count/4), e[0]+out*2/3, e[1])
			welds = append(welds, w)
		}
	}
	gun := func(id string, depth, gap, arm float64) shell.Gun {
		return shell.Gun{ID: id, ThroatDepth: depth, ThroatGap: gap, Arm: arm, Stroke: 60}
	}
	return scene(walls...), welds, []Tool{{gun("A", 260, 240, 32), round()}, {gun("B", 640, 260, 50), round()}, {gun("C", 120, 140, 28), narrow()}}
}

func BenchmarkFind(b *testing.B) {
	for _, test := range []struct{ triangles, welds int }{{30000, 100}, {300000, 1000}} {
		scene, welds, tools := cab(test.triangles, test.welds)
		count := 0
		for _, p := range scene.panels {
			count += len(p.Tree.Mesh().Triangles)
		}
		b.Run(fmt.Sprintf("triangles=%d/welds=%d", count, len(welds)), func(b *testing.B) {
			b.ReportAllocs()
			reached := 0
			for b.Loop() {
				results, err := Find(context.Background(), scene, welds, tools, Options{})
				if err != nil {
					b.Fatal(err)
				}
				reached = 0
				for _, c := range Choose(welds, results, tools) {
					if c.Reached {
						reached++
					}
				}
			}
			b.ReportMetric(float64(reached), "reached")
		})
	}
}
