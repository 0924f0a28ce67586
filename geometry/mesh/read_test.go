package mesh

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/geometry/intake"
	"seamwright/geometry/space"
	"seamwright/internal/facets"
)

// Every spelling of the same block must give the same block.
func TestReadGoodFiles(t *testing.T) {
	s := facets.Block(100, 50, 25)
	plain := s.ASCII("door", "%g")
	half := len(s) / 2
	tests := []struct {
		name string
		data string
		note string
	}{
		{"binary", string(s.Binary("panel")), ""},
		{"binary that begins with solid", string(s.Binary("solid door\nendsolid door")), ""},
		{"binary with facets in its header", string(s.Binary("solid a\nfacet normal 0 0 1\nouter loop\n")), ""},
		{"binary padded with zeros", string(s.Binary("panel")) + strings.Repeat("\x00", 500), "500 bytes after the last triangle left out"},
		{"binary with bytes behind it", string(s.Binary("panel")) + "end", "3 bytes after the last triangle left out"},
		{"binary with text behind it", string(s.Binary("panel")) + strings.Repeat("x", 77), "77 bytes after the last triangle left out"},
		{"ASCII", plain, ""},
		{"ASCII with exponents", s.ASCII("door", "%e"), ""},
		{"ASCII with signs and capital exponents", s.ASCII("door", "%+.7E"), ""},
		{"ASCII with many decimals", s.ASCII("door", "%.30f"), ""},
		{"ASCII with a point at the end", strings.ReplaceAll(plain, " 25\n", " 25.\n"), ""},
		{"ASCII with a point in front", strings.ReplaceAll(plain, " 50 ", " .50e2 "), ""},
		{"minus zero here and there", strings.Replace(plain, " 0 ", " -0.0 ", 7), ""},
		{"upper case", strings.ToUpper(plain), ""},
		{"mixed case", strings.NewReplacer("facet", "Facet", "vertex", "VerTex", "solid", "Solid").Replace(plain), ""},
		{"carriage return and line feed", strings.ReplaceAll(plain, "\n", "\r\n"), ""},
		{"carriage return only", strings.ReplaceAll(plain, "\n", "\r"), ""},
		{"byte-order mark", "\ufeff" + plain, ""},
		{"blanks in front", " \n\t\n" + plain, ""},
		{"tabs and form feeds", strings.NewReplacer("    ", "\t", "  ", "\f\v").Replace(plain), ""},
		{"trailing blanks", strings.ReplaceAll(plain, "\n", "  \t\n"), ""},
		{"a flood of blank lines", strings.Replace(plain, "  facet", strings.Repeat("\n", 5<<20)+"  facet", 1), ""},
		{"a flood of blanks at the end", plain + strings.Repeat("\r\n", 1<<20), ""},
		{"facets on one line of 100 KiB", "solid door\n" + strings.Join(strings.Fields(strings.SplitN(plain, "\n", 2)[1]),
			strings.Repeat(" ", 400)), ""},
		{"one word on a line", strings.Replace("solid door\n"+strings.Join(strings.Fields(strings.SplitN(plain, "\n", 2)[1]), "\n"),
			"endsolid\ndoor", "endsolid door", 1), ""},
		{"no name", s.ASCII("", "%g"), ""},
		{"no blank behind solid", strings.ReplaceAll(plain, "solid door", "solid"), ""},
		{"a name of keywords", s.ASCII("facet normal endsolid vertex", "%g"), ""},
		{"a name with umlauts", s.ASCII("Türblech", "%g"), ""},
		{"a long name", s.ASCII(strings.Repeat("door ", 500), "%g"), ""},
		{"no line end at the end", strings.TrimSuffix(plain, "\n"), ""},
		{"normals that are no numbers", strings.ReplaceAll(plain, "normal 0 0 1", "normal -nan(ind) nan 1.#QNAN"), ""},
		{"two solids", s[:half].ASCII("left", "%g") + s[half:].ASCII("right", "%g"), "2 solids in the file, read as one panel"},
		{"two solids, one empty", "solid nothing\nendsolid nothing\n" + plain, "2 solids"},
		{"many solids", strings.Repeat("solid\nendsolid\n", 50_000) + plain, "50001 solids"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m, notes, err := readBytes([]byte(test.data), inMillimetres)
			if err != nil {
				t.Fatal(err)
			}
			if len(m.Triangles) != 12 || len(m.Vertices) != 8 || m.Area() != 17500 || m.Volume() != 125000 || !m.Closed() {
				t.Errorf("%d triangles, %d vertices, %g mm², %g mm³, closed %v; want 12, 8, 17500, 125000, true",
					len(m.Triangles), len(m.Vertices), m.Area(), m.Volume(), m.Closed())
			}
			if want := (space.Box{Max: vec(100, 50, 25)}); m.Box() != want {
				t.Errorf("box %v, want %v", m.Box(), want)
			}
			if m.Name != "door" {
				t.Errorf("name %q, want door", m.Name)
			}
			if test.note == "" && len(notes) > 0 {
				t.Errorf("notes on a sound file: %q", notes)
			} else if test.note != "" {
				wantNote(t, notes, test.note)
			}
		})
	}
}

