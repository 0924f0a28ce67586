// Package spots sets out spot welds along weld lines.
//
// # Across the strip
//
// A weld sits on the weld line. It is moved off it only where the line comes too near to a side of the
// strip, and then no further than needed and half a millimetre more, where there is room (OnLine: no more). From a free edge
// the weld centre keeps the edge distance; from a bend it keeps half a tip face and the bend clearance, since the face must lie
// flat; from a side where
// the sheets part, or where the strip goes on with other sheets, it keeps half a tip face, since the face
// must press on the whole stack. Where the strip is too narrow for both sides the shortage is shared
// equally between them and said (Narrow); a stretch that is too narrow by more than a width is known to, a fifth of a millimetre, is
// left out and said (LeftOut), unless nothing would be left.
//
// # Along the line
//
// The first and the last weld of an open line sit at the end distance. Between them stand the fewest
// welds with no pitch above the greatest wanted and none below the least, outside every keep-out; of all
// ways to place that number the evenest is taken (the one with the least sum of squared pitches, which is
// also the one with the least greatest and the greatest least pitch). A closed line is closed by the same
// rule and turned so that its welds miss the keep-outs. A count that a load needs adds welds down to the
// least pitch. A stated count is taken as it is: what the pitch or the load ask for beyond it is said. A keep-out too
// long to be bridged at the greatest pitch gets a weld at
// each of its two ends, and the pitch over it is said (PitchAbove).
//
// Pitches are measured along the line that the welds sit on, which is the way that current would leak
// along a flange that turns in space.
//
// Welds may instead be wanted at given places (Places), as on an original part: they are put there and
// nowhere else.
//
// Single welds may be set by hand (Edits): they stay where they are put when the line is laid again, and every rule is
// judged all the same.
//
// # Two rows
//
// Where one row cannot hold the count or the load's welds, or where two rows are asked for, a second row
// stands wherever the strip is wide enough. Both rows keep the edge distance and the clearance to bends, and
// pass the weld line to its right and left. They are as far apart as welds side by side need, or staggered
// and nearer, so that the distance aslant from weld to weld is still the least spacing. Of all ways the one
// with the fewest welds is taken that holds what is asked for; then evenly staggered welds before welds side
// by side, and both before anything uneven. A closed line gets an even number. Where the strip is too narrow
// it is said (NarrowRows). More rows may be asked for. Where two rows do not hold what is asked for, up to six are tried,
// in columns across the line, if there
// is room for all of them from the first weld to the last.
//
// # Clamps
//
// Under a clamp that opens after tacking, welds are set out as if it were not there and marked with its
// id: they are welded once it is off. A clamp that stays shut is a keep-out.
//
// # Tacks
//
// Tacks are welds of the line, never extra ones, and never hidden by a clamp: the first and the last that
// can be reached, the one nearest to each corner, and between these the fewest that leave no more than
// the tack spacing from one to the next, evenly. A corner is a stretch where the line turns by more than
// 45 degrees within a tack spacing; a line that does so everywhere, such as a lamp ring, has no corner.
// An open line has at least two tacks and a closed one three, as far as it has welds.
//
//	out, err := spots.Lay(spots.Request{
//		Line:   spots.Line{ID: "f1", Sheets: []string{"roof", "rail"}, Points: flange.Line},
//		Limits: rule.For(stack, rule.Options{}),
//	})
//	for _, w := range out.Welds { fmt.Println(w.S, w.Position, w.Tack) }
package spots

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/seams/rule"
)

// Line is a weld line to put welds on.
type Line struct {
	ID     string             // the flange's
	Sheets []string           // panel ids; welds on lines that share one are kept apart
	Points []flange.LinePoint // with growing S; a closed line does not repeat its first point
	Closed bool
}

// Until says how long a keep-out keeps welds away.
type Until string

// A keep-out is there for good, or until a clamp opens.
const (
	Always  Until = ""
	Release Until = "release" // a clamp that opens once its joints are tacked
)

// Drawn begins the name of a keep-out that is drawn on a panel; the panel's id follows.
const Drawn = "keep-out of "

// KeepOut is a ball that no weld may be in, in the frame of the points.
type KeepOut struct {
	ID     string // as it is to be named in problems: "clamp C4", "dowel D2", "hole", a stated reason
	At     r3.Vector
	Radius float64 // mm
	Until  Until
	Hole   bool // an opening in the sheet: its rim is a free edge, so the edge distance holds from it

	Outline *Outline // drawn instead of a ball: neither weld nor electrode face may touch it
}

