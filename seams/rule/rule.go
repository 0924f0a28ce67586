// Package rule decides what a good spot weld joint is: distances, pitches and diameters for a stack of
// sheets, each with the source that it comes from.
//
//	limits := rule.For(rule.Stack{{Thickness: 0.9}, {Thickness: 1.2}}, rule.Options{})
//	fmt.Println(limits.LeastPitch.Value, limits.LeastPitch.Source)
package rule

// Certainty says how a figure came here.
type Certainty string

// How sure a figure is.
const (
	Read       Certainty = "read"            // in the named source
	Memory     Certainty = "memory"          // recalled, not looked up
	Practice   Certainty = "common practice" // no source
	Calculated Certainty = "calculated"
	Stated     Certainty = "stated" // by the shell file
)

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
	Source    string // document, table or clause
	Certainty Certainty
}

// Limits are all values that set out welds on one stack-up; lengths in mm.
type Limits struct {
	WeldDiameter      Limit // aimed at
	LeastWeldDiameter Limit // still good in production
	LeastPitch        Limit // nearer, and current is lost through the neighbour
	GreatestPitch     Limit
	EdgeDistance      Limit // weld centre to the sheet's free edge, across the flange
	EndDistance       Limit // weld centre to the end of the strip, along it
	BendClearance     Limit // electrode face to the start of a bend
	LeastOverlap      Limit // contacting overlap wanted
	GreatestGap       Limit // fit-up: air between two sheets before clamping
	TipFace           Limit // electrode face diameter wanted
	TackEvery         Limit
}
