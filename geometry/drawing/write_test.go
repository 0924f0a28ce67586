package drawing

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/space"
)

var update = flag.Bool("update", false, "write the golden files anew")

// floorPlate is a small drawing with every form that Write knows.
func floorPlate() Drawing {
	path := func(layer string, closed bool, points ...r3.Vector) Path {
		return Path{Layer: layer, Points: points, Closed: closed, Length: polylineLength(points, closed)}
	}
	return Drawing{Name: "floor", Unit: space.Millimetre, Paths: []Path{
		path("outline", true, vec(0, 0, 0), vec(1200, 0, 0), vec(1200, 800.125, 0), vec(0, 800.125, 0)),
		path("hole", true, vec(100, 100, 0), vec(150, 100, 0), vec(125, 1./3, 0)),
		path("Weld line", false, vec(15, 15, 2.5), vec(1185, 15, 2.5)),
		path("Weld line", false, vec(15, 15, 2.5), vec(600, 20, 2.5), vec(1185, 15, 2.5)),
		path("Türbogen", false, vec(0, 0, 0), vec(0, 100, 50), vec(0, 200, 1e-7)),
		path("", true, vec(0, 0, 0), vec(1e6, 0, 0.5), vec(0, 7, -0.5)),
	}}
}

func TestWriteGolden(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, floorPlate()); err != nil {
		t.Fatal(err)
	}
	golden := filepath.Join("testdata", "floor.dxf")
	if *update {
		if err := os.WriteFile(golden, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), want) {
		t.Error("the drawing differs from testdata/floor.dxf: look at the difference, then run with -update")
	}
}

// TestWrittenDrawingsReadBack wants the same points to the last bit.
func TestWrittenDrawingsReadBack(t *testing.T) {
	check := func(t fataler, d Drawing) {
		var b bytes.Buffer
		if err := Write(&b, d); err != nil {
			t.Fatalf("%v", err)
		}
		got, err := ReadDXF(&b, "x.dxf", Options{})
		if err != nil || len(got.Paths) != len(d.Paths) || got.Unit != space.Millimetre {
			t.Fatalf("%v, %+v", err, got)
		}
		for i, p := range got.Paths {
			want := d.Paths[i]
			if len(p.Points) != len(want.Points) || p.Closed != want.Closed || p.Layer != layerOf(want) {
				t.Fatalf("path %d: %+v, want %+v", i, p, want)
			}
			for k := range p.Points {
				if p.Points[k] != want.Points[k] {
					t.Fatalf("path %d point %d: %v, want %v", i, k, p.Points[k], want.Points[k])
				}
			}
		}
		if len(d.Paths) > 0 && len(got.Notes) > 0 {
			t.Fatalf("notes %q", got.Notes)
		}
	}
	check(t, floorPlate())
	check(t, Drawing{})
	rapid.Check(t, func(t *rapid.T) {
		var d Drawing
		for range rapid.IntRange(0, 5).Draw(t, "paths") {
			p := Path{Layer: rapid.SampledFrom([]string{"a", "B", "Öse", "0"}).Draw(t, "layer")}
			flat := rapid.Bool().Draw(t, "flat")
			z := rapid.Float64Range(-1e5, 1e5)
			height := z.Draw(t, "height")
			for i := range rapid.IntRange(3, 8).Draw(t, "points") {
				if !flat {
					height = z.Draw(t, "z")
				}
				p.Points = append(p.Points, vec(float64(i)+z.Draw(t, "x")/1e6, z.Draw(t, "y"), height))
			}
			p.Closed = rapid.Bool().Draw(t, "closed")
			d.Paths = append(d.Paths, p)
		}
		check(t, d)
	})
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteErrors(t *testing.T) {
	with := func(layer string, points ...r3.Vector) Drawing {
		return Drawing{Name: "floor", Paths: []Path{{Layer: layer, Points: points}}}
	}
	for _, c := range []struct {
		name string
		d    Drawing
		want string
	}{
		{"one point", with("a", vec(0, 0, 0)), "write drawing floor: path 1 has 1 points: it needs two or more"},
		{"not a number", with("a", vec(0, 0, 0), vec(0, math.NaN(), 0)),
			"write drawing floor: path 1 has a point that is not a number or beyond 1e+12 mm"},
		{"layer with a line end", with("a\n  0\nEOF", vec(0, 0, 0), vec(1, 0, 0)),
			"write drawing floor: path 1: layer \"a\\n  0\\nEOF\": leave out control characters and < > / \\ \" : ; ? * | = `"},
		{"layer with a star", with("a*", vec(0, 0, 0), vec(1, 0, 0)),
			"write drawing floor: path 1: layer \"a*\": leave out control characters and < > / \\ \" : ; ? * | = `"},
	} {
		var b bytes.Buffer
		if err := Write(&b, c.d); err == nil || err.Error() != c.want || b.Len() > 0 {
			t.Errorf("%s: got %v\nwant %s; %d bytes written", c.name, err, c.want, b.Len())
		}
	}
	if err := Write(fullDisk{}, floorPlate()); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("error %v", err)
	}
}
