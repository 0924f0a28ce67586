package drawing

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"seamwright/geometry/space"
)

// sample uses every entity that becomes a path, a block and extended data of all types of value.
func sample() string {
	blocks := []string{blockOf("inner", 1, 1, light(1, [][3]float64{{0, 0, 0.5}, {10, 0, 0}, {10, 5, -0.2}}), circle(3, 3, 1)),
		blockOf("outer", 0, 0, insert("inner", 4, 0, 41, -2, 42, 1.5, 50, 30), line(0, 0, 5, 5))}
	var entities []string
	for _, c := range curves {
		entities = append(entities, c.entity)
	}
	entities = append(entities, insert("outer", 7, 7, 41, 2, 42, 3, 50, 15, 70, 2, 71, 2, 44, 20, 45, 30, 210, 0, 220, 0, 230, -1),
		record("LINE", 5, "FF", 160, int64(1)<<40, 170, 3, 280, 1, 290, 1, 310, "0A0B", 370, -3, 410, "Model", 420, 255, 440, 7, 10, 1, 20, 2, 30,
			3,
			11, 4, 21, 6, 31, 15,
			1001, "APP", 1040, 2.5, 1070, 12, 1071, 70000))
	return "999\nwritten by hand\n" + withBlocks(blocks, entities...)
}

func TestTextFlavours(t *testing.T) {
	plain := sample()
	want := mustRead(t, plain, Options{})
	if len(want.Paths) != len(curves)+1+4*3 {
		t.Fatalf("%d paths", len(want.Paths))
	}
	tight := strings.NewReplacer("\n  ", "\n", "\n ", "\n").Replace(plain)
	for name, text := range map[string]string{
		"CR LF":               strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR CR LF":            strings.ReplaceAll(plain, "\n", "\r\r\n"),
		"CR":                  strings.ReplaceAll(plain, "\n", "\r"),
		"byte-order mark":     "\ufeff" + plain,
		"no leading blanks":   strings.TrimLeft(tight, " "),
		"trailing blanks":     strings.ReplaceAll(plain, "\n", " \t\n"),
		"blank lines before":  "\n\n" + plain,
		"trash after EOF":     plain + "whatever\nfollows\n\x00\x01",
		"no last line end":    strings.TrimSuffix(plain, "\n"),
		"comments everywhere": strings.ReplaceAll(plain, "  0\nLINE\n", "999\nnote\n  0\nLINE\n999\nanother\n"),
		"DOS end mark":        plain + "\x1a",
	} {
		if got := mustRead(t, text, Options{}); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: reads %+v", name, got)
		}
	}
}

func TestBinaryFlavours(t *testing.T) {
	want := mustRead(t, sample(), Options{})
	for name, wide := range map[string]bool{"one-byte codes": false, "two-byte codes": true} {
		text := asBinary(t, sample(), wide)
		got := mustRead(t, text, Options{})
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: reads %d paths, notes %q", name, len(got.Paths), got.Notes)
		}
		if got := mustRead(t, text+"trash", Options{}); !reflect.DeepEqual(got, want) {
			t.Errorf("%s with trash after EOF: reads %d paths", name, len(got.Paths))
		}
	}
}

