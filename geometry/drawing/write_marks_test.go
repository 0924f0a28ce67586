package drawing

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func marked() Drawing {
	return Drawing{
		Name:  "welds",
		Paths: []Path{{Layer: "axes", Points: floorPlate().Paths[0].Points[:2]}},
		Marks: []Mark{
			{Layer: "st1 tack", At: vec(1234.5678901234, -2, 1e-9)},
			{Layer: "st1 fill", At: vec(-7, 1e5, 33.3)},
			{Layer: "ST1 FILL", At: vec(-8, 1, 0)},
			{Layer: "numbers", At: vec(5, 6, 7), Text: "12%%d\n14 <&>", Height: 3},
		},
	}
}

// Our own reader skips points and words, and says how many.
func TestMarksAreCountedByTheReader(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, marked()); err != nil {
		t.Fatal(err)
	}
	if text := strings.Join(strings.Fields(b.String()), " "); !strings.Contains(text, " 30 7.0 40 3.0 1 12") {
		t.Error("a word without its height (group 40) between its place and itself")
	}
	d := mustRead(t, b.String(), Options{})
	if len(d.Paths) != 1 || d.Paths[0].Layer != "axes" {
		t.Errorf("paths %v", d.Paths)
	}
	if notes := strings.Join(d.Notes, "; "); !strings.Contains(notes, "3 POINT") || !strings.Contains(notes, "1 TEXT") {
		t.Errorf("notes: %s", notes)
	}
}

// The second reader finds each mark in its place, to the last digit.
func TestSecondReaderReadsMarks(t *testing.T) {
	program := secondReader(t)
	var b bytes.Buffer
	if err := Write(&b, marked()); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "marks.dxf")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=15", "/vsistdout/", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var collection struct {
		Features []struct {
			Properties struct{ Layer, Text string }
			Geometry   struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
	}
	if err := json.Unmarshal(out, &collection); err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, f := range collection.Features {
		if f.Geometry.Type != "Point" {
			continue
		}
		want := marked().Marks[found]
		var c []float64
		if err := json.Unmarshal(f.Geometry.Coordinates, &c); err != nil {
			t.Fatal(err)
		}
		c = append(c, 0, 0)
		for i, w := range []float64{want.At.X, want.At.Y, want.At.Z} {
			if !(math.Abs(c[i]-w) <= 1e-9*(1+math.Abs(w))) {
				t.Errorf("mark %d at %v, want %v", found, c, want.At)
			}
		}
		if !strings.EqualFold(f.Properties.Layer, want.Layer) || want.Text != "" && f.Properties.Text != "12% %d 14 <&>" {
			t.Errorf("mark %d: %+v", found, f.Properties)
		}
		found++
	}
	if found != 4 {
		t.Errorf("%d points in %s", found, out)
	}
}

func TestMarkErrors(t *testing.T) {
	for name, c := range map[string]struct {
		mark Mark
		want string
	}{
		"not a number": {Mark{Layer: "a", At: vec(0, math.NaN(), 0)}, "mark 1 has a place that is not a number"},
		"bad layer":    {Mark{Layer: "a/b"}, `mark 1: layer "a/b": leave out`},
		"no height":    {Mark{Layer: "a", Text: "12"}, "mark 1: words 0 mm high"},
	} {
		var b bytes.Buffer
		if err := Write(&b, Drawing{Name: "d", Marks: []Mark{c.mark}}); err == nil || !strings.Contains(err.Error(), c.want) || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, b.Len())
		}
	}
}