// Every broken file must give one line with the file, the place and what to do.
func TestReadBrokenFiles(t *testing.T) {
	s := facets.Block(100, 50, 25)
	bin, text := string(s.Binary("panel")), s.ASCII("door", "%g")
	count := func(n uint32) string {
		b := []byte(bin)
		binary.LittleEndian.PutUint32(b[80:], n)
		return string(b)
	}
	poke := func(at int, x float64) string {
		b := []byte(bin)
		binary.LittleEndian.PutUint32(b[at:], math.Float32bits(float32(x)))
		return string(b)
	}
	swap := func(old, by string) string { return strings.Replace(text, old, by, 1) }
	third := 84 + 3*50 + 12 // first coordinate of the fourth triangle
	tests := []struct {
		name, data string
		opt        Options
		want       []string
	}{
		{"empty", "", inMillimetres, []string{"empty", "export"}},
		{"blanks", " \n\n ", inMillimetres, []string{"blanks", "export"}},
		{"five megabytes of blank lines", strings.Repeat("\n", 5<<20), inMillimetres, []string{"blanks", "export"}},
		{"binary without triangles", bin[:80] + "\x00\x00\x00\x00", inMillimetres, []string{"without triangles", "export"}},
		{"ASCII without triangles", "solid door\nendsolid door\n", inMillimetres, []string{"without triangles", "export"}},
		{"two empty solids", "solid a\nendsolid\nsolid b\nendsolid\n", inMillimetres, []string{"without triangles"}},
		{"binary cut in a triangle", bin[:84+5*50+20], inMillimetres, []string{"triangle 6", "counts 12", "7 missing", "copy or export"}},
		{"binary cut behind a triangle", bin[:84+5*50], inMillimetres, []string{"triangle 6", "7 missing"}},
		{"binary cut behind the header", bin[:84], inMillimetres, []string{"triangle 1", "12 missing"}},
		{"binary cut in the header", bin[:50], inMillimetres, []string{"neither", `"panel\x00`, "export"}},
		{"binary cut, with a header that says solid", "solid door  " + bin[12:300], inMillimetres, []string{"triangle 5", "8 missing"}},
		{"a count of four thousand million", count(math.MaxUint32), inMillimetres, []string{"neither", "export"}},
		{"a count that the file cannot hold", count(19_000_000), inMillimetres, []string{"triangle 13", "18999988 missing"}},
		{"a count of zero before triangles", count(0), inMillimetres, []string{"counts no triangles", "12 would fit", "export"}},
		{"a count that leaves triangles over", count(5), inMillimetres, []string{"counts 5", "12 fill the file", "export"}},
		{"more triangles than allowed, binary", bin, Options{MaxTriangles: 11}, []string{"12 triangles", "limit of 11", "coarser"}},
		{"more triangles than allowed, ASCII", text, Options{MaxTriangles: 11}, []string{"12 triangles", "limit of 11"}},
		{"not a number", poke(third, math.NaN()), inMillimetres, []string{"triangle 4", "corner 1", "not a number", "export"}},
		{"infinity", poke(third+16, math.Inf(-1)), inMillimetres, []string{"triangle 4", "corner 2", "-Inf", "unit"}},
		{"beyond a thousand kilometres", poke(third+32, 1e30), inMillimetres, []string{"triangle 4", "corner 3", "1e+30", "unit"}},
		{"beyond a thousand kilometres in feet", poke(third, 4e6), Options{Unit: space.Foot}, []string{"triangle 4", "4e+06", "unit"}},
		{"ASCII not a number", swap("vertex 100", "vertex nan"), inMillimetres, []string{"line 6", "triangle 1", `"nan"`, "digits"}},
		{"ASCII infinity", swap("vertex 100", "vertex inf"), inMillimetres, []string{"line 6", `"inf"`}},
		{"a decimal comma", swap("vertex 100", "vertex 100,5"), inMillimetres, []string{"line 6", `"100,5"`, "decimal point"}},
		{"a hexadecimal number", swap("vertex 100", "vertex 0x1p3"), inMillimetres, []string{"line 6", `"0x1p3"`}},
		{"an underscore", swap("vertex 100", "vertex 1_00"), inMillimetres, []string{"line 6", `"1_00"`}},
		{"an exponent without digits", swap("vertex 100", "vertex 1e"), inMillimetres, []string{"line 6", `"1e"`}},
		{"a sign alone", swap("vertex 100", "vertex -"), inMillimetres, []string{"line 6", `"-"`}},
		{"a point alone", swap("vertex 100", "vertex ."), inMillimetres, []string{"line 6", `"."`}},
		{"two points", swap("vertex 100", "vertex 1.0.0"), inMillimetres, []string{"line 6", `"1.0.0"`}},
		{"too large for a float32", swap("vertex 100", "vertex 1e39"), inMillimetres, []string{"line 6", `"1e39"`, "too large"}},
		{"too many digits for a float32", swap("vertex 100", "vertex "+strings.Repeat("9", 45)), inMillimetres, []string{"line 6", "too large"}},
		{"a loop of two", swap("vertex 0 50 0\n", "\n"), inMillimetres, []string{"line 7", "triangle 1", "2 corners"}},
		{"a loop of four", swap("vertex 0 50 0\n", "vertex 0 50 0\nvertex 0 0 0\n"), inMillimetres, []string{"line 7", "more than 3 corners"}},
		{"a loop of none", "solid\nfacet normal 0 0 0\nouter loop\nendloop\nendfacet\nendsolid", inMillimetres, []string{"line 4", "0 corners"}},
		{"a corner of two numbers", swap("vertex 0 50 0", "vertex 0 50"), inMillimetres, []string{"line 6", `"vertex"`}},
		{"a corner of four numbers", swap("vertex 0 50 0", "vertex 0 50 0 0"), inMillimetres, []string{"line 5", `found "0"`}},
		{"a misspelt word", swap("endloop", "endlop"), inMillimetres, []string{"line 7", `"endlop"`}},
		{"words between facets", swap("  endfacet\n", "  endfacet\nhello\n"), inMillimetres, []string{"line 9", `"hello"`}},
		{"no endfacet", swap("  endfacet\n", ""), inMillimetres, []string{"line 8", `"endfacet" expected`}},
		{"no normal", swap("facet normal 0 0 1", "facet"), inMillimetres, []string{"line 3", `"normal" expected`}},
		{"no endsolid", strings.Replace(text, "endsolid door\n", "", 1), inMillimetres, []string{"line 86", "after triangle 12", "endsolid"}},
		{"cut inside a facet", text[:400], inMillimetres, []string{"ends inside triangle", "copy or export"}},
		{"a solid in a solid", swap("  endfacet\n", "  endfacet\nsolid b\n"), inMillimetres, []string{"line 9", `"endsolid" expected`,
			`"solid"`}},
		{"words behind the solid", text + "\nv 1 2 3", inMillimetres, []string{"line 88", `"solid" expected`, `"v"`}},
		{"a broken second solid", text + strings.Replace(text, "vertex 100", "vertex x", 1), inMillimetres, []string{"line 92", "triangle 13",
			`"x"`}},
		{"another kind of text", "# vertices\nv 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n", inMillimetres, []string{"line 1", `"solid" expected`,
			`"#"`}},
		{"a page of text", strings.Repeat("<p>hello</p>\n", 100), inMillimetres, []string{"line 1", `"solid" expected`}},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + strings.Repeat("\xee\x01\x00\x9f", 60), inMillimetres,
			[]string{"neither", `"\x89PNG`, "export"}},
		{"UTF-16", "\xff\xfes\x00o\x00l\x00i\x00d\x00", inMillimetres, []string{"UTF-16", "save"}},
		{"a word of a megabyte", swap("vertex 100", "vertex "+strings.Repeat("1", 1<<20)), inMillimetres, []string{"line 6", "longer than 64"}},
		{"a name of a megabyte", swap("solid door", "solid "+strings.Repeat("door ", 1<<18)), inMillimetres,
			[]string{"line 1", "longer than 4096", "line ends"}},
		{"two hundred thousand bad facets", "solid\n" + strings.Repeat("facet normal 0 0\n", 200_000), inMillimetres,
			[]string{"line 3", "triangle 1"}},
		{"nothing but lines", string(soup{{vec(0, 0, 0), vec(1, 0, 0), vec(2, 0, 0)}, {vec(5, 5, 5), vec(5, 5, 5), vec(6, 6, 6)}}.Binary("")),
			inMillimetres, []string{"none of its 2 triangles", "export"}},
		{"an unknown unit", bin, Options{Unit: "furlong"}, []string{`unit "furlong"`, "write mm"}},
		{"a merge distance that is no number", bin, Options{MergeWithin: math.NaN()}, []string{"merge distance", "millimetres"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m, notes, err := readBytes([]byte(test.data), test.opt)
			if err == nil || m != nil || notes != nil {
				t.Fatalf("taken, with notes %q", notes)
			}
			text := err.Error()
			if !strings.HasPrefix(text, "door.stl: ") || strings.ContainsAny(text, "\n\r") || len(text) > 250 {
				t.Errorf("%d bytes: %q: want one short line that begins with the file", len(text), text)
			}
			for _, part := range test.want {
				if !strings.Contains(text, part) {
					t.Errorf("%q does not say %q", text, part)
				}
			}
		})
	}
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "left door.v2.stl")
	if err := os.WriteFile(path, facets.Block(4, 2, 1).Binary(""), 0o600); err != nil {
		t.Fatal(err)
	}
	m, notes, err := ReadFile(path, Options{Unit: "in"})
	if err != nil || m.Name != "left door.v2" || m.Box().Max != vec(101.6, 50.8, 25.4) || len(notes) != 0 {
		t.Errorf("mesh %v, notes %q, error %v", m, notes, err)
	}
	if m, _, err = ReadFile(path, Options{Unit: space.Inch, Name: "door"}); err != nil || m.Name != "door" {
		t.Errorf("mesh %v, error %v: want the name door", m, err)
	}
	if _, _, err = ReadFile(filepath.Join(dir, "none.stl"), Options{}); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(),
		"none.stl") {
		t.Errorf("a file that is not there: %v", err)
	}
	if _, _, err = ReadFile(dir, Options{}); err == nil || !strings.Contains(err.Error(), dir) {
		t.Errorf("a folder: %v", err)
	}
}

