package check

import (
	"math"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/spots"
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
			s.None(s.evaluate(), "strength.none")
			load(&s.Shell.Joints[0])
			f := s.One(s.evaluate(), "strength.none")
			if f.Severity != layout.Broken {
				t.Errorf("%s", strap.Words(f))
			}
			strap.Has(t, f.Where, "no rule gives what a roller seam carries")
		}
	}
}

// What a joint states and nothing follows is said, once, with its keys.
func TestKeysThatChangeNothing(t *testing.T) {
	all := func(j *shell.Joint) {
		j.Pitch, j.Tack, j.Fill, j.Sealed, j.Compression = 30, 100, "skips", true, 20
	}
	s := seamed(t)
	all(&s.Shell.Joints[0])
	strap.Has(t, s.One(s.evaluate(), "joint.key").Where,
		"joint strap: pitch_mm and tack_every_mm and fill and sealed and compression_mpa have no effect, as nothing of it is spotted")
	s = seamed(t, 100, 130, 160)
	all(&s.Shell.Joints[0])
	s.None(s.evaluate(), "joint.key")

	s = on(strap.New(t))
	s.Shell.Joints[0].RowDistance = 12
	strap.Has(t, s.One(s.evaluate(), "joint.key").Where, "row_distance_mm has no effect, as none of its flanges holds two rows")
	s.Plan.Welds[4].Row, s.Plan.Welds[5].Row = 1, 2
	s.None(s.evaluate(), "joint.key")

	s = on(strap.New(t))
	s.Shell.Joints[0].Rows, s.Shell.Joints[0].RowPitch = 2, 40
	s.None(s.evaluate(), "joint.key")
	s.Flange("strap/1").Patch = true
	strap.Has(t, s.One(s.evaluate(), "joint.key").Where, "rows has no effect, as the rows over its broad contact are as many")
}

// Neither a weld nor the face that presses on it may come over a keep-out that is drawn on a panel.
func TestDrawnKeepOuts(t *testing.T) {
	for _, c := range []struct {
		aside  float64 // mm from the weld's centre to the keep-out's nearest side
		broken bool
	}{{6, false}, {2.6, true}, {-1, true}} {
		s := on(strap.New(t))
		x, y := s.Plan.Welds[4].Position[0], s.Plan.Welds[4].Position[1]+c.aside
		s.Plan.Panels = []layout.Panel{{ID: "rail", KeepOuts: []layout.Outline{{Closed: true,
			Points: []layout.Vec{{x - 3, y, 0}, {x + 3, y, 0}, {x + 3, y + 20, 0}, {x - 3, y + 20, 0}}}}}}
		found := 0
		for _, f := range s.evaluate().Findings {
			if f.Rule == "keep.clear.least" {
				found++
				strap.Has(t, f.Where, spots.Drawn+"rail")
			}
		}
		if (found > 0) != c.broken {
			t.Errorf("%g mm aside: %d findings", c.aside, found)
		}
		face := 2.5 // half of the face that presses on the weld
		if j := strap.Judged(t, s.evaluate(), "keep.clear.least"); j.Places == 0 || c.broken && !(math.Abs(j.Value-(c.aside-face)) <= 0.5) {
			t.Errorf("%g mm aside: %+v", c.aside, j)
		}
	}
}
