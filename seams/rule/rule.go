// Package rule decides what a good spot weld joint is: distances, pitches and diameters for a stack of
// sheets, each with the source that it comes from.
//
//	limits := rule.For(rule.Stack{{Thickness: 0.9}, {Thickness: 1.2}}, rule.Options{})
//	fmt.Println(limits.LeastPitch.Value, limits.LeastPitch.Source)
//
// The rules are data: the default book is compiled in, a works' book may change any of it, and the shell
// file's figures stand above both. Check says what is wrong with a stack itself.
package rule

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Certainty says how a figure came here.
type Certainty string

// How sure a figure is.
const (
	Read       Certainty = "read"                // in the named source
	SecondHand Certainty = "read at second hand" // in somebody's reprint of the named source
	Memory     Certainty = "memory"              // recalled, not looked up
	Practice   Certainty = "common practice"     // no source
	Calculated Certainty = "calculated"
	Stated     Certainty = "stated" // by the shell file
)

// certainties is the order from the surest to the least sure. What is calculated is no surer than what goes in, and what the
// works states is its own.
var certainties = []Certainty{"", Stated, Read, Calculated, SecondHand, Memory, Practice}

// Weakest is the certainty of a figure that is made of several: that of the least sure of them.
func Weakest(all ...Certainty) Certainty {
	weakest := Certainty("")
	for _, c := range all {
		if slices.Index(certainties, c) > slices.Index(certainties, weakest) {
			weakest = c
		}
	}
	return weakest
}

// Sheet is one sheet of a stack-up.
type Sheet struct {
	Thickness float64 // mm
	Tensile   float64 // MPa, f_u
	Yield     float64 // MPa
	Coating   string  // "" or "none", or an EN 10346 designation such as Z100
}

// Stack is the sheets at one weld, from one outside to the other.
type Stack []Sheet

// Limit is one value of the rule book for one stack-up.
type Limit struct {
	Rule      string // stable id, such as pitch.least
	Value     float64
	Unit      string
	By        string // id of the book's source; empty when the shell file states the value
	Source    string // document, table or clause
	Certainty Certainty
	From      Origin // which book the value came from
	Note      string // such as that the sheet is outside the table; empty when there is nothing to say
}

// Origin is where a value was set.
type Origin string

// The three places, each above the one before it.
const (
	FromDefault Origin = "default" // the book compiled in
	FromWorks   Origin = "works"   // the works' book
	FromShell   Origin = "shell"   // the shell file
)

// Limits are all values that set out welds on one stack-up; lengths in mm.
type Limits struct {
	WeldDiameter      Limit // aimed at
	LeastWeldDiameter Limit // still good in production
	LeastPitch        Limit // nearer, and current is lost through the neighbour
	GreatestPitch     Limit // wanted: the planner goes no further; never beyond PitchBound by itself
	PitchBound        Limit // outer bound of the strength rules; a stated pitch may pass it, with a finding
	EdgeDistance      Limit // weld centre to the sheet's free edge, across the flange
	EndDistance       Limit // weld centre to the end of the strip, along it
	BendClearance     Limit // electrode face to the start of a bend
	LeastOverlap      Limit // contacting overlap wanted
	GreatestGap       Limit // fit-up: air between two sheets before clamping
	TipFace           Limit // electrode face diameter wanted
	TackEvery         Limit
	SealedPitch       Limit // greatest, of a flange with sealant; zero without
	BucklingPitch     Limit // greatest at which the sheet carries Options.Compression; zero without
}

// Options change the rules for one shell or joint. Zero leaves a rule as the book has it; a value that is
// not a positive number is taken as zero.
type Options struct {
	Book          Rules   // nil: the default book
	LeastPitch    float64 // mm
	GreatestPitch float64 // mm
	EdgeDistance  float64 // mm
	EndDistance   float64 // mm
	BendClearance float64 // mm
	TackEvery     float64 // mm
	GapLimit      float64 // mm
	Tolerance     float64 // mm that a weld may be off its place; counts in what is kept from edges and ends
	Compression   float64 // MPa along the row of welds; cuts the wanted pitch to what does not buckle
	Across        bool    // a load may cross the row of welds; cuts PitchBound to what the strength rules allow then
	Sealed        bool    // sealant between the sheets; cuts the wanted pitch
	Face          float64 // mm, electrode face at hand, for Explain; 0: that of the rule tip.face
}

// For gives every limit for one stack. It does not judge the stack: a stack that Check calls broken still
// gets values where they can be worked out, and a value that cannot be has zero and says why in Note.
func For(stack Stack, opt Options) Limits {
	book := opt.book()
	get := func(id string, stated float64) Limit {
		l, err := book.EvaluateGiven(id, stack, opt.given())
		if err != nil {
			l = Limit{Rule: id, Note: err.Error()}
		}
		return state(l, stated)
	}
	l := Limits{
		WeldDiameter:      get("weld.diameter", 0),
		LeastWeldDiameter: get("weld.diameter.least", 0),
		LeastPitch:        get("pitch.least", opt.LeastPitch),
		PitchBound:        get("pitch.greatest", 0),
		EdgeDistance:      get("edge.least", opt.EdgeDistance).Off(opt.Tolerance),
		EndDistance:       get("end.least", opt.EndDistance).Off(opt.Tolerance),
		BendClearance:     get("bend.clearance", opt.BendClearance),
		LeastOverlap:      get("overlap.least", 0),
		GreatestGap:       get("gap.greatest", opt.GapLimit),
		TipFace:           get("tip.face", 0),
		TackEvery:         get("tack.every", opt.TackEvery),
	}
	if opt.Across {
		l.PitchBound = lower(l.PitchBound, get("pitch.across.greatest", 0))
	}
	l.GreatestPitch = wanted(get("pitch.wanted", opt.GreatestPitch), l.LeastPitch, l.PitchBound)
	if opt.Sealed {
		l.SealedPitch = get("pitch.sealed.greatest", 0)
		l.GreatestPitch = cut(l.GreatestPitch, l.SealedPitch, l.LeastPitch)
	}
	if opt.Compression > 0 {
		l.BucklingPitch = get("pitch.buckling.greatest", 0)
		l.GreatestPitch = cut(l.GreatestPitch, l.BucklingPitch, l.LeastPitch)
	}
	return l
}