func TestReadSaysWhatFails(t *testing.T) {
	bin, text := facets.Block(100, 50, 25).Binary(""), []byte(facets.Block(100, 50, 25).ASCII("door", "%g"))
	broken := errors.New("the cable came loose")
	for _, data := range [][]byte{bin, text} {
		for _, cut := range []int{0, 60, len(data) - 100} {
			_, _, err := Read(facets.FailingReader{Data: data[:cut], Err: broken}, int64(len(data)), "door.stl", inMillimetres)
			if !errors.Is(err, broken) || !strings.HasPrefix(err.Error(), "door.stl: ") {
				t.Errorf("a reader that fails at byte %d: %v", cut, err)
			}
			short := facets.FailingReader{Data: data[:cut], Err: os.ErrClosed}
			if _, _, err := Read(short, int64(len(data)), "bad\nname.stl", inMillimetres); err == nil || strings.Contains(err.Error(), "\n") {
				t.Errorf("a name of two lines: %v", err)
			}
		}
	}
	if _, _, err := Read(strings.NewReader("solid"), -5, "door.stl", inMillimetres); err == nil {
		t.Error("a size below zero is taken")
	}
}

// countingReader counts the bytes that were asked for.
type countingReader struct {
	r    io.ReaderAt
	read int
}

func (c *countingReader) ReadAt(p []byte, off int64) (int, error) {
	n, err := c.r.ReadAt(p, off)
	c.read += n
	return n, err
}

