package reach

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// graze is how near to touching a pose may be that the two programs may see differently, mm: FCL finds the distance of a
// body from a triangle by steps.
const graze = 1e-3

// poses builds the program that asks FCL; it comes with libfcl-dev of Debian 12 (0.7.0).
func poses(t *testing.T) string {
	t.Helper()
	compiler, err := exec.LookPath("g++")
	if _, missing := os.Stat("/usr/include/fcl/fcl.h"); err != nil || missing != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("FCL IS MISSING: install g++ and libfcl-dev")
		}
		t.Skip("NOT COMPARED WITH FCL: install Debian's g++ and libfcl-dev")
	}
	program := filepath.Join(t.TempDir(), "poses")
	out, err := exec.Command(compiler, "-O2", "-std=c++17", "-I/usr/include/eigen3", "-o", program, "testdata/fcl/poses.cpp", "-lfcl", "-lccd").CombinedOutput()
	if err != nil {
		t.Fatalf("g++: %v\n%s", err, out)
	}
	return program
}

// fclPose is the bodies of one pose and our answer: touching, free, or too near to call.
type fclPose struct {
	bodies         []string
	touches, clear bool
}

func TestAgreesWithFCL(t *testing.T) {
	program := poses(t)
	m := soup(rand.New(rand.NewPCG(7, 7)), 900)
	s := NewScene([]Panel{{Name: "soup", Tree: near.New(m)}})
	rng := rand.New(rand.NewPCG(11, 12))
	f := newFan(72)
	var all []fclPose
	for range 60 {
		all = append(all, barPoses(s, f, rng)...)
		all = append(all, boxPoses(s, f, rng)...)
	}
	var in bytes.Buffer
	fmt.Fprintln(&in, len(m.Triangles))
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		fmt.Fprintln(&in, words(a), words(b), words(c))
	}
	count := 0
	for _, p := range all {
		count += len(p.bodies)
	}
	fmt.Fprintln(&in, count)
	for _, p := range all {
		fmt.Fprintln(&in, strings.Join(p.bodies, "\n"))
	}
	cmd := exec.Command(program)
	cmd.Stdin = &in
	answer, err := cmd.Output()
	if err != nil {
		t.Fatalf("poses: %v", err)
	}
	compare(t, all, strings.Fields(string(answer)))
}

func compare(t *testing.T, all []fclPose, answer []string) {
	touching, free, grazing, at := 0, 0, 0, 0
	for i, p := range all {
		theirs := false
		for range p.bodies {
			theirs = theirs || answer[at] == "1"
			at++
		}
		switch {
		case p.touches == p.clear:
			grazing++
			continue
		case p.touches:
			touching++
		default:
			free++
		}
		if theirs != p.touches {
			t.Errorf("pose %d: touches %v, by FCL %v: %v", i, p.touches, theirs, p.bodies)
		}
	}
	t.Logf("%d poses touch, %d are free, %d graze; FCL took %s s", touching, free, grazing, answer[at])
	if touching < 1000 || free < 1000 || grazing > len(all)/100 {
		t.Errorf("the poses prove little: %d touch, %d are free, %d graze", touching, free, grazing)
	}
}

func words(v r3.Vector) string {
	n := func(x float64) string { return strconv.FormatFloat(x, 'g', 17, 64) }
	return n(v.X) + " " + n(v.Y) + " " + n(v.Z)
}

// barPoses are arms and back of a gun at one random weld, at every angle.
func barPoses(s *Scene, f *fan, rng *rand.Rand) []fclPose {
	b := bars{radius: 2 + 6*rng.Float64(), high: 15 + 30*rng.Float64(), depth: 20 + 60*rng.Float64()}
	fr := frameOf(Weld{Position: randomVector(rng, 45), Along: randomVector(rng, 1), Axis: randomVector(rng, 1)})
	wide, slim := b, b
	wide.radius, slim.radius = b.radius+graze, b.radius-graze
	wideAir, _ := armAir(s, fr, nil, wide, f, 1)
	slimAir, _ := armAir(s, fr, nil, slim, f, 1)
	var all []fclPose
	world := func(v r3.Vector) r3.Vector {
		return fr.at.Add(fr.x.Mul(v.X)).Add(fr.y.Mul(v.Y)).Add(fr.z.Mul(v.Z))
	}
	for k := range f.cos {
		top, bottom := world(vec(0, 0, b.high)), world(vec(0, 0, -b.high))
		farTop, farBottom := world(vec(b.depth*f.cos[k], b.depth*f.sin[k], b.high)), world(vec(b.depth*f.cos[k], b.depth*f.sin[k], -b.high))
		p := fclPose{touches: slimAir[k] <= 0, clear: wideAir[k] > 0}
		for _, bar := range [3][2]r3.Vector{{top, farTop}, {bottom, farBottom}, {farBottom, farTop}} {
			p.bodies = append(p.bodies, fmt.Sprintf("capsule %s %s %.17g", words(bar[0]), words(bar[1]), b.radius))
		}
		all = append(all, p)
	}
	return all
}

// boxPoses are a rectangular shank at one random weld with an upright axis, at every angle.
func boxPoses(s *Scene, f *fan, rng *rand.Rand) []fclPose {
	small, long := 2+8*rng.Float64(), 2+12*rng.Float64()
	from := 1 + 3*rng.Float64()
	to := from + 5 + 30*rng.Float64()
	fr := frameOf(Weld{Position: randomVector(rng, 45), Along: vec(1, 0, 0), Axis: vec(0, 0, 1)})
	facets := s.gather(fr, nil, math.Hypot(small, long)+1, to+1, nil)
	air := func(by float64, k int) float64 {
		sd := sideOf([]section{{from: from - by, to: to + by, small: small + by, long: long + by}}, facets, 0, 1, false)
		a, _ := sd.air(f.cos[k], f.sin[k], 1)
		return a
	}
	var all []fclPose
	for k := range f.cos {
		c := fr.at.Add(vec(0, 0, (from+to)/2))
		all = append(all, fclPose{
			touches: air(-graze, k) <= 0, clear: air(graze, k) > 0,
			bodies: []string{fmt.Sprintf("box %s %.17g %.17g %.17g %.17g", words(c), float64(k)*f.step, small, long, (to-from)/2)},
		})
	}
	return all
}

func randomVector(rng *rand.Rand, size float64) r3.Vector {
	return vec(size*(2*rng.Float64()-1), size*(2*rng.Float64()-1), size*(2*rng.Float64()-1))
}
