package paper

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"testing"

	"seamwright/internal/record"
)

var _ = flag.Bool("update", false, "write the page of every kind anew")

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
	record.Hold(t, "testdata/kinds.svg", got)
}
