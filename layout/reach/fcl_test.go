package reach

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// graze is how near to touching a pose may be that the two programs may see differently, mm: FCL finds the distance of a
// body from a triangle by steps.
const graze = 1e-3

// posesProgram is the program that asks FCL; it comes with libfcl-dev of Debian 12 (0.7.0). It is built anew whenever its
// text, the compiler or the library is another one, and kept in the user's cache.
func posesProgram(t testing.TB) string {
	t.Helper()
	compiler, err := exec.LookPath("g++")
	if _, missing := os.Stat("/usr/include/fcl/fcl.h"); err != nil || missing != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("FCL IS MISSING: install g++ and libfcl-dev")
		}
		t.Skip("NOT COMPARED WITH FCL: install Debian's g++ and libfcl-dev")
	}
	flags := []string{"-O2", "-std=c++17", "-I/usr/include/eigen3"}
	sum := sha256.New()
	for _, name := range []string{"testdata/fcl/poses.cpp", "/usr/include/fcl/config.h"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		sum.Write(text)
	}
	version, err := exec.Command(compiler, "--version").Output()
	if err != nil {
		t.Fatalf("%s: %v", compiler, err)
	}
	fmt.Fprint(sum, string(version), flags)
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = t.TempDir()
	}
	program := filepath.Join(dir, "seamwright-test", fmt.Sprintf("fcl-poses-%x", sum.Sum(nil)[:12]))
	if _, err := os.Stat(program); err == nil {
		return program
	}
	if err := os.MkdirAll(filepath.Dir(program), 0o755); err != nil {
		t.Fatal(err)
	}
	part := fmt.Sprintf("%s.%d", program, os.Getpid())
	out, err := exec.Command(compiler, append(flags, "-o", part, "testdata/fcl/poses.cpp", "-lfcl", "-lccd")...).CombinedOutput()
	if err != nil {
		t.Fatalf("g++: %v\n%s", err, out)
	}
	if err := os.Rename(part, program); err != nil {
		t.Fatal(err)
	}
	return program
}

// The kinds of bodies that the program knows.
const (
	capsuleBody = iota
	cylinderBody
	boxBody
)

// fclBody is a body in its place: see poses.cpp.
type fclBody struct {
	Kind          float64
	At            r3.Vector
	X, Y, Z, Size r3.Vector
}

func capsuleOf(a, b r3.Vector, radius float64) fclBody {
	z := b.Sub(a).Normalize()
	x := z.Ortho()
	return fclBody{capsuleBody, a.Add(b).Mul(0.5), x, z.Cross(x), z, vec(radius, b.Sub(a).Norm(), 0)}
}

// fclGun is a gun at a weld: bodies that do not turn, and those of each pose.
type fclGun struct {
	fixed []fclBody
	poses [][]fclBody
}

// fclAnswer is which poses touch, or how far they are from the mesh, and the processor time that building the tree and answering took.
type fclAnswer struct {
	touches       [][]bool
	distance      [][]float64 // mm, where it was asked for; 0 where a pose touches
	build, answer time.Duration
}

func askFCL(t testing.TB, program string, meshes []*mesh.Mesh, guns []fclGun, mode ...string) fclAnswer {
	t.Helper()
	var in bytes.Buffer
	put := func(v any) {
		if err := binary.Write(&in, binary.LittleEndian, v); err != nil {
			t.Fatal(err)
		}
	}
	put64 := func(n int) { put(int64(n)) }
	var corners []float64
	for _, m := range meshes {
		for i := range m.Triangles {
			a, b, c := m.Corners(i)
			corners = append(corners, a.X, a.Y, a.Z, b.X, b.Y, b.Z, c.X, c.Y, c.Z)
		}
	}
	put64(len(corners) / 9)
	put(corners)
	put64(len(guns))
	for _, g := range guns {
		put64(len(g.fixed))
		put(g.fixed)
		put64(len(g.poses))
		for _, p := range g.poses {
			put64(len(p))
			put(p)
		}
	}
	cmd := exec.Command(program, mode...)
	cmd.Stdin = &in
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("poses: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(guns)+2 {
		t.Fatalf("%d lines answer %d guns", len(lines), len(guns))
	}
	var answer fclAnswer
	for _, line := range lines[:len(guns)] {
		if len(mode) > 0 {
			answer.distance = append(answer.distance, numbers(t, line))
			continue
		}
		row := make([]bool, len(line))
		for k := range line {
			row[k] = line[k] == '1'
		}
		answer.touches = append(answer.touches, row)
	}
	answer.build, answer.answer = seconds(t, lines[len(guns)]), seconds(t, lines[len(guns)+1])
	return answer
}

