package outline_test

import (
	"fmt"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/outline"
)

// A plate is drawn as four loose lines with a round hole, in inches. The lines are chained into its outline.
func ExampleReadDXF() {
	drawing := groups("0 SECTION", "2 HEADER", "9 $INSUNITS", "70 1", "0 ENDSEC", "0 SECTION", "2 ENTITIES") +
		line(0, 0, 4, 0) + line(4, 2, 4, 0) + line(4, 2, 0, 2) + line(0, 0, 0, 2) +
		groups("0 CIRCLE", "8 hole", "10 1", "20 1", "40 0.5", "0 MTEXT", "1 plate", "0 ENDSEC", "0 EOF")
	d, err := outline.ReadDXF(strings.NewReader(drawing), "plate.dxf", outline.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range outline.Chain(d.Paths, 0.1) {
		fmt.Printf("%s %s: %.2f mm, closed %v\n", p.Layer, p.Kind, p.Length, p.Closed)
	}
	fmt.Println(d.Notes)
	// Output:
	// edge CHAIN: 304.80 mm, closed true
	// hole CIRCLE: 79.80 mm, closed true
	// [skipped: 1 MTEXT]
}

// groups writes DXF groups: the code and the value each on a line.
func groups(list ...string) string {
	return strings.ReplaceAll(strings.Join(list, "\n"), " ", "\n") + "\n"
}

func line(x1, y1, x2, y2 float64) string {
	return groups("0 LINE", "8 edge", fmt.Sprint("10 ", x1), fmt.Sprint("20 ", y1), fmt.Sprint("11 ", x2), fmt.Sprint("21 ", y2))
}

func ExampleReadCSV() {
	d, err := outline.ReadCSV(strings.NewReader("x_mm,y_mm\n# layer: weld line\n0,0\n300,0\n300,400\n"), "edge.csv", outline.Options{})
	fmt.Println(d.Paths[0].Layer, d.Paths[0].Length, err)
	_, err = outline.ReadCSV(strings.NewReader("0;0\n1,5;0\n"), "edge.csv", outline.Options{})
	fmt.Println(err)
	// Output:
	// weld line 700 <nil>
	// edge.csv: line 2: "1,5" is not a number: write it with a decimal point, as in 12.5
}

func ExampleFill() {
	plate := []r3.Vector{{}, {X: 100}, {X: 100, Y: 60}, {Y: 60}}
	hole := []r3.Vector{{X: 20, Y: 20}, {X: 40, Y: 20}, {X: 30, Y: 40}}
	m, err := outline.Fill([][]r3.Vector{plate, hole})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(m.Triangles), m.Area())
	// Output: 7 5800
}

func ExampleWrite() {
	d := outline.Drawing{Paths: []outline.Path{{Layer: "outline", Points: []r3.Vector{{}, {X: 100}, {X: 100, Y: 60}}, Closed: true}}}
	var file strings.Builder
	if err := outline.Write(&file, d); err != nil {
		fmt.Println(err)
		return
	}
	back, err := outline.ReadDXF(strings.NewReader(file.String()), "plate.dxf", outline.Options{})
	fmt.Printf("%.3f %v\n", back.Paths[0].Length, err)
	// Output: 276.619 <nil>
}
