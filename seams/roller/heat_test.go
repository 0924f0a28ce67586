package roller

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/seams/schedule"
)

// The heat of a nugget is the table's at either mains, and the part of the time with current on within a tenth of it.
func TestHeatOfANuggetIsKept(t *testing.T) {
	table, err := schedule.Named("seam")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		x, hz := rapid.Float64Range(0.254, 3.175).Draw(t, "t"), rapid.SampledFrom([]float64{50, 60}).Draw(t, "Hz")
		s, err := Set(pair(x), Options{Frequency: hz})
		if err != nil {
			t.Fatal(err)
		}
		at := func(name string) float64 { v, _ := table.At(name, x); return v }
		want := at("current") * at("current") * at("on")
		if got := s.Current * s.Current * s.On; !(math.Abs(got/want-1) <= 1e-9) {
			t.Fatalf("heat %v of the table's", got/want)
		}
		if d := s.On/(s.On+s.Off) - at("on")/(at("on")+at("off")); !(math.Abs(d) <= 0.1+1e-12) {
			t.Fatalf("duty %v, the table's %v", s.On/(s.On+s.Off), at("on")/(at("on")+at("off")))
		}
	})
}

// Among all counts there is none within a tenth of the table's duty that changes the heat less, or as little with a nearer duty.
func TestCountsAgainstAllOthers(t *testing.T) {
	for _, hz := range []float64{50, 60} {
		for on := 10.; on <= 120; on += 7 {
			for off := 8.; off <= 120; off += 9 {
				on, off := on/1000, off/1000
				n, m := counts(on, off, hz)
				rank := func(n, m int) (heat, duty float64) {
					return math.Abs(math.Log(float64(n) / (on * hz))), math.Abs(float64(n)/float64(n+m) - on/(on+off))
				}
				heat, duty := rank(n, m)
				if n < 1 || m < 1 || duty > 0.1 {
					t.Fatalf("%g s on, %g s off at %g Hz: %d and %d cycles", on, off, hz, n, m)
				}
				for i := 1; i <= 40; i++ {
					for k := 1; k <= 40; k++ {
						if h, d := rank(i, k); d <= 0.1 && (h < heat-1e-9 || h < heat+1e-9 && d < duty-1e-9) {
							t.Fatalf("%g s on, %g s off at %g Hz: %d and %d cycles, %d and %d are nearer", on, off, hz, n, m, i, k)
						}
					}
				}
			}
		}
	}
}

// By hand at 0.787 mm and 50 Hz: 3 and 2 cycles of 60 Hz are 50 and 33 ms; 3 and 2 of 50 Hz are 60 and 40 ms, a fifth longer and
// nearer in ratio than 2: 13,000 A x root(50 / 60) = 11,867 A. Either side of the step at 0.79 mm the heat is the same.
func TestFiftyHertzByHand(t *testing.T) {
	s, err := Set(pair(0.031*25.4), Options{})
	if err != nil || s.OnCycles != 3 || s.OffCycles != 2 || !(math.Abs(s.Current-13000*math.Sqrt(50./60)) <= 1e-6) {
		t.Fatalf("%+v, %v", s, err)
	}
	said := strings.Join(s.Notes, " ")
	for _, want := range []string{"Time on 60 ms for the table's 50 ms", "corrected by -8.7 %", "What remains",
		"60 % of the time for the table's 60 %"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q lacks %q", said, want)
		}
	}
	if !strings.Contains(s.Source, "corrected") {
		t.Errorf("source %q", s.Source)
	}
	for x := 0.70; x < 0.95; x += 0.001 {
		a, _ := Set(pair(x), Options{})
		b, _ := Set(pair(x+0.001), Options{})
		if ratio := b.Current * b.Current * b.On / (a.Current * a.Current * a.On); !(math.Abs(ratio-1) <= 0.02) {
			t.Errorf("%.3f mm: the heat changes by %.1f %%", x, 100*(ratio-1))
		}
	}
	plain, _ := Set(pair(0.031*25.4), Options{Frequency: 60})
	if plain.Current != 13000 || strings.Contains(strings.Join(plain.Notes, " "), "What remains") {
		t.Errorf("at the table's own mains nothing is corrected: %+v", plain)
	}
}
