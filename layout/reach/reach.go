// Package reach finds out which spot guns and tips reach which welds: for every gun, tip and angle about the
// weld's axis, whether the gun can be there without touching a panel, and with how much air.
//
// # The gun as a shape
//
// A C-shaped gun about a weld: the two electrodes on the weld's axis, above and below the sheets; two arms
// that leave from them in the direction of the throat; a back member that joins the arms. Arms and back are
// round bars of the arm's diameter. The throat gap is the clear height between the arms, the throat depth
// the clear length from the weld's axis to the back member (ISO 669 terms).
//
// An electrode is a stack of upright sections. From the sheet up: the nose, which widens at 45 degrees from
// the face to the shank (common practice, no source); the shank to the tip's length; from there to the arm,
// a bar of the arm's diameter. The shank is round, or, with two sizes stated, a rectangle that turns with
// the gun: its small size points along the throat, its long one across it, so that it lies along the flange
// when the gun stands square to the flange.
//
// A gun like this looks the same turned over about its throat, so turning it over adds no poses.
//
// # What counts as touching
//
// Every triangle of every panel present counts, the sheets of the stack included, grown by the metal that
// stands beyond the mesh (half the thickness for a mid surface). One part is left out: at the weld the faces
// press on the sheets by design, so an electrode's sections begin Rise above the stack's outer surface. What
// stands less than that above the sheet is taken as the sheet itself; a wall beside the tip is met by the
// sections above. The outer surfaces are found by rays along the axis against the stack's own meshes.
//
// Air is that of the pose of welding, tips closed.
//
// # The way in and out
//
// Where Options.WayOff asks for it, the gun must also come off, and so come on, the same way back: opened by its stroke, drawn straight
// back along the throat (layout/retreat). A gun without a stated stroke is not tested so.
//
// # Clamps
//
// A closed clamp is one more panel (Clamp). A panel that is not there yet when a weld is made, and a clamp that is open
// by then, is left out by the weld's Absent.
//
// # Tilt
//
// A weld that no tool reaches square to the sheets is tried with the gun tilted, if the options let it: half
// the tilt allowed, then all of it, towards and away along the line and across it. The sections then begin
// higher by what the shank's rim sinks.
//
// # Angles
//
// Turn is measured in degrees about the weld's axis, right-handed, from the weld line's direction to the
// direction of the throat (from the weld to the back member): 90 and 270 are square to the flange.
//
//	scene := &axial.Scene{Panels: []axial.Panel{{Name: "roof", Shape: near.NewShape(roof), Grow: 0.45}, …}}
//	results, err := reach.Find(ctx, scene, welds, tools, reach.Options{})
//	for i, r := range results {
//		for _, p := range r.Poses {
//			fmt.Println(i, tools[p.Tool].Gun.ID, p.Turn, p.Clearance)
//		}
//	}
//
// Which of the tools a station works with is chosen in layout/tooling.
package reach

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/internal/cache"
	"seamwright/seams/shell"
)

// Weld is one spot to be reached.
type Weld struct {
	Line     string  // welds of one line rather keep the same gun, tip and angle
	S        float64 // mm along the line
	Position r3.Vector
	Along    r3.Vector // unit vectors; Along is square to Axis
	Axis     r3.Vector
	Stack    float64 // mm, all sheets and the air between them
	Sheets   []int   // panels of the stack, by their place in the scene
	Absent   []int   // panels of the scene that are not there when the weld is made
	Tools    []int   // tools that may be used; nil: all
}

// Tool is a gun with one of its tips.
type Tool struct {
	Gun shell.Gun
	Tip shell.Tip
}

// Options steer Find. Every zero value means the default beside it.
type Options struct {
	Angles   int          // angles about the axis; 72
	Rise     float64      // mm above the stack at which the electrodes' sections begin; 1
	Tilt     float64      // degrees that the electrodes may stand off square; 0: none
	Enough   float64      // mm of air; more counts as this much; 10
	WayOff   bool         // look also whether the gun, opened by its stroke, can be drawn back out
	WhyNot   bool         // say also why a tool does not reach a weld that another one reaches, or stands at
	Quiet    bool         // say only how tools reach, never why they do not
	Cache    *cache.Cache // of what was found before; nil: none
	Workers  int          // 0: one for each processor; the results do not depend on it
	Progress func(done, total int)
}

