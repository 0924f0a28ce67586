package check

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/inforce"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// A strap: sheets of 0.9 and 1.2 mm over 300 mm along x, 18 mm wide, free edge on the left, bend on the right, ten
// welds from 12 mm on every 30 mm or so. By the default book d = 5 root 0.9 = 4.743 mm, edge 5.929, end 9.487, bend 2.
// It keeps every rule; tests change one thing.
const (
	strapLength = 300.0
	strapWelds  = 10
	strapStart  = 12.0
)

var strapPitch = (strapLength - 2*strapStart) / (strapWelds - 1)

type sample struct {
	*testing.T
	plan  *layout.Plan
	shell *shell.Shell
}

func strap(t *testing.T) *sample {
	sh := shellfile.Default()
	sh.Steels = []shell.Steel{{ID: "thin", Thickness: 0.9, Tensile: 270, Yield: 140, Coating: "none"},
		{ID: "thick", Thickness: 1.2, Tensile: 270, Yield: 140, Coating: "none"}}
	sh.Panels = []shell.Panel{{ID: "roof", Steel: "thin"}, {ID: "rail", Steel: "thick"}, {ID: "stiff", Steel: "thick"}}
	sh.Stations = []shell.Station{{ID: "jig"}}
	sh.Joints = []shell.Joint{{ID: "strap", Panels: []string{"roof", "rail"}}}
	sh.Tips = []shell.Tip{{ID: "fit", Shape: "flat", Face: 5, Dress: 200}, {ID: "slim", Shape: "narrow-flat", Face: 4, Dress: 120},
		{ID: "wide", Shape: "flat", Face: 6.3, Dress: 200}}
	sh.Guns = []shell.Gun{{ID: "gun", Letter: "A", Force: 3000, Power: 40, Current: 14_000, Voltage: 6, Tips: []string{"fit", "slim"}}}
	sh.Rollers = []shell.Roller{{ID: "roller", Letter: "R", Wheel: 5, Diameter: 120, LeastRadius: 80}}
	s := &sample{t, &layout.Plan{Format: layout.Format, Shell: layout.Shell{Name: "sample"}}, sh}
	s.plan.Stations = []layout.Station{{ID: "jig"}}
	s.addJoint("strap", "roof", "rail")
	s.addStraight("strap/1", "strap", 0, 0, strapLength)
	for i := range strapWelds {
		s.addWeld("strap/1", strapStart+float64(i)*strapPitch)
	}
	s.tack(0, 3, 6, 9)
	return s
}

func (s *sample) addJoint(id string, panels ...string) {
	s.plan.Joints = append(s.plan.Joints, layout.Joint{ID: id, Panels: panels, Kind: "spot", Station: "jig"})
}

func (s *sample) joint(id string) *layout.Joint {
	for i := range s.plan.Joints {
		if s.plan.Joints[i].ID == id {
			return &s.plan.Joints[i]
		}
	}
	s.Fatalf("no joint %s", id)
	return nil
}

// addStraight adds a strip along x from x at y.
func (s *sample) addStraight(id, joint string, x, y, length float64) *layout.Flange {
	n := int(length/2) + 1
	points, normals := make([]r3.Vector, n), make([]r3.Vector, n)
	for i := range n {
		points[i], normals[i] = r3.Vector{X: x + length*float64(i)/float64(n-1), Y: y}, r3.Vector{Z: 1}
	}
	return s.addFlange(id, joint, points, normals, false)
}

// addRing adds a closed strip round the z axis.
func (s *sample) addRing(id, joint string, radius float64) *layout.Flange {
	var points, normals []r3.Vector
	n := int(math.Pi * radius)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points, normals = append(points, r3.Vector{X: radius * cos, Y: radius * sin}), append(normals, r3.Vector{Z: 1})
	}
	return s.addFlange(id, joint, points, normals, true)
}

