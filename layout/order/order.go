// Package order puts the work of one station in order.
//
// # Rules
//
//  1. A hold point without a joint comes before everything; one with joints stands right before the first
//     weld or roller seam of any of them.
//  2. All tacks of the station come before its first fill weld, released weld or roller seam.
//  3. A weld that a clamp hides comes after the clamp is open, so after the station's tacks; it says which
//     clamp it waits for.
//     Where clamps open one by one, all of them come before the first fill weld, and stated pairs say in which order.
//  4. A roller seam comes after the station's spots: the roller is a machine of its own, taken up once.
//  5. Where parts are loaded between welds, the stops before them are a phase of their own, to which the
//     rules above apply.
//  6. Stated pairs ("this before that, because") hold on top.
//
// # Runs
//
// Stops that share step, joint, flange, gun, tip and setting, with no stop of the same step but another
// gun, tip or setting between them on the line, are a run. The welds of a run are consecutive along their
// line, so that a map can be read. Released welds go from one end to the other. Tacks too, unless they have a pattern: opposite
// quarters by turns on a closed line, from the middle outwards, or from the datum on. Fill welds by their
// pattern, to keep distortion down: through (from one end to the other), from the middle outwards as two runs (the
// default, for runs longer than MiddleOut), or by skips as two runs (every second one, then the others on
// the way back). Which end comes first is free.
//
// # Sequence
//
// The order of the groups costs the least time that can be found (package tour): walking between them at the walking
// speed, changes of gun, of posture, and of tip and setting; after a shell each gun is made ready for its first work on the next.
//
// Groups are looked at by phase, step, flange and place along it, and savings below tour.Alike do not count. So a shell and the same
// one mirrored, moved, turned round or with noise in its last digits are welded in one order.
//
//	plan, err := order.Sequence(stops, order.Options{WalkSpeed: 500, GunChange: 20, TipChange: 60})
//	for _, i := range plan.Order { fmt.Println(stops[i].ID, plan.Waits[i]) }
package order

import "github.com/golang/geo/r3"

// Step is the kind of work at a stop.
type Step string

// The steps. Tack, Fill and Released are the words of a weld's step in the plan.
const (
	Hold     Step = "hold" // a hold point
	Tack     Step = "tack"
	Fill     Step = "fill"
	Released Step = "released" // welded once a clamp is off
	Roll     Step = "roll"     // a roller seam
)

// Stop is one weld, roller seam or hold point.
type Stop struct {
	ID       string // named in explanations, such as "weld f3/12" or "hold point H1"
	Step     Step
	Position r3.Vector // mm; where a roller seam starts
	Axis     r3.Vector // of a weld: the direction of the electrode force; zero: no posture is told
	End      r3.Vector // where a roller seam stops; not read for other steps
	Closed   bool      // a roller seam that ends where it starts
	Joint    string    // of a hold point: the joint that it comes before; empty, and no Joints: before everything
	Joints   []string  // of a hold point: several joints that it comes before
	Flange   string
	Along    float64 // mm along the flange's line
	Gun      string  // of a roller seam: the roller
	Tip      string
	Setting  string
	Clamps   []string // clamps that must be open first, as they are to be read: "clamp C4"
	Phase    int      // parts are loaded between phases: all stops of one come before those of the next; not read for hold points
	Pattern  Pattern  // of fill welds and tacks: how their run is gone through
	Around   float64  // mm of the flange's line, where it is closed; 0: it is open
	Loaded   string   // of a stop in a later phase: what is loaded for it, as it is to be read: "the roof"
}

// Pair says that stop First comes before stop Then.
type Pair struct {
	First, Then int    // indices of stops
	Why         string // in words, such as "waits until the gutter is tacked"
}

// Pattern is how a group of fill welds is gone through.
type Pattern string

// The patterns.
const (
	MiddleOut Pattern = "" // from the middle to one end, then from the middle to the other
	Through   Pattern = "through"
	Skips     Pattern = "skips"
)

// The patterns of tacks; any other, none included, is Through.
const (
	Quarters    Pattern = "quarters"     // of a closed line: each far from those made before, opposite ones by turns
	MiddleFirst Pattern = "middle-first" // from the middle to one end, then from the middle to the other
	DatumFirst  Pattern = "datum-first"  // from the line's start on; that is where the datum is
	DatumLast   Pattern = "datum-last"   // from the line's end on, where the datum is
)

// Options are costs and choices. Zeros mean what is said beside them.
type Options struct {
	WalkSpeed  float64 // mm/s; 0: 500
	GunChange  float64 // s, put one gun or roller down and take another
	TipChange  float64 // s, on the same gun
	SetChange  float64 // s, another setting on the same gun
	Posture    float64 // s, at a run whose first weld asks for another posture than the weld before
	MiddleFrom float64 // mm; shorter fill runs go through from end to end; 0: 600
	ExactUpTo  int     // groups in all up to which a proof is tried; 0: 14; below zero: never; no more than 31
	Start      *r3.Vector
	Pairs      []Pair
	OneByOne   bool // clamps are opened one after the other, each with the welds under it, before anything is filled
}

// Run is stops that follow each other along one line with one gun, tip and setting.
type Run struct {
	Step    Step
	Joint   string
	Flange  string
	Gun     string
	Tip     string
	Setting string
	From    int // index into Plan.Order of the first stop
	Count   int
	Travel  float64 // mm from the first to the last stop; along a roller seam, straight from end to end

	Backwards bool // a roller seam that is rolled from its End to its Position
}

// Plan is the order of a station's stops.
type Plan struct {
	Order      []int    // indices of stops, hold points included
	Runs       []Run    // in order; every weld and roller seam is in one, hold points are in none
	Waits      []string // for each stop, by its index: why it is not earlier; empty when it need not wait
	Travel     float64  // mm walked and moved in all
	GunChanges int
	TipChanges int     // on the same gun, back to the first tip for the next shell included
	SetChanges int     // the same of settings
	Postures   int     // runs that begin in another posture than the weld before
	Seconds    float64 // travel and changes
	Proven     bool    // the order of groups is the proven optimum, to tour.Alike for each
}