// TestCarelessEnds reads files whose content is complete though their ends are not.
func TestCarelessEnds(t *testing.T) {
	body := section("ENTITIES", line(0, 0, 3, 4))
	noEnd := strings.TrimSuffix(body, "  0\nENDSEC\n")
	for _, c := range []struct{ name, text, note string }{
		{"no EOF", body, "without its EOF mark"},
		{"no EOF, blank lines", body + "\n\n", "without its EOF mark"},
		{"cut in the objects", body + "  0\nSECTION\n  2\nOBJECTS\n  0\nDICTIONARY\n  5\n", "without its EOF mark"},
		{"out of step in the objects", body + "  0\nSECTION\n  2\nOBJECTS\nwords\n", "what follows the entities was not read"},
		{"no ENDSEC before EOF", noEnd + eof, "ENTITIES has no ENDSEC"},
		{"no ENDSEC before a section", noEnd + section("OBJECTS") + eof, "ENTITIES has no ENDSEC"},
		{"stray groups", "  0\nSECTION\n  2\nENTITIES\n 70\n3\n" + line(0, 0, 3, 4) + "  0\nENDSEC\n" + eof, ""},
		{"blocks last", section("ENTITIES", insert("b", 0, 0)) + section("BLOCKS", blockOf("b", 0, 0, line(0, 0, 3, 4))) + eof, ""},
		{"no ENDBLK", section("BLOCKS", "  0\nBLOCK\n  2\na\n"+line(0, 0, 9, 9)+blockOf("b", 0, 0, line(0, 0, 3, 4))) + section("ENTITIES",
			insert("b", 0, 0)) + eof, ""},
		{"two sections of entities", section("ENTITIES") + body + eof, ""},
		{"whole numbers written 4.0", "  0\nSECTION\n  2\nHEADER\n  9\n$INSUNITS\n 70\n4.0\n  0\nENDSEC\n" + body + eof, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := mustRead(t, c.text, Options{})
			wantRelative(t, "length", onePath(t, d).Length, 5, 1e-15)
			if c.note != "" && !hasNote(d, c.note) {
				t.Errorf("notes %q", d.Notes)
			}
			if c.note == "" && len(d.Notes) > 1 {
				t.Errorf("notes %q", d.Notes)
			}
		})
	}
}

func TestEmptyDrawing(t *testing.T) {
	for _, text := range []string{inMillimetres(), insunits(4) + eof} {
		if d := mustRead(t, text, Options{}); len(d.Paths) != 0 || !hasNote(d, "no lines or curves") {
			t.Errorf("%+v", d)
		}
	}
}

func TestUnits(t *testing.T) {
	measurement := func(v int) string {
		return section("HEADER", fmt.Sprintf("  9\n$MEASUREMENT\n 70\n%d\n", v))
	}
	for _, c := range []struct {
		name   string
		header string
		stated space.Unit
		length float64 // of 5 drawing units, mm
		unit   space.Unit
		note   string
	}{
		{"file says mm", insunits(4), "", 5, space.Millimetre, ""},
		{"file says inch", insunits(1), "", 127, space.Inch, ""},
		{"file says foot", insunits(2), "", 1524, space.Foot, ""},
		{"file says cm", insunits(5), "", 50, space.Centimetre, ""},
		{"file says m", insunits(6), "", 5000, space.Metre, ""},
		{"file says dm", insunits(14), "", 500, "", "drawn in dm"},
		{"file says mil", insunits(9), "", 0.127, "", "drawn in mil"},
		{"nobody says", "", "", 5, space.Millimetre, "the file states none: millimetres assumed"},
		{"file says none", insunits(0), "", 5, space.Millimetre, "the file states none: millimetres assumed"},
		{"hint at inches", measurement(0), "", 5, space.Millimetre, "hints at inches"},
		{"hint at metric", measurement(1), "", 5, space.Millimetre, "the file states none: millimetres assumed"},
		{"unknown number", insunits(99), "", 5, space.Millimetre, "$INSUNITS 99 is not a unit"},
		{"not a number", section("HEADER", "  9\n$INSUNITS\n 70\nmm\n"), "", 5, space.Millimetre, "$INSUNITS is not a number"},
		{"caller says inch", "", space.Inch, 127, space.Inch, ""},
		{"both say mm", insunits(4), space.Millimetre, 5, space.Millimetre, ""},
		{"they differ", insunits(1), space.Millimetre, 5, space.Millimetre, "taken as mm as told, though the file says inch"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := mustRead(t, c.header+section("ENTITIES", line(0, 0, 3, 4))+eof, Options{Unit: c.stated})
			p := onePath(t, d)
			wantRelative(t, "length", p.Length, c.length, 1e-14)
			wantPoint(t, "end", p.Points[1], vec(3, 4, 0).Mul(c.length/5), 1e-12*c.length)
			if d.Unit != c.unit {
				t.Errorf("unit %q, want %q", d.Unit, c.unit)
			}
			if c.note == "" && len(d.Notes) > 0 || c.note != "" && !hasNote(d, c.note) {
				t.Errorf("notes %q, want %q", d.Notes, c.note)
			}
		})
	}
}

