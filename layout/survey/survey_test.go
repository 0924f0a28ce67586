package survey

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"seamwright/internal/record"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/layout"
)

func TestKabschFindsTheMotion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-1000, 1000)
		v := func(name string) r3.Vector {
			return r3.Vector{X: c.Draw(t, name), Y: c.Draw(t, name), Z: c.Draw(t, name)}
		}
		axis := v("axis")
		if axis.Norm() < 1 {
			axis.X++
		}
		want := turned(axis, rapid.Float64Range(0, 180).Draw(t, "angle"), v("move"))
		from := make([]r3.Vector, rapid.IntRange(3, 12).Draw(t, "n"))
		to := make([]r3.Vector, len(from))
		for i := range from {
			from[i] = v("point")
			to[i] = want.Apply(from[i])
		}
		if from[1].Sub(from[0]).Cross(from[2].Sub(from[0])).Norm() < 1e3 {
			t.Skip("nearly on one line")
		}
		got, err := Kabsch(from, to)
		if err != nil {
			t.Fatal(err)
		}
		for i := range from {
			if d := got.Apply(from[i]).Distance(to[i]); d > 1e-6 {
				t.Fatalf("point %d is off by %g", i, d)
			}
		}
		if !(math.Abs(determinant(got.Turn)-1) <= 1e-9) {
			t.Fatalf("no turn: determinant %v", determinant(got.Turn))
		}
	})
}

// A mirrored set is fitted by a turn, never by a mirror.
func TestKabschNeverMirrors(t *testing.T) {
	from := []r3.Vector{{X: 1}, {Y: 2}, {Z: 3}, {X: 4, Y: 5, Z: 6}}
	to := make([]r3.Vector, len(from))
	for i, p := range from {
		to[i] = r3.Vector{X: -p.X, Y: p.Y, Z: p.Z}
	}
	p, err := Kabsch(from, to)
	if err != nil || !(math.Abs(determinant(p.Turn)-1) <= 1e-9) {
		t.Errorf("%v, %v", p, err)
	}
}

func TestKabschRefuses(t *testing.T) {
	a, b := r3.Vector{}, r3.Vector{X: 5, Y: 1}
	for name, points := range map[string][]r3.Vector{"two": {a, b}, "line": {a, b, b.Mul(2), b.Mul(-3)}, "one place": {a, a, a}} {
		if _, err := Kabsch(points, points); err == nil {
			t.Errorf("%s passed", name)
		}
	}
	if _, err := Kabsch([]r3.Vector{a, b, a}, []r3.Vector{a, b}); err == nil {
		t.Error("unequal lists passed")
	}
}

// An outside library agrees on the turn of noisy sets: scipy.spatial.transform.Rotation.align_vectors (Debian python3-scipy).
func TestKabschAgainstScipy(t *testing.T) {
	python := "/usr/bin/python3" // Debian's own, which has its packages; another may stand before it on the path
	err := exec.Command(python, "-c", "import scipy.spatial.transform").Run()
	if err != nil {
		python = "python3"
		err = exec.Command(python, "-c", "import scipy.spatial.transform").Run()
	}
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3 with scipy is missing: install the Debian package python3-scipy")
		}
		t.Skip("NOT CHECKED AGAINST SCIPY: install the Debian package python3-scipy")
	}
	random := rand.New(rand.NewPCG(8, 9))
	type set struct{ From, To [][3]float64 }
	var sets []set
	var poses []Pose
	for range 30 {
		frame := turned(jitter(random, 1), random.Float64()*180, jitter(random, 500))
		var s set
		var from, to []r3.Vector
		for range 4 + random.IntN(20) {
			p := jitter(random, 400)
			q := frame.Apply(p).Add(jitter(random, 20))
			from, to = append(from, p), append(to, q)
			s.From, s.To = append(s.From, [3]float64{p.X, p.Y, p.Z}), append(s.To, [3]float64{q.X, q.Y, q.Z})
		}
		pose, err := Kabsch(from, to)
		if err != nil {
			t.Fatal(err)
		}
		sets, poses = append(sets, s), append(poses, pose)
	}
	input, err := json.Marshal(sets)
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command(python, "-c", `
import json, sys, numpy
from scipy.spatial.transform import Rotation
out = []
for s in json.load(sys.stdin):
    a, b = numpy.array(s["From"]), numpy.array(s["To"])
    r, _ = Rotation.align_vectors(b - b.mean(0), a - a.mean(0))
    out.append([r.as_matrix().tolist(), (b.mean(0) - r.apply(a.mean(0))).tolist()])
print(json.dumps(out))`)
	run.Stdin = bytes.NewReader(input)
	output, err := run.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want [][2]json.RawMessage
	if err := json.Unmarshal(output, &want); err != nil || len(want) != len(sets) {
		t.Fatal(err, len(want))
	}
	for i, w := range want {
		var turn [3][3]float64
		var move [3]float64
		if json.Unmarshal(w[0], &turn) != nil || json.Unmarshal(w[1], &move) != nil {
			t.Fatal("no matrix")
		}
		for r := range 3 {
			for c := range 3 {
				if !(math.Abs(turn[r][c]-poses[i].Turn[r][c]) <= 1e-9) {
					t.Errorf("set %d: turn %v, scipy %v", i, poses[i].Turn, turn)
				}
			}
		}
		if d := poses[i].Move.Distance(r3.Vector{X: move[0], Y: move[1], Z: move[2]}); d > 1e-6 {
			t.Errorf("set %d: move off by %g", i, d)
		}
	}
}

