package spots

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout/spots/sample"
)

func TestTacks(t *testing.T) {
	for _, test := range []struct {
		name string
		line Line
		want []float64
	}{
		{"ends only", straight(130), []float64{10, 120}},
		{"one between", straight(260), []float64{10, 130, 250}}, // 240 between the ends, seven welds 40 apart
		{"evenly between", straight(620), []float64{10, 130, 250, 370, 490, 610}},
		{"two welds", straight(50), []float64{10, 40}},
		{"one weld", straight(30), []float64{15}},
		// legs of 110 and an arc of 7.85: six pitches of 34.64; the corner's middle is at 113.93
		{"corner", angled(110), []float64{10, 113.927, 217.854}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := tackPlaces(lay(t, Request{Line: test.line, Limits: limits()}))
			ok := len(got) == len(test.want)
			for i := range got {
				ok = ok && near(got[i], test.want[i], 0.02)
			}
			if !ok {
				t.Errorf("tacks at %v, want %v", got, test.want)
			}
		})
	}
}

func TestLampRingHasNoCornerAndThreeTacks(t *testing.T) {
	for _, radius := range []float64{20, 40, 60, 75} {
		out := lay(t, Request{Line: ringLine(radius), Limits: limits()})
		tacks := tackPlaces(out)
		want := max(3, int(math.Ceil(2*math.Pi*radius/150)))
		if len(tacks) < want || len(tacks) > want+1 {
			t.Errorf("ring of radius %g has tacks at %v, want %d", radius, tacks, want)
		}
	}
}

// A rounded rectangle, such as a screen opening, has a tack at each corner, wherever the line starts.
func TestCornersOfAScreenOpening(t *testing.T) {
	const long, short, radius = 500.0, 300.0, 40.0
	arc := radius * math.Pi / 2
	length := 2*(long+short) + 4*arc
	for _, start := range []float64{0, 100, long, long + arc/2, long + arc, long + short + arc} {
		at := func(s float64) (p, along, axis r3.Vector) {
			s = math.Mod(s+start, length)
			p, along = vec(0, -radius, 0), vec(1, 0, 0)
			for _, leg := range []float64{long, short, long, short} {
				if s <= leg {
					return p.Add(along.Mul(s)), along, vec(0, 0, 1)
				}
				s -= leg
				p = p.Add(along.Mul(leg))
				left := vec(0, 0, 1).Cross(along)
				if s <= arc {
					sin, cos := math.Sincos(s / radius)
					return p.Add(along.Mul(radius * sin)).Add(left.Mul(radius * (1 - cos))), along.Mul(cos).Add(left.Mul(sin)), vec(0, 0, 1)
				}
				s -= arc
				p = p.Add(along.Mul(radius)).Add(left.Mul(radius))
				along = left
			}
			return p, along, vec(0, 0, 1)
		}
		r := Request{Line: Line{ID: "screen", Closed: true, Points: sample.Along(length, true, 8, at)}, Limits: limits()}
		tacks := tackPlaces(lay(t, r))
		for corner := range 4 {
			middle := []float64{long, long + arc + short, 2*long + 2*arc + short, 2*long + 3*arc + 2*short}[corner] + arc/2 - start
			found := false
			for _, s := range tacks {
				d := math.Abs(math.Mod(s-middle+2.5*length, length) - length/2)
				found = found || d <= 20.1
			}
			if !found {
				t.Errorf("start %g: no tack within half a pitch of corner %d at %g: %v", start, corner, middle, tacks)
			}
		}
	}
}

func TestTacksAvoidClamps(t *testing.T) {
	r := Request{Line: straight(260), Limits: limits(), KeepOuts: []KeepOut{{ID: "C1", At: vec(0, 0, 0), Radius: 15, Until: Release},
		{ID: "C2", At: vec(130, 0, 0), Radius: 45, Until: Release}}}
	out := lay(t, r)
	if got := tackPlaces(out); len(got) != 3 || !near(got[0], 50, 1e-6) || !near(got[2], 250, 1e-6) {
		t.Errorf("tacks at %v, want 50 first, 250 last and one between", got)
	}
	r.KeepOuts[1].Radius = 400
	out = lay(t, r)
	if p := problems(out, FewTacks); len(tackPlaces(out)) != 0 || len(p) != 1 || !slices.Equal(p[0].KeepOuts, []string{"C1", "C2"}) {
		t.Errorf("all hidden: tacks %v, problems %v", tackPlaces(out), out.Problems)
	}
	r = Request{Line: straight(500), Limits: limits(), KeepOuts: []KeepOut{{ID: "C", At: vec(250, 0, 0), Radius: 130, Until: Release}}}
	out = lay(t, r)
	if p := problems(out, TackGap); len(p) != 1 || !slices.Equal(p[0].KeepOuts, []string{"C"}) || p[0].Limit != 150 {
		t.Errorf("long clamp: %v", out.Problems)
	}
}
