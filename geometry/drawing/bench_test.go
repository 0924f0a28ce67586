package drawing

import (
	"strings"
	"testing"
)

func benchmarkRead(b *testing.B, text string) {
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ReadDXF(strings.NewReader(text), "f.dxf", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// manyEntities is a drawing of a few thousand entities of every kind.
func manyEntities() string {
	var entities []string
	for range 50 {
		for _, c := range curves {
			if c.length < 1000 {
				entities = append(entities, c.entity)
			}
		}
	}
	return inMillimetres(entities...)
}

func BenchmarkReadText(b *testing.B)   { benchmarkRead(b, manyEntities()) }
func BenchmarkReadBinary(b *testing.B) { benchmarkRead(b, asBinary(b, manyEntities(), true)) }

func BenchmarkReadLines(b *testing.B) {
	benchmarkRead(b, inMillimetres(strings.Repeat(line(1.25, 2.5, 1203.75, 804.125), 10000)))
}
