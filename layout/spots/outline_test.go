package spots

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/layout/pitch"
)

func square(x0, y0, x1, y1, z float64) *Outline {
	return &Outline{Closed: true, Points: []r3.Vector{vec(x0, y0, z), vec(x1, y0, z), vec(x1, y1, z), vec(x0, y1, z)}}
}

func TestDistanceToAnOutline(t *testing.T) {
	o := square(10, -20, 50, 20, 1)
	open := Outline{Points: o.Points}
	for _, c := range []struct {
		name   string
		o      Outline
		p      r3.Vector
		wanted float64
	}{
		{"outside", *o, vec(4, 0, 3), 6}, {"inside", *o, vec(13, 0, 3), -3}, {"on it", *o, vec(10, 5, 0), 0},
		{"beyond a corner", *o, vec(7, -24, 1), 5},
		{"above it", *o, vec(13, 0, 12), math.Inf(1)}, {"within an open one, whose fourth side is missing", open, vec(13, 0, 1), 20},
		{"a point", Outline{Points: []r3.Vector{vec(3, 4, 0)}}, vec(0, 0, 0), 5},
		{"nothing", Outline{}, vec(0, 0, 0), math.Inf(1)},
	} {
		if got := c.o.Distance(c.p); !near(got, c.wanted, 1e-9) && got != c.wanted {
			t.Errorf("%s: %g, want %g", c.name, got, c.wanted)
		}
	}
}

// A drawn square over 100 to 160 mm of the line: the weld's rim stays 2 mm clear of it, 2.5 + 2 from the centre; a
// broad face counts instead.
func TestWeldsKeepOutOfADrawing(t *testing.T) {
	r := Request{Line: straight(300), Limits: limits(), KeepOuts: []KeepOut{{ID: "bracket", Outline: square(100, -30, 160, 30, 0)}}}
	for _, face := range []float64{6, 12} {
		r.TipFace = face
		out := lay(t, r)
		clear := math.Max(4.5, face/2)
		before, after := 0.0, 1e9
		for _, w := range out.Welds {
			if w.S < 130 {
				before = math.Max(before, w.S)
			} else {
				after = math.Min(after, w.S)
			}
		}
		if !near(before, 100-clear, 1e-4) || !near(after, 160+clear, 1e-4) {
			t.Errorf("face %g: welds at %g and %g", face, before, after)
		}
		if p := problems(out, PitchAbove); len(p) != 1 || p[0].KeepOuts[0] != "bracket" {
			t.Errorf("%v", out.Problems)
		}
	}
	// A drawing beside the line that does not cross it counts where it comes too near.
	r.TipFace, r.KeepOuts[0].Outline = 6, square(100, 3, 110, 30, 0)
	for _, w := range lay(t, r).Welds {
		if r.KeepOuts[0].Outline.Distance(w.Position) < 4.5-1e-6 {
			t.Errorf("weld at %g", w.S)
		}
	}
}

// What an outline covers of a line is what a fine walk along the line finds.
func TestWhatAnOutlineCovers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-60, 160)
		o := Outline{Closed: rapid.Bool().Draw(t, "closed")}
		for range rapid.IntRange(1, 6).Draw(t, "points") {
			o.Points = append(o.Points, vec(mm.Draw(t, "x"), mm.Draw(t, "y"), 0))
		}
		line := angled(60)
		track := newTrack(line, make([]float64, len(line.Points)))
		limit := rapid.Float64Range(0.5, 10).Draw(t, "limit")
		covered := track.where(o.Distance, limit, pitch.Span{From: 0, To: track.length()})
		for u := 0.0; u <= track.length(); u += 0.137 {
			in := false
			for _, s := range covered {
				in = in || u >= s.From-pitch.Tiny && u <= s.To+pitch.Tiny
			}
			if d := o.Distance(track.at(u)); in != (d < limit) && !(math.Abs(d-limit) <= 0.06) {
				t.Fatalf("at %g: %g of %g, covered %v", u, d, limit, in)
			}
		}
	})
}
