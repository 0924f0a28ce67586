package paper

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write the page of every kind anew")

// Every kind of item in every style is written as it was: the SVG as it stands, and the PDF by its sum. -update writes them anew.
func TestEveryKindAsWritten(t *testing.T) {
	p := kinds()
	l := p.Layer("text", Style{Fill: Black})
	l.Text(Point{90, 10}, 2.5, Start, "start")
	l.Text(Point{104, 20}, 2, Middle, "middle, 12.5 µm")
	l.Text(Point{110, 30}, 3.5, End, "end")
	l.TextTurned(Point{117, 36}, 90, 2, Middle, "turned")
	code, err := NewQR("https://example.org/a?b=c")
	if err != nil {
		t.Fatal(err)
	}
	l.QR(Point{88, 40}, 0.7, code)
	var pdf bytes.Buffer
	if err := (&Book{Title: "Kinds", Subject: "N-1", Author: "works", Pages: []*Page{p}}).PDF(&pdf); err != nil {
		t.Fatal(err)
	}
	got := svgOf(t, p) + fmt.Sprintf("<!-- PDF %x -->\n", sha256.Sum256(pdf.Bytes()))
	const file = "testdata/kinds.svg"
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	was, is := bytes.Split(want, []byte("\n")), bytes.Split([]byte(got), []byte("\n"))
	for i := range min(len(was), len(is)) {
		if !bytes.Equal(was[i], is[i]) {
			t.Fatalf("%s:%d: is\n%s\nwas\n%s\nIf that is right, run go test ./render/paper -update and look at it", file, i+1, is[i], was[i])
		}
	}
	if len(was) != len(is) {
		t.Errorf("%d lines, was %d", len(is), len(was))
	}
}
