package tarn

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
)

// probe asks of the meshes as read back, at a place of a seam: does each sheet of the stack lie there, parallel to
// the others, where its thickness says?
type probe struct {
	cab *cab
	s   stretch
	f   frame
}

const (
	offTruth  = 0.05 // mm
	offAngle  = 8.0  // degrees: beyond it a sheet has turned away
	probeSpan = 1.5  // mm looked at on either side of where a sheet should be
)

// sheetAt measures how far from its due height a sheet lies at a distance across, and its angle there.
func (p probe) sheetAt(i int, across float64) (off, degrees float64, ok bool) {
	id := p.s.panels[i]
	l := []layer{first, middle, last}[i]
	if len(p.s.panels) == 2 {
		l = []layer{first, last}[i]
	}
	due := p.s.seam.offset(l, p.cab.sheets[id].Thickness, p.f.s)
	from := p.f.at.Add(p.f.across.Mul(across)).Add(p.f.normal.Mul(due - probeSpan))
	hit, ok := p.cab.trees[id].Ray(from, p.f.normal, 2*probeSpan)
	if !ok {
		return 0, 0, false
	}
	n := p.cab.sheets[id].Mesh.Normal(int(hit.Tri))
	angle := n.Angle(p.f.normal).Degrees()
	return hit.Distance - probeSpan, math.Min(angle, 180-angle), true
}

// stacked reports whether all sheets lie on each other at a distance across.
func (p probe) stacked(across float64) bool {
	for i := range p.s.panels {
		off, degrees, ok := p.sheetAt(i, across)
		if !ok || !(math.Abs(off) <= 0.3) || degrees > offAngle {
			return false
		}
	}
	return true
}

// reach is how far the stack goes from the weld line to one side.
func (p probe) reach(side float64) float64 {
	in, out := 0.0, 0.0
	for out = 0.5; p.stacked(side*out) && out < 100; out += 0.5 {
		in = out
	}
	for range 12 {
		if mid := (in + out) / 2; p.stacked(side * mid) {
			in = mid
		} else {
			out = mid
		}
	}
	return (in + out) / 2
}

// along calls check at places along a stretch, a few millimetres off its ends.
func alongStretch(s stretch, every float64, check func(f frame)) {
	s = s.whole()
	n := max(3, int(math.Ceil((s.to-s.from)/every)))
	for k := range n + 1 {
		check(s.seam.frame(s.from + 2 + (s.to-s.from-4)*float64(k)/float64(n)))
	}
}

// TestSheetsLieAsTruthSays holds the meshes, read back from their files, against the true lines: every sheet of
// the stack at its height within 0.05 mm on the line, and the strip as wide as stated on both sides.
func TestSheetsLieAsTruthSays(t *testing.T) {
	c := loadCab(t)
	for _, s := range newLines().stretches() {
		worst, lopsided := 0.0, 0.0
		alongStretch(s, 23, func(f frame) {
			p := probe{c, s, f}
			for i := range s.panels {
				off, _, ok := p.sheetAt(i, 0)
				if !ok {
					t.Fatalf("%s at %v: no sheet of %s", s.joint, f.at, s.panels[i])
				}
				worst = math.Max(worst, math.Abs(off))
			}
			for _, side := range []float64{-1, 1} {
				lopsided = math.Max(lopsided, math.Abs(p.reach(side)-s.seam.half))
			}
		})
		if worst > offTruth {
			t.Errorf("%s: a sheet lies %.3f mm off its height", s.joint, worst)
		}
		if lopsided > offTruth {
			t.Errorf("%s: the strip's side is %.3f mm off half its width", s.joint, lopsided)
		}
	}
}

// TestStretchesEndWhereTruthSays steps over both ends of every open line: at least one sheet must be missing there.
func TestStretchesEndWhereTruthSays(t *testing.T) {
	c := loadCab(t)
	for _, s := range newLines().stretches() {
		s = s.whole()
		if s.closed() {
			continue
		}
		for _, end := range []struct{ inside, outside float64 }{{s.from + 0.06, s.from - 0.06}, {s.to - 0.06, s.to + 0.06}} {
			if in := (probe{c, s, s.seam.frame(end.inside)}); !in.stackedThere() {
				t.Errorf("%s: the stack does not reach the end at %v", s.joint, in.f.at)
			}
			if out := (probe{c, s, s.seam.frame(end.outside)}); len(s.panels) == 3 && out.stackedThere() {
				t.Errorf("%s: the stack goes on beyond the end at %v", s.joint, out.f.at)
			}
			if out := (probe{c, s, s.seam.frame(end.outside)}); len(s.panels) == 2 && !s.beforeThree() && out.stackedThere() {
				t.Errorf("%s: the stack goes on beyond the end at %v", s.joint, out.f.at)
			}
		}
	}
}

// beforeThree tells the two-sheet stretches that end where a third sheet begins: their own sheets go on.
func (s stretch) beforeThree() bool {
	return slices.ContainsFunc([]string{"door-l", "door-r", "screen-low-l", "screen-low-r", "screen-high-l", "screen-high-r"},
		func(id string) bool { return id == s.joint })
}