func TestRobustLeavesOutWhatDoesNotBelong(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	want := turned(r3.Vector{X: 1, Y: 2, Z: 3}, 50, r3.Vector{X: 10})
	var from, to []r3.Vector
	for i := range 60 {
		p := jitter(random, 500)
		q := want.Apply(p).Add(jitter(random, 0.3))
		if i%6 == 0 { // one in six is another weld
			q = q.Add(r3.Vector{X: 25, Y: float64(i)})
		}
		from, to = append(from, p), append(to, q)
	}
	pose, used, err := robust(from, to, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i := range from {
		if used[i] == (i%6 == 0) {
			t.Errorf("pair %d: used %v", i, used[i])
		}
	}
	if d := pose.Apply(from[1]).Distance(want.Apply(from[1])); d > 0.5 {
		t.Errorf("off by %g mm", d)
	}
}

// frames to measure in: the shell's own, a little off, and anywhere.
var frames = map[string]Pose{
	"the shell's":     Identity(),
	"a little off":    turned(r3.Vector{Z: 1}, 0.4, r3.Vector{X: 6, Y: -4, Z: 3}),
	"upside down":     turned(r3.Vector{X: 1}, 180, r3.Vector{X: 3000, Y: 12, Z: 900}),
	"anywhere":        turned(r3.Vector{X: 1, Y: -2, Z: 0.5}, 117, r3.Vector{X: -8000, Y: 2500, Z: 40}),
	"a quarter round": turned(r3.Vector{Z: 1}, 90, r3.Vector{Y: 5000}),
}

// Welds gone, added and moved are found as such, in every frame, with a probe that errs by half a millimetre.
func TestCompareFindsWhatWasChanged(t *testing.T) {
	for name, frame := range frames {
		t.Run(name, func(t *testing.T) {
			p := body()
			random := rand.New(rand.NewPCG(4, 2))
			points := measured(p, frame, 0.5, random)
			n := len(points)
			gone := []int{3, 17, 40, 41, 90, 133}
			moved := []int{8, 25, 60, 101, 150}
			for _, i := range moved {
				along := r3.Vector{X: p.Welds[i+1].Position[0] - p.Welds[i].Position[0], Y: p.Welds[i+1].Position[1] - p.Welds[i].Position[1],
					Z: p.Welds[i+1].Position[2] - p.Welds[i].Position[2]}
				points[i].At = points[i].At.Add(frame.turn(along.Normalize().Mul(9)))
			}
			var left []Point
			for i, q := range points {
				if !slices.Contains(gone, i) {
					left = append(left, q)
				}
			}
			// Added: one half-way between two welds of the floor's wide pitch, one far from everything.
			between := r3.Vector{X: p.Welds[55].Position[0] + p.Welds[56].Position[0], Y: p.Welds[55].Position[1] + p.Welds[56].Position[1],
				Z: p.Welds[55].Position[2] + p.Welds[56].Position[2]}.Mul(0.5)
			left = append(left, Point{ID: "between", At: frame.Apply(between)}, Point{ID: "far", At: frame.Apply(r3.Vector{X: 700, Z: 3000})})
			r, err := Compare(p, left, Options{})
			if err != nil {
				t.Fatal(err)
			}
			var missing, displaced, extra []string
			for _, w := range r.Missing {
				missing = append(missing, fmt.Sprint(w.Number-1))
			}
			for _, d := range r.Displaced {
				displaced = append(displaced, d.Point)
				if !(math.Abs(d.Distance-9) <= 2) || !(math.Abs(d.Along-9) <= 2) {
					t.Errorf("displaced by %v, %v along", d.Distance, d.Along)
				}
			}
			for _, e := range r.Extra {
				extra = append(extra, e.Point+" "+e.Flange)
			}
			want := func(list []int, plus int) (out []string) {
				for _, i := range list {
					out = append(out, fmt.Sprint(i+plus))
				}
				return out
			}
			if !slices.Equal(missing, want(gone, 0)) || !slices.Equal(displaced, want(moved, 1)) || !slices.Equal(extra,
				[]string{"between floor/1", "far "}) {
				t.Errorf("missing %v, displaced %v, extra %v; fit %+v", missing, displaced, extra, r.Fit)
			}
			if len(r.Matched) != n-len(gone)-len(moved) {
				t.Errorf("%d matched", len(r.Matched))
			}
			for _, m := range r.Matched {
				if m.Point != fmt.Sprint(m.Number) {
					t.Errorf("weld %d took point %s", m.Number, m.Point)
				}
			}
			// Noise of 0.5 mm on each axis is 0.87 mm in space.
			if r.RMS < 0.6 || r.RMS > 1.1 {
				t.Errorf("rms %v", r.RMS)
			}
			if !r.Fit.Unique || r.Fit.Used < 150 {
				t.Errorf("%+v, notes %v", r.Fit, r.Notes)
			}
		})
	}
}

func TestCountsAndPitches(t *testing.T) {
	p := body()
	points := measured(p, Identity(), 0, rand.New(rand.NewPCG(1, 1)))
	// The sill is measured with every other weld left out.
	var left []Point
	for i, q := range points {
		if p.Welds[i].Joint != "sill" || i%2 == 0 {
			left = append(left, q)
		}
	}
	r, err := Compare(p, left, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Flanges {
		if f.Planned != f.Matched+f.Displaced+f.Missing || f.Measured != f.Matched+f.Displaced+f.Extra {
			t.Errorf("sums of %+v", f)
		}
		if f.Flange == "sill/1" {
			if f.Missing != f.Planned/2 || !(math.Abs(f.Found-2*f.Pitch) <= 1e-6) {
				t.Errorf("%+v", f)
			}
		} else if f.Missing != 0 || !(math.Abs(f.Found-f.Pitch) <= 1e-3) {
			t.Errorf("%+v", f)
		}
	}
	if len(r.Flanges) != len(p.Flanges) || r.RMS > 1e-6 {
		t.Errorf("%d flanges, rms %v", len(r.Flanges), r.RMS)
	}
}

// A part of the shell, measured anywhere, has another middle and other axes than the whole.
func TestPartOfAShellAnywhere(t *testing.T) {
	p := body()
	var part []Point
	for i, q := range measured(p, frames["anywhere"], 0.5, rand.New(rand.NewPCG(5, 5))) {
		if slices.Contains([]string{"arch", "lamp", "rail", "screen"}, p.Welds[i].Joint) {
			part = append(part, q)
		}
	}
	r, err := Compare(p, part, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Matched) != len(part) || len(r.Extra)+len(r.Displaced) != 0 || r.Fit.How != "triplets of distances" {
		t.Errorf("%d of %d matched, %d extra; fit %+v", len(r.Matched), len(part), len(r.Extra), r.Fit)
	}
}

// A frame that fits two ways is said to: a plain rectangle, measured a quarter round.
func TestPoseThatIsNotUnique(t *testing.T) {
	p := &layout.Plan{}
	addFlange(p, "frame", 30, true, []r3.Vector{{}, {X: 900}, {X: 900, Y: 600}, {Y: 600}})
	r, err := Compare(p, measured(p, frames["a quarter round"], 0.2, rand.New(rand.NewPCG(5, 5))), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Fit.Unique || len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "not unique") {
		t.Errorf("%+v, %v", r.Fit, r.Notes)
	}
}

func TestFixedFrame(t *testing.T) {
	p := body()
	points := measured(p, Pose{Turn: Identity().Turn, Move: r3.Vector{X: 3}}, 0, rand.New(rand.NewPCG(1, 1)))
	r, err := Compare(p, points[:2], Options{Fixed: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Matched) != 2 || !(math.Abs(r.RMS-3) <= 1e-6) || r.Fit.How != "not moved" {
		t.Errorf("%+v", r)
	}
	r, err = Compare(p, points, Options{Fixed: true, Tolerance: 2})
	if err != nil || len(r.Displaced) != len(p.Welds) || len(r.Matched) != 0 || r.RMS != 0 {
		t.Errorf("%d displaced, %v", len(r.Displaced), err)
	}
}

func TestJointNamedByTheFile(t *testing.T) {
	p := body()
	points := measured(p, Identity(), 0, rand.New(rand.NewPCG(1, 1)))
	points[0].Joint, points[1].Joint = "lamp", "door"
	r, err := Compare(p, points, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Extra) != 2 || r.Extra[0].Flange != "" || len(r.Missing) != 2 || !slices.Contains(r.Notes,
		"1 points are of joint door, which the plan has no flange of") {
		t.Errorf("extra %v, missing %v, notes %v", r.Extra, r.Missing, r.Notes)
	}
}

func TestPointsOnOneLineLeaveTheTurnOpen(t *testing.T) {
	p := &layout.Plan{}
	addFlange(p, "sill", 30, false, []r3.Vector{{}, {X: 900}})
	_, err := Compare(p, measured(p, Identity(), 0, rand.New(rand.NewPCG(1, 1))), Options{})
	const remedy = "say that the points are in the shell's frame"
	if err == nil || !strings.Contains(err.Error(), "lie on one line") || !strings.Contains(err.Error(), remedy) {
		t.Errorf("%v, want the reason and a remedy", err)
	}
}

func TestCompareRefuses(t *testing.T) {
	said := record.Errors(t)
	p := body()
	points := measured(p, Identity(), 0, rand.New(rand.NewPCG(1, 1)))
	random := rand.New(rand.NewPCG(1, 1))
	var noise []Point
	for range 60 {
		noise = append(noise, Point{At: jitter(random, 30000)})
	}
	for _, c := range []struct {
		name   string
		plan   *layout.Plan
		points []Point
		opt    Options
		want   string
	}{
		{"no welds", &layout.Plan{}, points, Options{}, "no spot welds"},
		{"two points", p, points[:2], Options{}, "leave the pose open"},
		{"another part", p, noise, Options{}, "come near a planned weld in any pose"},
		{"bad tolerance", p, points, Options{Tolerance: math.NaN()}, "are none"},
	} {
		if _, err := Compare(c.plan, c.points, c.opt); err == nil || !said.Has(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestCompareTwiceIsTheSame(t *testing.T) {
	p := body()
	points := measured(p, frames["anywhere"], 0.5, rand.New(rand.NewPCG(5, 5)))
	text := func() string {
		r, err := Compare(p, points, Options{})
		if err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if first, again := text(), text(); first != again {
		t.Error("two reports differ")
	}
}

func TestAngleOfAPose(t *testing.T) {
	for _, degrees := range []float64{0, 0.5, 30, 90, 135, 180} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		p := Pose{Turn: [3][3]float64{{cos, -sin, 0}, {sin, cos, 0}, {0, 0, 1}}}
		if got := p.Angle(); !(math.Abs(got-degrees) <= 1e-6) {
			t.Errorf("a turn of %g degrees about Z is said to be of %g", degrees, got)
		}
	}
}