// The first fault ends the reading: a file of many megabytes is not gone through for nothing.
func TestReadStopsAtTheFirstFault(t *testing.T) {
	s := facets.Sheet(vec(0, 0, 0), 100, 100, 10, nil)
	s[5][1].X = 1e20
	for _, data := range []string{string(s.Binary("")), s.ASCII("door", "%g")} {
		r := &countingReader{r: strings.NewReader(data)}
		_, _, err := Read(r, int64(len(data)), "door.stl", inMillimetres)
		if err == nil || !strings.Contains(err.Error(), "triangle 6: corner 2") || r.read > 300_000 || r.read > len(data)*2/3 {
			t.Errorf("%d of %d bytes read, error %v", r.read, len(data), err)
		}
	}
}

func TestUnitNotes(t *testing.T) {
	tests := []struct {
		unit  space.Unit
		size  float64 // in the unit
		notes []string
	}{
		{space.Millimetre, 1200, nil},
		{space.Millimetre, 20, nil},
		{space.Millimetre, 6000, nil},
		{space.Metre, 1.5, nil},
		{space.Inch, 60, nil},
		{space.Unstated, 1200, []string{"unit not stated: numbers taken as millimetres"}},
		{space.Unstated, 1.5, []string{"unit not stated", "largest side 1.5 mm with the unit mm: not likely for a sheet panel; plausible in m " +
			"(1500 mm), inch (38.1 mm) or foot (457.2 mm)"}},
		{space.Millimetre, 19.5, []string{"plausible in cm (195 mm), inch (495.3 mm) or foot (5944 mm)"}},
		{space.Metre, 1500, []string{"largest side 1.5e+06 mm with the unit m: not likely for a sheet panel; plausible in mm (1500 mm)"}},
		{space.Inch, 1500, []string{"plausible in mm (1500 mm)"}},
		{space.Millimetre, 1e-3, []string{"no unit makes it plausible"}},
	}
	for _, test := range tests {
		data := facets.Block(test.size, test.size/2, test.size/4).Binary("")
		m, notes, err := readBytes(data, Options{Unit: test.unit})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := m.Box().Max.X, float64(float32(test.size))*test.unit.Millimetres(); got != want {
			t.Errorf("%g %s: %v mm, want %v", test.size, test.unit, got, want)
		}
		if len(notes) != len(test.notes) {
			t.Errorf("%g %s: notes %q, want %q", test.size, test.unit, notes, test.notes)
		}
		for _, want := range test.notes {
			wantNote(t, notes, want)
		}
	}
}

