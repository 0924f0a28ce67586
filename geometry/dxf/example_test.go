package dxf_test

import (
	"fmt"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/space"
)

// A file with one line in it is written, and read down to that line's end.
func Example() {
	w := dxf.NewWriter([]string{"0", "Türbogen"})
	w.Entity("LINE", "Türbogen", "AcDbLine")
	w.Point(10, r3.Vector{X: 1.5})
	w.Point(11, r3.Vector{X: 1.5, Y: 800})
	var file strings.Builder
	if err := w.Finish(&file, dxf.Head{Box: space.Box{Max: r3.Vector{X: 1.5, Y: 800}}}); err != nil {
		fmt.Println(err)
		return
	}
	r, err := dxf.Open(file.String())
	if err != nil {
		fmt.Println(err)
		return
	}
	for err = r.Advance(); err == nil && !r.Cur.Is("LINE"); {
		err = r.Advance()
	}
	line, err := r.Record(100)
	end, _, _ := line.Point(11)
	fmt.Println(dxf.NamesIn("ANSI_1252").Decode(line.Text(8)), end.X, end.Y, err)
	// Output: Türbogen 1.5 800 <nil>
}
