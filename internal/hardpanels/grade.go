package hardpanels

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
)

// Strip is the truth of one flange, with the limits that it is held to.
type Strip struct {
	Line   []r3.Vector // the true weld line
	Closed bool
	Width  float64 // mm, mean
	Gap    float64 // mm of air, mean

	GapOrDoubt bool    // it is right, too, when the gap is said to be one of which this is within the limits
	Least      float64 // mm, the least width; 0: not asked
	Open       float64 // mm by which clamps draw the flange in at its worst place

	LengthWithin float64 // mm that the length may be off; 0.5 where zero
	WidthWithin  float64 // 0.3 where zero
	LineWithin   float64 // 0.5 where zero
	GapWithin    float64 // 0.05 where zero
	LeastWithin  float64 // 0.3 where zero
	OpenWithin   float64 // 0: not asked
}

// Verdict is how a case came out.
type Verdict string

// From best to worst.
const (
	Right  Verdict = "right"
	Named  Verdict = "named"  // not found, but said
	Wrong  Verdict = "wrong"  // found otherwise than it is
	Silent Verdict = "silent" // one at least not found, and nothing said
	False  Verdict = "false"  // a flange where there is none
)

// Grade is a verdict with its reasons, and by how much the flanges found are off.
type Grade struct {
	Verdict Verdict
	Why     string
	Errors  []Error // one of each strip that was found
}

// Error is by how much a flange is off its truth, mm.
type Error struct{ Length, Width, Line, Gap float64 }

// Grade judges what was found.
func (c *Case) Grade(found *flange.Found, err error) Grade {
	if err != nil {
		return Grade{Verdict: Wrong, Why: err.Error()}
	}
	strips := slices.DeleteFunc(slices.Clone(found.Flanges), func(f flange.Flange) bool { return f.Patch })
	said := len(found.Near)+len(found.Small) > 0 || len(strips) < len(found.Flanges) || // a broad contact is listed as one
		slices.ContainsFunc(strips, func(f flange.Flange) bool { return f.Turn > flatTurn })
	switch {
	case len(c.Want) == 0 && len(strips) > 0:
		return Grade{Verdict: False, Why: fmt.Sprintf("%d flanges, of %.1f x %.2f", len(strips), strips[0].Length, strips[0].Width.Mean)}
	case len(c.Want) == 0:
		return Grade{Verdict: Right}
	case len(strips) == 0 && said:
		return Grade{Verdict: Named, Why: "named only"}
	case len(strips) == 0:
		return Grade{Verdict: Silent, Why: "nothing found, nothing said"}
	case len(strips) > len(c.Want):
		return Grade{Verdict: Wrong, Why: fmt.Sprintf("%d flanges, %d wanted", len(strips), len(c.Want))}
	}
	g := Grade{Verdict: Right}
	for i := range c.Want {
		want := &c.Want[i]
		best := slices.MinFunc(strips, func(a, b flange.Flange) int { return cmp.Compare(want.apart(a), want.apart(b)) })
		e, why := want.compare(best)
		g.Errors = append(g.Errors, e)
		if why != "" {
			g.Verdict, g.Why = Wrong, g.Why+why
		}
	}
	if missed := fmt.Sprintf("%d flanges, %d wanted", len(strips), len(c.Want)); len(strips) < len(c.Want) && said {
		g.Verdict, g.Why = Wrong, missed
	} else if len(strips) < len(c.Want) {
		g.Verdict, g.Why = Silent, missed+", nothing said of the rest"
	}
	return g
}

func (s *Strip) truth() *curve.Line { return curve.New(s.Line, s.Closed) }

func lineOf(f flange.Flange) *curve.Line {
	points := make([]r3.Vector, len(f.Line))
	for i, p := range f.Line {
		points[i] = p.Point
	}
	return curve.New(points, f.Closed)
}

// apart is how far a flange's line is from the true one, both ways.
func (s *Strip) apart(f flange.Flange) float64 {
	truth, line := s.truth(), lineOf(f)
	far := 0.0
	for _, p := range f.Line {
		_, d := truth.Nearest(p.Point)
		far = max(far, d)
	}
	for _, p := range s.Line {
		_, d := line.Nearest(p)
		far = max(far, d)
	}
	return far
}

func orElse(x, otherwise float64) float64 {
	if x == 0 {
		return otherwise
	}
	return x
}

// flatTurn is by how many degrees a flange may turn across before that is said: the rule fit.turns.greatest.
const flatTurn = 10

// goodFit is the air up to which sheets lie well on each other, mm: the finder's default.
const goodFit = 0.5

func (s *Strip) compare(f flange.Flange) (e Error, why string) {
	e = Error{Length: math.Abs(f.Length - s.truth().Length()), Width: math.Abs(f.Width.Mean - s.Width), Line: s.apart(f),
		Gap: math.Abs(f.Gap.Mean - s.Gap)}
	if s.GapOrDoubt && f.Sides != flange.SidesKnown {
		e.Gap = max(0, f.GapMay[0]-s.Gap, s.Gap-f.GapMay[1])
	}
	say := func(what string, off, within float64) {
		if !(off <= within) {
			why += fmt.Sprintf("%s off by %.3f; ", what, off)
		}
	}
	say("length", e.Length, orElse(s.LengthWithin, 0.5))
	say("width", e.Width, orElse(s.WidthWithin, 0.3))
	say("line", e.Line, orElse(s.LineWithin, 0.5))
	say("gap", e.Gap, orElse(s.GapWithin, 0.05))
	if s.Least > 0 {
		say("least width", math.Abs(f.Width.Least-s.Least), orElse(s.LeastWithin, 0.3))
	}
	if s.OpenWithin > 0 {
		drawn := 0.0
		for _, o := range f.Open {
			drawn = max(drawn, o.DrawnIn())
		}
		off := math.Abs(drawn - s.Open)
		if drawn == 0 {
			off = max(0, s.Open-goodFit) // what is less is good fit-up, and no opening
		}
		say("open by", off, s.OpenWithin)
	}
	if f.Closed != s.Closed {
		why += fmt.Sprintf("closed %v; ", f.Closed)
	}
	return e, why
}
