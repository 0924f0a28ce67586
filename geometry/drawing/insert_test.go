package drawing

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func insert(block string, x, y float64, more ...any) string {
	return record("INSERT", append([]any{8, "i", 2, block, 10, x, 20, y, 30, 0}, more...)...)
}

func line(x1, y1, x2, y2 float64) string {
	return record("LINE", 8, 0, 10, x1, 20, y1, 30, 0, 11, x2, 21, y2, 31, 0)
}

func circle(x, y, r float64) string { return record("CIRCLE", 8, 0, 10, x, 20, y, 30, 0, 40, r) }

// TestInsertedCurves compares inserted curves with closed forms.
func TestInsertedCurves(t *testing.T) {
	circleBlock := []string{blockOf("disc", 0, 0, circle(2, 0, 1))}
	halfBlock := []string{blockOf("half", 0, 0, light(1, [][3]float64{{0, 0, 1}, {2, 0, 0}}))}
	nested := []string{
		blockOf("inner", 0, 0, circle(1, 0, 1)),
		blockOf("outer", 0, 0, insert("INNER", 0, 0, 50, 45)),
	}
	// A circle of radius 1 turned by 45° and then stretched to 3 by 2 is the ellipse 3 by 2.
	for _, c := range []struct {
		name         string
		blocks       []string
		insert       string
		length, area float64
	}{
		{"twice the size", circleBlock, insert("disc", 5, 5, 41, 2, 42, 2, 43, 2), 4 * pi, 4 * pi},
		{"stretched", circleBlock, insert("disc", 5, 5, 41, 5, 42, 3), ellipsePerimeter(5, 3), 15 * pi},
		{"stretched and turned", circleBlock, insert("disc", 5, 5, 41, 5, 42, 3, 50, 33), ellipsePerimeter(5, 3), 15 * pi},
		{"mirrored", circleBlock, insert("disc", 5, 5, 41, -1), 2 * pi, -pi},
		{"mirrored and stretched", circleBlock, insert("disc", 5, 5, 41, -5, 42, 3), ellipsePerimeter(5, 3), -15 * pi},
		{"mirrored both ways", circleBlock, insert("disc", 5, 5, 41, -1, 42, -1), 2 * pi, pi},
		{"from below", circleBlock, insert("disc", 5, 5, 210, 0, 220, 0, 230, -1), 2 * pi, -pi},
		{"only the height scaled", circleBlock, insert("disc", 5, 5, 43, 7), 2 * pi, pi},
		{"half disc by its bulge", halfBlock, insert("half", 1, 1, 41, 3, 42, 3), 3*pi + 6, 4.5 * pi},
		{"half disc stretched along its chord", halfBlock, insert("half", 1, 1, 41, 2), ellipsePerimeter(2, 1)/2 + 4, pi},
		{"half disc mirrored", halfBlock, insert("half", 1, 1, 42, -1), pi + 2, -pi / 2},
		{"nested and turned, then stretched", nested, insert("Outer", 0, 0, 41, 3, 42, 2), ellipsePerimeter(3, 2), 6 * pi},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := onePath(t, mustRead(t, withBlocks(c.blocks, c.insert), fine))
			wantRelative(t, "length", p.Length, c.length, 1e-10)
			if got := flatArea(p.Points); !(math.Abs(got-c.area) <= 1e-5*c.length) {
				t.Errorf("area %v, want %v", got, c.area)
			}
		})
	}
}

// TestStretchedArcStaysWithinItsChord checks that curves are flattened after the insert's scales: a circle
// of 0.01 mm would be a 16-sided figure if it were flattened before.
func TestStretchedArcStaysWithinItsChord(t *testing.T) {
	p := onePath(t, mustRead(t, withBlocks([]string{blockOf("disc", 0, 0, circle(0, 0, 0.01))}, insert("disc", 0, 0, 41, 1e5, 42, 5e4)),
		Options{}))
	for i, a := range p.Points {
		b := p.Points[(i+1)%len(p.Points)]
		// The furthest point of the ellipse 1000 by 500 from the chord is at the mean parameter.
		ta, tb := math.Atan2(a.Y/500, a.X/1000), math.Atan2(b.Y/500, b.X/1000)
		if tb < ta {
			tb += 2 * pi
		}
		mid := vec(1000*math.Cos((ta+tb)/2), 500*math.Sin((ta+tb)/2), 0)
		if d := distanceToSegment(mid, a, b); d > DefaultChord*(1+1e-9) {
			t.Fatalf("chord %d leaves %v", i, d)
		}
	}
}

