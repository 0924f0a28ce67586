package flange

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/scan"
	"seamwright/internal/cache"
)

// Options steer the finder. Every zero value means the default beside it.
type Options struct {
	GapLimit   float64 // mm of air between sheets that still counts as good fit-up; 0.5
	SearchGap  float64 // mm of air up to which sheets are still taken as one flange and the excess reported; GapLimit + 0.5
	AngleLimit float64 // degrees between the two sheets; 8
	// mm of air and degrees up to which clamps draw sheets together: so far a flange that lies within the search gap
	// somewhere goes on; 3 and 10. An angle below AngleLimit, or a gap below SearchGap, counts as that
	ClampGap, ClampAngle float64
	Clamps               []Clamps // for some pairs of sheets
	LeastWidth           float64  // mm; narrower strips are not flanges; 4
	LeastLength          float64  // mm; shorter strips of two sheets are not flanges, of more those shorter than LeastWidth; 12
	UnknownReach         float64  // mm between meshes when a thickness is not known; 3
	Step                 float64  // mm between points of a weld line; 2
	// of noisy scans: pieces below so many mm² are left out, and openings that fit into a circle of so many mm closed; 25 and 3,
	// none below zero
	ScanSpeck, ScanHole float64
	Cache               *cache.Cache // of the strips on each sheet; nil: none
	Workers             int          // 0: one for each processor; the result does not depend on it
	Progress            func(done, total int)
}

// Range is least, mean (along the length or over the area) and greatest. Where one of the sheets is a noisy scan the least and the
// greatest are those that hold over at least 3 mm.
type Range struct {
	Least    float64 `json:"least" about:"least"`
	Mean     float64 `json:"mean" about:"mean"`
	Greatest float64 `json:"greatest" about:"greatest"`
}

// LinePoint is one place on a weld line. Along, Across and Axis are a right-handed frame of unit vectors:
// Along points to growing S, Axis is the sheets' common normal, Across = Axis x Along points to the left.
type LinePoint struct {
	S             float64 // mm from the start of the line
	Point         r3.Vector
	Along, Across r3.Vector
	Axis          r3.Vector
	Left, Right   float64 // mm along the faying surface to the strip's two sides, both positive
	LeftEdge      Edge
	RightEdge     Edge
	LeftSheet     int // index into Sheets whose free edge is on the left; -1 for none
	RightSheet    int
	Gap           float64 // mm of air, all interfaces of the stack added; below zero where meshes cross
	Offset        float64 // mm along Axis from the mesh on which the strip was found, and its outline, to Point
}

// OpenFit is a stretch of a strip where the air gap is above the limit.
type OpenFit struct {
	From, To float64   // mm along the weld line
	Gap      float64   // mm, the greatest in the line
	Place    r3.Vector // where that is
	Beside   float64   // mm, the greatest at a side of the strip, where that is more than in the line; 0 where it is not asked
	At       r3.Vector // where that is
}

// DrawnIn is how far the sheets must be drawn together at the stretch, mm.
func (o OpenFit) DrawnIn() float64 { return max(o.Gap, o.Beside) }

// Cut is an end of a strip where the sheets go on facing each other, farther apart than what is taken as one flange.
type Cut struct {
	S     float64 // mm along the weld line: 0 or its length
	Gap   float64 // mm: the greatest that is taken; between the meshes where a thickness is not known
	Place r3.Vector
}

// Flange is one strip where two or more sheets lie on each other.
type Flange struct {
	ID     string // f1, f2 … in a fixed order: by sheets, then by place
	Sheets []int  // indices of the sheets given to Find, in stack order along Axis
	Closed bool
	Patch  bool // a broad contact area rather than a strip: listed, not to be welded unless asked for
	Hem    bool // one of the sheets is folded round the other's edge and lies on both sides of it: listed twice in Sheets
	Length float64
	Area   float64 // mm² of the faying surface, holes taken off
	Width  Range
	Gap    Range
	Turn   float64    // degrees by which it turns from one side to the other, in the middle of those along it
	Sides  Sides      // how it is known on which side of skins the metal lies
	GapMay [2]float64 // mm: the least and the greatest that Gap.Mean may be, were the metal on the other side of skins
	// further sheets whose free edges run along the left side and the right one, at the same place as that of the
	// points' sheet
	Beside  [2][]int
	Line    []LinePoint   // a closed line does not repeat its first point
	Outline [][]r3.Vector // boundary loops, longest first; each closed without repeating its first point
	Holes   []Hole
	Notches []Notch // in the order of the weld line, those on the left first
	Open    []OpenFit
	Cuts    []Cut
}

// Small is a place where sheets lie on each other and that is no flange.
type Small struct {
	Sheets        []int
	Length, Width float64 // mm: those of a rectangle of the same area and circumference
	Area          float64 // mm²
	Place         r3.Vector
	Axis          r3.Vector // mean unit normal of its surface, either way
	Why           Why
}

// Why says why a contact is no flange.
type Why string

// What may be wrong with a contact.
const (
	TooSmall   Why = "too small"    // by the least length and width
	NoFreeEdge Why = "no free edge" // the sheets go on all round
	RoundBends Why = "no free edge along it: the sheets go on round bends together"
	NoLine     Why = "no weld line could be laid through it" // it is large enough
	// it is large enough, but the air is above the limit wherever it is wide and long enough
	StandsOpen Why = "stands open"
)

// Scan is a sheet that is a noisy scan, and what was done to its mesh before anything was asked of it.
type Scan struct {
	Sheet int
	scan.Cleaning
	scan.Fairing
}

// Found is what Find returns.
type Found struct {
	Flanges []Flange
	Small   []Small
	Scans   []Scan
	Near    []Near // facing sheets that are no flange: said instead of being welded
}