func numbers(t testing.TB, line string) []float64 {
	var out []float64
	for _, text := range strings.Fields(line) {
		f, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, f)
	}
	return out
}

func seconds(t testing.TB, line string) time.Duration {
	return time.Duration(numbers(t, line)[0] * float64(time.Second))
}

// The air of a free gun is FCL's distance, up to what counts.
func TestAirAgreesWithFCL(t *testing.T) {
	program := posesProgram(t)
	const enough = 20.0
	m := soup(rand.New(rand.NewPCG(8, 8)), 300)
	s := &axial.Scene{Panels: []axial.Panel{{Name: "soup", Shape: near.NewShape(m)}}}
	rng := rand.New(rand.NewPCG(13, 14))
	f := axial.NewFan(36)
	var guns []fclGun
	var ours [][]float64
	for range 25 {
		b := bars{radius: 1 + 3*rng.Float64(), high: 10 + 20*rng.Float64(), depth: 15 + 40*rng.Float64()}
		fr := frameOf(Weld{Position: randomVector(rng, 60), Along: randomVector(rng, 1), Axis: randomVector(rng, 1)})
		arms := fclGun{}
		for k := range f.Cos {
			arms.poses = append(arms.poses, barBodies(fr, b, f.Cos[k], f.Sin[k]))
		}
		air, _ := armAir(turnedOf(s, fr), b, f, enough, nil, nil)
		guns, ours = append(guns, arms), append(ours, air)
		for _, c := range []section{{from: 2, to: 20, small: 1 + 3*rng.Float64(), long: 2 + 4*rng.Float64()},
			{from: 1, to: 15, radius: 1 + 4*rng.Float64()}} {
			tip, air := fclGun{}, []float64{}
			sd := sideOf([]section{c}, turnedOf(s, fr).Gather(c.outer()+enough, c.to+enough, nil), 0, enough, false, nil)
			for k := range f.Cos {
				tip.poses = append(tip.poses, []fclBody{sectionBody(fr, c, 0, false, f.Cos[k], f.Sin[k])})
				a, _ := sd.at(f.Cos[k], f.Sin[k], enough)
				air = append(air, a)
			}
			guns, ours = append(guns, tip), append(ours, air)
		}
	}
	answer := askFCL(t, program, []*mesh.Mesh{m}, guns, "distance")
	measured := 0
	for i := range guns {
		bar := i%3 == 0 // a section's air is that beside it, at its own heights: never less than the distance
		for k, a := range ours[i] {
			d := min(answer.distance[i][k], enough)
			if a = max(a, 0); a < d-graze || bar && a > d+graze {
				t.Errorf("gun %d, pose %d: %g mm of air, by FCL %g", i, k, a, d)
			}
			if a > graze && a < enough {
				measured++
			}
		}
	}
	t.Logf("%d of %d poses measured in %v by FCL", measured, 36*len(guns), answer.answer)
	if measured < 500 {
		t.Errorf("only %d poses have air to measure", measured)
	}
}

// expected is our answer at each pose: touching, clear of everything, or neither where it is too near to call.
type expected struct{ touches, clear []bool }

func TestAgreesWithFCL(t *testing.T) {
	program := posesProgram(t)
	m := soup(rand.New(rand.NewPCG(7, 7)), 900)
	s := &axial.Scene{Panels: []axial.Panel{{Name: "soup", Shape: near.NewShape(m)}}}
	rng := rand.New(rand.NewPCG(11, 12))
	f := axial.NewFan(72)
	var guns []fclGun
	var ours []expected
	for range 60 {
		for _, poses := range []func(*axial.Scene, *axial.Fan, *rand.Rand) (fclGun, expected){barPoses, boxPoses, roundPoses} {
			g, e := poses(s, f, rng)
			guns, ours = append(guns, g), append(ours, e)
		}
	}
	answer := askFCL(t, program, []*mesh.Mesh{m}, guns)
	touching, free, grazing := 0, 0, 0
	for i, e := range ours {
		for k := range e.touches {
			switch theirs := answer.touches[i][k]; {
			case e.touches[k] == e.clear[k]:
				grazing++
				continue
			case e.touches[k]:
				touching++
				fallthrough
			default:
				if theirs != e.touches[k] {
					t.Errorf("gun %d, pose %d: touches %v, by FCL %v: %v", i, k, e.touches[k], theirs, guns[i].poses[k])
				}
			}
			if !e.touches[k] {
				free++
			}
		}
	}
	t.Logf("%d poses touch, %d are free, %d graze; FCL took %v", touching, free, grazing, answer.answer)
	if touching < 1000 || free < 1000 || grazing > (touching+free)/100 {
		t.Errorf("the poses prove little: %d touch, %d are free, %d graze", touching, free, grazing)
	}
}

