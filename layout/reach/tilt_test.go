package reach

import (
	"math"
	"strings"
	"testing"

	"seamwright/geometry/space"
	"seamwright/seams/shell"
)

// upright is a foot flange: a plate that ends 12 mm beyond the weld on the one side, and a wall 11 mm beside
// the weld on the other. lean is how far the wall leans over the flange, in degrees.
func upright(lean float64) []*sheet {
	sin, cos := math.Sincos(lean * math.Pi / 180)
	var out []*sheet
	for _, z := range []float64{-0.5, 0.5} {
		out = append(out, new(sheet).quad(vec(-300, -11, z), vec(600, 0, 0), vec(0, 23, 0), 20))
	}
	return append(out, new(sheet).quad(vec(-300, -11, 0.5), vec(600, 0, 0), vec(0, 400*sin, 400*cos), 20))
}

func TestTilt(t *testing.T) {
	tool := Tool{gun(200, 200), round()}
	for _, test := range []struct {
		lean, tilt float64
		want       float64 // -1: not reached
	}{
		// The bar of radius 15 begins 60 mm above the sheet: upright it touches a wall 10.5 mm away. Leaning
		// away by a degree moves its middle, 60 mm up, by 1 mm: four and a half are needed there, and no more above.
		{0, 0, -1}, {0, 4, -1}, {0, 5, 5}, {0, 10, 5}, {0, 12, 6}, {6, 10, -1}, {-6, 0, 0},
	} {
		r := find(t, scene(upright(test.lean)...), []Weld{weld()}, Options{Tilt: test.tilt}, tool)[0]
		if r.Reached() != (test.want >= 0) {
			t.Errorf("wall leaning %g, tilt %g: %+v %v", test.lean, test.tilt, r.Poses, r.Reasons)
			continue
		}
		if !r.Reached() {
			continue
		}
		p := r.Poses[0]
		if p.Tilt != test.want || test.want > 0 && p.Towards != 90 {
			t.Errorf("wall leaning %g, tilt %g: tilted %g towards %g, want %g towards 90", test.lean, test.tilt, p.Tilt, p.Towards, test.want)
		}
		if test.want > 0 && (len(r.Reasons) != 1 || r.Reasons[0].Kind == "") {
			t.Errorf("no reason why it does not reach upright: %v", r.Reasons)
		}
	}
}

// Whichever side the wall stands on, the gun leans away from it.
func TestTiltLeansToEachSide(t *testing.T) {
	tool := Tool{gun(200, 200), round()}
	for quarter := range 4 {
		sheets := upright(0)
		for _, s := range sheets {
			for i, v := range s.Vertices {
				s.Vertices[i] = space.Place{Turn: vec(0, 0, 90*float64(quarter))}.Apply(v)
			}
		}
		r := find(t, scene(sheets...), []Weld{weld()}, Options{Tilt: 10}, tool)[0]
		want := math.Mod(90*float64(quarter+1), 360)
		if !r.Reached() || r.Poses[0].Tilt != 5 || r.Poses[0].Towards != want {
			t.Errorf("wall turned by %d quarters: %+v, want tilted 5 towards %g", quarter, r.Poses, want)
		}
	}
}

// A tilted tip's rim dips by half the shank's width times the tangent: what lies as low as that is beside the tip, not the sheet.
func TestTiltRaisesTheSections(t *testing.T) {
	for _, test := range []struct {
		tip  shell.Tip
		half float64
	}{{round(), 8}, {narrow(), 8}, {shell.Tip{ID: "thin", Face: 5, Shank: 10, Length: 60}, 5}} {
		s := newSearcher(scene(plates(12)...), []Tool{{gun(150, 180), test.tip}}, Options{Rise: 1}.completed())
		for _, degrees := range []float64{0, 4, 8} {
			tilt := degrees * math.Pi / 180
			l := s.lookAt(weld(), []int{0}, frameOf(weld()).Lean(tilt, 0), tilt)
			if want := 1 + test.half*math.Tan(tilt); !(math.Abs(l.rise-want) <= 1e-12) {
				t.Errorf("tip %s tilted by %g: the sections begin %g mm off the sheet, want %g", test.tip.ID, degrees, l.rise, want)
			}
		}
	}
}

