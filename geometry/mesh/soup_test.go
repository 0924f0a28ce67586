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
	"reflect"
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

// Many files at once give what each gives alone, and each its own error.
func TestReadSoupFiles(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	dir := t.TempDir()
	var paths []string
	var want [][][9]float32
	for i := range 9 {
		s := anySoup(rng, 1+rng.IntN(200))
		data := s.binary("panel")
		if i%4 == 1 {
			data = []byte(s.ascii("panel", "%.9g"))
		}
		want = append(want, library(t, data))
		if i%4 == 2 {
			data, want[i] = data[:len(data)-7], nil
		}
		paths = append(paths, filepath.Join(dir, fmt.Sprintf("%d.stl", i)))
		if err := os.WriteFile(paths[i], data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	paths, want = append(paths, filepath.Join(dir, "none.stl")), append(want, nil)
	for workers := range 6 {
		for i, file := range ReadSoupFiles(paths, Options{Unit: space.Millimetre, Workers: workers}) {
			if want[i] == nil {
				if file.Err == nil || file.Soup != nil {
					t.Errorf("%s is taken", paths[i])
				}
				continue
			}
			if file.Err != nil || file.Soup.Len() != len(want[i]) {
				t.Fatalf("%s: %v", paths[i], file.Err)
			}
			for k, triangle := range want[i] {
				if file.Soup.Triangle(k) != triangle {
					t.Fatalf("%s: triangle %d is %v, want %v", paths[i], k, file.Soup.Triangle(k), triangle)
				}
			}
			for k, run := range file.Soup.Runs() {
				if low, high := file.Soup.Box(k*RunLength, min((k+1)*RunLength, len(want[i]))); run != (Run{low, high}) {
					t.Fatalf("%s: the box of run %d is %v", paths[i], k, run)
				}
			}
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

func TestNewSoupRefusesWhatIsNoPlace(t *testing.T) {
	for _, x := range []float32{float32(math.NaN()), float32(math.Inf(1)), -2e9} {
		if _, err := NewSoup([][9]float32{{}, {4: x}}); err == nil || !strings.Contains(err.Error(), "triangle 2: corner 2") {
			t.Errorf("%g: %v", x, err)
		}
	}
	want := [][9]float32{{1, 2, 3, 4, 5, 6, 7, 8, 9}, {0, -1}}
	s, err := NewSoup(want)
	if a, b, c := s.Corners(0); a != vec(1, 2, 3) || b != vec(4, 5, 6) || c != vec(7, 8, 9) {
		t.Errorf("corners %v %v %v", a, b, c)
	}
	if err != nil || s.Len() != 2 || !reflect.DeepEqual([][9]float32{s.Triangle(0), s.Triangle(1)}, want) {
		t.Errorf("%v, %v", s, err)
	}
}

func TestBoxAgreesWithPlainGo(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	data := anySoup(rng, 200).binary("")
	s, _, err := ReadSoup(bytes.NewReader(data), int64(len(data)), "", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 2000 {
		from := rng.IntN(200)
		to := from + 1 + rng.IntN(200-from)
		low, high := s.Box(from, to)
		wantLow, wantHigh := plainBox(s.records[RecordSize*from : RecordSize*to])
		if low != wantLow || high != wantHigh {
			t.Fatalf("triangles %d to %d: %v %v, want %v %v", from, to, low, high, wantLow, wantHigh)
		}
	}
}

// Whatever the bytes are: the corners are taken out as they stand, the box is theirs, and what is beyond reach or no number is
// seen in each of the nine coordinates, and nowhere else.
func TestUnpackAgreesWithPlainGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		n := rapid.IntRange(1, RunLength).Draw(t, "triangles")
		from := make([]byte, binaryTriangle*n+binaryPad)
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
		past := uint32(1<<31-1) - math.Float32bits(1000)
		into, plain := make([]byte, RecordSize*n), make([]byte, RecordSize*n)
		run, beyond := unpack(into, from, past)
		wantRun, wantBeyond := plainUnpack(plain, from, past)
		if !bytes.Equal(into, plain) {
			t.Fatal("other corners")
		}
		isBeyond := !(math.Abs(odd) <= 1000)
		if beyond >= 1<<31 != isBeyond || wantBeyond >= 1<<31 != isBeyond {
			t.Fatalf("%g beyond 1000: %t, in plain Go %t", odd, beyond >= 1<<31, wantBeyond >= 1<<31)
		}
		if !isBeyond && run != wantRun {
			t.Fatalf("box %v, want %v", run, wantRun)
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
