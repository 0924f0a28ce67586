package mesh

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"seamwright/geometry/space"
	"seamwright/internal/facets"
)

// FuzzRead takes any bytes: either one short line of error, or a sound mesh that can be written and read again.
func FuzzRead(f *testing.F) {
	s := facets.Block(100, 50, 25)
	text := s.ASCII("door", "%g")
	for _, seed := range []string{
		"", "solid", "solid\nendsolid\n", text, strings.ToUpper(text), "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n"),
		strings.ReplaceAll(text, "\n", "\r"), text + text, text[:300], strings.Repeat("\n", 5000), "solid \n\r\n\r" + strings.Repeat("facet ",
			50),
		strings.Replace(text, "vertex 100", "vertex 1e39", 1), strings.Replace(text, "vertex 100", "vertex NaN", 1),
		string(s.Binary("panel")), string(s.Binary("solid door")), string(s.Binary("solid door")[:300]), string(s.Binary("")) + "\x00\x00\x00",
		string(torn().Binary("torn")), string(facets.Sheet(vec(0, 0, 0), 3, 3, 1e-5, nil).Binary("")),
		string(facets.Sheet(vec(1e9, 0, 0), 3, 3, 50, nil).Binary("")),
		"\xff\xfes\x00o\x00", "\x89PNG\r\n\x1a\n",
	} {
		f.Add([]byte(seed), uint8(1))
	}
	f.Add(s.Binary("feet"), uint8(5))
	units := []space.Unit{space.Unstated, space.Millimetre, space.Centimetre, space.Metre, space.Inch, space.Foot}
	f.Fuzz(func(t *testing.T, data []byte, unit uint8) {
		opt := Options{Unit: units[int(unit)%len(units)], MaxTriangles: 5000}
		m, notes, err := Read(bytes.NewReader(data), int64(len(data)), "door.stl", opt)
		if err != nil {
			if text := err.Error(); m != nil || !strings.HasPrefix(text, "door.stl: ") || strings.ContainsAny(text, "\r\n") || len(text) > 250 {
				t.Fatalf("mesh %v with the error %q", m, text)
			}
			return
		}
		for _, note := range notes {
			if strings.ContainsAny(note, "\r\n") || len(note) > 250 {
				t.Fatalf("note %q", note)
			}
		}
		if err := checkMesh(m); err != nil {
			t.Fatal(err)
		}
		if area := m.Area(); len(m.Triangles) == 0 || !(area > 0) || math.IsInf(area, 0) {
			t.Fatalf("%d triangles of %g mm²", len(m.Triangles), area)
		}
		var out bytes.Buffer
		if err := WriteSTL(&out, m); err != nil {
			t.Fatal(err)
		}
		if opt.Unit != space.Millimetre {
			return // rounded to float32 in another unit, vertices may become equal
		}
		if _, _, err := readBytes(out.Bytes(), opt); err != nil && len(m.Triangles) <= opt.MaxTriangles {
			t.Fatalf("what was written is not taken: %v", err)
		}
	})
}
