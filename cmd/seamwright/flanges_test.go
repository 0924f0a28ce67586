package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"seamwright/internal/plates"
	"strings"
	"testing"
)

// profileSheet writes a sheet of a section of y and z along x from 0 to 200 mm, without the faces that keep leaves out.
func profileSheet(t *testing.T, dir, name string, xs []float64, section [][2]float64, keep func(x, y float64) bool) string {
	t.Helper()
	var quads [][4]plates.Point
	for i := 1; i < len(xs); i++ {
		for k := 1; k < len(section); k++ {
			p, q := section[k-1], section[k]
			if keep((xs[i-1]+xs[i])/2, (p[0]+q[0])/2) {
				quads = append(quads, [4]plates.Point{{xs[i-1], p[0], p[1]}, {xs[i], p[0], p[1]}, {xs[i], q[0], q[1]}, {xs[i-1], q[0], q[1]}})
			}
		}
	}
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, plates.STL(quads...), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func flangesOf(t *testing.T, files ...string) (flangesResult, string) {
	t.Helper()
	args := append([]string{"flanges", "--thickness", "1"}, files...)
	var r flangesResult
	if err := json.Unmarshal([]byte(must(t, exitDone, append(args, "--json")...)), &r); err != nil {
		t.Fatal(err)
	}
	return r, must(t, exitDone, args...)
}

func TestFlangesTellsAHemAndANotch(t *testing.T) {
	dir := t.TempDir()
	fold := [][2]float64{{12, 1}, {0, 1}}
	for i := 1; i < 6; i++ {
		sin, cos := math.Sincos(math.Pi * float64(i) / 6)
		fold = append(fold, [2]float64{-sin, cos})
	}
	fold = append(fold, [2]float64{0, -1}, [2]float64{12, -1}, [2]float64{100, -1})
	all := func(float64, float64) bool { return true }
	outer := profileSheet(t, dir, "outer.stl", []float64{0, 200}, fold, all)
	r, text := flangesOf(t, outer, plate(t, dir, "inner.stl", 0, 0.2, 200, 80, 0))
	hems := 0
	for _, f := range r.Flanges {
		if f.Hem {
			hems++
		}
	}
	if hems != 1 || !strings.Contains(text, "hem") {
		t.Errorf("%d hems\n%s", hems, text)
	}
	notched := profileSheet(t, dir, "a.stl", []float64{0, 60, 72, 200}, [][2]float64{{0, 0}, {76, 0}, {80, 0}},
		func(x, y float64) bool { return x < 60 || x > 72 || y < 76 })
	r, text = flangesOf(t, notched, plate(t, dir, "b.stl", 0, 60, 200, 160, 1))
	if len(r.Flanges) != 1 || r.Flanges[0].Hem || len(r.Flanges[0].Notches) != 1 {
		t.Fatalf("%+v", r.Flanges)
	}
	n := r.Flanges[0].Notches[0]
	if math.Abs(n.Depth-4) > 0.1 || math.Abs(n.To-n.From-12) > 0.4 || math.Abs(n.Place[0]-66) > 1 {
		t.Errorf("%+v", n)
	}
	if want := fmt.Sprintf("notch %.1f mm deep from %.0f to %.0f", n.Depth, n.From, n.To); !strings.Contains(text, want) {
		t.Errorf("no %q in\n%s", want, text)
	}
}

func TestFlangesTellsWhereAStripIsTooNarrow(t *testing.T) {
	dir := t.TempDir()
	a := profileSheet(t, dir, "a.stl", []float64{0, 200}, [][2]float64{{0, 0}, {80, 0}}, func(float64, float64) bool { return true })
	b := plate(t, dir, "b.stl", 0, 66, 200, 160, 1)
	r, text := flangesOf(t, a, b, "--from-edge", "8")
	if len(r.Flanges) != 1 || len(r.Flanges[0].Narrow) != 1 || math.Abs(r.Flanges[0].Narrow[0][2]-2) > 0.05 || !strings.Contains(text,
		"too narrow by 2.0 from 0 to 200") {
		t.Errorf("%+v\n%s", r.Flanges, text)
	}
	if r, _ = flangesOf(t, a, b, "--from-edge", "6.9"); len(r.Flanges) != 1 || len(r.Flanges[0].Narrow) != 0 {
		t.Errorf("a strip of 14 mm has room for 6.9 on both sides: %+v", r.Flanges)
	}
	must(t, exitInput, "flanges", a, b, "--from-bend=-1")
}

// new makes no joint of a folded edge: what is left of the two panels is no flange.
func TestNewSkipsAHem(t *testing.T) {
	dir := t.TempDir()
	fold := [][2]float64{{12, 1}, {0, 1}, {-0.87, 0.5}, {-0.87, -0.5}, {0, -1}, {12, -1}, {100, -1}}
	profileSheet(t, dir, "outer.stl", []float64{0, 200}, fold, func(float64, float64) bool { return true })
	plate(t, dir, "inner.stl", 0, 0.2, 200, 12, 0)
	if out := must(t, exitDone, "new", dir); !strings.Contains(out, "2 panels, 0 joints found") {
		t.Errorf("%s", out)
	}
}

// What a skin is, is stated for each panel; where it is not and hangs on it, the gap's range is said. A contact too small for
// a flange is listed, and its limits are flags.
func TestFlangesSaysWhatItCannotKnow(t *testing.T) {
	dir := t.TempDir()
	all := func(float64, float64) bool { return true }
	xs := []float64{0, 50, 100, 150, 200}
	a := profileSheet(t, dir, "a.stl", xs, [][2]float64{{-40, 2}, {16, 2}}, all)
	b := profileSheet(t, dir, "b.stl", xs, [][2]float64{{0, 0}, {30, 0}, {50, 0}}, all)
	small := profileSheet(t, dir, "small.stl", xs[:2], [][2]float64{{40, 1}, {70, 1}}, func(x, y float64) bool { return true })
	for _, c := range []struct {
		skin string
		exit int
		want string
	}{
		{"", exitDone, "air may be 0.00 to 1.00 (--skin)"},
		{"outer", exitDone, "0.00     0.00  \n"},
		{"outer,faying", exitDone, "1.00     1.00  open by 1.00 from 0 to 200"},
		{"faying", exitBroken, "face each other 2.00 mm apart"},
	} {
		if got := must(t, c.exit, "flanges", a, b, "--thickness", "1", "--surface", "skin", "--skin", c.skin); !strings.Contains(got, c.want) {
			t.Errorf("--skin %q: got\n%s\nwant %q", c.skin, got, c.want)
		}
	}
	for _, c := range [][]string{{"--skin", "inner"}, {"--surface", "mid", "--skin", "outer,"}} {
		must(t, exitInput, append([]string{"flanges", a, b}, c...)...)
	}
	call := []string{"flanges", b, small, "--thickness", "1"}
	if got := must(t, exitBroken, append(call, "--least-width", "11")...); !strings.Contains(got,
		"b and small lie on each other over 50.0 x 10.0 mm: too small") {
		t.Errorf("got\n%s", got)
	}
	must(t, exitInput, append(call, "--least-length", "0")...)
}