// stackedThere is stacked on the line, with room for the joggle beside a third sheet's end.
func (p probe) stackedThere() bool {
	for i := range p.s.panels {
		if _, degrees, ok := p.sheetAt(i, 0); !ok || degrees > offAngle {
			return false
		}
	}
	return true
}

// TestTruthPointsLieOnTheLines holds the points of Truth against the frames that the other tests go by.
func TestTruthPointsLieOnTheLines(t *testing.T) {
	stretches := newLines().stretches()
	lines := Truth()
	if len(lines) != len(stretches) {
		t.Fatalf("%d lines, %d stretches", len(lines), len(stretches))
	}
	total := 0.0
	for i, l := range lines {
		c := curve.New(l.Points, l.Closed)
		total += c.Length()
		alongStretch(stretches[i], 3.3, func(f frame) {
			if _, d := c.Nearest(f.at); d > 0.01 {
				t.Fatalf("%s: the polyline is %.4f mm off at %v", l.Joint, d, f.at)
			}
		})
		for k, p := range l.Points {
			if q := l.Points[(k+1)%len(l.Points)]; (k+1 < len(l.Points) || l.Closed) && !(p.Sub(q).Norm() <= 5.001) {
				t.Fatalf("%s: points %.2f mm apart", l.Joint, p.Sub(q).Norm())
			}
		}
	}
	if total < 30_000 || total > 45_000 {
		t.Errorf("%.0f mm of weld line, wanted 30 to 45 m", total)
	}
}

// TestFinderAgrees lets the program's own finder look at one pair with a closed ring and one with a curved strip.
func TestFinderAgrees(t *testing.T) {
	c := loadCab(t)
	for _, pair := range [][2]string{{"lamp-bucket-l", "front-panel"}, {"scuttle", "front-panel"}} {
		found, err := flange.Find(context.Background(), []flange.Sheet{c.sheets[pair[0]], c.sheets[pair[1]]}, flange.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var truth []WeldLine
		for _, l := range Truth() {
			if slices.Contains(l.Panels, pair[0]) && slices.Contains(l.Panels, pair[1]) {
				truth = append(truth, l)
			}
		}
		if len(found.Flanges) != len(truth) || len(truth) != 1 {
			t.Fatalf("%v: %d flanges found, %d lines", pair, len(found.Flanges), len(truth))
		}
		line := curve.New(truth[0].Points, truth[0].Closed)
		if d := math.Abs(found.Flanges[0].Length - line.Length()); d > 1 {
			t.Errorf("%v: found length is %.2f mm off", pair, d)
		}
		worst := 0.0
		for _, st := range found.Flanges[0].Line {
			_, d := line.Nearest(st.Point)
			worst = math.Max(worst, d)
		}
		if worst > 0.3 {
			t.Errorf("%v: found line is up to %.3f mm off", pair, worst)
		}
	}
}

// TestGutterIsNarrow keeps the gutter what it must be: too narrow for a 16 mm shank, wide enough for
// 8 mm, and gently rounded in plan.
func TestGutterIsNarrow(t *testing.T) {
	c := loadCab(t)
	l := newLines()
	m := l.gutter
	least, greatest := math.Inf(1), 0.0
	for s := 0.0; s < m.length(); s += 17 {
		f := m.frame(s)
		at := f.at.Add(f.normal.Mul(6)) // a little above the floor, between the walls
		in, ok1 := c.trees["roof"].Ray(at, f.across.Mul(-1), 20)
		out, ok2 := c.trees["roof-frame"].Ray(at, f.across, 20)
		if !ok1 || !ok2 {
			t.Fatalf("no channel at %v", f.at)
		}
		clear := in.Distance + out.Distance - (roofSheet+frameSheet)/2
		least, greatest = math.Min(least, clear), math.Max(greatest, clear)
		before, after := m.tangent(s-1), m.tangent(s+1)
		if turn := before.Sub(after).Norm(); turn > 2.0/100 {
			t.Fatalf("the gutter turns on a radius of %.0f mm at %v", 2/turn, f.at)
		}
	}
	if least < 12 || greatest > 14 {
		t.Errorf("clear width %.2f to %.2f mm", least, greatest)
	}
}

// TestArchesTurnInSpace keeps the wheel arch a line that leaves every plane.
func TestArchesTurnInSpace(t *testing.T) {
	m := newLines().arch
	var low, high r3.Vector
	for s := 0.0; s <= m.length(); s += 5 {
		p := m.point(s)
		if s == 0 {
			low, high = p, p
		}
		low.Y, high.Y = math.Min(low.Y, p.Y), math.Max(high.Y, p.Y)
	}
	turned := m.tangent(0).Angle(m.tangent(m.length())).Degrees()
	if high.Y-low.Y < 30 || turned < 165 {
		t.Errorf("the arch moves %.0f mm sideways and turns %.0f degrees", high.Y-low.Y, turned)
	}
}
