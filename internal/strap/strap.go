// Package strap is a plan for tests of what judges plans: two sheets along a straight strip with ten welds, which keep every rule, so that
// a test changes one thing and sees one finding. It knows no judge.
//
//	s := strap.New(t)
//	s.Plan.Welds[3].Left = 5
//	all, err := strips.Gather(ctx, s.Plan, s.Shell, s.Rules())
package strap

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/ledger"
	"seamwright/seams/inforce"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// The strap: sheets of 0.9 and 1.2 mm over 300 mm along x, 18 mm wide, free edge on the left, bend on the right, ten
// welds from 12 mm on every 30 mm or so. By the default book d = 5 root 0.9 = 4.743 mm, edge 5.929, end 9.487, bend 2.
// It keeps every rule; tests change one thing.
const (
	Length = 300.0
	Welds  = 10
	Start  = 12.0
)

var Pitch = (Length - 2*Start) / (Welds - 1)

// Sample is the plan of a strap and the shell that it is of, for one test.
type Sample struct {
	*testing.T
	Plan  *layout.Plan
	Shell *shell.Shell
}

// New is the whole strap.
func New(t *testing.T) *Sample {
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
	s := &Sample{t, &layout.Plan{Format: layout.Format, Shell: layout.Shell{Name: "sample"}}, sh}
	s.Plan.Stations = []layout.Station{{ID: "jig"}}
	s.AddJoint("strap", "roof", "rail")
	s.AddStraight("strap/1", "strap", 0, 0, Length)
	for i := range Welds {
		s.AddWeld("strap/1", Start+float64(i)*Pitch)
	}
	s.Tack(0, 3, 6, 9)
	return s
}

// Whole is the whole strap for an example, which has no test to fail.
func Whole() (*layout.Plan, *shell.Shell) {
	s := New(nil)
	return s.Plan, s.Shell
}

// AddJoint adds a joint at the one station.
func (s *Sample) AddJoint(id string, panels ...string) {
	s.Plan.Joints = append(s.Plan.Joints, layout.Joint{ID: id, Panels: panels, Kind: "spot", Station: "jig"})
}

// Joint is a joint of the plan; the test ends where there is none.
func (s *Sample) Joint(id string) *layout.Joint {
	for i := range s.Plan.Joints {
		if s.Plan.Joints[i].ID == id {
			return &s.Plan.Joints[i]
		}
	}
	s.Fatalf("no joint %s", id)
	return nil
}

// AddStraight adds a strip along x from x at y.
func (s *Sample) AddStraight(id, joint string, x, y, length float64) *layout.Flange {
	n := int(length/2) + 1
	points, normals := make([]r3.Vector, n), make([]r3.Vector, n)
	for i := range n {
		points[i], normals[i] = r3.Vector{X: x + length*float64(i)/float64(n-1), Y: y}, r3.Vector{Z: 1}
	}
	return s.AddFlange(id, joint, points, normals, false)
}

// AddRing adds a closed strip round the z axis.
func (s *Sample) AddRing(id, joint string, radius float64) *layout.Flange {
	var points, normals []r3.Vector
	n := int(math.Pi * radius)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points, normals = append(points, r3.Vector{X: radius * cos, Y: radius * sin}), append(normals, r3.Vector{Z: 1})
	}
	return s.AddFlange(id, joint, points, normals, true)
}

