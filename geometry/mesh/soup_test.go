package mesh

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hschendel/stl"
	"pgregory.net/rapid"

	"seamwright/geometry/space"
)

// library reads STL by the library that both readers are held against.
func library(t interface{ Fatal(...any) }, data []byte) [][9]float32 {
	solid, err := stl.ReadAll(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	out := make([][9]float32, len(solid.Triangles))
	for i, from := range solid.Triangles {
		for k, v := range from.Vertices {
			copy(out[i][3*k:], v[:])
		}
	}
	return out
}

func soupOf(t interface{ Fatal(...any) }, data []byte, opt Options) [][9]float32 {
	s, _, err := ReadSoup(bytes.NewReader(data), int64(len(data)), "door.stl", opt)
	if err != nil {
		t.Fatal(err)
	}
	out := make([][9]float32, s.Len())
	for i := range out {
		out[i] = s.Triangle(i)
	}
	return out
}

// same compares bit by bit: minus zero is not zero.
func same(a, b [][9]float32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		for k := range a[i] {
			if math.Float32bits(a[i][k]) != math.Float32bits(b[i][k]) {
				return false
			}
		}
	}
	return true
}

// anyCoordinate is a number that a panel may have, of any size down to the least float32.
func anyCoordinate(rng *rand.Rand) float64 {
	for {
		x := float64(math.Float32frombits(rng.Uint32()))
		if rng.IntN(2) == 0 {
			x = math.Trunc(rng.NormFloat64()*1e6) / 1000
		}
		if math.Abs(x) <= farthest {
			return x
		}
	}
}

func anySoup(rng *rand.Rand, n int) soup {
	s := make(soup, n)
	for i := range s {
		for k := range s[i] {
			s[i][k] = vec(anyCoordinate(rng), anyCoordinate(rng), anyCoordinate(rng))
		}
	}
	return s
}

func TestReadersAgreeWithTheLibrary(t *testing.T) {
	verbs := []string{"%g", "%e", "%f", "%.9g", "%.17g", "%+.3E", "%v", "%.0f", "%.12e", "%.20f"}
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		s := anySoup(rng, rapid.IntRange(1, 300).Draw(t, "triangles"))
		data := s.binary("panel")
		if !same(soupOf(t, data, Options{Workers: rng.IntN(4)}), library(t, data)) {
			t.Fatal("binary is read otherwise than the library does")
		}
		verb := rapid.SampledFrom(verbs).Draw(t, "verb")
		text := []byte(s.ascii("panel", verb))
		if len(text) < 1<<20 && !same(soupOf(t, text, Options{}), library(t, text)) {
			t.Fatalf("text with %s is read otherwise than the library does", verb)
		}
	})
}

// Files longer than every buffer and chunk, on several workers.
func TestReadersAgreeOnLongFiles(t *testing.T) {
	s := anySoup(rand.New(rand.NewPCG(2, 3)), 3*chunk+17)
	data := s.binary("panel")
	want := library(t, data)
	for workers := range 5 {
		if !same(soupOf(t, data, Options{Workers: workers}), want) {
			t.Errorf("%d workers read otherwise than the library does", workers)
		}
	}
	text := s.ascii("panel", "%.9e")
	if !same(soupOf(t, []byte(text), Options{}), want) {
		t.Error("text is read otherwise than binary")
	}
	for _, other := range []string{strings.ToUpper(text), strings.ReplaceAll(text, "\n", "\r\n"), strings.ReplaceAll(text, "  ", "\t")} {
		if !same(soupOf(t, []byte(other), Options{}), want) {
			t.Error("another spelling of the text is read otherwise")
		}
	}
}

// Wherever a buffer ends, the words across its end are read whole: a name of every length moves them.
func TestTextAcrossBuffers(t *testing.T) {
	s := anySoup(rand.New(rand.NewPCG(4, 5)), 1200)
	body := strings.SplitN(s.ascii("", "%e"), "\n", 2)[1]
	var want [][9]float32
	for length := range 300 {
		got := soupOf(t, []byte("solid "+strings.Repeat("x", length)+"\n"+body), Options{})
		if want == nil {
			want = got
		}
		if !same(got, want) {
			t.Fatalf("a name of %d characters changes what is read", length)
		}
	}
}