// Request is one line and what is wanted of it. Lengths in mm; zeros mean what is said beside them.
type Request struct {
	Line      Line
	Limits    rule.Limits
	TipFace   float64 // electrode face in use; 0: Limits.TipFace
	Pitch     float64 // wanted greatest pitch; 0: Limits.GreatestPitch. Below the least pitch, that is used.
	Count     int     // stated welds: exactly so many as far as they fit, whatever pitch and load ask for; 0: none stated
	LoadCount int     // welds that the load needs
	TackEvery float64 // 0: Limits.TackEvery
	Start     float64 // from the start of an open line to its first weld; 0: Limits.EndDistance
	End       float64 // from the last weld to the end; 0: Limits.EndDistance
	Clearance float64 // between a weld's rim and a keep-out; 0: DefaultClearance
	KeepOuts  []KeepOut
	Rows      int       // 0: more than one where that cannot hold Count or LoadCount; 1; 2 wherever it is wide enough; more all along
	Apart     RowLimits // zeros: one row only
	RowApart  float64   // mm between neighbouring rows, across the strip; 0: the best of Distances
	RowCount  int       // rows that stand so far apart; 0: two, or more where these do not hold what is wanted
	Edits     []Edit    // single welds set by hand
	OnLine    bool      // the line is stated: welds leave it no further than the rules ask for
	Places    []float64 // mm along the line: welds exactly here, such as on an original part; nil: set out by the rules
	InRows    []Place   // welds here as far as keep-outs and edges let them be, as on a twin's rows; nil: set out by the rules

	floor int // welds that a line laid again keeps at least
}

// Place is a place on a strip.
type Place struct {
	S      float64 // mm along the line, as its points count
	Offset float64 // mm off the line along Across; to the left is positive
	Row    int     // as that of a weld
}

// RowLimits are the distances in mm between two rows, across the strip.
type RowLimits struct {
	Least     float64 // of rows with welds side by side, and from weld to weld aslant between staggered rows
	Staggered float64 // of staggered rows
	Greatest  float64
}

// DefaultClearance is the air between the rim of a weld and a keep-out, mm. Common practice, no source.
const DefaultClearance = 2.0

// CornerTurn is the turn of the line, in degrees within a tack spacing, that makes a corner. Common
// practice, no source.
const CornerTurn = 45.0

// Weld is one spot.
type Weld struct {
	S                   float64 // mm from the start of the line, as its points count
	Offset              float64 // mm off the line along Across; to the left is positive
	Position            r3.Vector
	Along, Across, Axis r3.Vector // right-handed unit vectors, as in flange.LinePoint
	Left, Right         float64   // mm from the weld centre to the strip's two sides
	Gap                 float64   // mm of air there, as the point says
	Row                 int       // 0: alone on the line; 1: in the rightmost of several rows; 2: in the next one to its left, and so on
	Tack                bool
	Edit                string   // id of the edit that put it here; empty: the rules did
	Clamps              []string // ids of the clamps that must open first; empty: the weld is free
}

// Range is least, mean and greatest, mm.
type Range struct{ Least, Mean, Greatest float64 }

// Layout is the welds of one line, by growing S, and what is to be said about them.
type Layout struct {
	Welds    []Weld
	Pitch    Range   // between neighbours along the line; zeros below two welds
	Wanted   float64 // mm, the greatest pitch that was aimed at
	ByPitch  int     // welds that the pitch alone needs
	Problems []Problem
}

// Kind is what a problem is about.
type Kind string

// What can be wrong with a layout.
const (
	Narrow     Kind = "narrow"      // Value: width of the strip; Limit: width needed
	Short      Kind = "short"       // Value: length of the line; Limit: length that two welds need
	Blocked    Kind = "blocked"     // keep-outs leave no place for a weld; Value: free length, 0
	EndOpen    Kind = "end"         // Value: from the end to the nearest weld; Limit: greatest that is let pass
	PitchAbove Kind = "pitch"       // Value: the pitch; Limit: the greatest wanted, or Limits.PitchBound where the wanted one passes it
	CountShort Kind = "count"       // Value: welds that fit; Limit: welds asked for
	PitchWish  Kind = "pitch wish"  // Value: the wanted pitch; Limit: the least pitch, which was used instead
	TooNear    Kind = "too near"    // Value: mm between two welds; Limit: the least pitch
	FewTacks   Kind = "tacks"       // Value: tacks; Limit: tacks that the line must have
	TackGap    Kind = "tack gap"    // Value: mm between neighbouring tacks; Limit: the tack spacing
	LoadWish   Kind = "count, load" // Value: welds that fit; Limit: welds that the load needs
	ByHand     Kind = "by hand"     // an edit that finds no weld or leaves the line; Value: mm to the nearest weld or end; Limit: reach
	LeftOut    Kind = "left out"    // a stretch too narrow for a good weld; Value: width of the strip; Limit: width needed
	NarrowRows Kind = "row width"   // Value: width of the strip; Limit: width that Rows need
)

// Problem is one thing that a layout could not keep, with its place.
type Problem struct {
	Kind     Kind
	Line     string  // id of the line
	From, To float64 // mm along the line; equal for a point
	Value    float64
	Limit    float64
	At       r3.Vector
	KeepOuts []string // what is in the way, where something is
	Welds    int      // Narrow: welds within the stretch
	Rows     int      // NarrowRows: rows that there is no room for
	Other    string   // TooNear: id of the other weld's line
	OtherS   float64  // TooNear: where on it
}
