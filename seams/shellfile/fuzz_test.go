package shellfile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/seams/document"
)

// FuzzRead: no bytes make the reader panic, hang or give an error of more than one line for each problem; what it
// accepts holds together.
func FuzzRead(f *testing.F) {
	extensions := []string{".yaml", ".toml", ".json"}
	for i, extension := range extensions {
		file := "good" + extension
		data, err := os.ReadFile(filepath.Join("testdata", file))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, uint8(i), "stations.main-jig.crew", "3")
	}
	f.Add([]byte(base), uint8(0), "batch", "1")
	f.Add([]byte("a: &a [*a]\n"), uint8(0), "", "")
	f.Add([]byte("a: &a [1]\nb: &b [*a, *a, *a]\nc: [*b, *b, *b]\n"), uint8(0), "panels.a.place", "x")
	f.Add([]byte("[[panels]]\n[panels.place]\nmove_mm=[1,2,\n3]\n"), uint8(1), "rates.labour_per_hour", "inf")
	f.Add([]byte(`{"name": "\ud800", "panels": [null, {"id": 1e999}]}`), uint8(2), "joints.j.load", "")
	dir := f.TempDir()
	for _, name := range []string{"a.stl", "b.stl", "c.stl"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("x"), 0o644); err != nil {
			f.Fatal(err)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, kind uint8, key, value string) {
		extension := extensions[int(kind)%len(extensions)]
		format, err := document.Format("x" + extension)
		if err != nil {
			t.Fatal(err)
		}
		r := newReading(filepath.Join(dir, "x"+extension), map[string]string{key: value})
		err = r.read(data, format)
		var all *Problems
		if err != nil && !errors.As(err, &all) {
			t.Fatalf("%T: %v", err, err)
		}
		if err != nil {
			for _, p := range all.List {
				if s := p.Error(); strings.ContainsAny(s, "\n\r") || p.What == "" || len(s) > 2000 {
					t.Fatalf("%q", s)
				}
			}
			return
		}
		for _, p := range r.sh.Panels {
			if s, ok := r.sh.Steel(p.Steel); !ok || s.Thickness <= 0 || s.Tensile <= 0 {
				t.Fatalf("panel %s: steel %+v", p.ID, s)
			}
		}
		for _, s := range r.sh.Stations {
			for _, id := range s.Arrives {
				if len(r.sh.PanelsOf(id)) == 0 && id != "" {
					if _, ok := r.sh.Subassembly(id); !ok {
						t.Fatalf("station %s: %s is nothing", s.ID, id)
					}
				}
			}
		}
	})
}
