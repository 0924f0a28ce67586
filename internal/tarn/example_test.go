package tarn_test

import (
	"fmt"

	"seamwright/geometry/curve"
	"seamwright/internal/tarn"
)

func ExampleFiles() {
	files, err := tarn.Files()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range files {
		fmt.Println(f.Name)
	}
	// Output:
	// panels/cross-front.stl
	// panels/cross-middle.stl
	// panels/cross-rear.stl
	// panels/floor.dxf
	// panels/front-panel.stl
	// panels/lamp-bucket-l.stl
	// panels/pillar-stiffener-l.stl
	// panels/pillar-stiffener-r.stl
	// panels/rear-panel.stl
	// panels/rear-rail.stl
	// panels/roof-frame.stl
	// panels/roof.stl
	// panels/scuttle.stl
	// panels/side-inner-l.stl
	// panels/side-inner-r.stl
	// panels/side-outer-l.stl
	// panels/side-outer-r.stl
	// panels/sill-l.stl
	// panels/sill-r.stl
	// panels/wheelhouse-l.stl
	// panels/wheelhouse-r.stl
	// shell.yaml
	// truth/weld-lines.json
}

func ExampleTruth() {
	total, closed := 0.0, 0
	for _, l := range tarn.Truth() {
		total += curve.New(l.Points, l.Closed).Length()
		if l.Closed {
			closed++
		}
	}
	fmt.Printf("%.1f m of weld line, %d lines closed\n", total/1000, closed)
	// Output: 36.2 m of weld line, 5 lines closed
}
