package mesh

import (
	"bytes"
	"io"
	"math"
	"seamwright/internal/facets"
	"testing"
)

// hills is a sheet of about n triangles with waves, as a pressed panel has.
func hills(n int) soup {
	side := int(math.Sqrt(float64(n) / 2))
	return facets.Sheet(vec(-600, -400, 0), side, side, 1200/float64(side),
		func(x, y float64) float64 { return 30 * math.Sin(x/170) * math.Cos(y/210) })
}

func benchmarkRead(b *testing.B, data []byte) {
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := readBytes(data, inMillimetres); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadBinary(b *testing.B) { benchmarkRead(b, hills(200_000).Binary("")) }
func BenchmarkReadASCII(b *testing.B)  { benchmarkRead(b, []byte(hills(20_000).ASCII("", "%e"))) }
func BenchmarkReadTorn(b *testing.B) {
	var s soup
	for i := range 40 { // strips of rising fineness: T-junctions all along
		s = append(s, facets.Sheet(vec(0, 12*float64(i), 0), 12*(i+1), i+1, 12/float64(i+1), nil)...)
	}
	benchmarkRead(b, s.Binary(""))
}

func BenchmarkTopology(b *testing.B) {
	m, _ := mustRead(b, hills(200_000))
	b.ReportAllocs()
	for b.Loop() {
		m.Topology()
	}
}

func BenchmarkOrient(b *testing.B) {
	m, _ := mustRead(b, hills(200_000))
	b.ReportAllocs()
	for b.Loop() {
		m.Orient()
	}
}

func BenchmarkWriteSTL(b *testing.B) {
	m, _ := mustRead(b, hills(200_000))
	var out bytes.Buffer
	if err := WriteSTL(&out, m); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(out.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if err := WriteSTL(io.Discard, m); err != nil {
			b.Fatal(err)
		}
	}
}
