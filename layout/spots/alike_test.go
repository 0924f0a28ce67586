package spots

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
)

// full is a request full of ties: lengths that pitches divide, keep-outs as far from both ends, equal ones, and widths that just do.
func full(rng *rand.Rand) Request {
	var l Line
	switch rng.IntN(3) {
	case 0:
		l = ringLine([]float64{60, 400 / (2 * math.Pi), 600 / math.Pi}[rng.IntN(3)])
	case 1:
		l = angled(float64(100 * (1 + rng.IntN(3))))
	default:
		l = straight(float64(20 + 40*rng.IntN(12)))
	}
	side := []float64{5, 6, 8, 12, 20}[rng.IntN(5)]
	for i := range l.Points {
		l.Points[i].Left, l.Points[i].Right = side, side
	}
	r := Request{Line: l, Limits: limits(), Apart: apart(), Count: rng.IntN(2) * rng.IntN(9), LoadCount: rng.IntN(2) * rng.IntN(20), Rows: 1}
	if rng.IntN(2) == 0 {
		r.Pitch = []float64{20, 25, 40}[rng.IntN(3)]
	}
	n := len(l.Points)
	for range rng.IntN(3) {
		k := rng.IntN(n / 2)
		until := []Until{Always, Release}[rng.IntN(2)]
		for _, at := range []int{k, n - 1 - k} {
			r.KeepOuts = append(r.KeepOuts, KeepOut{ID: string(rune('a' + at%26)), At: l.Points[at].Point, Radius: float64(5 * (1 + rng.IntN(3))),
				Until: until})
		}
	}
	return r
}

// changed is the request with its places and directions changed; where handed turns the shell into its mirror image, left and right change.
func (r Request) changed(rng *rand.Rand, at func(v r3.Vector) r3.Vector, moved r3.Vector, noise float64, handed bool) Request {
	some := func() float64 { return noise * (2*rng.Float64() - 1) }
	place := func(v r3.Vector) r3.Vector { return at(v).Add(moved).Add(vec(some(), some(), some())) }
	r.Line.Points = slices.Clone(r.Line.Points)
	for i := range r.Line.Points {
		p := &r.Line.Points[i]
		p.Point, p.Along, p.Axis = place(p.Point), at(p.Along), at(p.Axis)
		if p.Across = at(p.Across); handed {
			p.Axis = p.Axis.Mul(-1) // seen from the other side, left stays left
		}
		p.S, p.Left, p.Right = p.S+some(), p.Left+some(), p.Right+some()
	}
	r.KeepOuts = slices.Clone(r.KeepOuts)
	for i := range r.KeepOuts {
		r.KeepOuts[i].At = place(r.KeepOuts[i].At)
	}
	return r
}

// A line in one row that is mirrored, moved, turned, or has noise in the last digits, is laid out alike.
func TestWhatIsAlikeIsLaidAlike(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 6))
		r := full(rng)
		want := lay(t, r)
		sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
		moved := vec(1000*rng.Float64(), -3000*rng.Float64(), 500*rng.Float64())
		for name, at := range map[string]func(v r3.Vector) r3.Vector{
			"mirrored":   func(v r3.Vector) r3.Vector { return vec(-v.X, v.Y, v.Z) },
			"turned":     func(v r3.Vector) r3.Vector { return vec(v.X*cos-v.Z*sin, v.Y, v.X*sin+v.Z*cos) },
			"with noise": func(v r3.Vector) r3.Vector { return v },
		} {
			got := lay(t, r.changed(rng, at, moved, 1e-6, name == "mirrored"))
			same := len(got.Welds) == len(want.Welds) && len(got.Problems) == len(want.Problems)
			for i := 0; same && i < len(got.Welds); i++ {
				a, b := got.Welds[i], want.Welds[i]
				same = math.Abs(a.S-b.S) < 0.01 && math.Abs(a.Offset-b.Offset) < 0.01 && a.Tack == b.Tack && a.Row == b.Row &&
					slices.Equal(a.Clamps, b.Clamps)
			}
			for i := 0; same && i < len(got.Problems); i++ {
				same = got.Problems[i].Kind == want.Problems[i].Kind
			}
			if !same {
				t.Errorf("%s: welds at %v, %v\nbut %v, %v\nof %+v", name, weldsAt(got), got.Problems, weldsAt(want), want.Problems, r.KeepOuts)
			}
		}
	}
}