// out turns a place in the frame into one of the scene.
func outOf(f *axial.Frame, v r3.Vector) r3.Vector {
	return f.At.Add(f.X.Mul(v.X)).Add(f.Y.Mul(v.Y)).Add(f.Z.Mul(v.Z))
}

// barBodies are arms and back at an angle.
func barBodies(fr axial.Frame, b bars, cos, sin float64) []fclBody {
	top, bottom := outOf(&fr, vec(0, 0, b.high)), outOf(&fr, vec(0, 0, -b.high))
	farTop, farBottom := outOf(&fr, vec(b.depth*cos, b.depth*sin, b.high)), outOf(&fr, vec(b.depth*cos, b.depth*sin, -b.high))
	return []fclBody{capsuleOf(top, farTop, b.radius), capsuleOf(bottom, farBottom, b.radius), capsuleOf(farBottom, farTop, b.radius)}
}

// sectionBody is a section of an electrode that begins at a height above the weld, or below it, at an angle.
func sectionBody(fr axial.Frame, c section, surface float64, below bool, cos, sin float64) fclBody {
	middle := surface + (c.from+c.to)/2
	if below {
		middle = -middle
	}
	x := outOf(&fr, vec(cos, sin, 0)).Sub(fr.At)
	out := fclBody{boxBody, outOf(&fr, vec(0, 0, middle)), x, fr.Z.Cross(x), fr.Z, vec(c.small, c.long, (c.to-c.from)/2)}
	if c.round() {
		out.Kind, out.Size = cylinderBody, vec(c.radius, c.to-c.from, 0)
	}
	return out
}

// barPoses are arms and back of a gun at one random weld, at every angle.
func barPoses(s *axial.Scene, f *axial.Fan, rng *rand.Rand) (fclGun, expected) {
	b := bars{radius: 2 + 6*rng.Float64(), high: 15 + 30*rng.Float64(), depth: 20 + 60*rng.Float64()}
	fr := frameOf(Weld{Position: randomVector(rng, 45), Along: randomVector(rng, 1), Axis: randomVector(rng, 1)})
	wide, slim := b, b
	wide.radius, slim.radius = b.radius+graze, b.radius-graze
	wideAir, _ := armAir(turnedOf(s, fr), wide, f, 1, nil, nil)
	slimAir, _ := armAir(turnedOf(s, fr), slim, f, 1, nil, nil)
	var g fclGun
	var e expected
	for k := range f.Cos {
		g.poses = append(g.poses, barBodies(fr, b, f.Cos[k], f.Sin[k]))
		e.touches, e.clear = append(e.touches, slimAir[k] <= 0), append(e.clear, wideAir[k] > 0)
	}
	return g, e
}

// boxPoses are a rectangular shank at one random weld, at every angle.
func boxPoses(s *axial.Scene, f *axial.Fan, rng *rand.Rand) (fclGun, expected) {
	return sectionPoses(s, f, rng, section{small: 2 + 8*rng.Float64(), long: 2 + 12*rng.Float64()}, len(f.Cos))
}

// roundPoses is a round shank at one random weld, which turning does not change.
func roundPoses(s *axial.Scene, f *axial.Fan, rng *rand.Rand) (fclGun, expected) {
	return sectionPoses(s, f, rng, section{radius: 2 + 8*rng.Float64()}, 1)
}

func sectionPoses(s *axial.Scene, f *axial.Fan, rng *rand.Rand, c section, n int) (fclGun, expected) {
	c.from = 1 + 3*rng.Float64()
	c.to = c.from + 5 + 30*rng.Float64()
	below := rng.IntN(2) == 1
	fr := frameOf(Weld{Position: randomVector(rng, 45), Along: randomVector(rng, 1), Axis: randomVector(rng, 1)})
	facets := turnedOf(s, fr).Gather(c.outer()+1, c.to+1, nil)
	air := func(by float64, k int) float64 {
		grown := section{from: c.from - by, to: c.to + by}
		if c.round() {
			grown.radius = c.radius + by
		} else {
			grown.small, grown.long = c.small+by, c.long+by
		}
		a, _ := sideOf([]section{grown}, facets, 0, 1, below, nil).at(f.Cos[k], f.Sin[k], 1)
		return a
	}
	var g fclGun
	var e expected
	for k := range n {
		g.poses = append(g.poses, []fclBody{sectionBody(fr, c, 0, below, f.Cos[k], f.Sin[k])})
		e.touches, e.clear = append(e.touches, air(-graze, k) <= 0), append(e.clear, air(graze, k) > 0)
	}
	return g, e
}

