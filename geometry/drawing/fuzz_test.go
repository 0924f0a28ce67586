package drawing

import (
	"strings"
	"testing"
	"unicode"

	"seamwright/geometry/space"
)

// checkRead checks what must hold of any input: an error of one line that names the file, or a drawing whose
// every number can be worked with.
func checkRead(t *testing.T, d *Drawing, err error) {
	t.Helper()
	if err != nil {
		if !strings.HasPrefix(err.Error(), "f: ") || strings.ContainsFunc(err.Error(), func(r rune) bool { return !unicode.IsPrint(r) }) {
			t.Errorf("error %q", err)
		}
		return
	}
	for _, p := range d.Paths {
		if len(p.Points) < 2 || !usable(p.Points, p.Length) || p.Length < 0 {
			t.Errorf("path %+v", p)
		}
		// Chords are never longer than the curve, but for rounding and for ends that count as one place.
		if chords := polylineLength(p.Points, p.Closed); chords > p.Length*(1+1e-6)+2*samePlace+1e-9*largest(p) {
			t.Errorf("%s: chords %v, length %v", p.Kind, chords, p.Length)
		}
	}
	for _, n := range d.Notes {
		if strings.ContainsFunc(n, func(r rune) bool { return !unicode.IsPrint(r) }) {
			t.Errorf("note %q", n)
		}
	}
}

// largest is the greatest distance of the path's points from the origin.
func largest(p Path) float64 {
	size := 0.0
	for _, v := range p.Points {
		size = max(size, v.Norm())
	}
	return size
}

// fuzzChord is coarse, so that random radii do not spend the time on points.
var fuzzChord = Options{Chord: 1000}

func FuzzReadDXF(f *testing.F) {
	f.Add([]byte(sample()))
	f.Add([]byte(asBinary(f, sample(), false)))
	f.Add([]byte(asBinary(f, sample(), true)))
	for _, c := range broken(f) {
		if len(c.text) < 4096 {
			f.Add([]byte(c.text))
		}
	}
	for _, c := range curves {
		f.Add([]byte(inMillimetres(c.entity)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := ReadDXF(strings.NewReader(string(data)), "f", fuzzChord)
		checkRead(t, d, err)
	})
}

func FuzzReadCSV(f *testing.F) {
	f.Add("x,y\n0,0\n3,4\n\n# layer: a\n0,0,0\n1,1,1\n")
	f.Add("x [in];y [in]\n1;2\n3;4\n")
	f.Add("0,0\n1,\n")
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ReadCSV(strings.NewReader(text), "f", Options{Unit: space.Inch})
		checkRead(t, d, err)
	})
}
