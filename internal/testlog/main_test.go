package main

import (
	"strings"
	"testing"
)

// A skip in a package that passes is named with its reason; what failed is printed in full.
func TestReport(t *testing.T) {
	in := `{"Action":"output","Package":"p","Test":"TestA","Output":"=== RUN   TestA\n"}
{"Action":"output","Package":"p","Test":"TestA","Output":"    a_test.go:7: NOT CHECKED: ogr2ogr is missing\n"}
{"Action":"output","Package":"p","Test":"TestA","Output":"--- SKIP: TestA (0.00s)\n"}
{"Action":"skip","Package":"p","Test":"TestA","Elapsed":0}
{"Action":"output","Package":"p","Output":"processor time: 1.5 s\n"}
{"Action":"pass","Package":"p","Elapsed":2}
`
	var out strings.Builder
	ok, err := report(strings.NewReader(in), &out)
	want := "pass p 2.0 s, 1.5 s of processor time\n1 checks not made\n  not made: p TestA: NOT CHECKED: ogr2ogr is missing\n"
	if !ok || err != nil || out.String() != want {
		t.Errorf("%v, %v, %q", ok, err, out.String())
	}
	in += `{"Action":"output","Package":"q","Test":"TestB","Output":"    b_test.go:3: wrong\n"}
{"Action":"fail","Package":"q","Test":"TestB"}
{"Action":"fail","Package":"q"}
`
	out.Reset()
	if ok, _ := report(strings.NewReader(in), &out); ok || !strings.Contains(out.String(), "b_test.go:3: wrong") {
		t.Errorf("%v, %q", ok, out.String())
	}
}
