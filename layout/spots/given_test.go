package spots

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Welds sit where they are wanted, in order along the line, whatever pitch, count and keep-outs say.
func TestGivenPlaces(t *testing.T) {
	r := Request{Line: straight(300), Limits: limits(), Count: 9, Places: []float64{150, 3, 297, 8, 310},
		KeepOuts: []KeepOut{{ID: "clamp C1", At: vec(150, 0, 0), Radius: 20, Until: Release}, {ID: "dowel D1", At: vec(3, 0, 0), Radius: 5}}}
	l := lay(t, r)
	want := []float64{3, 8, 150, 297, 300}
	if len(l.Welds) != len(want) {
		t.Fatalf("%d welds", len(l.Welds))
	}
	for i, w := range l.Welds {
		if !near(w.S, want[i], 1e-9) || !near(w.Position.X, want[i], 1e-9) || w.Left+w.Right != 16 {
			t.Errorf("weld %d: %+v", i, w)
		}
	}
	if len(l.Welds[2].Clamps) != 1 || l.Welds[2].Tack || !l.Welds[0].Tack {
		t.Errorf("tacks and clamps: %+v", l.Welds)
	}
	if none := lay(t, Request{Line: straight(300), Limits: limits(), Places: []float64{}}); len(none.Welds) != 0 {
		t.Errorf("no places: %d welds", len(none.Welds))
	}
}

func TestGivenPlacesRoundARing(t *testing.T) {
	line := ringLine(50)
	whole := 2 * math.Pi * 50
	l := lay(t, Request{Line: line, Limits: limits(), Places: []float64{-10, 10, whole / 2, whole + 100}})
	for i, want := range []float64{10, 100, whole / 2, whole - 10} {
		if !near(l.Welds[i].S, want, 0.05) { // the ring is drawn by chords of 2 mm
			t.Errorf("weld %d at %v, want %v", i, l.Welds[i].S, want)
		}
	}
}

// uAt undoes sAt, also where the track is moved sideways.
func TestLengthsGoBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := angled(rapid.Float64Range(20, 100).Draw(t, "leg"))
		offset := make([]float64, len(line.Points))
		for i := range offset {
			offset[i] = rapid.Float64Range(-3, 3).Draw(t, "offset")
		}
		track := newTrack(line, offset)
		u := rapid.Float64Range(0, 1).Draw(t, "u") * track.length()
		if back := track.uAt(track.sAt(u)); !near(back, u, 1e-6) {
			t.Fatalf("%v came back as %v", u, back)
		}
	})
}

func TestNearestPlaceOnALine(t *testing.T) {
	for _, c := range []struct {
		line Line
		at   [3]float64
		s, d float64
	}{
		{straight(100), [3]float64{31, 4, 3}, 31, 5},
		{straight(100), [3]float64{-3, 4, 0}, 0, 5},
		{straight(100), [3]float64{103, 0, 4}, 100, 5},
		{ringLine(50), [3]float64{0, 60, 0}, 25 * math.Pi, 10},
		{ringLine(50), [3]float64{49, -1, 0}, 2*math.Pi*50 - 1, 0.99},
		{Line{}, [3]float64{1, 2, 3}, 0, math.Inf(1)},
	} {
		s, d := c.line.Nearest(vec(c.at[0], c.at[1], c.at[2]))
		if !near(s, c.s, 0.05) || d != c.d && !near(d, c.d, 0.05) {
			t.Errorf("%v: %v, %v off, want %v, %v", c.at, s, d, c.s, c.d)
		}
	}
}