// TestInsertPlaces follows one point through base point, scale, array, turn and extrusion.
func TestInsertPlaces(t *testing.T) {
	blocks := []string{blockOf("b", 10, 20, line(11, 22, 14, 26))} // from the base point: (1,2) to (4,6)
	for _, c := range []struct {
		name   string
		insert string
		want   string
	}{
		{"base point", insert("b", 100, 200), "(101 202 0)-(104 206 0)"},
		{"scaled", insert("b", 100, 200, 41, 2, 42, 3), "(102 206 0)-(108 218 0)"},
		{"turned", insert("b", 100, 200, 50, 90), "(98 201 0)-(94 204 0)"},
		{"scaled, then turned", insert("b", 100, 200, 41, 2, 42, 3, 50, 90), "(94 202 0)-(82 208 0)"},
		{"columns", insert("b", 100, 200, 70, 2, 44, 50), "(101 202 0)-(104 206 0) (151 202 0)-(154 206 0)"},
		{"rows", insert("b", 100, 200, 71, 2, 45, 50, 42, 2), "(101 204 0)-(104 212 0) (101 254 0)-(104 262 0)"},
		{"columns turned", insert("b", 0, 0, 70, 2, 44, 50, 50, 90), "(-2 1 0)-(-6 4 0) (-2 51 0)-(-6 54 0)"},
		{"no columns is one", insert("b", 100, 200, 70, 0, 71, -3), "(101 202 0)-(104 206 0)"},
		{"from below", insert("b", 100, 200, 210, 0, 220, 0, 230, -1), "(-101 202 0)-(-104 206 0)"},
		{"along x", insert("b", 100, 200, 210, 1, 220, 0, 230, 0), "(0 101 202)-(0 104 206)"},
		{"scale of zero", insert("b", 100, 200, 43, 0), "(101 202 0)-(104 206 0)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, p := range mustRead(t, withBlocks(blocks, c.insert), Options{}).Paths {
				var ends []string
				for _, v := range p.Points {
					ends = append(ends, fmt.Sprintf("(%v %v %v)", rounded(v.X), rounded(v.Y), rounded(v.Z)))
				}
				got = append(got, strings.Join(ends, "-"))
			}
			if g := strings.Join(got, " "); g != c.want {
				t.Errorf("got %s, want %s", g, c.want)
			}
		})
	}
}

// rounded takes the rounding noise of turned inserts off; adding 0 turns -0 into 0.
func rounded(v float64) float64 { return math.Round(v*1e9)/1e9 + 0 }

func TestInsertLayers(t *testing.T) {
	onLayer := func(layer string) string {
		return record("LINE", 8, layer, 10, 0, 20, 0, 11, 1, 21, 0)
	}
	blocks := []string{
		blockOf("leaf", 0, 0, onLayer("0"), onLayer("own")),
		blockOf("branch", 0, 0, record("INSERT", 8, "0", 2, "leaf", 10, 0, 20, 0), record("INSERT", 8, "mid", 2, "leaf", 10, 0, 20, 0)),
	}
	var got []string
	for _, p := range mustRead(t, withBlocks(blocks, record("INSERT", 8, "top", 2, "branch", 10, 0, 20, 0), onLayer("0")), Options{}).Paths {
		got = append(got, p.Layer)
	}
	if want := "[top own mid own 0]"; fmt.Sprint(got) != want {
		t.Errorf("layers %v, want %s", got, want)
	}
}

func TestInsertsThatBringNothing(t *testing.T) {
	xref := record("BLOCK", 2, "far", 70, 4, 10, 0, 20, 0, 1, "other.dwg") + record("ENDBLK")
	twice := blockOf("two", 0, 0, line(0, 0, 1, 0)) + blockOf("TWO", 0, 0, line(0, 0, 7, 0))
	d := mustRead(t, withBlocks([]string{xref, twice}, insert("gone", 0, 0), insert("gone", 0, 0), insert("far", 0, 0),
		insert("two", 0, 0, 41, 0),
		record("ATTRIB", 1, "x"), record("SEQEND")), Options{})
	wantRelative(t, "length of the first block of two", onePath(t, d).Length, 1, 1e-15)
	for _, want := range []string{`2 INSERT of block "gone", which the file does not hold`,
		`1 INSERT of block "far", which is in another file`, `block "TWO" is defined twice`, "scale of zero", "1 ATTRIB"} {
		if !hasNote(d, want) {
			t.Errorf("no note %q in %q", want, d.Notes)
		}
	}
}

// TestNotesStayReadable inserts more missing blocks than anybody wants to read about.
func TestNotesStayReadable(t *testing.T) {
	var entities []string
	for i := range 500 {
		entities = append(entities, insert(fmt.Sprint("gone", i), 0, 0))
	}
	d := mustRead(t, inMillimetres(entities...), Options{})
	if !hasNote(d, "and 470 more kinds") || len(strings.Join(d.Notes, "")) > 5000 {
		t.Errorf("notes %q", d.Notes)
	}
}

// TestFaultsInUnusedBlocks reads on where a block that nobody inserts cannot be read.
func TestFaultsInUnusedBlocks(t *testing.T) {
	bad := blockOf("bad", 0, 0, record("CIRCLE", 10, 0, 20, 0, 40, "wide"))
	onePath(t, mustRead(t, withBlocks([]string{bad}, line(0, 0, 1, 0)), Options{}))
	if _, err := ReadDXF(strings.NewReader(withBlocks([]string{bad}, insert("bad", 0, 0))), "x.dxf", Options{}); err == nil {
		t.Error("a bad block is inserted without an error")
	}
}

