package stl_test

import (
	"fmt"
	"strings"

	"seamwright/geometry/space"
	"seamwright/geometry/stl"
)

func ExampleRead() {
	text := `solid bracket
  facet normal 0 0 1
    outer loop
      vertex 0 0 0
      vertex 40 0 0
      vertex 0 25 0
    endloop
  endfacet
endsolid`
	s, notes, err := stl.Read(strings.NewReader(text), int64(len(text)), "bracket.stl", stl.Options{Unit: space.Millimetre})
	fmt.Println(s.Len(), s.Triangle(0), notes, err)
	// Output: 1 [0 0 0 40 0 0 0 25 0] [] <nil>
}
