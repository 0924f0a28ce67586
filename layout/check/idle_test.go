package check

import (
	"math"
	"testing"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// A rolled joint's load is broken: nothing here gives what a roller seam carries. With spots beside it they carry it.
func TestLoadOnARollerSeam(t *testing.T) {
	for _, load := range []func(j *shell.Joint){
		func(j *shell.Joint) { j.Load.Shear = 500 },
		func(j *shell.Joint) { j.Load.Flow = 2 },
		func(j *shell.Joint) { j.Load.Tension = 50 },
		func(j *shell.Joint) {
			j.Forces = []shell.Force{{At: [3]float64{150, 0, 0}, Force: [3]float64{0, 300, 0}}}
		},
	} {
		for _, spots := range [][]float64{nil, {100, 130, 160}} {
			s := seamed(t, spots...)
			s.none("strength.none")
			load(&s.shell.Joints[0])
			f := s.one(s.evaluate(), "strength.none")
			if f.Severity != layout.Broken {
				t.Errorf("%s", words(f))
			}
			has(t, f.Where, "no rule gives what a roller seam carries")
		}
	}
}

// What a joint states and nothing follows is said, once, with its keys.
func TestKeysThatChangeNothing(t *testing.T) {
	all := func(j *shell.Joint) {
		j.Pitch, j.Tack, j.Fill, j.Sealed, j.Compression = 30, 100, "skips", true, 20
	}
	s := seamed(t)
	all(&s.shell.Joints[0])
	has(t, s.one(s.evaluate(), "joint.key").Where,
		"joint strap: pitch_mm and tack_every_mm and fill and sealed and compression_mpa have no effect, as nothing of it is spotted")
	s = seamed(t, 100, 130, 160)
	all(&s.shell.Joints[0])
	s.none("joint.key")

	s = strap(t)
	s.shell.Joints[0].RowDistance = 12
	has(t, s.one(s.evaluate(), "joint.key").Where, "row_distance_mm has no effect, as none of its flanges holds two rows")
	s.plan.Welds[4].Row, s.plan.Welds[5].Row = 1, 2
	s.none("joint.key")

	s = strap(t)
	s.shell.Joints[0].Rows, s.shell.Joints[0].RowPitch = 2, 40
	s.none("joint.key")
	s.flange("strap/1").Patch = true
	has(t, s.one(s.evaluate(), "joint.key").Where, "rows has no effect, as the rows over its broad contact are as many")
}

// none fails where a rule is found.
func (s *sample) none(id string) {
	s.Helper()
	for _, f := range s.evaluate().Findings {
		if f.Rule == id {
			s.Errorf("%s", words(f))
		}
	}
}

// Neither a weld nor the face that presses on it may come over a keep-out that is drawn on a panel.
func TestDrawnKeepOuts(t *testing.T) {
	for _, c := range []struct {
		aside  float64 // mm from the weld's centre to the keep-out's nearest side
		broken bool
	}{{6, false}, {2.6, true}, {-1, true}} {
		s := strap(t)
		x, y := s.plan.Welds[4].Position[0], s.plan.Welds[4].Position[1]+c.aside
		s.plan.Panels = []layout.Panel{{ID: "rail", KeepOuts: []layout.Outline{{Closed: true,
			Points: []layout.Vec{{x - 3, y, 0}, {x + 3, y, 0}, {x + 3, y + 20, 0}, {x - 3, y + 20, 0}}}}}}
		found := 0
		for _, f := range s.evaluate().Findings {
			if f.Rule == "keep.clear.least" {
				found++
				has(t, f.Where, Drawn+"rail")
			}
		}
		if (found > 0) != c.broken {
			t.Errorf("%g mm aside: %d findings", c.aside, found)
		}
		face := 2.5 // half of the face that presses on the weld
		if j := judged(t, s.evaluate(), "keep.clear.least"); j.Places == 0 || c.broken && !(math.Abs(j.Value-(c.aside-face)) <= 0.5) {
			t.Errorf("%g mm aside: %+v", c.aside, j)
		}
	}
}
