package stl

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/golang/geo/r3"
	library "github.com/hschendel/stl"
	"pgregory.net/rapid"

	"seamwright/geometry/space"
	"seamwright/internal/facets"
)

// byLibrary reads STL by the library that both readers are held against.
func byLibrary(t interface{ Fatal(...any) }, data []byte) [][9]float32 {
	solid, err := library.ReadAll(bytes.NewReader(data))
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
	s, _, err := Read(bytes.NewReader(data), int64(len(data)), "door.stl", opt)
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
		if math.Abs(x) <= Farthest {
			return x
		}
	}
}

func anySoup(rng *rand.Rand, n int) facets.Soup {
	s := make(facets.Soup, n)
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
		data := s.Binary("panel")
		if !same(soupOf(t, data, Options{}), byLibrary(t, data)) {
			t.Fatal("binary is read otherwise than the library does")
		}
		verb := rapid.SampledFrom(verbs).Draw(t, "verb")
		text := []byte(s.ASCII("panel", verb))
		if len(text) < 1<<20 && !same(soupOf(t, text, Options{}), byLibrary(t, text)) {
			t.Fatalf("text with %s is read otherwise than the library does", verb)
		}
	})
}

// Files longer than every buffer and chunk.
func TestReadersAgreeOnLongFiles(t *testing.T) {
	s := anySoup(rand.New(rand.NewPCG(2, 3)), 3*chunk+17)
	data := s.Binary("panel")
	want := byLibrary(t, data)
	if !same(soupOf(t, data, Options{}), want) {
		t.Error("binary is read otherwise than the library does")
	}
	text := s.ASCII("panel", "%.9e")
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
	body := strings.SplitN(s.ASCII("", "%e"), "\n", 2)[1]
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
	for i, s := range []facets.Soup{facets.Block(100, 50, 25), hills(4000), facets.Sheet(vec(1e5, 0, 0), 7, 9, .3, nil)} {
		for _, data := range [][]byte{s.Binary("panel"), []byte(s.ASCII("panel", "%.9g"))} {
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
		s, _, err := ReadFile(path, Options{Unit: space.Millimetre})
		if err != nil {
			t.Fatal(err)
		}
		if want := byLibrary(t, data); s.Len() != len(want) || !same(soupOf(t, data, Options{}), want) {
			t.Errorf("%s is read otherwise than the library does", path)
		}
	}
}

// However many faults there are, in whichever chunks, the first is told, by its place in the file.
func TestTellsTheFirstFault(t *testing.T) {
	s := facets.Sheet(vec(0, 0, 0), 100, 100, 10, nil)
	for _, at := range []int{19_000, 12_345, 4_100, 4_095} {
		s[at][2].Y = math.NaN()
		for _, data := range [][]byte{s.Binary(""), []byte(strings.ReplaceAll(s.ASCII("", "%g"), "NaN", "1e38"))} {
			_, _, err := Read(bytes.NewReader(data), int64(len(data)), "door.stl", Options{})
			if want := fmt.Sprintf("door.stl: triangle %d: corner 3 ", at+1); err == nil || !strings.HasPrefix(err.Error(), want) {
				t.Fatalf("error %v, want %s", err, want)
			}
		}
	}
	broken := errors.New("the cable came loose")
	data := facets.Sheet(vec(0, 0, 0), 100, 100, 10, nil).Binary("")
	failing := facets.FailingReader{Data: data[:500_020], Err: broken}
	if _, _, err := Read(failing, int64(len(data)), "door.stl", Options{}); !errors.Is(err, broken) ||
		!strings.Contains(err.Error(), "triangle 9999:") {
		t.Errorf("a reader that fails: %v", err)
	}
}

// Who takes the triangles as they come gets all of them in order, and is told beforehand about how many there are: of a binary file
// exactly, of a text of even lines to a few parts in a hundred.
func TestEachSaysHowManyThereAre(t *testing.T) {
	s := facets.Sheet(vec(1, 1, 1), 100, 90, 10, nil)
	for _, data := range [][]byte{s.Binary(""), []byte(s.ASCII("", "%8.3f"))} {
		var all Soup
		first := 0
		if _, err := Each(bytes.NewReader(data), int64(len(data)), Options{Unit: space.Millimetre}, func(some *Soup, about int) {
			if first == 0 {
				first = about
			}
			if some.Len() == 0 || some.Len() > chunk {
				t.Errorf("%d triangles at once", some.Len())
			}
			all.add(some, about)
		}); err != nil {
			t.Fatal(err)
		}
		if all.Len() != len(s) || first < len(s) || first > len(s)*11/10 {
			t.Errorf("%d triangles, about %d at first, want %d", all.Len(), first, len(s))
		}
		for i := range s {
			x, y, z := all.Corner(i, 2)
			if want := s[i][2]; vec(float64(x), float64(y), float64(z)) != want {
				t.Fatalf("corner 3 of triangle %d is %g %g %g, want %v", i, x, y, z, want)
			}
		}
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
		records := make([]byte, recordSize*n)
		if isBeyond := !(math.Abs(odd) <= 1000); (&bounds{reach: 1000}).unpack(records, from) == isBeyond {
			t.Fatalf("%g beyond 1000: %t", odd, !isBeyond)
		}
		for i := range n {
			if corners := from[binaryTriangle*i+12:][:recordSize]; !bytes.Equal(records[recordSize*i:][:recordSize], corners) {
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
		if _, _, err := Read(bytes.NewReader(data), int64(len(data)), "", Options{Unit: space.Millimetre}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadBinary(b *testing.B) { benchmarkSoup(b, hills(200_000).Binary("")) }
func BenchmarkReadASCII(b *testing.B) {
	benchmarkSoup(b, []byte(hills(20_000).ASCII("", "%e")))
}

// BenchmarkLibraryBinary is what the library takes for BenchmarkReadBinary's file.
func BenchmarkLibraryBinary(b *testing.B) {
	data := hills(200_000).Binary("")
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if err := library.CopyAll(bytes.NewReader(data), &library.Solid{}); err != nil {
			b.Fatal(err)
		}
	}
}

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// hills is a sheet of n triangles.
func hills(n int) facets.Soup {
	side := int(math.Sqrt(float64(n) / 2))
	return facets.Sheet(vec(0, 0, 0), side, side, 1.5, func(x, y float64) float64 { return 30 * math.Sin(x/50) * math.Cos(y/70) })
}

// Lines are counted as an editor counts them, whichever way they end.
func TestWordsKnowTheirLines(t *testing.T) {
	text := byteOrderMark + "one\rtwo\nthree\r\nfour\r\rsix seven\n\neight\n\rten\r\n\r\ntwelve"
	want := []struct {
		word string
		line int
	}{{"one", 1}, {"two", 2}, {"three", 3}, {"four", 4}, {"six", 6}, {"seven", 6}, {"eight", 8}, {"ten", 10}, {"twelve", 12}}
	for _, r := range []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text))} {
		w := newWords(r)
		for _, next := range want {
			word, err := w.next()
			if err != nil || string(word) != next.word || w.line != next.line {
				t.Fatalf("%q on line %d, error %v; want %q on line %d", word, w.line, err, next.word, next.line)
			}
		}
		if _, err := w.next(); !errors.Is(err, io.EOF) {
			t.Errorf("behind the last word: %v", err)
		}
	}
}