func randomVector(rng *rand.Rand, size float64) r3.Vector {
	return vec(size*(2*rng.Float64()-1), size*(2*rng.Float64()-1), size*(2*rng.Float64()-1))
}

// gunBodies is a whole tool at a weld at every angle. What does not turn is said once.
func gunBodies(s *searcher, l *seen, t Tool) fclGun {
	b := barsOf(t.Gun)
	g := fclGun{poses: make([][]fclBody, len(s.fan.Cos))}
	for k := range g.poses {
		g.poses[k] = barBodies(l.Frame, b, s.fan.Cos[k], s.fan.Sin[k])
	}
	for i, surface := range [2]float64{l.above, l.below} {
		for _, c := range sectionsOf(t, l.rise, b.high-surface) {
			switch {
			case c.to <= c.from:
			case c.round():
				g.fixed = append(g.fixed, sectionBody(l.Frame, c, surface, i == 1, 1, 0))
			default:
				for k := range g.poses {
					g.poses[k] = append(g.poses[k], sectionBody(l.Frame, c, surface, i == 1, s.fan.Cos[k], s.fan.Sin[k]))
				}
			}
		}
	}
	return g
}

// BenchmarkFCL holds Find against FCL on one thread, in processor time: the same guns at the same welds of a whole shell
// at the same angles against the same triangles, FCL's bodies made and placed beforehand. Both are asked only
// what touches, in which they must agree, and then for the air of what does not as well: FCL at a sample of
// the guns, taken for all of them, for it takes minutes, and its distances cannot be bounded as our air is.
//
//	go test ./layout/reach -run xxx -bench FCL -benchtime 1x
func BenchmarkFCL(b *testing.B) {
	program := posesProgram(b)
	panels, welds, tools := cab(1_000_000, 200)
	panels = solid(panels)
	s := newSearcher(panels, tools, Options{}.completed())
	all := []int{0, 1, 2, 3, 4}
	var guns []fclGun
	for _, w := range welds {
		l := s.lookAt(w, all, frameOf(w), 0)
		for _, t := range tools {
			guns = append(guns, gunBodies(s, l, t))
		}
	}
	var sample []fclGun
	for i := 0; i < len(guns); i += 41 { // not the same gun each time
		sample = append(sample, guns[i])
	}
	var meshes []*mesh.Mesh
	for _, p := range panels.Panels {
		meshes = append(meshes, p.Shape.Mesh)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	find := func(enough float64) ([]Result, time.Duration) {
		start := processorTime(b)
		results, err := Find(context.Background(), panels, welds, tools, Options{Workers: 1, Quiet: true, Enough: enough})
		if err != nil {
			b.Fatal(err)
		}
		return results, processorTime(b) - start
	}
	for b.Loop() {
		answer := askFCL(b, program, meshes, guns)
		touching, ours := find(1e-6)
		agree(b, touching, answer.touches, len(tools))
		measured, withAir := find(0)
		agree(b, measured, answer.touches, len(tools))
		distances := askFCL(b, program, meshes, sample, "distance")
		theirAir := distances.answer.Seconds() * float64(len(guns)) / float64(len(sample))
		b.ReportMetric(answer.answer.Seconds(), "FCL-s")
		b.ReportMetric(theirAir, "FCL-with-air-s")
		b.ReportMetric(ours.Seconds(), "ours-s")
		b.ReportMetric(withAir.Seconds(), "ours-with-air-s")
		b.ReportMetric(answer.answer.Seconds()/ours.Seconds(), "times-as-fast")
		b.ReportMetric(theirAir/withAir.Seconds(), "times-as-fast-with-air")
	}
	b.ReportMetric(float64(triangles(panels)), "triangles")
	b.ReportMetric(float64(len(guns)*72), "poses")
}

// processorTime is what this program has used so far.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// agree fails where FCL and Find see the same pose differently by more than a graze.
func agree(b *testing.B, results []Result, touches [][]bool, tools int) {
	free, wrong := 0, 0
	for i, r := range results {
		for tool := range tools {
			air := r.Pose(tool).Air
			for k, theirs := range touches[i*tools+tool] {
				a := float32(touch)
				if air != nil {
					a = air[k]
				}
				if a > 0 {
					free++
				}
				if theirs != (a <= 0) && !(math.Abs(float64(a)) <= graze) {
					wrong++
				}
			}
		}
	}
	b.ReportMetric(float64(free), "free")
	if wrong > 0 {
		b.Errorf("%d poses differ", wrong)
	}
}
