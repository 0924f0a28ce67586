package drawing_test

import (
	"fmt"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
)

// A plate is drawn as four loose lines with a round hole, in inches. The lines are chained into its drawing.
func ExampleReadDXF() {
	file := groups("0 SECTION", "2 HEADER", "9 $INSUNITS", "70 1", "0 ENDSEC", "0 SECTION", "2 ENTITIES") +
		line(0, 0, 4, 0) + line(4, 2, 4, 0) + line(4, 2, 0, 2) + line(0, 0, 0, 2) +
		groups("0 CIRCLE", "8 hole", "10 1", "20 1", "40 0.5", "0 MTEXT", "1 plate", "0 ENDSEC", "0 EOF")
	d, err := drawing.ReadDXF(strings.NewReader(file), "plate.dxf", drawing.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range d.Paths {
		fmt.Printf("%s %s: %.2f mm, closed %v\n", p.Layer, p.Kind, p.Length, p.Closed)
	}
	fmt.Println(d.Notes)
	// Output:
	// edge LINE: 101.60 mm, closed false
	// edge LINE: 50.80 mm, closed false
	// edge LINE: 101.60 mm, closed false
	// edge LINE: 50.80 mm, closed false
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
	d, err := drawing.ReadCSV(strings.NewReader("x_mm,y_mm\n# layer: weld line\n0,0\n300,0\n300,400\n"), "edge.csv", drawing.Options{})
	fmt.Println(d.Paths[0].Layer, d.Paths[0].Length, err)
	_, err = drawing.ReadCSV(strings.NewReader("0;0\n1,5;0\n"), "edge.csv", drawing.Options{})
	fmt.Println(err)
	// Output:
	// weld line 700 <nil>
	// edge.csv: line 2: "1,5" is not a number: write it with a decimal point, as in 12.5
}

func ExampleWrite() {
	d := drawing.Drawing{Paths: []drawing.Path{{Layer: "outline", Points: []r3.Vector{{}, {X: 100}, {X: 100, Y: 60}}, Closed: true}}}
	var file strings.Builder
	if err := drawing.Write(&file, d); err != nil {
		fmt.Println(err)
		return
	}
	back, err := drawing.ReadDXF(strings.NewReader(file.String()), "plate.dxf", drawing.Options{})
	fmt.Printf("%.3f %v\n", back.Paths[0].Length, err)
	// Output: 276.619 <nil>
}