// AddFlange adds a strip along a line, 9 mm wide on either side of it.
func (s *Sample) AddFlange(id, joint string, points, normals []r3.Vector, closed bool) *layout.Flange {
	f := layout.Flange{ID: id, Joint: joint, Panels: s.Joint(joint).Panels, Closed: closed, Width: layout.Range{Least: 18, Mean: 18,
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
	s.Plan.Flanges = append(s.Plan.Flanges, f)
	s.Joint(joint).Flanges = append(s.Joint(joint).Flanges, id)
	return &s.Plan.Flanges[len(s.Plan.Flanges)-1]
}

// SetRight says what ends a strip on its right.
func SetRight(f *layout.Flange, end layout.Edge) {
	for i := range f.Line {
		f.Line[i].Ends[1] = end
	}
}

// Flange is a flange of the plan; the test ends where there is none.
func (s *Sample) Flange(id string) *layout.Flange {
	for i := range s.Plan.Flanges {
		if s.Plan.Flanges[i].ID == id {
			return &s.Plan.Flanges[i]
		}
	}
	s.Fatalf("no flange %s", id)
	return nil
}

// AddWeld puts a weld on the weld line at a length along it.
func (s *Sample) AddWeld(flange string, along float64) {
	f := s.Flange(flange)
	p := f.Curve().At(along)
	s.Plan.Welds = append(s.Plan.Welds, layout.Weld{
		Number: len(s.Plan.Welds) + 1, Station: "jig", Joint: f.Joint, Flange: flange, Position: layout.Vec{p.X, p.Y, p.Z},
		Axis:  layout.Vec{0, 0, 1},
		Along: along, Sheets: f.Panels, WeldDiameter: 4.743, Gun: "gun", Tip: "fit", Setting: "S1", Step: "fill", Left: 9, Right: 9, Air: 0.1,
	})
	s.Joint(f.Joint).Welds++
}

// Tack makes tacks of welds, by index.
func (s *Sample) Tack(index ...int) {
	for _, i := range index {
		s.Plan.Welds[i].Step = "tack"
	}
}

// Move puts weld i elsewhere along its strip.
func (s *Sample) Move(i int, along float64) {
	w := &s.Plan.Welds[i]
	f := s.Flange(w.Flange)
	p := f.Curve().At(along)
	w.Along, w.Position = along, layout.Vec{p.X, p.Y, p.Z}
}

// Rules are those in force for the shell as it is now.
func (s *Sample) Rules() *inforce.Rules {
	s.Helper()
	in, err := inforce.For(s.Shell)
	if err != nil {
		s.Fatal(err)
	}
	return in
}

// Only wants findings of exactly the given rules, in any number.
func (s *Sample) Only(r *ledger.Report, rules ...string) {
	s.Helper()
	for _, f := range r.Findings {
		known := false
		for _, id := range rules {
			known = known || f.Rule == id
		}
		if !known {
			s.Errorf("unexpected: %s", Words(f))
		}
	}
	for _, id := range rules {
		s.One(r, id)
	}
}

// One returns the first finding of a rule.
func (s *Sample) One(r *ledger.Report, id string) layout.Finding {
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

// Words is a finding in full.
func Words(f layout.Finding) string {
	return fmt.Sprintf("%s %s %.4f limit %.4f %s: %s; %s; %s; %s", f.Severity, f.Rule, f.Value, f.Limit, f.Unit, f.Where, f.Remedy, f.Source,
		f.Others)
}

// Judged is how a rule fared.
func Judged(t *testing.T, r *ledger.Report, id string) ledger.Judged {
	t.Helper()
	for _, j := range r.Judged {
		if j.Rule == id {
			return j
		}
	}
	t.Errorf("%s was not judged", id)
	return ledger.Judged{}
}

// Has wants a text to have a part.
func Has(t *testing.T, text, part string) {
	t.Helper()
	if !strings.Contains(text, part) {
		t.Errorf("%q lacks %q", text, part)
	}
}

// Close wants a value to be another, but for so much.
func Close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// The nugget of the strap's setting in mm, below 5 root 0.9 = 4.743 mm, and what one of its welds carries, N. By EN 1993-1-3 Table 8.5,
// 0.9 on 1.2 mm of 270 MPa: F_tb = 2.7 x root 0.9 x 4.331 x 270 / 1.25 = 2396.3 N. The end of the sheet at 9 mm across gives
// 1.4 x 0.9 x 9 x 270 / 1.25 = 2449.4 N and does not govern. Tension by AWS D8.1M: 1250 x 0.9^2.2 / 1.25 = 793.1 N, below 0.74 x 2396.3 N.
const (
	Nugget  = 4.3311925
	Tearing = 2396.32798708826
	Pull    = 793.1101735123913
)

// Rectangle leaves four welds at the corners of a 60 x 40 rectangle, made of two strips: a torsion of 100 N·m about z puts
// T r / sum r² = 100000 x 36.056 / 5200 = 693.4 N of shear on each. Closed form.
func (s *Sample) Rectangle() *Sample {
	s.Plan.Welds, s.Plan.Flanges = nil, nil
	s.Joint("strap").Flanges = nil
	for i, y := range []float64{-20, 20} {
		id := fmt.Sprintf("strap/%d", i+1)
		s.AddStraight(id, "strap", -50, y, 100)
		s.AddWeld(id, 20)
		s.AddWeld(id, 80)
	}
	s.Tack(0, 1, 2, 3)
	s.Shell.Rules.GreatestPitch = 60
	return s
}

// TwoRows puts the strap's welds into two rows a distance apart across, each weld of the left one shifted along.
func (s *Sample) TwoRows(across, shift float64) *Sample {
	f := s.Flange("strap/1")
	for i := range f.Line {
		f.Line[i].Left, f.Line[i].Right = 22, 22
	}
	f.Width = layout.Range{Least: 44, Mean: 44, Greatest: 44}
	for i := range s.Plan.Welds {
		w := &s.Plan.Welds[i]
		w.Row, w.Position[1], w.Left, w.Right = 1, -across/2, 22+across/2, 22-across/2
	}
	for i := range Welds {
		along := Start + float64(i)*Pitch + shift
		if along > Length-Start+1e-9 {
			continue
		}
		s.AddWeld("strap/1", along)
		w := &s.Plan.Welds[len(s.Plan.Welds)-1]
		w.Row, w.Position[1], w.Left, w.Right = 2, across/2, 22-across/2, 22+across/2
	}
	return s
}

// Rolled makes the strap a ring that is rolled, without a spot.
func (s *Sample) Rolled(radius float64) *Sample {
	s.Plan.Welds, s.Plan.Flanges = nil, nil
	f := s.AddRing("strap/1", "strap", radius)
	s.Joint("strap").Kind = "roller"
	s.Plan.Seams = []layout.Seam{{ID: "strap/1/roll", Station: "jig", Joint: "strap", Flange: "strap/1", Roller: "roller",
		Path: f.Places(), Normals: f.Normals(), Closed: true, Length: f.Length}}
	return s
}

// Neighbour adds a second strip of another joint, dy aside in a plane dz higher, that shares one sheet.
func (s *Sample) Neighbour(dy, dz float64, panels ...string) *Sample {
	s.Shell.Joints = append(s.Shell.Joints, shell.Joint{ID: "other", Panels: panels})
	s.AddJoint("other", panels...)
	s.AddStraight("other/1", "other", 0, dy, Length)
	for i := range s.Flange("other/1").Line {
		s.Flange("other/1").Line[i].At[2] = dz
	}
	for i := range Welds {
		s.AddWeld("other/1", Start+float64(i)*Pitch)
		if !slices.Contains(panels, "roof") { // two thick sheets
			s.Plan.Welds[len(s.Plan.Welds)-1].Tip = "wide"
		}
	}
	s.Tack(10, 13, 16, 19)
	return s
}

// Setting is that of the strap's stack.
func (s *Sample) Setting() setting.Setting {
	s.Helper()
	in := s.Rules()
	stack, err := in.Stack([]string{"roof", "rail"})
	if err != nil {
		s.Fatal(err)
	}
	set, err := setting.Spot(stack, in.Spot(nil))
	if err != nil {
		s.Fatal(err)
	}
	return set
}

// None fails where a rule is found.
func (s *Sample) None(r *ledger.Report, id string) {
	s.Helper()
	for _, f := range r.Findings {
		if f.Rule == id {
			s.Errorf("%s", Words(f))
		}
	}
}