// lower is the lesser of two bounds; one of zero is none.
func lower(a, b Limit) Limit {
	if b.Value > 0 && (a.Value == 0 || b.Value < a.Value) {
		return b
	}
	return a
}

// cut brings the wanted pitch down to another reason's bound, but never below the least.
func cut(l, bound, least Limit) Limit {
	if !(bound.Value > 0) || l.Value <= bound.Value {
		return l
	}
	bound.Note = "the wanted pitch of " + number(l.Value) + " mm is cut"
	if bound.Value < least.Value {
		bound.Note = number(bound.Value) + " mm would be needed, below the least pitch"
		bound.Value = least.Value
	}
	return bound
}

// wanted keeps the book's pitch between the other two; a stated pitch stands as it is.
func wanted(l, least, bound Limit) Limit {
	if l.From == FromShell {
		return l
	}
	if bound.Value > 0 && l.Value > bound.Value {
		bound.Note = "the wanted pitch of " + number(l.Value) + " mm is cut to the greatest"
		l = bound
	}
	if l.Value < least.Value {
		l.Value = least.Value
		l.Note = "raised to the least pitch"
	}
	return l
}

// state lets a positive figure of the shell file stand above the book.
func state(l Limit, value float64) Limit {
	if !(value > 0) || math.IsInf(value, 0) {
		return l
	}
	return Limit{Rule: l.Rule, Value: value, Unit: l.Unit, Source: "stated by the shell file", Certainty: Stated, From: FromShell}
}

// offBy is how often the way that a weld may be off counts in a rule: once from an edge, twice between rows, of which each may be.
var offBy = map[string]float64{"edge.least": 1, "edge.greatest": -1, "end.least": 1, "end.greatest": -1, "row.least": 2,
	"row.staggered.least": 2, "row.greatest": -2}

// Off is the limit for the places that are planned, where welds may be off them by a tolerance in mm: a least one grows, a
// greatest one shrinks. Limits of anything but distances to edges, ends and rows stay as they are.
func (l Limit) Off(tolerance float64) Limit {
	times := offBy[l.Rule]
	if !(tolerance > 0) || times == 0 || math.IsInf(tolerance, 0) {
		return l
	}
	l.Value = math.Max(0, l.Value+float64(times*tolerance))
	sense := "and"
	if times < 0 {
		sense = "less"
	}
	l.Source += ", " + sense + " " + number(math.Abs(times)*tolerance) + " mm that guns may be off (weld_tolerance_mm)"
	return l
}

func (o Options) given() Given { return Given{Compression: o.Compression, Face: o.Face} }

func (o Options) book() Rules {
	if o.Book != nil {
		return o.Book
	}
	return defaultBook()
}

// Governing is the second greatest thickness of the stack, mm: the thinner sheet of two, and that of three
// which the weld must hold. Zero for an empty stack. AWS D8.1M, definitions (read in an extract).
func (s Stack) Governing() float64 {
	t := s.sorted()
	switch len(t) {
	case 0:
		return 0
	case 1:
		return t[0]
	}
	return t[len(t)-2]
}

// Outside is the thickness of the thinner of the two outside sheets, mm: the one that the notes to published
// settings, and their greatest pile-up, go by.
func (s Stack) Outside() float64 {
	if len(s) == 0 {
		return 0
	}
	return min(s[0].Thickness, s[len(s)-1].Thickness)
}

// Thinnest is the least thickness, mm.
func (s Stack) Thinnest() float64 {
	if len(s) == 0 {
		return 0
	}
	return s.sorted()[0]
}

// Thickest is the greatest thickness, mm.
func (s Stack) Thickest() float64 {
	if len(s) == 0 {
		return 0
	}
	return s.sorted()[len(s)-1]
}

// Total is all sheets together, mm.
func (s Stack) Total() float64 {
	sum := 0.0
	for _, sheet := range s {
		sum += sheet.Thickness
	}
	return sum
}

// Valid reports whether there is a sheet and every thickness is a positive number.
func (s Stack) Valid() bool {
	for _, sheet := range s {
		if !(sheet.Thickness > 0) || math.IsInf(sheet.Thickness, 0) {
			return false
		}
	}
	return len(s) > 0
}

// String names the stack by thickness and coating, such as "0.9 + 1.2 Z100".
func (s Stack) String() string {
	var names []string
	for _, sheet := range s {
		name := number(sheet.Thickness)
		if c, _ := ParseCoating(sheet.Coating); c.Kind != Bare {
			name += " " + strings.TrimSpace(sheet.Coating)
		}
		names = append(names, name)
	}
	return strings.Join(names, " + ")
}

func (s Stack) sorted() []float64 {
	t := make([]float64, len(s))
	for i, sheet := range s {
		t[i] = sheet.Thickness
	}
	slices.Sort(t)
	return t
}

// number prints a length without needless digits.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
}