// cut drops the end of a text from the last place where part stands.
func cut(text, part string) string { return text[:strings.LastIndex(text, part)] }

// nestedTooDeep inserts 17 blocks in each other.
func nestedTooDeep() string {
	blocks := []string{blockOf("b0", 0, 0, line(0, 0, 1, 1))}
	for i := 1; i <= 17; i++ {
		blocks = append(blocks, blockOf(fmt.Sprint("b", i), 0, 0, insert(fmt.Sprint("b", i-1), 0, 0)))
	}
	return withBlocks(blocks, insert("b17", 0, 0))
}

const (
	binaryMark = "AutoCAD Binary DXF\r\n\x1a\x00"
	longLine   = 1 << 20 // bytes that a line may have
)

// broken are files that cannot be read, with the one line that the user gets.
func broken(t testing.TB) []struct{ name, text, want string } {
	good := inMillimetres(line(0, 0, 3, 4))
	one, two := asBinary(t, good, false), asBinary(t, good, true)
	only := func(e string) string { return inMillimetres(e) }
	doubling := []string{blockOf("b0", 0, 0, line(0, 0, 1, 1))}
	for i := 1; i <= 10; i++ {
		doubling = append(doubling, blockOf(fmt.Sprint("b", i), 0, 0, insert(fmt.Sprint("b", i-1), 0, 0, 70, 10)))
	}
	return []struct{ name, text, want string }{
		{"empty", "", "f.dxf: file is empty: export the drawing again"},
		{"blank", " \n\r\n\x00\n", "f.dxf: file is empty: export the drawing again"},
		{"prose", "Dear Sir,\nplease find attached\n",
			`f.dxf: line 1: "Dear Sir," stands where a group code (a whole number) is due: a line is missing or too many before it; export the ` +
				`drawing again`},
		{"numbers", "1\n2\n3\n4\n", "f.dxf: holds no DXF section: save it as a DXF drawing, R12 to 2018"},
		{"own format", "AC1032\x00\x00\x00\x00\x00", "f.dxf: is a drawing in a program's own format, not DXF: save it as DXF, R12 to 2018"},
		{"UTF-16", "\xff\xfe0\x00\n\x00", "f.dxf: is UTF-16 text: save it as DXF, which is ASCII or UTF-8"},
		{"EOF alone", eof, "f.dxf: holds no DXF section: save it as a DXF drawing, R12 to 2018"},
		{"cut in the header", cut(good, "$INSUNITS"), `f.dxf: line 5: file ends within section "HEADER": it was cut off; export it again`},
		{"cut before the entities", cut(good, "  0\nSECTION\n  2\nENTITIES"),
			"f.dxf: line 10: file ends within the file, before its entities: it was cut off; export it again"},
		{"cut within an entity", cut(good, " 21\n"), `f.dxf: line 26: file ends within section "ENTITIES": it was cut off; export it again`},
		{"cut between code and value", cut(good, "3\n 21\n"),
			`f.dxf: line 25: file ends within section "ENTITIES": it was cut off; export it again`},
		{"cut after an entity", cut(good, "  0\nENDSEC"), `f.dxf: line 30: file ends within section "ENTITIES": it was cut off; export it ` +
			`again`},
		{"line lost", strings.Replace(good, " 11\n", "", 1),
			`f.dxf: line 31: "ENDSEC" stands where a group code (a whole number) is due: a line is missing or too many before it; export the ` +
				`drawing again`},
		{"endless line", "0\nSECTION\n2\n" + strings.Repeat("x", longLine+1) + "\n",
			"f.dxf: line 4: line is longer than 1048576 bytes: this is not a DXF file, or it is damaged"},
		{"no number", only(record("CIRCLE", 10, "1,5", 20, 0, 40, 2)),
			`f.dxf: line 18: group 10: "1,5" is not a number that can be read: export the drawing again`},
		{"not finite", only(record("CIRCLE", 10, "nan", 20, 0, 40, 2)),
			"f.dxf: line 18: group 10: NaN is not a finite number: export the drawing again"},
		{"out of reach", only(record("LINE", 10, 0, 20, 0, 11, "1e300", 21, 0)),
			"f.dxf: line 22: group 11: coordinate 1e+300 is beyond 1e+12: the file is damaged; export it again"},
		{"flags that are no number", only(record("LWPOLYLINE", 70, 1.5, 10, 0, 20, 0)),
			"f.dxf: line 18: group 70: 1.5 is not a whole number: export the drawing again"},
		{"line without an end", only(record("LINE", 10, 0, 20, 0)),
			"f.dxf: line 16: LINE has no end point (groups 11 and 21): export the drawing again"},
		{"circle without a radius", only(record("CIRCLE", 10, 0, 20, 0)),
			"f.dxf: line 16: CIRCLE has no radius (group 40): export the drawing again"},
		{"negative radius", only(record("CIRCLE", 10, 0, 20, 0, 40, -2)),
			"f.dxf: line 16: CIRCLE has the radius -2: it must be above zero; mend it in the drawing"},
		{"arc without an angle", only(record("ARC", 10, 0, 20, 0, 40, 1, 50, 0)),
			"f.dxf: line 16: ARC has no end angle (group 51): export the drawing again"},
		{"ellipse without axes", only(record("ELLIPSE", 10, 0, 20, 0, 40, 1)),
			"f.dxf: line 16: ELLIPSE has no end of the major axis (groups 11 and 21): export the drawing again"},
		{"ellipse out of proportion", only(record("ELLIPSE", 10, 0, 20, 0, 11, 1, 21, 0, 40, 1e9)),
			"f.dxf: line 16: ELLIPSE has the ratio 1e+09 of its axes: it must be 1 at most; mend it in the drawing"},
		{"vertex without y", only(record("LWPOLYLINE", 70, 0, 10, 0, 10, 1, 20, 1)),
			"f.dxf: line 22: LWPOLYLINE vertex 1 has no y (group 20): export the drawing again"},
		{"last vertex without y", only(record("LWPOLYLINE", 70, 0, 10, 0, 20, 1, 10, 1)),
			"f.dxf: line 16: LWPOLYLINE's last vertex has no y (group 20): export the drawing again"},
		{"old vertex without a place", only(record("POLYLINE", 66, 1) + record("VERTEX", 10, 1) + record("SEQEND")),
			"f.dxf: line 20: VERTEX has no place (groups 10 and 20): export the drawing again"},
		{"degree of zero", only(spline(8, 0, nil, nil, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE has the degree 0: it must be 1 to 32; export the drawing again"},
		{"too few control points", only(spline(8, 3, nil, nil, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE of degree 3 has 2 control points: it needs at least 4; export the drawing again"},
		{"knots that do not fit", only(spline(8, 1, []float64{0, 0, 1}, nil, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE of degree 1 with 2 control points has 3 knots: it needs 4; export the drawing again"},
		{"knots that fall", only(spline(8, 1, []float64{0, 1, 0, 1}, nil, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE's knot 3 (0) is less than the one before it: export the drawing again"},
		{"knots all alike", only(spline(8, 1, []float64{1, 1, 1, 1}, nil, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE's knots leave no room for a curve: export the drawing again"},
		{"broken spline", only(spline(8, 1, []float64{0, 0, 1, 1, 2, 2}, nil, vec(0, 0, 0), vec(1, 0, 0), vec(1, 1, 0), vec(2, 1, 0))),
			"f.dxf: line 16: SPLINE is broken at its knot 1: draw it as two splines"},
		{"weight of zero", only(spline(8, 1, []float64{0, 0, 1, 1}, []float64{1, 0}, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE has the weight 0 at control point 2: it must be above zero; mend it in the drawing"},
		{"weights missing", only(spline(8, 1, []float64{0, 0, 1, 1}, []float64{1}, vec(0, 0, 0), vec(1, 0, 0))),
			"f.dxf: line 16: SPLINE has 2 control points but 1 weights: export the drawing again"},
		{"insert of nothing", only(record("INSERT", 10, 0, 20, 0)), "f.dxf: line 16: INSERT names no block (group 2): export the drawing again"},
		{"block in itself", withBlocks([]string{blockOf("a", 0, 0, insert("b", 0, 0)), blockOf("B", 0, 0, insert("A", 0, 0))},
			insert("a", 0, 0)), `f.dxf: line 58: block "A" inserts itself: mend the block in the drawing`},
		{"nested too deep", nestedTooDeep(), "f.dxf: line 90: blocks are nested more than 16 deep: explode the inserts in the drawing"},
		{"multiplying inserts", withBlocks(doubling, insert("b10", 0, 0)),
			"f.dxf: line 30: drawing has more than 25000 entities once its blocks are inserted: draw the outline once, or allow more"},
		{"endless array", withBlocks([]string{blockOf("a", 0, 0)}, insert("a", 0, 0, 70, 32767, 71, 32767)),
			"f.dxf: line 38: drawing inserts more than 200000 copies of blocks: draw the outline once"},
		{"nothing, very often", withBlocks([]string{blockOf("a", 0, 0, strings.Repeat(record("TEXT"), 100))},
			insert("a", 0, 0, 70, 400, 71, 400)),
			"f.dxf: line 228: drawing has more than 25000 entities once its blocks are inserted: draw the outline once, or allow more"},
		{"too many points", only(circle(0, 0, 1e12)), "f.dxf: line 16: drawing needs more than 100000 points to stay within 0.02 mm of its " +
			"curves: check its unit, or give a coarser chord tolerance, or allow more"},
		{"scaled out of reach", withBlocks([]string{blockOf("a", 0, 0, line(0, 0, 1e6, 0))}, insert("a", 0, 0, 41, 1e9)),
			"f.dxf: line 30: LINE reaches beyond 1e+12 mm: check the unit and the scales of inserts"},
		{"binary mark alone", binaryMark, "f.dxf: byte 22: file ends after the binary DXF mark: it was cut off; export it again"},
		{"binary that starts amiss", binaryMark + "hello world",
			"f.dxf: byte 22: binary DXF does not start with a section: the file is damaged; export it again"},
		{"binary R12 cut", one[:len(one)-30], `f.dxf: byte 126: file ends within section "ENTITIES": it was cut off; export it again`},
		{"binary cut in a number", two[:len(two)-30], `f.dxf: byte 143: file ends within section "ENTITIES": it was cut off; export it again`},
		{"binary with a code that is none", strings.Replace(two, "\x1f\x00", "\x96\x00", 1),
			"f.dxf: byte 148: group code 150 is not one of DXF: the file is damaged; export it again, or as text"},
		{"binary coordinate", asBinary(t, only(record("LINE", 10, 0, 20, 0, 11, math.Inf(1), 21, 0)), true),
			"f.dxf: byte 114: group 11: +Inf is not a finite number: export the drawing again"},
		{"binary entity without an end", asBinary(t, only(record("LINE", 10, 0, 20, 0)), true),
			"f.dxf: byte 87: LINE has no end point (groups 11 and 21): export the drawing again"},
		{"binary text without an end", binaryMark + "\x00\x00SECTION\x00\x01\x00" + strings.Repeat("x", longLine+5),
			"f.dxf: byte 32: text is longer than 1048576 bytes: the file is damaged; export it again"},
	}
}

func TestBrokenFiles(t *testing.T) {
	for _, c := range broken(t) {
		t.Run(c.name, func(t *testing.T) {
			d, err := ReadDXF(strings.NewReader(c.text), "f.dxf", Options{})
			if err == nil {
				t.Fatalf("reads %d paths, notes %q", len(d.Paths), d.Notes)
			}
			if err.Error() != c.want {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
			var fault *FileError
			if !errors.As(err, &fault) || fault.File != "f.dxf" || strings.Contains(err.Error(), "\n") {
				t.Errorf("not one line of a FileError: %#v", err)
			}
		})
	}
}

// TestEveryCutIsSaid cuts a drawing after every line, and after every byte of its binary twins: what is read
// is either whole or an error.
func TestEveryCutIsSaid(t *testing.T) {
	text := withBlocks([]string{blockOf("a", 0, 0, circle(1, 1, 1))}, line(0, 0, 3, 4), insert("a", 2, 2),
		old(0, [][4]float64{{0, 0, 0, 0}, {1, 0, 0, 0}}))
	want := len(mustRead(t, text, Options{}).Paths)
	check := func(part string) {
		d, err := ReadDXF(strings.NewReader(part), "f.dxf", Options{})
		if err == nil && len(d.Paths) != want {
			t.Fatalf("cut after %d bytes: %d paths without an error", len(part), len(d.Paths))
		}
	}
	for i := range text {
		check(text[:i])
	}
	for _, wide := range []bool{false, true} {
		b := asBinary(t, text, wide)
		for i := range b {
			check(b[:i])
		}
	}
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	d, err := ReadFile(write("floor.DXF", sample()), Options{})
	if err != nil || d.Name != "floor.DXF" || len(d.Paths) == 0 {
		t.Errorf("%v, %v", d, err)
	}
	d, err = ReadFile(write("edge.CSV", "0,0\n1,0\n"), Options{})
	if err != nil || d.Name != "edge.CSV" || len(d.Paths) != 1 {
		t.Errorf("%v, %v", d, err)
	}
	bad := write("bad.dxf", "nonsense")
	if _, err = ReadFile(bad, Options{}); err == nil || !strings.HasPrefix(err.Error(), bad+": line 1: ") {
		t.Errorf("error %v", err)
	}
	missing := filepath.Join(dir, "none.dxf")
	if _, err = ReadFile(missing, Options{}); !errors.Is(err, os.ErrNotExist) || strings.Count(err.Error(), missing) != 1 {
		t.Errorf("error %v", err)
	}
	if _, err = ReadFile(dir, Options{}); err == nil || strings.Count(err.Error(), dir) != 1 {
		t.Errorf("error %v", err)
	}
}

// TestLimits wants each limit counted while reading, with its place, and a drawing just within it read.
func TestLimits(t *testing.T) {
	spline := func(n int) string {
		pairs := []any{70, 0, 71, 3}
		for i := range n {
			pairs = append(pairs, 10, i, 20, i%7)
		}
		return record("SPLINE", pairs...)
	}
	within := Limits{Bytes: 4000, Entities: 5, Points: 40, Size: 100}
	for name, c := range map[string]struct{ text, want string }{
		"entities":      {inMillimetres(strings.Repeat(line(0, 0, 9, 9), 6)), "drawing has more than 5 entities"},
		"spline points": {inMillimetres(spline(41)), "SPLINE has more than 40 points"},
		"curve points":  {inMillimetres(circle(0, 0, 40)), "drawing needs more than 40 points"},
		"pieces":        {inMillimetres(strings.Repeat(spline(16), 4)), "drawing has more than 40 points"},
		"size":          {inMillimetres(line(0, 0, 101, 0)), "drawing is 101 × 0 × 0 mm, more than 100 mm"},
		"bytes":         {inMillimetres(strings.Repeat("999\nremark\n", 400)), "is larger than 4000 bytes"},
		"just within":   {inMillimetres(strings.Repeat(line(0, 0, 100, 100), 5)), ""},
	} {
		_, err := ReadDXF(strings.NewReader(c.text), "f.dxf", Options{Most: within})
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	for text, want := range map[string]string{strings.Repeat("1,2\n2,1\n", 21): "holds more than 40 points",
		"0,0\n200,0\n": "more than 100 mm"} {
		if _, err := ReadCSV(strings.NewReader(text), "f.csv", Options{Most: within}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