// A gun tilted by so much sees what an upright one sees of a shell turned back by as much: the same air, but
// for the sections' later start, which no metal is near here.
func TestTiltIsTheShellTurned(t *testing.T) {
	sheets := []*sheet{new(sheet).quad(vec(-200, 40, -150), vec(400, 0, 0), vec(0, 30, 300), 25)}
	s := newSearcher(scene(sheets...), []Tool{{gun(150, 180), round()}}, Options{}.completed())
	w := weld()
	w.Sheets = nil
	const tilt = 8.0
	l := s.lookAt(w, []int{0}, frameOf(w).Lean(tilt*math.Pi/180, math.Pi/2), tilt*math.Pi/180)
	leaned, ok := s.pose(l, 0, false)
	for i, v := range sheets[0].Vertices {
		sheets[0].Vertices[i] = space.Place{Turn: vec(tilt, 0, 0)}.Apply(v)
	}
	s.scene = scene(sheets...)
	turned, ok2 := s.pose(s.lookAt(w, []int{0}, frameOf(w), 0), 0, false)
	if !ok || !ok2 {
		t.Fatalf("tilted %+v, turned %+v", leaned, turned)
	}
	for k := range leaned.Air {
		if !(math.Abs(float64(leaned.Air[k]-turned.Air[k])) <= 1e-4) {
			t.Errorf("angle %d: %g tilted, %g turned", k, leaned.Air[k], turned.Air[k])
		}
	}
}

func TestReasonsInWords(t *testing.T) {
	for _, test := range []struct {
		reason Reason
		want   string
	}{
		{Reason{Kind: Channel, Value: 11, Limit: 16}, "channel 11.0 mm wide, shank 16.0 mm"},
		{Reason{Kind: Wall, Value: 5, Limit: 8, Panel: "rail"}, "metal 5.0 mm beside the weld, half the shank is 8.0 mm (rail)"},
		{Reason{Kind: Wall, Limit: 8}, "metal stands over the weld"},
		{Reason{Kind: TipShort, Value: 62, Limit: 90}, "metal stands 90 mm high beside the tip, which is 62 mm long"},
		{Reason{Kind: Throat, Value: 200, Limit: 234}, "throat too shallow by 34 mm"},
		{Reason{Kind: Throat, Value: 200, Limit: 200.3}, "throat too shallow by 0.3 mm"},
		{Reason{Kind: Gap, Value: 200, Limit: 230}, "throat gap too small by 30 mm"},
		{Reason{Kind: Blocked, Panel: "roof"}, "no way in for the arms (roof)"},
	} {
		if got := test.reason.String(); got != test.want || strings.Contains(got, "%!") {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}

// Looked at all round with the lean that Find has found, a gun stands where Find says, with the same air; with the others it does not.
func TestAnglesOfALeaningGun(t *testing.T) {
	tool, sheets := Tool{gun(200, 200), round()}, scene(upright(0)...)
	p := find(t, sheets, []Weld{weld()}, Options{Tilt: 10}, tool)[0].Poses[0]
	free := map[Lean]float64{}
	for _, l := range append(Leans(10), Lean{}) {
		angles, err := Angles(sheets, weld(), tool, l, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range angles {
			free[l] = max(free[l], a.Air)
			if l == (Lean{p.Tilt, p.Towards}) && a.Turn == p.Turn && a.Air != p.Clearance {
				t.Errorf("at %g degrees %g mm of air, found with %g", a.Turn, a.Air, p.Clearance)
			}
		}
	}
	if len(free) != 9 || free[Lean{}] > 0 || free[Lean{p.Tilt, p.Towards}] != p.Clearance || free[Lean{5, 270}] > 0 {
		t.Errorf("%+v: free by %v", p, free)
	}
}