// Coordinates are the file's float32 numbers, no more and no less, also where text holds more digits.
func TestReadKeepsFloat32(t *testing.T) {
	s := soup{{vec(0.1, 0.2, 0.3), vec(1234.5678, -0.7, 1e-3), vec(33.3, 812.0625, -1e2)}}
	for _, data := range [][]byte{s.Binary(""), []byte(s.ASCII("door", "%.17g"))} {
		m, _, err := readBytes(data, inMillimetres)
		if err != nil {
			t.Fatal(err)
		}
		for k, v := range s[0] {
			want := vec(float64(float32(v.X)), float64(float32(v.Y)), float64(float32(v.Z)))
			if m.Vertices[k] != want {
				t.Errorf("vertex %d is %v, want %v", k, m.Vertices[k], want)
			}
		}
	}
}

// The first triangle's corners are told apart whichever of them is the origin.
func TestReadBeginsAtTheOrigin(t *testing.T) {
	corners := facets.Soup{{vec(0, 0, 0), vec(40, 0, 0), vec(0, 30, 0)}}[0]
	for by := range corners {
		m, notes := mustRead(t, soup{{corners[by], corners[(by+1)%3], corners[(by+2)%3]}})
		if len(notes) > 0 || len(m.Vertices) != 3 || len(m.Triangles) != 1 {
			t.Errorf("begun with %v: %d vertices, %d triangles, %q", corners[by], len(m.Vertices), len(m.Triangles), notes)
		}
	}
}

// TestReadFileHashesWhatItRead holds the hash against that of the file, for both kinds.
func TestReadFileHashesWhatItRead(t *testing.T) {
	s := facets.Sheet(vec(0, 0, 0), 90, 90, 1, nil)
	for name, data := range map[string][]byte{"binary": s.Binary("b"), "padded": append(s.Binary("b"), 0, 0, 0),
		"ascii": []byte(s.ASCII("a", "%g"))} {
		path := filepath.Join(t.TempDir(), name+".stl")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		m, _, err := ReadFile(path, Options{Unit: space.Millimetre})
		if err != nil || m.Source.Size != int64(len(data)) || m.Source.SHA256 != sha256.Sum256(data) {
			t.Errorf("%s: %v", name, err)
		}
		if m, _, err = ReadFile(path, Options{Unit: space.Millimetre, Unsummed: true}); err != nil || m.Source != (intake.Sum{}) {
			t.Errorf("%s, not summed: %v, %v", name, m.Source, err)
		}
	}
}
