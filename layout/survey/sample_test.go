package survey

import (
	"math"
	"math/rand/v2"
	"strconv"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/layout"
)

// body is a made-up shell of nine flanges with no symmetry: straight runs, an arch, two rings.
func body() *layout.Plan {
	p := &layout.Plan{Format: layout.Format, Shell: layout.Shell{Name: "body"}}
	line := func(id string, pitch float64, closed bool, points ...r3.Vector) {
		addFlange(p, id, pitch, closed, points)
	}
	v := func(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
	line("sill", 30, false, v(0, 500, 150), v(1400, 520, 150))
	line("floor", 42, false, v(0, -480, 140), v(1200, -480, 140), v(1400, -300, 140))
	line("post", 27, false, v(40, 480, 200), v(60, 470, 900), v(200, 440, 1500))
	line("rail", 33, false, v(1380, -450, 240), v(1200, -420, 1450))
	line("header", 36, false, v(220, 420, 1510), v(1150, 400, 1560))
	line("back", 31, false, v(0, -430, 300), v(-30, 380, 320))
	line("arch", 25, false, arc(v(1000, -560, 300), 260, 0.1, 3.0)...)
	line("lamp", 24, true, arc(v(1500, 250, 600), 80, 0, 2*math.Pi-0.02)...)
	line("screen", 38, true, v(1200, -300, 800), v(1200, 320, 800), v(1060, 300, 1300), v(1060, -280, 1300))
	return p
}

func arc(c r3.Vector, radius, from, to float64) []r3.Vector {
	var out []r3.Vector
	n := int(radius*(to-from)/4) + 2
	for i := range n {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/float64(n-1))
		out = append(out, c.Add(r3.Vector{X: radius * cos, Z: radius * sin}))
	}
	return out
}

func addFlange(p *layout.Plan, id string, pitch float64, closed bool, corners []r3.Vector) {
	f := layout.Flange{ID: id + "/1", Joint: id, Panels: []string{id, "x"}, Closed: closed}
	l := &line{flange: &f, curve: curve.New(corners, closed)}
	f.Length = l.curve.Length()
	for i, c := range corners {
		f.Line = append(f.Line, layout.LinePoint{Along: l.curve.Sum(i), At: layout.VecOf(c), Normal: layout.Vec{0, 0, 1}})
	}
	n, start := int(f.Length/pitch), 10.0
	step := (f.Length - 2*start) / float64(n)
	if closed {
		start, step = 0, f.Length/float64(n)
		n--
	}
	for i := range n + 1 {
		along := start + float64(i)*step
		at := l.curve.At(along)
		p.Welds = append(p.Welds, layout.Weld{Number: len(p.Welds) + 1, Station: "jig", Joint: id, Flange: f.ID, Along: along,
			Position: layout.VecOf(at)})
	}
	p.Flanges = append(p.Flanges, f)
	p.Joints = append(p.Joints, layout.Joint{ID: id, Kind: "spot"})
}

// turned is a pose of the given axis, angle in degrees and move.
func turned(axis r3.Vector, degrees float64, move r3.Vector) Pose {
	u := axis.Normalize()
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	one := 1 - cos
	return Pose{Turn: [3][3]float64{
		{cos + u.X*u.X*one, u.X*u.Y*one - u.Z*sin, u.X*u.Z*one + u.Y*sin},
		{u.Y*u.X*one + u.Z*sin, cos + u.Y*u.Y*one, u.Y*u.Z*one - u.X*sin},
		{u.Z*u.X*one - u.Y*sin, u.Z*u.Y*one + u.X*sin, cos + u.Z*u.Z*one},
	}, Move: move}
}

// measured are the plan's welds as a probe finds them: in another frame, each off by some noise in mm.
func measured(p *layout.Plan, frame Pose, noise float64, random *rand.Rand) []Point {
	var out []Point
	for i, w := range p.Welds {
		at := r3.Vector{X: w.Position[0], Y: w.Position[1], Z: w.Position[2]}.Add(jitter(random, noise))
		out = append(out, Point{ID: strconv.Itoa(w.Number), Line: i + 2, At: frame.Apply(at)})
	}
	return out
}

func jitter(random *rand.Rand, size float64) r3.Vector {
	return r3.Vector{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()}.Mul(size)
}