func (s *sample) addFlange(id, joint string, points, normals []r3.Vector, closed bool) *layout.Flange {
	f := layout.Flange{ID: id, Joint: joint, Panels: s.joint(joint).Panels, Closed: closed, Width: layout.Range{Least: 18, Mean: 18,
		Greatest: 18}}
	for i, p := range points {
		if i > 0 {
			f.Length += p.Distance(points[i-1])
		}
		f.Line = append(f.Line, layout.LinePoint{Along: f.Length, At: layout.VecOf(p), Normal: layout.VecOf(normals[i]), Left: 9, Right: 9,
			Air: 0.1, Ends: [2]layout.Edge{layout.FreeEdge, layout.Bend}})
	}
	if closed {
		f.Length += points[0].Distance(points[len(points)-1])
	}
	s.plan.Flanges = append(s.plan.Flanges, f)
	s.joint(joint).Flanges = append(s.joint(joint).Flanges, id)
	return &s.plan.Flanges[len(s.plan.Flanges)-1]
}

// setRight says what ends a strip on its right.
func setRight(f *layout.Flange, end layout.Edge) {
	for i := range f.Line {
		f.Line[i].Ends[1] = end
	}
}

func (s *sample) flange(id string) *layout.Flange {
	for i := range s.plan.Flanges {
		if s.plan.Flanges[i].ID == id {
			return &s.plan.Flanges[i]
		}
	}
	s.Fatalf("no flange %s", id)
	return nil
}

// addWeld puts a weld on the weld line at a length along it.
func (s *sample) addWeld(flange string, along float64) {
	f := s.flange(flange)
	st := strip{flange: f, line: f.Curve()}
	p := st.at(along)
	s.plan.Welds = append(s.plan.Welds, layout.Weld{
		Number: len(s.plan.Welds) + 1, Station: "jig", Joint: f.Joint, Flange: flange, Position: layout.Vec{p.X, p.Y, p.Z},
		Axis:  layout.Vec{0, 0, 1},
		Along: along, Sheets: f.Panels, WeldDiameter: 4.743, Gun: "gun", Tip: "fit", Setting: "S1", Step: "fill", Left: 9, Right: 9, Air: 0.1,
	})
	s.joint(f.Joint).Welds++
}

// tack makes tacks of welds, by index.
func (s *sample) tack(index ...int) {
	for _, i := range index {
		s.plan.Welds[i].Step = "tack"
	}
}

// move puts weld i elsewhere along its strip.
func (s *sample) move(i int, along float64) {
	w := &s.plan.Welds[i]
	f := s.flange(w.Flange)
	st := strip{flange: f, line: f.Curve()}
	p := st.at(along)
	w.Along, w.Position = along, layout.Vec{p.X, p.Y, p.Z}
}

func (s *sample) rules() *inforce.Rules {
	s.Helper()
	in, err := inforce.For(s.shell)
	if err != nil {
		s.Fatal(err)
	}
	return in
}

func (s *sample) evaluate() *Report {
	s.Helper()
	r, err := Evaluate(context.Background(), s.plan, s.shell, s.rules())
	if err != nil {
		s.Fatal(err)
	}
	return r
}

// only wants findings of exactly the given rules, in any number.
func (s *sample) only(r *Report, rules ...string) {
	s.Helper()
	for _, f := range r.Findings {
		known := false
		for _, id := range rules {
			known = known || f.Rule == id
		}
		if !known {
			s.Errorf("unexpected: %s", words(f))
		}
	}
	for _, id := range rules {
		s.one(r, id)
	}
}

// one returns the first finding of a rule.
func (s *sample) one(r *Report, id string) layout.Finding {
	s.Helper()
	for _, f := range r.Findings {
		if f.Rule == id {
			if f.Source == "" || f.Where == "" || f.Remedy == "" {
				s.Errorf("%s lacks source, place or remedy: %+v", id, f)
			}
			return f
		}
	}
	s.Errorf("no finding of %s among %d", id, len(r.Findings))
	return layout.Finding{}
}

func words(f layout.Finding) string {
	return fmt.Sprintf("%s %s %.4f limit %.4f %s: %s; %s; %s; %s", f.Severity, f.Rule, f.Value, f.Limit, f.Unit, f.Where, f.Remedy, f.Source,
		f.Others)
}

func judged(t *testing.T, r *Report, id string) Judged {
	t.Helper()
	for _, j := range r.Judged {
		if j.Rule == id {
			return j
		}
	}
	t.Errorf("%s was not judged", id)
	return Judged{}
}

func has(t *testing.T, text, part string) {
	t.Helper()
	if !strings.Contains(text, part) {
		t.Errorf("%q lacks %q", text, part)
	}
}

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}