// Pose is how one tool reaches one weld.
type Pose struct {
	Tool      int
	Turn      float64   // degrees, the best angle on its own
	Clearance float64   // mm of air there, up to Enough
	Tilt      float64   // degrees off square; 0 for most
	Towards   float64   // degrees about the axis, as Turn: where the end of the electrode above the weld leans to
	Air       []float32 // mm of air at every angle, evenly from 0 degrees; below zero where the gun touches, or does not come off
	Open      Open      // what of other angles than Turn is not known yet: there Air is the most that it may be
}

// Open is what is not known of a pose's angles.
type Open uint8

// What may be open.
const (
	Known    Open = iota // nothing
	OffOpen              // whether the gun comes off
	ArmsOpen             // nor what air arms and back have
)

// Kind is why a tool does not reach.
type Kind string

// The reasons, from the tip outwards.
const (
	Channel  Kind = "channel"    // Value: clear width beside the weld; Limit: the shank
	Wall     Kind = "wall"       // Value: from the weld's axis to the nearest metal, 0 where it leans over the weld; Limit: half the shank
	TipShort Kind = "tip length" // Value: the tip's length; Limit: how high the metal stands that the bar above it would touch
	Throat   Kind = "throat"     // Value: throat depth; Limit: the depth that would reach
	Gap      Kind = "throat gap" // Value: throat gap; Limit: the gap that would reach
	Blocked  Kind = "blocked"    // no throat depth or gap looked at would reach
	// Value: the stroke; Limit: the stroke with which it comes off; 0: none looked at does, or another tool reaches
	Retreat Kind = "way off"
)

// Reason is why one tool does not reach one weld.
type Reason struct {
	Tool         int
	Kind         Kind
	Value, Limit float64 // mm
	Turn         float64 // degrees, the angle that comes nearest
	Panel        string  // the panel in the way there
}

// Missing is how much is missing, mm; what is blocked for good counts as a kilometre.
func (r Reason) Missing() float64 {
	if r.Kind == Blocked || r.Kind == Retreat && r.Limit == 0 {
		return 1e6
	}
	return r.Limit - r.Value
}

// String says the reason in words.
func (r Reason) String() string {
	by := ""
	if r.Panel != "" {
		by = " (" + r.Panel + ")"
	}
	switch r.Kind {
	case Channel:
		return fmt.Sprintf("channel %.1f mm wide, shank %.1f mm%s", r.Value, r.Limit, by)
	case Wall:
		if r.Value == 0 {
			return "metal stands over the weld" + by
		}
		return fmt.Sprintf("metal %.1f mm beside the weld, half the shank is %.1f mm%s", r.Value, r.Limit, by)
	case TipShort:
		return fmt.Sprintf("metal stands %.0f mm high beside the tip, which is %.0f mm long%s", r.Limit, r.Value, by)
	case Throat:
		return fmt.Sprintf("throat too shallow by %s mm%s", missing(r), by)
	case Gap:
		return fmt.Sprintf("throat gap too small by %s mm%s", missing(r), by)
	case Retreat:
		if r.Limit == 0 {
			return "the gun cannot be drawn straight back" + by
		}
		return fmt.Sprintf("tips open by %.0f mm, %.0f mm are needed to draw the gun back%s", r.Value, r.Limit, by)
	}
	return "no way in for the arms" + by
}

// missing is in whole millimetres, and in tenths where it is little.
func missing(r Reason) string {
	if m := r.Missing(); m < 9.95 {
		return fmt.Sprintf("%.1f", m)
	}
	return fmt.Sprintf("%.0f", r.Missing())
}

// Result is what was found for one weld, in the order of the tools. Where no tool reaches or stands at the weld, or where
// Options.WhyNot asks for it, every tool that was looked at has a pose or a reason. A tool that reaches only tilted has
// both: the reason is why it does not reach upright.
type Result struct {
	Poses   []Pose
	Reasons []Reason
	Stuck   []Pose // of tools that stand at the weld but were seen no way off; only where there are no Poses
}

// Reached reports whether any tool reaches the weld.
func (r Result) Reached() bool { return len(r.Poses) > 0 }

// Pose is that of a tool; the zero value where it does not reach.
func (r Result) Pose(tool int) Pose {
	for _, p := range r.Poses {
		if p.Tool == tool {
			return p
		}
	}
	return Pose{}
}