func TestReadersAgreeOnTheSamples(t *testing.T) {
	paths, err := filepath.Glob("../../testdata/*/*.stl")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for i, s := range []soup{block(100, 50, 25), torn(), hills(4000), sheet(vec(1e5, 0, 0), 7, 9, .3, nil)} {
		for _, data := range [][]byte{s.binary("panel"), []byte(s.ascii("panel", "%.9g"))} {
			path := filepath.Join(dir, fmt.Sprintf("%d-%d.stl", i, len(data)))
			if err := os.WriteFile(path, data, 0o600); err != nil {
				t.Fatal(err)
			}
			paths = append(paths, path)
		}
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := ReadSoupFile(path, Options{Unit: space.Millimetre})
		if err != nil {
			t.Fatal(err)
		}
		if want := library(t, data); s.Len() != len(want) || !same(soupOf(t, data, Options{}), want) {
			t.Errorf("%s is read otherwise than the library does", path)
		}
	}
}

func TestWorkersReportTheFirstFault(t *testing.T) {
	s := sheet(vec(0, 0, 0), 100, 100, 10, nil)
	for _, at := range []int{19_000, 12_345, 4_100} {
		s[at][2].Y = math.NaN()
		for range 20 {
			data := s.binary("")
			_, _, err := ReadSoup(bytes.NewReader(data), int64(len(data)), "door.stl", Options{Workers: 4})
			if want := fmt.Sprintf("door.stl: triangle %d: corner 3 is not a number", at+1); err == nil || !strings.HasPrefix(err.Error(), want) {
				t.Fatalf("error %v, want %s", err, want)
			}
		}
	}
	broken := errors.New("the cable came loose")
	data := sheet(vec(0, 0, 0), 100, 100, 10, nil).binary("")
	if _, _, err := ReadSoup(failingReader{data[:500_020], broken}, int64(len(data)), "door.stl", Options{Workers: 3}); !errors.Is(err,
		broken) ||
		!strings.Contains(err.Error(), "triangle 9999:") {
		t.Errorf("a reader that fails: %v", err)
	}
}

// Whatever the bytes are: the corners are taken out as they stand, and what is beyond reach or no number is
// seen in each of the nine coordinates, and nowhere else.
func TestUnpack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		n := rapid.IntRange(1, 32).Draw(t, "triangles")
		from := make([]byte, binaryTriangle*n)
		for i := range from {
			from[i] = byte(rng.Uint32()) // normals and attributes too
		}
		for i := range n {
			for k := range 9 {
				putFloat(from[binaryTriangle*i+12+4*k:], 2000*(rng.Float32()-.5))
			}
		}
		odd := rapid.SampledFrom([]float64{0, 1000, 1000.1, -1000, -1001, math.Inf(1), math.Inf(-1), math.NaN()}).Draw(t, "odd")
		putFloat(from[binaryTriangle*rng.IntN(n)+12+4*rng.IntN(9):], float32(odd))
		d := decoder{bounds: bounds{reach: 1000}, soup: &Soup{newRecords(n)}}
		if isBeyond := !(math.Abs(odd) <= 1000); d.unpack(0, n, from) == isBeyond {
			t.Fatalf("%g beyond 1000: %t", odd, !isBeyond)
		}
		for i := range n {
			if corners := from[binaryTriangle*i+12:][:recordSize]; !bytes.Equal(d.soup.records[recordSize*i:][:recordSize], corners) {
				t.Fatalf("triangle %d of %d: other corners", i, n)
			}
		}
	})
}

func putFloat(to []byte, x float32) { binary.LittleEndian.PutUint32(to, math.Float32bits(x)) }

func benchmarkSoup(b *testing.B, data []byte) {
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := ReadSoup(bytes.NewReader(data), int64(len(data)), "", inMillimetres); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadSoupBinary(b *testing.B) { benchmarkSoup(b, hills(200_000).binary("")) }
func BenchmarkReadSoupASCII(b *testing.B) {
	benchmarkSoup(b, []byte(hills(20_000).ascii("", "%e")))
}

// BenchmarkLibraryBinary is what the library takes for BenchmarkReadSoupBinary's file.
func BenchmarkLibraryBinary(b *testing.B) {
	data := hills(200_000).binary("")
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if err := stl.CopyAll(bytes.NewReader(data), &stl.Solid{}); err != nil {
			b.Fatal(err)
		}
	}
}
