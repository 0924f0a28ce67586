package order

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// twoHalves is a station of two mirrored halves full of ties: welds at even pitches in one or two rows, at whole places, some guns,
// settings and axes, rises of exactly tour.PostureRise and tacks at even quarters.
func twoHalves(rng *rand.Rand, flanges int) []Stop {
	var stops []Stop
	for f := range flanges {
		x, y, z := 200*float64(1+rng.IntN(5)), 150*float64(rng.IntN(8)), 400*float64(rng.IntN(3))
		n, pitch, rows := 1+rng.IntN(9), 50*float64(1+rng.IntN(3)), 1+rng.IntN(2)
		gun, setting := []string{"A", "B"}[rng.IntN(2)], []string{"S1", "S2"}[rng.IntN(2)]
		axis := []r3.Vector{{Z: 1}, {Y: 1}, {Y: 0.5, Z: math.Sqrt(0.75)}}[rng.IntN(3)] // 90, 60 and 30 degrees apart
		around := float64(rng.IntN(2)*n) * pitch
		for side, sign := range []float64{1, -1} {
			for k := range n {
				for row := range rows {
					s := Stop{ID: fmt.Sprint(f, side, k, row), Step: Fill, Position: vec(sign*x, y+float64(k)*pitch, z+float64(row)*20),
						Axis: axis, Along: float64(k) * pitch, Joint: fmt.Sprint("j", f), Flange: fmt.Sprintf("f%02d%d", f, side), Gun: gun,
						Setting: setting}
					if k%4 == 0 {
						s.Step, s.Around = Tack, around
						s.Pattern = []Pattern{Through, Quarters, MiddleFirst}[f%3]
					}
					stops = append(stops, s)
				}
			}
		}
	}
	return stops
}

// A station mirrored, moved, turned about the vertical, or with noise in the last digits of its places, is welded in one order,
// however many ties it holds.
func TestWhatIsAlikeIsOrderedAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		stops := twoHalves(rng, rapid.IntRange(1, 7).Draw(t, "flanges"))
		opt := Options{GunChange: 20, SetChange: 15, Posture: 6, WalkSpeed: 150}
		ordered := func(stops []Stop) Plan {
			plan, err := Sequence(t.Context(), stops, opt)
			if err != nil {
				t.Fatal(err)
			}
			return plan
		}
		want := ordered(stops)
		sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
		moved := vec(1000*rng.Float64(), -3000*rng.Float64(), 500*rng.Float64())
		noise := func() float64 { return 1e-6 * (2*rng.Float64() - 1) }
		for name, at := range map[string]func(v r3.Vector) r3.Vector{
			"mirrored in x": func(v r3.Vector) r3.Vector { return vec(-v.X, v.Y, v.Z) },
			"mirrored in y": func(v r3.Vector) r3.Vector { return vec(v.X, -v.Y, v.Z) },
			"turned":        func(v r3.Vector) r3.Vector { return vec(v.X*cos-v.Y*sin, v.X*sin+v.Y*cos, v.Z) },
			"with noise":    func(v r3.Vector) r3.Vector { return v.Add(vec(noise(), noise(), noise())) },
		} {
			again := make([]Stop, len(stops))
			for i, s := range stops {
				again[i] = s
				again[i].Position, again[i].Axis, again[i].Along = at(s.Position).Add(moved), at(s.Axis), s.Along+noise()
			}
			if got := ordered(again); !reflect.DeepEqual(got.Order, want.Order) {
				t.Fatalf("%s: %v\nbut %v", name, names(stops, got), names(stops, want))
			}
		}
	})
}