// TestInsertsAgreeWithComplexNumbers puts a line through a random nest of inserts and compares with complex
// arithmetic, in which a turn and a scale are one factor and a mirror is the conjugate.
func TestInsertsAgreeWithComplexNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string) float64 { return float64(rapid.IntRange(-50, 50).Draw(t, name)) }
		a, b := complex(number("x1"), number("y1")), complex(number("x2"), number("y2"))
		if a == b {
			return
		}
		blocks := []string{blockOf("b0", 0, 0, line(real(a), imag(a), real(b), imag(b)))}
		depth := rapid.IntRange(1, 6).Draw(t, "depth")
		top, length := "", cmplx.Abs(a-b)
		for i := range depth {
			base := complex(0, 0)
			if i > 0 {
				base = complex(float64(i), 2)
			}
			at, turn := complex(number("x"), number("y")), number("turn")
			scale := float64(rapid.IntRange(1, 4).Draw(t, "scale")) / 2
			mirror := rapid.Bool().Draw(t, "mirror")
			sy := scale
			if mirror {
				sy = -scale
			}
			place := func(z complex128) complex128 {
				z -= base
				if mirror {
					z = cmplx.Conj(z)
				}
				return z*cmplx.Rect(scale, turn*pi/180) + at
			}
			a, b, length = place(a), place(b), length*scale
			top = insert(fmt.Sprintf("b%d", i), real(at), imag(at), 41, scale, 42, sy, 43, scale, 50, turn)
			blocks = append(blocks, blockOf(fmt.Sprintf("b%d", i+1), float64(i+1), 2, top))
		}
		d, err := ReadDXF(strings.NewReader(withBlocks(blocks, top)), "x.dxf", Options{})
		if err != nil || len(d.Paths) != 1 {
			t.Fatal(err, d)
		}
		p := d.Paths[0]
		for i, z := range []complex128{a, b} {
			if got := complex(p.Points[i].X, p.Points[i].Y); cmplx.Abs(got-z) > 1e-9*(1+cmplx.Abs(z)) {
				t.Fatalf("point %d at %v, want %v", i, got, z)
			}
		}
		if !(math.Abs(p.Length-length) <= 1e-9*length) {
			t.Fatalf("length %v, want %v", p.Length, length)
		}
	})
}

// TestObjectFrameIsRightHanded checks the arbitrary axis algorithm's frames.
func TestObjectFrameIsRightHanded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := func(name string) float64 { return rapid.Float64Range(-10, 10).Draw(t, name) }
		n := vec(c("x"), c("y"), c("z"))
		if n.Norm() < 1e-3 {
			return
		}
		f := objectFrame(n)
		for _, v := range []float64{f.X.Norm() - 1, f.Y.Norm() - 1, f.Z.Norm() - 1, f.X.Dot(f.Y), f.X.Cross(f.Y).Sub(f.Z).Norm(),
			f.Z.Cross(n).Norm() / n.Norm()} {
			if !(math.Abs(v) <= 1e-12) {
				t.Fatalf("frame of %v: %v", n, f)
			}
		}
	})
	for _, c := range []struct{ n, x string }{ // by the rule: aside is y near the pole, z elsewhere
		{"0 0 -1", "-1 0 0"}, {"1 0 0", "0 1 0"}, {"0 1 0", "-1 0 0"}, {"-1 0 0", "0 -1 0"}, {"0 -1 0", "1 0 0"},
	} {
		var n, x [3]float64
		fmt.Sscan(c.n, &n[0], &n[1], &n[2])
		fmt.Sscan(c.x, &x[0], &x[1], &x[2])
		wantPoint(t, "x axis for "+c.n, objectFrame(vec(n[0], n[1], n[2])).X, vec(x[0], x[1], x[2]), 0)
	}
}

// TestUnseenInsertsAreTold counts what a block brings whose insert is marked invisible or lies on a frozen layer.
func TestUnseenInsertsAreTold(t *testing.T) {
	layers := section("TABLES", record("TABLE", 2, "LAYER", 70, 1), record("LAYER", 2, "ice", 70, 1, 62, 7), record("ENDTAB"))
	blocks := section("BLOCKS", blockOf("leaf", 0, 0, line(0, 0, 1, 0), line(0, 0, 7, 0)), blockOf("branch", 0, 0, insert("leaf", 0, 0)))
	for name, c := range map[string]struct {
		insert string
		want   string
	}{
		"shown":           {insert("branch", 0, 0), ""},
		"invisible":       {insert("branch", 0, 0, 60, 1), "marked invisible in the drawing, but read all the same: 2"},
		"on frozen layer": {record("INSERT", 8, "ice", 2, "branch", 10, 0, 20, 0), "marked invisible in the drawing, but read all the same: 2"},
	} {
		d := mustRead(t, insunits(4)+layers+blocks+section("ENTITIES", c.insert, line(0, 0, 3, 0))+eof, Options{})
		if told := strings.Join(d.Notes, "; "); !strings.Contains(told, c.want) || c.want == "" && told != "" {
			t.Errorf("%s: notes %q", name, d.Notes)
		}
	}
}
