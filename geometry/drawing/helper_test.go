package drawing

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// record writes a type and its groups as text DXF; values follow their codes.
func record(kind string, pairs ...any) string {
	var b strings.Builder
	fmt.Fprintf(&b, "  0\n%s\n", kind)
	for i := 0; i+1 < len(pairs); i += 2 {
		fmt.Fprintf(&b, "%3d\n%v\n", pairs[i], pairs[i+1])
	}
	return b.String()
}

func section(name string, parts ...string) string {
	return "  0\nSECTION\n  2\n" + name + "\n" + strings.Join(parts, "") + "  0\nENDSEC\n"
}

const eof = "  0\nEOF\n"

// insunits is a header that states a unit.
func insunits(code int) string {
	return section("HEADER", fmt.Sprintf("  9\n$INSUNITS\n 70\n%d\n", code))
}

// inMillimetres is a drawing in mm with the entities given.
func inMillimetres(entities ...string) string {
	return insunits(4) + section("ENTITIES", entities...) + eof
}

// withBlocks is a drawing in mm with blocks.
func withBlocks(blocks []string, entities ...string) string {
	return insunits(4) + section("BLOCKS", blocks...) + section("ENTITIES", entities...) + eof
}

func blockOf(name string, x, y float64, entities ...string) string {
	return record("BLOCK", 8, 0, 2, name, 70, 0, 10, x, 20, y, 30, 0) + strings.Join(entities, "") + record("ENDBLK")
}

func mustRead(t testing.TB, text string, opt Options) *Drawing {
	t.Helper()
	d, err := ReadDXF(strings.NewReader(text), "test.dxf", opt)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func onePath(t testing.TB, d *Drawing) Path {
	t.Helper()
	if len(d.Paths) != 1 {
		t.Fatalf("%d paths, want 1; notes %v", len(d.Paths), d.Notes)
	}
	return d.Paths[0]
}

// wantRelative fails unless got is within the relative tolerance of want.
func wantRelative(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Max(math.Abs(want), 1e-300)) {
		t.Errorf("%s = %.15g, want %.15g (off by %.3g of it)", what, got, want, got/want-1)
	}
}

func wantPoint(t testing.TB, what string, got, want r3.Vector, tolerance float64) {
	t.Helper()
	if !(got.Sub(want).Norm() <= tolerance) {
		t.Errorf("%s = (%.12g, %.12g, %.12g), want (%.12g, %.12g, %.12g)", what, got.X, got.Y, got.Z, want.X, want.Y, want.Z)
	}
}

func hasNote(d *Drawing, part string) bool {
	return slices.ContainsFunc(d.Notes, func(n string) bool { return strings.Contains(n, part) })
}

// ellipsePerimeter is 2π(a² - Σ 2^(n-1) c_n²)/agm(a,b) with c_0² = a² - b² and c_{n+1} = (a_n - b_n)/2 (Gauss;
// from memory), which shares nothing with the integration under test.
func ellipsePerimeter(a, b float64) float64 {
	sum, power := (a*a-b*b)/2, 1.0
	x, y := a, b
	for range 12 {
		c := (x - y) / 2
		sum += power * c * c
		power *= 2
		x, y = (x+y)/2, math.Sqrt(x*y)
	}
	return 2 * math.Pi * (a*a - sum) / x
}

// flatArea is the shoelace area in the xy plane.
func flatArea(points []r3.Vector) float64 {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += (p.X*q.Y - q.X*p.Y) / 2
	}
	return sum
}

// asBinary turns text DXF into binary, written apart from the reader's own table of types: two-byte codes
// (R13 and later) when wide, one-byte codes otherwise.
func asBinary(t testing.TB, text string, wide bool) string {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("AutoCAD Binary DXF\r\n\x1a\x00")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for i := 0; i+1 < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case wide:
			binary.Write(&b, binary.LittleEndian, uint16(code))
		case code >= 255:
			b.WriteByte(255)
			binary.Write(&b, binary.LittleEndian, uint16(code))
		default:
			b.WriteByte(byte(code))
		}
		binaryValue(t, &b, code, strings.TrimSpace(lines[i+1]))
	}
	return b.String()
}

func binaryValue(t testing.TB, b *bytes.Buffer, code int, value string) {
	t.Helper()
	number := func() float64 {
		v, err := strconv.ParseFloat(value, 64)
		if err != nil {
			t.Fatalf("group %d: %v", code, err)
		}
		return v
	}
	in := func(from, to int) bool { return code >= from && code <= to }
	switch {
	case in(10, 59), in(110, 149), in(210, 239), in(460, 469), in(1010, 1059):
		binary.Write(b, binary.LittleEndian, number())
	case in(60, 79), in(170, 179), in(270, 289), in(370, 389), in(400, 409), in(1060, 1070):
		binary.Write(b, binary.LittleEndian, int16(number()))
	case in(90, 99), in(420, 429), in(440, 459), code == 1071:
		binary.Write(b, binary.LittleEndian, int32(number()))
	case in(160, 169):
		binary.Write(b, binary.LittleEndian, int64(number()))
	case in(290, 299):
		b.WriteByte(byte(number()))
	case in(310, 319), code == 1004:
		b.WriteByte(byte(len(value)))
		b.WriteString(value)
	default:
		b.WriteString(value)
		b.WriteByte(0)
	}
}

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// fine makes the chords' own area and length come close to the curve's.
var fine = Options{Chord: 1e-5, Unit: space.Millimetre}

// fataler is what *testing.T and *rapid.T share.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

func distanceToSegment(p, a, b r3.Vector) float64 {
	run, t := b.Sub(a), 0.0
	if l := run.Norm2(); l > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(run)/l))
	}
	return p.Sub(a.Add(run.Mul(t))).Norm()
}
